"""Tables and key figures of what was measured on a horse."""

from racecalc.digest import (
    BodyReport,
    Compared,
    Measure,
    Number,
    TapeWeight,
    Trend,
    Vital,
)
from racecalc.page import Cell, Column, Figure, KeyFigures, Table
from racecalc.words import (
    MEASURE_NAMES,
    NEED_NAMES,
    NO_VALUE,
    Told,
    brief_day,
    capital,
    count_of,
    day_of,
    energy_note,
    figure_and_unit,
    formula_basis,
    formula_name,
    growth_note,
    how_taken,
    last_of,
    off_in_words,
    off_note,
    pronouns,
    score_in_words,
    tape_note,
    verdict,
    vitals_note,
    written,
)

__all__ = [
    "body_figures",
    "changes",
    "energy",
    "growth",
    "measure_figure",
    "measurements",
    "off_days",
    "tape_weights",
    "trends",
    "vitals",
]

_FIGURES = 4


def measure_figure(measure: Measure, told: Told) -> Figure:
    """Return a measurement set large, with what it is compared with."""
    value, unit = figure_and_unit(measure.latest, told.barn)
    if measure.what == "condition":
        unit = "of 9, condition"
    how = how_taken(measure.method, measure.shod, measure.adjusted)
    label = day_of(measure.day, last_of(told))
    if measure.what != "condition":
        label = f"{how}, {label}"
    return Figure(value, unit, label, _compared(measure, told))


def _compared(measure: Measure, told: Told) -> str:
    against = measure.against
    if against is None:
        return "nothing earlier to compare"
    growth = measure.what == "height"
    since = f"{against.since:%b %Y}" if growth else brief_day(against.since, last_of(told))
    change = written(against.change, told.barn)
    return f"{change} since {since}, {verdict(against)}"


def _range(low: Number, high: Number, told: Told) -> str:
    return f"{figure_and_unit(low, told.barn)[0]} to {written(high, told.barn)}"


def body_figures(report: BodyReport) -> KeyFigures | None:
    """Return up to four figures: height, weight, condition, and the usual temperature."""
    found = [
        measure_figure(line.measure, report)
        for line in report.lines
        if line.measure.what in ("height", "weight", "condition")
    ]
    found += [_vital_figure(vital, report) for vital in report.vitals if vital.low]
    return KeyFigures(tuple(found[:_FIGURES])) if found else None


def _vital_figure(vital: Vital, told: Told) -> Figure:
    value, unit = figure_and_unit(vital.usual or vital.latest, told.barn)
    since = day_of(vital.first, last_of(told))
    days = count_of(len(vital.off_days), "day")
    off = f"{days} off normal since {since}"
    return Figure(value, unit, f"the usual {vital.what}", off)


def measurements(told: Told) -> Table | None:
    """Return the newest of each measurement with what it is compared with."""
    if isinstance(told, BodyReport):
        found = [line.measure for line in told.lines]
    else:
        found = [measure for measure in (told.height, told.weight, told.condition) if measure]
    if not found:
        return None
    columns = (
        Column("measured"),
        Column("how"),
        Column("newest", "right", strong=True),
        Column("on"),
        Column("change", "right"),
        Column("since"),
        Column("beyond the error?"),
    )
    rows = tuple(_measure_row(measure, told) for measure in found)
    scored = next((measure for measure in found if measure.what == "condition"), None)
    note = (
        f"Condition {written(scored.latest, told.barn)} is {score_in_words(scored)}."
        if scored
        else None
    )
    return Table(columns, rows, title="What was measured", note=note)


def _measure_row(measure: Measure, told: Told) -> tuple[str | Cell, ...]:
    change, since, real = NO_VALUE, NO_VALUE, "nothing earlier to compare"
    if measure.against:
        change = written(measure.against.change, told.barn)
        since = day_of(measure.against.since, last_of(told))
        real = _answer(measure.against, told)
    seen = measure.what == "condition"
    return (
        MEASURE_NAMES[measure.what],
        "by eye and hand" if seen else how_taken(measure.method, measure.shod, measure.adjusted),
        written(measure.latest, told.barn),
        day_of(measure.day, last_of(told)),
        change,
        since,
        real,
    )


def _answer(against: Compared, told: Told) -> str:
    """Answer whether a change is real, with the limit."""
    limit = written(against.noise, told.barn) if against.noise else ""
    if against.real is None:
        return "measured too coarsely to tell" if against.coarse else "the error is not known"
    return f"yes, more than {limit}" if against.real else f"no, within {limit}"


def changes(report: BodyReport) -> Table | None:
    """Return each newest reading against one of a month, three months and a year before."""
    rows = tuple(
        (
            MEASURE_NAMES[line.measure.what] if number == 0 else "",
            brief_day(against.since, report.last),
            written(against.change, report.barn),
            written(against.noise, report.barn) if against.noise else NO_VALUE,
            _yes_or_no(against),
        )
        for line in report.lines
        for number, (_, against) in enumerate(line.spans)
    )
    if not rows:
        return None
    columns = (
        Column("newest reading"),
        Column("against"),
        Column("change", "right", strong=True),
        Column("error", "right"),
        Column("real?"),
    )
    return Table(
        columns,
        rows,
        title="Is the change real?",
        note="Error: by how much two readings of an unchanged horse may differ, 95 in 100.",
        half=True,
        group="changes",
    )


