"""Which reports have to be made, and why: the rest stands as it would be made again."""

from collections.abc import Generator, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Protocol
from uuid import uuid4

from racecalc.daybook.problems import listed, quoted
from racecalc.errors import UnknownHorseError
from racecalc.overnight.keys import difference, file_hash, key_of
from racecalc.overnight.pool import Lost
from racecalc.overnight.prepare import Known, fingerprint, known_from, prepare
from racecalc.overnight.records import Outcome, Records, Standing, put_json, read_json
from racecalc.overnight.work import Hash
from racecalc.report.finished import MONTHLY

__all__ = ["Asked", "Doer", "Plan", "intact", "make_plan", "note_known", "parameters"]

_HORSES_TOGETHER = 25
_NOT_ASKED = "not asked for"


class Doer(Protocol):
    """What does tasks: processes on this machine, or a cluster."""

    def get_ready(self, scratch: Path) -> None:
        """Prepare for tasks that will come soon; ``scratch`` is a folder that ends with the run."""

    def each(self, tasks: Iterable[Any]) -> Generator[tuple[Any, Any], None, None]:
        """Yield tasks with their answers, in the order in which they are done."""


@dataclass(frozen=True)
class Asked:
    """What a run is asked to do.

    Attributes
    ----------
    month : str
        The month, ``YYYY-MM``.
    only : tuple of str
        The horses whose reports are wanted; empty: all.
    fresh : bool
        Whether to make reports also where nothing has changed.
    drafts : bool
        Whether each owner gets the draft of an e-mail.
    """

    month: str
    only: tuple[str, ...] = ()
    fresh: bool = False
    drafts: bool = False


@dataclass(frozen=True)
class Plan:
    """What a run means to do.

    Attributes
    ----------
    known : Known
        The book.
    store : Path, optional
        Where its slices are; None where no report has to be made.
    keys : dict of str to dict
        What the reports to be made depend on, by horse; the first one of a horse tells itself of
        what data it was made.
    outcomes : dict of str to Outcome
        What becomes of each horse if nothing is made.
    spoiled : frozenset of str
        The horses whose reports are not on the disk as they were put there.
    """

    known: Known
    store: Path | None
    keys: dict[str, dict[str, str]]
    outcomes: dict[str, Outcome]
    spoiled: frozenset[str]


def parameters(horse: str, month: str) -> dict[str, str]:
    """Return the parameters of a report of a month."""
    return {"horse": horse, "month": month}


def make_plan(
    book: Path, out: Path, asked: Asked, work: Path, doer: Doer, *, note: bool = True
) -> Plan:
    """Read what has changed in a book, and find which reports have to be made.

    Parameters
    ----------
    book : Path
        The daybook.
    out : Path
        The folder of all reports.
    asked : Asked
        What is wanted.
    work : Path
        A folder of the run's own.
    doer : Doer
        Finds the hashes of the slices.
    note : bool
        Whether to write down what is known of the book, for the next run.

    Raises
    ------
    DaybookError
        If the book cannot be used, or does not hold a horse that was asked for.
    """
    book = book.resolve()
    known, before = _kept(out, fingerprint(book)), Records(out, asked.month).outcomes()
    if known is not None and not _unknown(known, before):
        plan = _plan(known, None, out, asked, before)
        if not plan.keys:
            return plan
    doer.get_ready(work)
    # A name that no process has met: stores are kept open by their paths.
    store = work / f"book-{uuid4().hex}"
    read = prepare(book, store)
    if known is None or known.fingerprint != read.fingerprint:
        known = read
    found = _hashes(store, known, _unknown(known, before), doer)
    known = replace(known, hashes=known.hashes | found)
    if note:
        note_known(out, known)
    return _plan(known, store, out, asked, before)


def note_known(out: Path, known: Known) -> None:
    """Write down what is known of the book, for the next run."""
    put_json(_place(out), {**known.to_json(), "by": _by()})


def _place(out: Path) -> Path:
    return out / ".racecalc" / "book.json"


def _unknown(known: Known, before: Mapping[str, Outcome]) -> tuple[str, ...]:
    """Return the horses with a report of which it is not known whether it would be another now.

    Where there is none, one has to be made, and tells of what it was made.
    """
    standing = {horse for horse, outcome in before.items() if outcome.standing}
    return tuple(horse for horse in known.names if horse in standing - known.hashes.keys())


