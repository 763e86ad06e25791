"""The run: one horse after another, none of which can stop the next."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

from racecalc.daybook import Book, slice_for
from racecalc.errors import RacecalcError
from racecalc.overnight.index import index_page
from racecalc.overnight.manifest import Outcome, manifest_text
from racecalc.report.engine import is_available
from racecalc.report.run import make, publish

__all__ = ["run", "run_one"]

Told = Callable[[Outcome], None]


def run_one(book: Book, horse: str, month: str, out: Path, *, warm: bool = False) -> Outcome:
    """Make and publish the report of one horse.

    Parameters
    ----------
    book : Book
        A daybook that was read and checked.
    horse : str
        The horse's id.
    month : str
        The month, ``YYYY-MM``.
    out : Path
        The report goes to ``out/month/horse``.
    warm : bool
        As `report.run.make`: for one report of many.

    Raises
    ------
    UnknownHorseError
        If the book holds no such horse.
    OSError
        If nothing can be written there.
    """
    record = slice_for(book, horse)
    name = _name(book, horse)
    try:
        made = make(record, {"horse": horse, "month": month}, warm=warm)
    except RacecalcError as error:
        return Outcome(horse, name, "failed", str(error), record.data_hash)
    except Exception as error:  # a fault of ours in one horse's report is not another's
        cause = f"a fault in racecalc itself: {type(error).__name__}: {error}"
        return Outcome(horse, name, "failed", cause, record.data_hash)
    publish(made.files, out / month / horse)
    if made.recorded:
        return Outcome(horse, name, "made", "report written", record.data_hash)
    return Outcome(horse, name, "no-data", "nothing was recorded this month", record.data_hash)


def run(book: Book, month: str, out: Path, told: Told) -> tuple[Outcome, ...]:
    """Make the reports of all horses, then the manifest, the index and the log of the run.

    ``told`` hears of each horse of the book as it is done. A horse whose row in the table of horses
    was refused has no report; it fails at once, and is only among the outcomes.

    Raises
    ------
    OSError
        If nothing can be written under ``out``.
    """
    folder = out / month
    folder.mkdir(parents=True, exist_ok=True)
    horses = list(book.tables["horses"]["horse"])
    outcomes = _refused(book)
    errors = sum(problem.level == "error" for problem in book.problems)
    try:
        with (folder / "overnight.log").open("a", encoding="utf-8") as log:
            log.writelines(map(_log_line, outcomes))
            for outcome in _each(book, horses, month, out):
                outcomes.append(outcome)
                log.write(_log_line(outcome))
                log.flush()
                told(outcome)
    finally:
        reached = {outcome.horse for outcome in outcomes}
        outcomes += [
            Outcome(horse, _name(book, horse), "not-reached", "the run ended before this horse")
            for horse in horses
            if horse not in reached
        ]
        summary = {
            "manifest.json": manifest_text(month, outcomes, errors).encode(),
            "index.html": index_page(book.barn, month, outcomes, book.problems).encode(),
        }
        publish(summary, folder)
    return tuple(outcomes)


def _refused(book: Book) -> list[Outcome]:
    """Return a failure for each horse that the book names in a row that cannot be used."""
    said: dict[str, list[str]] = {}
    for problem in book.problems:
        if problem.table == "horses" and problem.level == "error" and problem.horse:
            said.setdefault(problem.horse, []).append(str(problem))
    used = set(book.tables["horses"]["horse"])
    return [
        Outcome(horse, horse, "failed", f"its row was refused: {'; '.join(causes)}")
        for horse, causes in said.items()
        if horse not in used
    ]


def _each(book: Book, horses: list[str], month: str, out: Path) -> Iterator[Outcome]:
    for horse in horses:
        try:
            yield run_one(book, horse, month, out, warm=is_available())
        except OSError as error:
            cause = f"could not be written: {error.strerror or error}"
            yield Outcome(horse, _name(book, horse), "failed", cause)


def _name(book: Book, horse: str) -> str:
    horses = book.tables["horses"]
    names = horses.loc[horses["horse"] == horse, "name"]
    return str(names.iloc[0]) if len(names) else horse


def _log_line(outcome: Outcome) -> str:
    now = datetime.now().astimezone().isoformat(timespec="seconds")
    cause = " ".join(outcome.cause.split())
    return f"{now} {outcome.horse} {outcome.state}: {cause}\n"
