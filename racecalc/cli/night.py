"""The command for a night: every horse's report."""

import sys
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

import click

from racecalc.cli.asking import (
    BOOK,
    FOLDER,
    MONTH,
    NOT_WRITTEN,
    SOME_FAILED,
    read_beside,
    refusals,
    tell_of_problems,
)

if TYPE_CHECKING:
    from racecalc.overnight import Outcome

__all__ = ["overnight"]

_WITHOUT_REPORT = ("failed", "not-reached")


@click.command()
@click.argument("book", type=BOOK)
@click.option("--month", type=MONTH, required=True, help="The month, for example 2026-10.")
@click.option("--out", type=FOLDER, required=True, help="Where reports go.")
@refusals
def overnight(book: Path, month: str, out: Path) -> None:
    """Make the report of every horse, an index of them, a manifest and a log.

    One horse's trouble never stops another's report. Each horse ends in one state, with its cause,
    in manifest.json.

    \b
    racecalc overnight my-barn --month 2026-10 --out reports
    """
    from racecalc import overnight as night

    read = read_beside(book, out)
    count = len(read.tables["horses"])
    terminal = sys.stderr.isatty()
    with click.progressbar(
        length=count, label="reports", file=sys.stderr, hidden=not terminal
    ) as bar:
        outcomes = night.run(read, month, out, lambda outcome: bar.update(1))
    for outcome in outcomes:
        if outcome.state in _WITHOUT_REPORT:
            click.echo(f"{outcome.horse}: {outcome.state}: {outcome.cause}", err=True)
    click.echo(_summed_up(outcomes, out / month))
    told = tell_of_problems(read)
    sys.exit(_status_of(outcomes) or told)


def _status_of(outcomes: "tuple[Outcome, ...]") -> int:
    failed = [outcome for outcome in outcomes if outcome.state in _WITHOUT_REPORT]
    if not failed:
        return 0
    unwritten = any(outcome.cause.startswith("could not be written") for outcome in failed)
    return NOT_WRITTEN if unwritten and len(failed) == len(outcomes) else SOME_FAILED


def _summed_up(outcomes: "tuple[Outcome, ...]", folder: Path) -> str:
    counts = Counter(outcome.state for outcome in outcomes)
    parts = ", ".join(f"{count} {state}" for state, count in counts.items())
    return f"{parts or 'no horses'}; see {folder / 'index.html'}"
