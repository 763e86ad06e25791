"""Tables of a pole sheet: the poles with the watch, and where the leads change."""

from racecalc.digest import Call, Place, PoleSheet
from racecalc.page import Column, Table
from racecalc.words import (
    capital,
    lead_change,
    tidy_pole,
    written,
)

__all__ = ["calls", "leads"]


def calls(sheet: PoleSheet) -> Table:
    """Return the poles on the way, one row each: where they stand, and the watch there."""
    columns = [
        Column("pole"),
        Column("watch", "right", strong=True),
        Column("not before", "right"),
        Column("not after", "right"),
    ]
    rows = [_row(call, sheet) for call in sheet.calls]
    title = "The watch at each pole"
    return Table(tuple(columns), tuple(rows), title=title, half=True, group="card")


def _row(call: Call, sheet: PoleSheet) -> tuple[str, ...]:
    barn, place = sheet.barn, call.place
    return (
        _named(place, sheet),
        written(call.watch, barn),
        written(call.early, barn),
        written(call.late, barn),
    )


def _named(place: Place, sheet: PoleSheet) -> str:
    """Write a pole and its colour: "¾, red"."""
    if place.pole == "end":
        return "end"
    pole = tidy_pole(place, sheet.plan.course.lap_m)
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
