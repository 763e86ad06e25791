"""The command ``racecalc``: the only room that prints or exits.

Heavy libraries are imported inside the commands, so that ``--help`` and completion answer at once.
"""

import json
import os
import re
import signal
import sys
from collections.abc import Callable
from datetime import date
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from racecalc import __version__
from racecalc.errors import DaybookError, NotationError, RacecalcError

if TYPE_CHECKING:
    from racecalc.daybook import Book
    from racecalc.notation import Clock
    from racecalc.overnight import Outcome

__all__ = ["main"]

# Exit status beside click's own 2 for usage.
_SOME_FAILED = 1
_INPUT_REFUSED = 3
_NOT_WRITTEN = 4

# Set in the environment, it lets a fault of racecalc's own show where it happened.
_SHOW_FAULTS = "RACECALC_SHOW_FAULTS"

# What a shell reports of a program ended by Ctrl-C, or by `kill` and systemd.
_INTERRUPTED = 130
_TERMINATED = 143

_WITHOUT_REPORT = ("failed", "not-reached")

_KINDS = ("height", "distance", "clock", "weight", "speed")


class _Month(click.ParamType[str]):
    """A month written YYYY-MM."""

    name = "month"

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        if not re.fullmatch(r"(19|20)\d\d-(0[1-9]|1[0-2])", value, re.ASCII):
            self.fail(f"“{value}” is not a month; write year and month, for example 2026-10.")
        return value


class _Day(click.ParamType[str]):
    """A day written YYYY-MM-DD; blank stays blank."""

    name = "day"

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        try:
            day = date.fromisoformat(value).isoformat() if value else value
            if day and not "1900" <= day[:4] < "2100":
                raise ValueError(day)
            return day
        except ValueError:
            self.fail(f"“{value}” is not a day; write it as 2026-10-28.")


_MONTH = _Month()
_DAY = _Day()
_BOOK = click.Path(path_type=Path)
_FOLDER = click.Path(path_type=Path, file_okay=False)


def _stop(status: int, text: str) -> NoReturn:
    click.echo(text, err=True)
    sys.exit(status)


def _refusals(command: Callable[..., Any]) -> Callable[..., Any]:
    """Turn what racecalc refuses, and what the disk refuses, into one line and a status."""

    @wraps(command)
    def run(*arguments: Any, **options: Any) -> Any:
        # As an exception, it lets a run write down how far it came and clear up.
        signal.signal(signal.SIGTERM, lambda number, frame: _stop(_TERMINATED, "stopped"))
        try:
            return command(*arguments, **options)
        except (click.ClickException, click.Abort, click.exceptions.Exit):
            raise
        except DaybookError as error:
            _stop(_INPUT_REFUSED, str(error))
        except RacecalcError as error:
            _stop(_SOME_FAILED, str(error))
        except KeyboardInterrupt:
            _stop(_INTERRUPTED, "stopped")
        except BrokenPipeError:
            # The reader of our output left early, as `head` does.
            sys.stderr.close()
            sys.exit(_SOME_FAILED)
        except OSError as error:
            _stop(_NOT_WRITTEN, f"{error.filename or 'a file'}: {error.strerror or error}")
        except Exception as error:
            if os.environ.get(_SHOW_FAULTS):
                raise
            fault = f"{type(error).__name__}: {' '.join(str(error).split())}"
            _stop(
                _SOME_FAILED,
                f"a fault in racecalc itself: {fault} (to see where: {_SHOW_FAULTS}=1)",
            )

    return run


