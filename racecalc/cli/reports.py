"""Commands that make one report: of a month, or of one thing."""

from datetime import date
from pathlib import Path
from typing import Any

import click

from racecalc.cli.asking import (
    BOOK,
    DAY,
    FOLDER,
    MONTH,
    alone,
    of_one_horse,
    publish,
    read_beside,
    refusals,
)

__all__ = [
    "body",
    "fitness",
    "gait",
    "load",
    "next_work",
    "pole_sheet",
    "report",
    "surface",
    "work_review",
]


@click.command()
@click.argument("book", type=BOOK)
@click.argument("horse")
@click.option("--month", type=MONTH, required=True, help="The month, for example 2026-10.")
@click.option("--out", type=FOLDER, required=True, help="Where reports go.")
@refusals
def report(book: Path, horse: str, month: str, out: Path) -> None:
    """Make one horse's report: HTML, PDF, JSON and the executed workbook.

    \b
    racecalc report my-barn larder-drizzle --month 2026-10 --out reports
    """
    from racecalc.report import single

    read = read_beside(book, out)
    made = single.month(read, horse, month)
    with alone(out):
        publish(made.files, out / month / horse, read)


@click.command("body")
@of_one_horse
def body(book: Path, horse: str, until: str, out: Path) -> None:
    """Report on one horse's body: height, weight, condition, vital signs, and what has changed.

    \b
    racecalc body my-barn larder-drizzle --out reports
    racecalc body my-barn larder-drizzle --until 2026-10-31 --out reports
    """
    _make_of_one_horse("body", book, horse, until, out)


@click.command("load")
@of_one_horse
def load(book: Path, horse: str, until: str, out: Path) -> None:
    """Report on one horse's load: how much ground, how fast, how often, and against its own past.

    \b
    racecalc load my-barn larder-drizzle --out reports
    racecalc load my-barn larder-drizzle --until 2026-10-31 --out reports
    """
    _make_of_one_horse("load", book, horse, until, out)


@click.command("fitness")
@of_one_horse
def fitness(book: Path, horse: str, until: str, out: Path) -> None:
    """Report on one horse's exercise tests: heart rate and lactate on speed, and its works.

    \b
    racecalc fitness my-barn larder-drizzle --out reports
    racecalc fitness my-barn larder-drizzle --until 2026-10-31 --out reports
    """
    _make_of_one_horse("fitness", book, horse, until, out)


@click.command("gait")
@of_one_horse
@click.option("--clip", default="", help="The clip to tell in full. [the newest]")
@click.option(
    "--fore-share",
    type=float,
    default=0.57,
    show_default=True,
    help="Of its weight on the fore feet, for the forces.",
)
def gait(book: Path, horse: str, until: str, out: Path, clip: str, fore_share: float) -> None:
    """Report on how one horse went in films of its feet: gait, strides, leads, and how sure.

    \b
    racecalc gait my-barn larder-drizzle --out reports
    racecalc gait my-barn larder-drizzle --clip LD-261028-turn --out reports
    """
    from racecalc.report import single

    read = read_beside(book, out)
    made = single.gait(read, horse, until, clip, fore_share)
    publish(made.files, out / "gait" / horse, read)


@click.command("next-work")
@of_one_horse
@click.option("--planned", type=DAY, default="", help="When you would work it. [as usual]")
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

    read = read_beside(book, out)
    publish(single.next_work(read, horse, asked).files, out / "next-work" / horse, read)


@click.command("surface")
@click.argument("book", type=BOOK)
@click.argument("track")
@click.option("--until", type=DAY, default="", help="The last day; else the newest.")
@click.option("--out", type=FOLDER, required=True, help="Where reports go.")
@refusals
def surface(book: Path, track: str, until: str, out: Path) -> None:
    """Report on one track: its log, how it dried, what that has meant, and the days ahead.

    \b
    racecalc surface my-barn thimble-marsh --out reports
    """
    from racecalc.report import single

    read = read_beside(book, out)
    publish(single.surface(read, track, until).files, out / "surface" / track, read)


@click.command("work-review")
@click.argument("book", type=BOOK)
@click.argument("work")
@click.option("--out", type=FOLDER, required=True, help="Where reports go.")
@refusals
def work_review(book: Path, work: str, out: Path) -> None:
    """Review one work: on its oval, pole by pole, and against the horse's own line.

    \b
    racecalc work-review my-barn LD-261028 --out reports
    """
    from racecalc.report import single

    read = read_beside(book, out)
    publish(single.work_review(read, work).files, out / "works" / work, read)


@click.command("pole-sheet")
@click.argument("book", type=BOOK)
@click.argument("track")
@click.option("--distance", required=True, help="Length of the work: 6 f, 1200 m.")
@click.option("--asked", required=True, help="Time of the work, 1:13, or pace, 12.2 s/f.")
@click.option("--start", default="", help="Pole where it begins, 3/4, or chute. [to the finish]")
@click.option("--horse", default="", help="Id of the horse that goes it.")
@click.option("--day", type=DAY, default="", help="The day, 2026-10-28. [today]")
@click.option("--tolerance", type=float, default=0.2, show_default=True, help="Seconds a furlong.")
@click.option("--run-up", default="", help="How far behind the start to turn. [1 f, or 200 m]")
@click.option("--off-rail", default="", help="How far from the rail it is run, 20 ft.")
@click.option("--out", type=FOLDER, required=True, help="Where the card goes.")
@refusals
def pole_sheet(book: Path, out: Path, **asked: Any) -> None:
    """Make the card for a work: where it begins, the poles, and the watch at each.

    \b
    racecalc pole-sheet my-barn thimble-marsh --distance "6 f" --asked 1:13 --out reports
    """
    from racecalc.report import single

    read = read_beside(book, out)
    asked["day"] = asked["day"] or date.today().isoformat()
    made = single.pole_sheet(read, asked)
    publish(made.files, out / "pole-sheets" / single.sheet_name(asked), read)


def _make_of_one_horse(kind: str, book: Path, horse: str, until: str, out: Path) -> None:
    from racecalc.report import single

    read = read_beside(book, out)
    make = {"body": single.body, "load": single.load, "fitness": single.fitness}[kind]
    publish(make(read, horse, until).files, out / kind / horse, read)
