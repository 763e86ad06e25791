"""The commands for a night: every horse's report, and whether all that was made still stands."""

import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from racecalc.cli.asking import (
    BOOK,
    FOLDER,
    INPUT_REFUSED,
    MONTH,
    NOT_WRITTEN,
    SOME_FAILED,
    keep_out_of,
    refusals,
    stop,
)

if TYPE_CHECKING:
    from racecalc.overnight import Known, Outcome, Plan

__all__ = ["overnight", "verify"]

_WITHOUT_REPORT = ("failed", "not-reached")


@click.command()
@click.argument("book", type=BOOK)
@click.option("--month", type=MONTH, required=True, help="The month, for example 2026-10.")
@click.option("--out", type=FOLDER, required=True, help="Where reports go.")
@click.option("--only", multiple=True, metavar="HORSE", help="This horse; again for another.")
@click.option("--fresh", is_flag=True, help="Make also what has not changed.")
@click.option("--dry-run", is_flag=True, help="Say what would be made and why; make nothing.")
@click.option("--drafts", is_flag=True, help="Write an e-mail draft for each owner, too.")
@click.option("--jobs", type=click.IntRange(1, 256), help="Processes; else one for each core.")
@click.option("--dask", metavar="ADDRESS", help="Work on that Dask cluster; local: on one here.")
@click.option("--time-limit", type=click.IntRange(1), default=600, show_default=True,
              help="Seconds that one report may take.")  # fmt: skip
@click.option("--memory-limit", type=click.IntRange(100), default=4000, show_default=True,
              help="Megabytes that the workbook of one report may take.")  # fmt: skip
@refusals
def overnight(book: Path, month: str, out: Path, **asked: Any) -> None:
    """Make the report of every horse, an index of them, the owners' folders, a manifest and a log.

    What has not changed is kept, and what was interrupted goes on where it stopped. One horse's
    trouble never stops another's report. Each horse ends in one state, with its cause, in
    manifest.json.

    \b
    racecalc overnight my-barn --month 2026-10 --out reports
    racecalc overnight my-barn --month 2026-10 --out reports --dry-run
    racecalc overnight my-barn --month 2026-10 --out reports --only larder-drizzle --fresh
    """
    from racecalc import overnight as night

    keep_out_of(book, out)
    wanted = night.Asked(month, asked["only"], asked["fresh"], asked["drafts"])
    limits = night.Limits(asked["time_limit"], asked["memory_limit"])
    if note := night.how_slowly():
        click.echo(note, err=True)
    dask = None if asked["dry_run"] else asked["dask"]
    with night.doer_of(asked["jobs"], limits, dask) as doer:
        if asked["dry_run"]:
            plan = night.dry_run(book, out, wanted, doer)
            click.echo("\n".join(_planned(plan)))
            sys.exit(_told_of(plan.known, []))
        with _bar() as step:
            finished = night.run(book, out, wanted, doer, limits, step)
    if finished.slow and not note:
        click.echo(night.how_slowly(finished.slow), err=True)
    outcomes = [
        outcome
        for outcome in finished.outcomes.values()
        if not wanted.only or outcome.horse in wanted.only
    ]
    for outcome in outcomes:
        if outcome.state in _WITHOUT_REPORT:
            click.echo(f"{outcome.horse}: {outcome.state}: {outcome.cause}", err=True)
    for line in finished.owners.told:
        click.echo(line, err=True)
    click.echo(_summed_up(outcomes, finished.seconds, out / month))
    status = _told_of(finished.plan.known, outcomes)
    sys.exit(status if finished.owners.whole else status or SOME_FAILED)


@click.command()
@click.argument("folder", type=FOLDER)
@refusals
def verify(folder: Path) -> None:
    """Read every report again, and say which are not what the last run put there.

    \b
    racecalc verify reports
    """
    from racecalc import overnight as night

    if not folder.is_dir() or not (found := night.verify(folder)).files:
        stop(INPUT_REFUSED, f"{folder}: no run has put reports there; name the folder of --out")
    for line in found.wrong:
        click.echo(line, err=True)
    click.echo(f"{found.files} files read, {len(found.wrong)} not as they were put there")
    sys.exit(SOME_FAILED if found.wrong else 0)


@contextmanager
def _bar() -> Iterator[Any]:
    """Show how far the run is, with an estimate, where somebody looks; say how far one came."""
    bars: list[Any] = []
    with ExitStack() as opened, _how_far(bars):

        def step(outcome: "Outcome", done: int, count: int) -> None:
            if not bars:
                shown = sys.stderr.isatty()
                bar = click.progressbar(
                    length=count, label="reports", file=sys.stderr, hidden=not shown, show_pos=True
                )
                bars.append(opened.enter_context(bar))
            bars[0].update(1)

        yield step


@contextmanager
def _how_far(bars: list[Any]) -> Iterator[None]:
    try:
        yield
    except (KeyboardInterrupt, SystemExit, OSError):
        if bars and sys.stderr.isatty():
            made = f"{bars[0].pos} of {bars[0].length} reports were done"
            click.echo(f"{made}; start again, and the rest is made", err=True)
        raise


def _planned(plan: "Plan") -> Iterable[str]:
    """Yield a line for each horse: what would become of it, and why."""
    for horse, outcome in plan.outcomes.items():
        if horse in plan.keys:
            yield f"{horse}: would be made: {outcome.reason}"
        elif outcome.state == "failed":
            yield f"{horse}: cannot be made: {outcome.cause}"
        else:
            yield f"{horse}: would be left: {outcome.cause}"
    yield f"{len(plan.keys)} of {len(plan.outcomes)} would be made"


def _told_of(known: "Known", outcomes: "list[Outcome]") -> int:
    """Print the errors of the book; return the exit status."""
    for problem in known.problems:
        if problem.level == "error":
            click.echo(str(problem), err=True)
    if (more := known.errors - len(known.problems)) > 0:
        click.echo(f"{more} more: racecalc check lists them all", err=True)
    failed = [outcome for outcome in outcomes if outcome.state in _WITHOUT_REPORT]
    unwritten = any(outcome.cause.startswith("could not be written") for outcome in failed)
    if unwritten and len(failed) == len(outcomes):
        return NOT_WRITTEN
    return SOME_FAILED if failed or known.errors else 0


def _summed_up(outcomes: "list[Outcome]", seconds: float, folder: Path) -> str:
    from racecalc.overnight import STATES

    counts = Counter(outcome.state for outcome in outcomes)
    parts = ", ".join(f"{counts[state]} {state}" for state in STATES if counts[state])
    return f"{parts or 'no horses'} in {seconds:.0f} s; see {folder / 'index.html'}"
