"""Tables and key figures of the load."""

from racecalc import workload
from racecalc.digest import Digest, LoadReport, LoadSpan, Usual
from racecalc.page import Cell, Column, Figure, KeyFigures, Table
from racecalc.sources import brief
from racecalc.words import (
    NO_VALUE,
    USUAL_NAMES,
    class_name,
    day_of,
    figure_and_unit,
    load_of,
    pronouns,
    range_of,
    speeds_note,
    studies_note,
    usual_place,
    usual_range,
    usuals_note,
    written,
)

__all__ = ["load_figures", "speeds", "studies", "usuals"]


def load_figures(report: LoadReport) -> KeyFigures | None:
    """Return up to four figures, each with what it is compared with."""
    if report.load is None:
        return None
    since, barn = report.load.since, report.barn
    found = []
    if since:
        days = round(since.days.value)
        what = "a race" if since.what == "race" else "a work"
        found.append(
            Figure(
                str(days),
                "day" if days == 1 else "days",
                "since the last fast work",
                f"{what} on {day_of(since.day, report.last)}",
            )
        )
    value, unit = figure_and_unit(report.load.line[-1].fast, barn)
    usual = "too few months to compare"
    if report.usual_fast:
        usual = f"months before: {range_of(report.usual_fast, barn)}"
    found.append(Figure(value, unit, "fast ground in 30 days", usual))
    named = {"week": "at canter and quicker in 7 days", "works": "timed works in 60 days"}
    for one in report.usuals:
        if one.what in named:
            value, unit = figure_and_unit(one.now, barn)
            found.append(Figure(value, unit, named[one.what], _compared(one, report)))
    return KeyFigures(tuple(found))


def _compared(usual: Usual, report: LoadReport) -> str:
    if usual.barn:
        return f"middle half of the barn: {range_of(usual.barn, report.barn)}"
    return f"usual: {usual_range(usual, report)}" if usual.low else "too few weeks to compare"


def speeds(told: Digest | LoadReport) -> Table | None:
    """Return ground by class of speed over 7, 30 and 60 days."""
    if told.load is None:
        return None
    load = load_of(told)
    rows = tuple(
        (class_name(one, told.barn), *(_ground(span, n, told) for span in load.spans))
        for n, one in enumerate(load.classes)
    )
    if any(span.unknown for span in load.spans):
        unknown = (written(s.unknown, told.barn) if s.unknown else "none" for s in load.spans)
        rows += (("no time", *unknown),)
    heads = [f"{(span.last - span.first).days + 1} days" for span in load.spans]
    return Table(
        (
            Column("200 m in" if told.barn.units == "metric" else "a furlong in"),
            *(Column(head, "right") for head in heads),
        ),
        rows,
        title=f"Ground by speed, to {day_of(load.last)}",
        note=speeds_note(told),
        half=True,
        group="load",
    )


def _ground(span: LoadSpan, number: int, told: Digest | LoadReport) -> str:
    metres = span.ground.get(number)
    return written(metres, told.barn) if metres else "none"


def usuals(report: LoadReport) -> Table | None:
    """Return the figures of the last day against the horse's own past and the barn."""
    if not report.usuals:
        return None
    their = pronouns(report.horse.sex).possessive
    rows = tuple(
        (
            USUAL_NAMES[one.what],
            Cell(written(one.now, report.barn)),
            usual_range(one, report),
            usual_place(one) if one.low else NO_VALUE,
            range_of(one.barn, report.barn) if one.barn else NO_VALUE,
        )
        for one in report.usuals
    )
    return Table(
        (
            Column(f"to {day_of(report.last)}"),
            Column("now", "right"),
            Column(f"{their} usual", "right"),
            Column("now is"),
            Column("the barn", "right"),
        ),
        rows,
        title=f"Against {their} own past, and the barn",
        note=usuals_note(report),
    )


def studies(report: LoadReport) -> Table | None:
    """Return what studies counted, and which way they point."""
    if report.load is None:
        return None
    rows = tuple(
        (brief(one.key).partition(",")[0], one.more, f"{one.counted}, {one.over}; {one.horses}")
        for one in workload.STUDIES
    )
    return Table(
        (Column("study"), Column("with more of it"), Column("what was counted, and in whom")),
        rows,
        title="What studies found, and how they differ",
        note=studies_note(report),
    )
