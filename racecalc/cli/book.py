"""Commands on a daybook and on single values: begin, check, convert, list sources, open a lab."""

import json
import sys
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

import click

from racecalc.cli.asking import BOOK, SOME_FAILED, read, refusals, stop
from racecalc.errors import NotationError

if TYPE_CHECKING:
    from racecalc.notation import Clock

__all__ = ["check", "convert", "lab", "new", "sources"]

_KINDS = ("height", "distance", "clock", "weight", "speed")


@click.command()
@click.argument("folder", type=BOOK)
@click.option("--xlsx", is_flag=True, help="One spreadsheet file in place of a folder.")
@refusals
def new(folder: Path, xlsx: bool) -> None:
    """Begin an empty daybook: every table with its header, nothing in it.

    \b
    racecalc new my-barn
    racecalc new my-barn.xlsx --xlsx
    """
    from racecalc import daybook

    made = daybook.new(folder, xlsx=xlsx)
    click.echo(f"An empty daybook stands in {made}. Fill in barn, horses and tracks first.")


@click.command()
@click.argument("book", type=BOOK)
@refusals
def check(book: Path) -> None:
    """Read a daybook and list everything that is wrong in it, by file, row and column.

    Rows are numbered as a spreadsheet shows them. Warnings are used all the same; rows with errors
    are left out of the reports.

    \b
    racecalc check my-barn
    """
    from racecalc import daybook

    problems = daybook.check(book)
    for problem in problems:
        click.echo(str(problem))
    levels = Counter(problem.level for problem in problems)
    told = (f"{levels[one]} {one}{'s' * (levels[one] != 1)}" for one in ("error", "warning"))
    click.echo(", ".join(told), err=True)
    sys.exit(SOME_FAILED if levels["error"] else 0)


@click.command(context_settings={"ignore_unknown_options": True})
@click.argument("text")
@click.option("--kind", type=click.Choice(_KINDS), required=True, help="What the text measures.")
@click.option(
    "--clock",
    type=click.Choice(["fifths", "hundredths"]),
    default="fifths",
    show_default=True,
    help="How a single digit after the point is read.",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@refusals
def convert(text: str, kind: str, clock: "Clock", as_json: bool) -> None:
    """Write one value in every notation of its kind.

    \b
    racecalc convert "16.2 3/4" --kind height
    racecalc convert "1 1/16 mi" --kind distance
    racecalc convert 1:13.2 --kind clock --clock hundredths
    racecalc convert "1126 lb" --kind weight --json
    """
    from racecalc import notation

    try:
        values = notation.conversions(text, kind, clock=clock)
    except NotationError as error:
        stop(SOME_FAILED, str(error))
    if as_json:
        click.echo(json.dumps(values, ensure_ascii=False))
        return
    for name, value in values.items():
        click.echo(f"{name.replace('_', ' '):22} {value}")


@click.command()
def sources() -> None:
    """List what is cited, how it was confirmed and which tests hold the code to it."""
    from racecalc.sources import SOURCES, cite

    for key, source in SOURCES.items():
        click.echo(f"{key} [{source.read}]")
        click.echo(f"  {cite(key)}")
        click.echo(f"  used for: {source.used_for}")
        click.echo(f"  tested in: {', '.join(source.tested_in)}")


@click.command()
@click.argument("book", type=BOOK)
@click.option("--browser/--no-browser", default=True, help="Open a browser window.")
@refusals
def lab(book: Path, browser: bool) -> None:
    """Put a copy of the workbooks beside the book and open JupyterLab on them.

    A copy that you have edited is never written over. JupyterLab listens on this machine only and
    asks for its token.

    \b
    racecalc lab my-barn
    """
    from racecalc.report import workbench

    folder, kept = workbench.prepare(read(book), book)
    for name in kept:
        click.echo(f"kept your edited {name}", err=True)
    click.echo(f"workbooks in {folder}")
    sys.exit(workbench.open_lab(folder, browser=browser))
