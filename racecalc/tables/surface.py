"""Tables of a track: what the drying index has meant, how well it foretold, and the days ahead."""

from collections.abc import Callable

from racecalc.digest import Digest, NextWork, Number, OutlookDay, SurfaceReport, TrackLog
from racecalc.page import Column, Several, Table
from racecalc.words import (
    NO_VALUE,
    air_note,
    between,
    check_note,
    edges_note,
    footing_days,
    log_head,
    outlook_note,
    rain_in_words,
    short_day,
    track_note,
    written,
)

__all__ = ["air", "checks", "edges", "outlook", "surface"]

_AIR: dict[str, Callable[[OutlookDay], Number | None]] = {
    "coldest": lambda day: day.coldest,
    "wind chill then": lambda day: day.air.wind_chill,
    "warmest": lambda day: day.warmest,
    "°F + % then": lambda day: day.air.sum_of_heat,
    "heat index": lambda day: day.air.heat_index,
    "WBGT, shade": lambda day: day.air.wbgt_shade,
    "WBGT, sun": lambda day: day.air.wbgt_sun,
}
_NARROW = 3
# A column for each method of measuring that occurs.
_MOISTURES = {"volume": "moisture, volume", "mass": "moisture, mass", "": "moisture"}


def surface(told: Digest | SurfaceReport) -> Several:
    """Return the footing at each track that is told of, day by day in runs."""
    return Several(tuple(_log(track, told) for track in told.tracks))


def _log(track: TrackLog, told: Digest | SurfaceReport) -> Table:
    barn = told.barn
    shown = {
        "rain": any(footing.rain for footing in track.footing),
        **{
            head: any(method in footing.moisture for footing in track.footing)
            for method, head in _MOISTURES.items()
        },
        "cushion": any(footing.cushion for footing in track.footing),
    }
    rows = []
    for footing in track.footing:
        texts = {
            "rain": written(footing.rain, barn) if footing.rain else NO_VALUE,
            **{
                head: between(footing.moisture.get(method), told)
                for method, head in _MOISTURES.items()
            },
            "cushion": between(footing.cushion, told),
        }
        row = (footing_days(footing, told), footing.state or NO_VALUE)
        rows.append(row + tuple(texts[name] for name, on in shown.items() if on))
    columns = [Column(log_head(told)), Column("footing")]
    columns += [Column(name, "right") for name, on in shown.items() if on]
    return Table(
        tuple(columns),
        tuple(rows),
        title="The log" if isinstance(told, SurfaceReport) else track.name,
        note=track_note(track, told),
        half=len(told.tracks) > 1,
        group="tracks",
    )


def edges(report: SurfaceReport) -> Table | None:
    """Return the drying index below which each word or a wetter one is the likelier."""
    if not report.edges:
        return None
    rows = tuple(
        (
            edge.word,
            written(edge.learned, report.barn),
            written(edge.default, report.barn),
            written(edge.entries, report.barn),
        )
        for edge in report.edges
    )
    return Table(
        (
            Column("word"),
            Column("index under", "right"),
            Column("our default", "right"),
            Column("entries", "right"),
        ),
        rows,
        title="What the drying index has meant here",
        note=edges_note(report),
        half=True,
        group="learned",
    )


def checks(report: SurfaceReport) -> Table | None:
    """Return chances that were stated before the word was known, by class, and what came."""
    if report.checked is None:
        return None
    rows = tuple(
        (
            f"{row.low} to {row.high} %",
            written(row.days, report.barn),
            written(row.stated, report.barn),
            written(row.came, report.barn),
        )
        for row in report.checked.rows
    )
    return Table(
        (
            Column("chance stated"),
            Column("days", "right"),
            Column("stated, mean", "right"),
            Column("came", "right"),
        ),
        rows,
        title="Chances that it is too wet, and what came",
        note=check_note(report),
        half=True,
        group="learned",
    )


def outlook(report: SurfaceReport) -> Table | None:
    """Return the footing to expect on the days ahead, word by word; none where nothing is known."""
    if not any(day.words or day.rain_chance for day in report.outlook.days):
        return None
    barn = report.barn
    words = list(dict.fromkeys(word for day in report.ahead for word in day.words))
    wet = any(day.bad for day in report.outlook.days)
    rows = tuple(
        (
            short_day(day.day),
            rain_in_words(day, report),
            *(written(on.words[word], barn) if word in on.words else NO_VALUE for word in words),
            *((written(day.bad, barn) if day.bad else NO_VALUE,) if wet else ()),
        )
        for day, on in zip(report.outlook.days, report.ahead, strict=True)
    )
    return Table(
        (
            Column("day"),
            Column("rain"),
            *(Column(word, "right") for word in words),
            *((Column("too wet", "right"),) if wet else ()),
        ),
        rows,
        title="The days ahead",
        note=outlook_note(report),
    )


def air(told: NextWork | SurfaceReport) -> Table | None:
    """Return heat and cold of the days that the forecast tells of, what of it says anything."""
    ahead = told.outlook.days if told.outlook else ()
    days = [day for day in ahead if day.warmest or day.coldest]
    shown = {
        head: [get(day) for day in days]
        for head, get in _AIR.items()
        if any(get(day) for day in days)
    }
    if not shown:
        return None
    rows = tuple(
        (
            short_day(day.day),
            *(
                written(number, told.barn) if number else NO_VALUE
                for number in (column[at] for column in shown.values())
            ),
        )
        for at, day in enumerate(days)
    )
    return Table(
        (Column("day"), *(Column(head, "right") for head in shown)),
        rows,
        title="Heat and cold, by the forecast",
        note=air_note(any(day.air.wbgt_sun for day in days)),
        half=len(shown) <= _NARROW,
        group="air",
    )
