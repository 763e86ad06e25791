"""What every command shares: how it is asked, what it refuses, how it ends."""

import os
import re
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from datetime import date
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from racecalc.errors import ClusterError, DaybookError, LockedError, RacecalcError

if TYPE_CHECKING:
    from racecalc.daybook import Book

__all__ = [
    "BOOK",
    "DAY",
    "FOLDER",
    "INPUT_REFUSED",
    "MONTH",
    "NOT_WRITTEN",
    "SOME_FAILED",
    "alone",
    "keep_out_of",
    "of_one_horse",
    "publish",
    "read",
    "read_beside",
    "refusals",
    "stop",
    "tell_of_problems",
]

# Exit status beside click's own 2 for usage.
SOME_FAILED = 1
INPUT_REFUSED = 3
NOT_WRITTEN = 4
LOCKED = 5

_STATUSES = {
    DaybookError: INPUT_REFUSED,
    ClusterError: NOT_WRITTEN,
    LockedError: LOCKED,
    RacecalcError: SOME_FAILED,
}

# Set in the environment, it lets a fault of racecalc's own show where it happened.
_SHOW_FAULTS = "RACECALC_SHOW_FAULTS"

# What a shell reports of a program ended by Ctrl-C, or by `kill` and systemd.
_INTERRUPTED = 130
_TERMINATED = 143


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


MONTH = _Month()
DAY = _Day()
BOOK = click.Path(path_type=Path)
FOLDER = click.Path(path_type=Path, file_okay=False)


def stop(status: int, text: str) -> NoReturn:
    """Say why, and end."""
    click.echo(text, err=True)
    sys.exit(status)


def refusals(command: Callable[..., Any]) -> Callable[..., Any]:
    """Turn what racecalc refuses, and what the disk refuses, into one line and a status."""

    @wraps(command)
    def run(*arguments: Any, **options: Any) -> Any:
        # As an exception, it lets a run write down how far it came and clear up.
        signal.signal(signal.SIGTERM, lambda number, frame: stop(_TERMINATED, "stopped"))
        try:
            return command(*arguments, **options)
        except (click.ClickException, click.Abort, click.exceptions.Exit):
            raise
        except RacecalcError as error:
            stop(next(s for kind, s in _STATUSES.items() if isinstance(error, kind)), str(error))
        except KeyboardInterrupt:
            stop(_INTERRUPTED, "stopped")
        except BrokenPipeError:
            # The reader of our output left early, as `head` does.
            sys.stderr.close()
            sys.exit(SOME_FAILED)
        except OSError as error:
            stop(NOT_WRITTEN, f"{error.filename or 'a file'}: {error.strerror or error}")
        except Exception as error:
            if os.environ.get(_SHOW_FAULTS):
                raise
            fault = f"{type(error).__name__}: {' '.join(str(error).split())}"
            stop(
                SOME_FAILED,
                f"a fault in racecalc itself: {fault} (to see where: {_SHOW_FAULTS}=1)",
            )

    return run


def of_one_horse(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command what every report on one horse up to a day is asked with."""
    asked = (
        click.argument("book", type=BOOK),
        click.argument("horse"),
        click.option("--until", type=DAY, default="", help="The last day; else the newest."),
        click.option("--out", type=FOLDER, required=True, help="Where reports go."),
    )
    command = refusals(command)
    for one in reversed(asked):
        command = one(command)
    return command


def publish(files: dict[str, bytes], folder: Path, read: "Book") -> NoReturn:
    """Put a report into its folder, say where, and end."""
    from racecalc.report import run

    run.publish(files, folder)
    click.echo(folder)
    sys.exit(tell_of_problems(read))


@contextmanager
def alone(out: Path) -> Iterator[None]:
    """Keep out of a folder of reports while a night's run is at work in it."""
    from racecalc.overnight.lock import locked

    memory = out / ".racecalc"
    with locked(memory / "lock") if memory.is_dir() else nullcontext():
        yield


def read(book: Path) -> "Book":
    """Read a daybook."""
    from racecalc import daybook

    return daybook.read(book)


def read_beside(book: Path, out: Path) -> "Book":
    """Read a daybook, unless reports would be put into it."""
    keep_out_of(book, out)
    return read(book)


def keep_out_of(book: Path, out: Path) -> None:
    """Refuse to put reports into a daybook: nothing is ever written there."""
    folder, target = book.resolve(), out.resolve()
    if folder.is_dir() and (folder == target or folder in target.parents):
        raise click.BadParameter(
            f"{out} is in the daybook; name another folder", param_hint="--out"
        )


def tell_of_problems(book: "Book") -> int:
    """Print the errors of the book; return the status that they call for."""
    errors = [problem for problem in book.problems if problem.level == "error"]
    for problem in errors:
        click.echo(str(problem), err=True)
    return SOME_FAILED if errors else 0