def _of_one_horse(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command what every report on one horse up to a day is asked with."""
    asked = (
        click.argument("book", type=_BOOK),
        click.argument("horse"),
        click.option("--until", type=_DAY, default="", help="The last day; else the newest."),
        click.option("--out", type=_FOLDER, required=True, help="Where reports go."),
    )
    command = _refusals(command)
    for one in reversed(asked):
        command = one(command)
    return command


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96})
@click.version_option(__version__, prog_name="racecalc")
def main() -> None:
    """Keep the records, and make the owner's reports, of Thoroughbreds in training.

    \b
    racecalc new my-barn                                 begin a daybook
    racecalc check my-barn                               what is wrong in it, row by row
    racecalc report my-barn larder-drizzle --month 2026-10 --out reports
    racecalc overnight my-barn --month 2026-10 --out reports
    racecalc body my-barn larder-drizzle --out reports
    racecalc load my-barn larder-drizzle --out reports
    racecalc fitness my-barn larder-drizzle --out reports
    racecalc next-work my-barn larder-drizzle --out reports
    racecalc surface my-barn thimble-marsh --out reports
    racecalc work-review my-barn LD-261028 --out reports
    racecalc pole-sheet my-barn thimble-marsh --distance "6 f" --asked 1:13 --out reports
    racecalc convert "16.2 3/4" --kind height

    \b
    Exit status: 0 all well, 1 some reports failed or the book has errors, 2 usage,
    3 input refused, 4 nothing could be written.

    \b
    Completion for bash (zsh and fish alike):
    eval "$(_RACECALC_COMPLETE=bash_source racecalc)"
    """


@main.command()
@click.argument("folder", type=_BOOK)
@click.option("--xlsx", is_flag=True, help="One spreadsheet file in place of a folder.")
@_refusals
def new(folder: Path, xlsx: bool) -> None:
    """Begin an empty daybook: every table with its header, nothing in it.

    \b
    racecalc new my-barn
    racecalc new my-barn.xlsx --xlsx
    """
    from racecalc import daybook

    made = daybook.new(folder, xlsx=xlsx)
    click.echo(f"An empty daybook stands in {made}. Fill in barn, horses and tracks first.")


@main.command()
@click.argument("book", type=_BOOK)
@_refusals
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
    errors = sum(problem.level == "error" for problem in problems)
    click.echo(f"{errors} errors, {len(problems) - errors} warnings", err=True)
    sys.exit(_SOME_FAILED if errors else 0)


@main.command()
@click.argument("book", type=_BOOK)
@click.argument("horse")
@click.option("--month", type=_MONTH, required=True, help="The month, for example 2026-10.")
@click.option("--out", type=_FOLDER, required=True, help="Where reports go.")
@_refusals
def report(book: Path, horse: str, month: str, out: Path) -> None:
    """Make one horse's report: HTML, PDF, JSON and the executed workbook.

    \b
    racecalc report my-barn larder-drizzle --month 2026-10 --out reports
    """
    from racecalc import overnight

    read = _read_beside(book, out)
    outcome = overnight.run_one(read, horse, month, out)
    if outcome.state == "failed":
        _stop(_SOME_FAILED, f"{horse}: {outcome.cause}")
    click.echo(out / month / horse)
    sys.exit(_tell_of_problems(read))


@main.command("body")
@_of_one_horse
def body(book: Path, horse: str, until: str, out: Path) -> None:
    """Report on one horse's body: height, weight, condition, vital signs, and what has changed.

    \b
    racecalc body my-barn larder-drizzle --out reports
    racecalc body my-barn larder-drizzle --until 2026-10-31 --out reports
    """
    _make_of_one_horse("body", book, horse, until, out)


@main.command("load")
@_of_one_horse
def load(book: Path, horse: str, until: str, out: Path) -> None:
    """Report on one horse's load: how much ground, how fast, how often, and against its own past.

    \b
    racecalc load my-barn larder-drizzle --out reports
    racecalc load my-barn larder-drizzle --until 2026-10-31 --out reports
    """
    _make_of_one_horse("load", book, horse, until, out)


@main.command("fitness")
@_of_one_horse
def fitness(book: Path, horse: str, until: str, out: Path) -> None:
    """Report on one horse's exercise tests: heart rate and lactate on speed, and its works.

    \b
    racecalc fitness my-barn larder-drizzle --out reports
    racecalc fitness my-barn larder-drizzle --until 2026-10-31 --out reports
    """
    _make_of_one_horse("fitness", book, horse, until, out)


@main.command("next-work")
@_of_one_horse
@click.option("--planned", type=_DAY, default="", help="When you would work it. [as usual]")
@click.option(
    "--bad-footing", default="", help="Days of waiting that a work on bad footing costs. [4]"
)
@click.option("--track", default="", help="Id of the track. [where it last worked]")
def next_work(book: Path, horse: str, out: Path, **asked: str) -> None:
    """Propose one horse's next fast work: which day, how far, how fast, and why.

    Days are weighed by the barn's limits, the race aimed at, the forecast and the footing to
    expect; works stand side by side with the watch at each pole. The trainer decides.

    \b
    racecalc next-work my-barn larder-drizzle --out reports
    racecalc next-work my-barn larder-drizzle --planned 2026-11-05 --bad-footing 8 --out reports
    """
    from racecalc.report import single

    read = _read_beside(book, out)
    _publish(single.next_work(read, horse, asked).files, out / "next-work" / horse, read)


@main.command("surface")
@click.argument("book", type=_BOOK)
@click.argument("track")
@click.option("--until", type=_DAY, default="", help="The last day; else the newest.")
@click.option("--out", type=_FOLDER, required=True, help="Where reports go.")
@_refusals
def surface(book: Path, track: str, until: str, out: Path) -> None:
    """Report on one track: its log, how it dried, what that has meant, and the days ahead.

    \b
    racecalc surface my-barn thimble-marsh --out reports
    """
    from racecalc.report import single

    read = _read_beside(book, out)
    _publish(single.surface(read, track, until).files, out / "surface" / track, read)


@main.command("work-review")
@click.argument("book", type=_BOOK)
@click.argument("work")
@click.option("--out", type=_FOLDER, required=True, help="Where reports go.")
@_refusals
def work_review(book: Path, work: str, out: Path) -> None:
    """Review one work: on its oval, pole by pole, and against the horse's own line.

    \b
    racecalc work-review my-barn LD-261028 --out reports
    """
    from racecalc.report import single

    read = _read_beside(book, out)
    _publish(single.work_review(read, work).files, out / "works" / work, read)


@main.command("pole-sheet")
@click.argument("book", type=_BOOK)
@click.argument("track")
@click.option("--distance", required=True, help="Length of the work: 6 f, 1200 m.")
@click.option("--asked", required=True, help="Time of the work, 1:13, or pace, 12.2 s/f.")
@click.option("--start", default="", help="Pole where it begins, 3/4, or chute. [to the finish]")
@click.option("--horse", default="", help="Id of the horse that goes it.")
@click.option("--day", type=_DAY, default="", help="The day, 2026-10-28. [today]")
@click.option("--tolerance", type=float, default=0.2, show_default=True, help="Seconds a furlong.")
@click.option("--run-up", default="", help="How far behind the start to turn. [1 f, or 200 m]")
@click.option("--off-rail", default="", help="How far from the rail it is run, 20 ft.")
@click.option("--out", type=_FOLDER, required=True, help="Where the card goes.")
@_refusals
def pole_sheet(book: Path, out: Path, **asked: Any) -> None:
    """Make the card for a work: where it begins, the poles, and the watch at each.

    \b
    racecalc pole-sheet my-barn thimble-marsh --distance "6 f" --asked 1:13 --out reports
    """
    from racecalc.report import single

    read = _read_beside(book, out)
    asked["day"] = asked["day"] or date.today().isoformat()
    made = single.pole_sheet(read, asked)
    _publish(made.files, out / "pole-sheets" / single.sheet_name(asked), read)


@main.command()
@click.argument("book", type=_BOOK)
@click.option("--month", type=_MONTH, required=True, help="The month, for example 2026-10.")
@click.option("--out", type=_FOLDER, required=True, help="Where reports go.")
@_refusals
def overnight(book: Path, month: str, out: Path) -> None:
    """Make the report of every horse, an index of them, a manifest and a log.

    One horse's trouble never stops another's report. Each horse ends in one state, with its cause,
    in manifest.json.

    \b
    racecalc overnight my-barn --month 2026-10 --out reports
    """
    from racecalc import overnight as night

    read = _read_beside(book, out)
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
    told = _tell_of_problems(read)
    sys.exit(_status_of(outcomes) or told)


@main.command(context_settings={"ignore_unknown_options": True})
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
@_refusals
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
        _stop(_SOME_FAILED, str(error))
    if as_json:
        click.echo(json.dumps(values, ensure_ascii=False))
        return
    for name, value in values.items():
        click.echo(f"{name.replace('_', ' '):22} {value}")


@main.command()
def sources() -> None:
    """List what is cited, how it was confirmed and which tests hold the code to it."""
    from racecalc.sources import SOURCES, cite

    for key, source in SOURCES.items():
        click.echo(f"{key} [{source.read}]")
        click.echo(f"  {cite(key)}")
        click.echo(f"  used for: {source.used_for}")
        click.echo(f"  tested in: {', '.join(source.tested_in)}")


@main.command()
@click.argument("book", type=_BOOK)
@click.option("--browser/--no-browser", default=True, help="Open a browser window.")
@_refusals
def lab(book: Path, browser: bool) -> None:
    """Put a copy of the workbooks beside the book and open JupyterLab on them.

    A copy that you have edited is never written over. JupyterLab listens on this machine only and
    asks for its token.

    \b
    racecalc lab my-barn
    """
    from racecalc.report import workbench

    read = _read(book)
    folder, kept = workbench.prepare(read, book)
    for name in kept:
        click.echo(f"kept your edited {name}", err=True)
    click.echo(f"workbooks in {folder}")
    sys.exit(workbench.open_lab(folder, browser=browser))


def _make_of_one_horse(kind: str, book: Path, horse: str, until: str, out: Path) -> None:
    from racecalc.report import single

    read = _read_beside(book, out)
    make = {"body": single.body, "load": single.load, "fitness": single.fitness}[kind]
    _publish(make(read, horse, until).files, out / kind / horse, read)


def _publish(files: dict[str, bytes], folder: Path, read: "Book") -> NoReturn:
    from racecalc.report.run import publish

    publish(files, folder)
    click.echo(folder)
    sys.exit(_tell_of_problems(read))


def _read(book: Path) -> "Book":
    from racecalc import daybook

    return daybook.read(book)


def _read_beside(book: Path, out: Path) -> "Book":
    _keep_out_of(book, out)
    return _read(book)


def _keep_out_of(book: Path, out: Path) -> None:
    """Refuse to put reports into a daybook: nothing is ever written there."""
    folder, target = book.resolve(), out.resolve()
    if folder.is_dir() and (folder == target or folder in target.parents):
        raise click.BadParameter(
            f"{out} is in the daybook; name another folder", param_hint="--out"
        )


def _tell_of_problems(book: "Book") -> int:
    """Print the errors of the book; return the status that they call for."""
    errors = [problem for problem in book.problems if problem.level == "error"]
    for problem in errors:
        click.echo(str(problem), err=True)
    return _SOME_FAILED if errors else 0


def _status_of(outcomes: "tuple[Outcome, ...]") -> int:
    failed = [outcome for outcome in outcomes if outcome.state in _WITHOUT_REPORT]
    if not failed:
        return 0
    unwritten = any(outcome.cause.startswith("could not be written") for outcome in failed)
    return _NOT_WRITTEN if unwritten and len(failed) == len(outcomes) else _SOME_FAILED


def _summed_up(outcomes: "tuple[Outcome, ...]", folder: Path) -> str:
    counts: dict[str, int] = {}
    for outcome in outcomes:
        counts[outcome.state] = counts.get(outcome.state, 0) + 1
    parts = ", ".join(f"{count} {state}" for state, count in counts.items())
    return f"{parts or 'no horses'}; see {folder / 'index.html'}"