def _yes_or_no(against: Compared) -> str:
    if against.real is None:
        return "too coarse" if against.coarse else "not known"
    return "yes" if against.real else "no"


def trends(report: BodyReport) -> Table | None:
    """Return where the readings of some weeks went together, with intervals."""
    measures = [line.measure for line in report.lines]
    found = [(measure, measure.trend) for measure in measures if measure.trend]
    if not found:
        return None
    columns = (
        Column("measured"),
        Column("since"),
        Column("line", "right", strong=True),
        Column("95 in 100", "right"),
        Column("rate", "right"),
        Column("real?"),
    )
    rows = tuple(_trend_row(measure, trend, report) for measure, trend in found)
    return Table(
        columns,
        rows,
        title="Steady trends",
        note="The median of the slopes between all pairs of readings: one odd reading does not "
        "bend it. Real: the interval leaves out zero, and the line changed by more than two "
        "readings differ.",
    )


def _trend_row(measure: Measure, trend: Trend, report: BodyReport) -> tuple[str | Cell, ...]:
    barn = report.barn
    return (
        f"{MEASURE_NAMES[measure.what]}, {written(trend.count, barn)} readings",
        day_of(trend.first, report.last),
        written(trend.total, barn),
        _range(trend.low, trend.high, report),
        f"{written(trend.rate, barn)} a {'year' if trend.by_year else 'month'}"
        if trend.rate
        else NO_VALUE,
        {True: "yes", False: "no", None: "not to tell"}[trend.real],
    )


def vitals(told: Told) -> Table | None:
    """Return temperature and pulse: the horse's own normal first, the published range second."""
    found = _vitals_of(told)
    if not found:
        return None
    columns = (
        Column("measured"),
        Column("readings", "right"),
        Column("newest", "right", strong=True),
        Column("usual", "right"),
        Column(f"{pronouns(told.horse.sex).possessive} own normal", "right"),
        Column("published", "right"),
        Column("days off normal", "right"),
    )
    rows = tuple(_vital_row(vital, told) for vital in found)
    return Table(columns, rows, title="Temperature and pulse", note=vitals_note(told))


def _vitals_of(told: Told) -> list[Vital]:
    if isinstance(told, BodyReport):
        return list(told.vitals)
    return [vital for vital in (told.temperature, told.pulse) if vital]


def _vital_row(vital: Vital, told: Told) -> tuple[str | Cell, ...]:
    barn = told.barn
    own = "too few readings"
    if vital.low and vital.high:
        own = _range(vital.low, vital.high, told)
    return (
        vital.what,
        written(vital.count, barn),
        written(vital.latest, barn),
        written(vital.usual, barn) if vital.usual and vital.low else NO_VALUE,
        own,
        f"up to {written(vital.published, barn)}",
        str(len(vital.off_days)) if vital.off else "none",
    )


def off_days(told: Told) -> Table | None:
    """Return the days on which temperature or pulse was off the horse's normal."""
    rows = tuple(
        (
            day_of(one.day, last_of(told)),
            vital.what,
            written(one.number, told.barn),
            off_in_words(one),
        )
        for vital in _vitals_of(told)
        for one in vital.off
    )
    if not rows:
        return None
    columns = (
        Column("day"),
        Column("measured"),
        Column("reading", "right", strong=True),
        Column("where it lies"),
    )
    return Table(columns, rows, title="Days off normal", note=off_note())


def growth(report: BodyReport) -> Table | None:
    """Return how far a growing horse is, on average, and the height that promises."""
    found = report.growth
    if found is None:
        return None
    barn, their = report.barn, pronouns(report.horse.sex).possessive
    low, high = found.height
    rows = [
        ("age", written(found.age, barn)),
        ("of mature weight, on average", written(found.weight, barn)),
        (
            "of mature height, on average",
            _range(low, high, report),
        ),
    ]
    if found.mature:
        least, middle, most = found.mature
        rows += [
            (f"{their} mature height, if growth keeps to that", written(middle, barn)),
            (
                "and where it may end, with all that is unsure",
                _range(least, most, report),
            ),
        ]
    return Table(
        (Column("growing"), Column("", "right", strong=True)),
        tuple(rows),
        title=f"{capital(their)} growth",
        note=growth_note(report),
        half=True,
        group="size",
    )


def tape_weights(report: BodyReport) -> Table | None:
    """Return the weights that girth and length give by published formulas."""
    if not report.tape_weights:
        return None
    columns = (
        Column("formula"),
        Column("weight", "right", strong=True),
        Column("95 in 100", "right"),
        Column("made from"),
    )
    rows = tuple(_tape_row(one, report) for one in report.tape_weights)
    return Table(columns, rows, title="Weight from girth and length", note=tape_note(report))


def _tape_row(one: TapeWeight, report: BodyReport) -> tuple[str | Cell, ...]:
    reach = NO_VALUE
    if one.low and one.high:
        reach = _range(one.low, one.high, report)
    return (formula_name(one.key), written(one.weight, report.barn), reach, formula_basis(one.key))


def energy(report: BodyReport) -> Table | None:
    """Return the digestible energy a day that the newest weight needs, by class of work."""
    if report.energy is None:
        return None
    rows = tuple(
        (NEED_NAMES[need], written(number, report.barn))
        for need, number in report.energy.needs.items()
    )
    return Table(
        (Column("class"), Column("energy a day", "right", strong=True)),
        rows,
        title="Energy to talk over",
        note=energy_note(report),
        half=True,
        group="size",
    )
