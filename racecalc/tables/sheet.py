"""Figures and tables of a pole sheet: the orders, the watch at the poles, the leads."""

from racecalc.digest import Call, Place, PoleSheet
from racecalc.page import Column, Figure, KeyFigures, Table
from racecalc.words import (
    as_asked_words,
    back_up_words,
    break_off_words,
    capital,
    end_words,
    lead_change,
    tidy_pole,
    written,
)

__all__ = ["calls", "leads", "orders", "quarters"]

_FIGURES = 4
_MOST_WITH_QUARTERS = 6
# A line to write on.
_TO_WRITE = "……"


def orders(sheet: PoleSheet) -> KeyFigures:
    """Return what a rider has to know, large: back up, break off, end, the time asked."""
    back, back_colour, what = back_up_words(sheet)
    start, start_colour, there, where = break_off_words(sheet)
    end, end_colour, past = end_words(sheet)
    behind = f"{written(sheet.run_up, sheet.barn)} or more behind the start"
    return KeyFigures(
        (
            Figure(back, back_colour, what, behind if sheet.back_up else ""),
            Figure(start, start_colour, there, where),
            Figure(end, end_colour, "the work ends", past),
            Figure(written(sheet.time, sheet.barn), "", "asked", as_asked_words(sheet)),
        )
    )


def quarters(sheet: PoleSheet) -> KeyFigures | None:
    """Return the watch at the quarter poles, large; nothing without one, or on a long way."""
    marks = [call for call in sheet.calls if call.place.colour == "red"]
    # A card is one page: with many poles the table alone has room.
    if not marks or len(sheet.calls) > _MOST_WITH_QUARTERS:
        return None
    return KeyFigures(
        tuple(
            Figure(
                written(call.watch, sheet.barn),
                "",
                f"at {tidy_pole(call.place, sheet.plan.course)}, {call.place.colour}",
                f"{written(call.early, sheet.barn)} to {written(call.late, sheet.barn)}",
            )
            for call in marks[-_FIGURES:]
        )
    )


def calls(sheet: PoleSheet) -> Table:
    """Return the poles on the way, one row each, and room to write what the watch said."""
    columns = [
        Column("pole"),
        Column("watch", "right", strong=True),
        Column("from", "right"),
        Column("to", "right"),
        Column("clocked", "right"),
    ]
    rows = [_row(call, sheet) for call in sheet.calls]
    title = "The watch at the poles"
    return Table(tuple(columns), tuple(rows), title=title, half=True, group="card")


def _row(call: Call, sheet: PoleSheet) -> tuple[str, ...]:
    barn, place = sheet.barn, call.place
    return (
        _named(place, sheet),
        written(call.watch, barn),
        written(call.early, barn),
        written(call.late, barn),
        _TO_WRITE,
    )


def _named(place: Place, sheet: PoleSheet) -> str:
    """Write a pole and its colour: "¾, red"."""
    if place.pole == "end":
        return "end"
    pole = tidy_pole(place, sheet.plan.course)
    return f"{pole}, {place.colour}" if place.colour else pole


def leads(sheet: PoleSheet) -> Table | None:
    """Return where turns and straights begin on the way, and the lead usually taken there."""
    if not sheet.leads:
        return None
    rows = tuple(
        (capital(change.part), lead_change(change, sheet), change.lead) for change in sheet.leads
    )
    return Table(
        (Column("begins"), Column("where"), Column("lead", strong=True)),
        rows,
        title="Where the leads change",
        note="Leads, tolerance and run-up are common practice, not rules.",
        half=True,
        group="card",
    )