def _by() -> str:
    """Name the code that has read a book: another may read it in another way."""
    key = key_of("", {}, MONTHLY)
    return f"{key['racecalc']} {key['libraries']}"


def _kept(out: Path, mark: str) -> Known | None:
    """Return what is known of the book from an earlier run, where nothing has changed since."""
    content = read_json(_place(out))
    if content.get("fingerprint") != mark or content.get("by") != _by():
        return None
    return known_from(content)


def _hashes(store: Path, known: Known, horses: tuple[str, ...], doer: Doer) -> dict[str, str]:
    """Return the hashes of the slices; where they cannot be found, one that holds for this book.

    What hinders them will hinder one of those reports; the others are made.
    """
    parts = range(0, len(horses), _HORSES_TOGETHER)
    tasks = [Hash(store, horses[part : part + _HORSES_TOGETHER]) for part in parts]
    found: dict[str, str] = {}
    for task, answer in doer.each(tasks):
        unknown = dict.fromkeys(task.horses, f"in the book {known.fingerprint}")
        found |= unknown if isinstance(answer, Lost) else answer
    return found


def _plan(
    known: Known, store: Path | None, out: Path, asked: Asked, before: Mapping[str, Outcome]
) -> Plan:
    _check_asked(known, asked)
    wanted = [horse for horse in known.names if not asked.only or horse in asked.only]
    spoiled = _spoiled(out / asked.month, {h: o.standing for h, o in before.items() if o.standing})
    keys: dict[str, dict[str, str]] = {}
    outcomes = {}
    for horse, name in known.names.items():
        last = before.get(horse)
        standing = last.standing if last else None
        key = key_of(known.hashes.get(horse, ""), parameters(horse, asked.month), MONTHLY)
        reason = _reason(key, standing, horse not in spoiled, asked.fresh and horse in wanted)
        if horse not in wanted and last is not None and not reason:
            outcomes[horse] = last
        elif horse not in wanted:
            outcomes[horse] = Outcome(
                horse, name, "not-reached", _NOT_ASKED, reason, standing=standing
            )
        elif reason:
            keys[horse] = key
            cause = "the run ended before this horse"
            outcomes[horse] = Outcome(horse, name, "not-reached", cause, reason, standing=standing)
        elif standing is not None:
            outcomes[horse] = Outcome(
                horse, name, "unchanged", _kept_words(standing), "", 0, standing
            )
    for horse, cause in known.refused.items():
        standing = before[horse].standing if horse in before else None
        outcomes[horse] = Outcome(horse, horse, "failed", cause, standing=standing)
    return Plan(known, store, keys, outcomes, spoiled)


def _kept_words(standing: Standing) -> str:
    told = "" if standing.recorded else "nothing was recorded this month; "
    return f"{told}nothing has changed since {standing.run[:16].replace('T', ' ')}"


def _reason(key: Mapping[str, str], standing: Standing | None, whole: bool, fresh: bool) -> str:
    """Say why a report has to be made; nothing where it has not."""
    if standing is None:
        return "there is no report yet"
    changed = difference(key, standing.key)
    if changed:
        return f"changed: {changed}"
    if not whole:
        return "its files are missing, or were changed by something else"
    return "asked for" if fresh else ""


def _check_asked(known: Known, asked: Asked) -> None:
    there = {*known.names, *known.refused}
    for horse in asked.only:
        if horse not in there:
            raise UnknownHorseError(
                f"no horse has the id {quoted(horse)}; there are {listed(sorted(there))}"
            )


def _spoiled(folder: Path, standing: Mapping[str, Standing]) -> frozenset[str]:
    """Return the horses whose reports are not on the disk as they were put there."""
    with ThreadPoolExecutor(4) as threads:
        found = threads.map(lambda item: intact(folder / item[0], item[1].files), standing.items())
        return frozenset(h for h, whole in zip(standing, found, strict=True) if not whole)


def intact(folder: Path, files: Mapping[str, str]) -> bool:
    """Return whether the files of a folder have the hashes that were written down."""
    try:
        return all(file_hash(folder / name) == known for name, known in files.items())
    except OSError:
        return False
