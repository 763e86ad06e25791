"""Tables and key figures of exercise tests, and of what was asked of works."""

from racecalc.digest import Asked, Digest, FitnessReport, FitnessTest, Number, SpeedClass, Threshold
from racecalc.page import Cell, Column, Figure, KeyFigures, Table
from racecalc.words import (
    NO_VALUE,
    STEADY_REMINDER,
    THRESHOLD_NAMES,
    asked_note,
    brief_day,
    capital,
    day_of,
    figure_and_unit,
    over_in_words,
    pace_between,
    quickest_in_words,
    short_day,
    test_changed,
    tests_note,
    why_in_words,
    written,
)

__all__ = ["asked", "fitness_figures", "month_test", "steps", "tests"]

_ABOVE = {"v4": "past 4 mmol/l", "v200": "past 200 beats"}


def fitness_figures(report: FitnessReport) -> KeyFigures | None:
    """Return the speeds of the newest test and the recovery after it."""
    newest = report.newest
    if newest is None:
        return None
    found = [
        _threshold_figure(one, one.pace, report)
        for one in (newest.v4, newest.v200, newest.v_peak)
        if one.pace
    ]
    if newest.recovery:
        change = "one test with it"
        if newest.recovery_change:
            since = brief_day(report.tests[-2].day, report.last)
            change = f"{figure_and_unit(newest.recovery_change, report.barn)[0]} since {since}"
        value, _ = figure_and_unit(newest.recovery, report.barn)
        found.append(Figure(value, "beats", "a minute after the last step", change))
    return KeyFigures(tuple(found)) if found else None


def _threshold_figure(one: Threshold, pace: Number, report: FitnessReport) -> Figure:
    value, unit = figure_and_unit(pace, report.barn)
    compare = "the first that could be read"
    if one.change:
        verdict = "alike within error" if one.change.real is False else test_changed(one.change)
        compare = f"{written(one.change.difference, report.barn)}: {verdict}"
    return Figure(value, unit, THRESHOLD_NAMES[one.what], compare)


def steps(report: FitnessReport) -> Table | None:
    """Return the steps of the newest test."""
    newest = report.newest
    if newest is None or not (newest.steps or newest.recovered):
        return None
    rows = [
        (
            f"step {step.name}",
            written(step.speed, report.barn),
            figure_and_unit(step.heart_rate, report.barn)[0] if step.heart_rate else NO_VALUE,
            figure_and_unit(step.lactate, report.barn)[0] if step.lactate else NO_VALUE,
        )
        for step in newest.steps
    ]
    rows += [
        (
            f"{one.minutes:g} min after the fastest",
            NO_VALUE,
            figure_and_unit(one.beats, report.barn)[0],
            NO_VALUE,
        )
        for one in newest.recovered
    ]
    return Table(
        (
            Column(""),
            Column("speed", "right"),
            Column("beats a minute", "right"),
            Column("lactate, mmol/l", "right"),
        ),
        tuple(rows),
        title=f"The test of {day_of(newest.day, report.last)}",
    )


def month_test(digest: Digest) -> Table | None:
    """Return what the newest exercise test read, each beside the test before it."""
    test = digest.test
    if test is None:
        return None
    rows = [
        (_threshold_name(one, digest), _read(one, digest), _since(one, digest))
        for one in (test.v4, test.v200)
    ]
    if test.recovery:
        beats = written(test.recovery, digest.barn)
        changed = test.recovery_change
        rows.append(
            (
                "Heart a minute after",
                beats,
                written(changed, digest.barn) if changed else NO_VALUE,
            )
        )
    return Table(
        (Column(""), Column("now", "right"), Column("since the test before")),
        tuple(rows),
        title=f"The exercise test of {day_of(test.day, digest.month.last)}",
        note=STEADY_REMINDER,
        half=True,
        group="test",
    )


def _threshold_name(one: Threshold, digest: Digest) -> str:
    """Write "Pace at 200 beats, s a furlong"."""
    name = capital(THRESHOLD_NAMES[one.what])
    return f"{name}, {figure_and_unit(one.pace, digest.barn)[1]}" if one.pace else name


def tests(report: FitnessReport) -> Table | None:
    """Return every test beside the one before it, the newest first."""
    if not report.tests:
        return None
    rows = tuple(_test_row(test, report) for test in reversed(report.tests))
    return Table(
        (
            Column("day"),
            Column("pace at 4 mmol/l", "right"),
            Column("since the test before"),
            Column("pace at 200 beats", "right"),
            Column("since the test before"),
            Column("highest seen", "right"),
            Column("recovery", "right"),
        ),
        rows,
        title="Test by test",
        note=tests_note(report),
    )


def _test_row(test: FitnessTest, report: FitnessReport) -> tuple[str | Cell, ...]:
    cells: list[str | Cell] = [brief_day(test.day, report.last)]
    for one in (test.v4, test.v200):
        cells += [_read(one, report), _since(one, report)]
    return (*cells, _peak(test, report), _recovery(test, report))


def _peak(test: FitnessTest, report: FitnessReport) -> str:
    """Write the highest heart rate, and the pace at which the line reaches it."""
    if test.peak is None:
        return NO_VALUE
    beats = figure_and_unit(test.peak, report.barn)[0]
    pace = test.v_peak.pace
    return f"{beats} at {figure_and_unit(pace, report.barn)[0]}" if pace else beats


def _recovery(test: FitnessTest, report: FitnessReport) -> str:
    """Write the heart rate a minute after, and by how much it differs from the test before."""
    if test.recovery is None:
        return NO_VALUE
    beats = figure_and_unit(test.recovery, report.barn)[0]
    changed = test.recovery_change
    return f"{beats} ({figure_and_unit(changed, report.barn)[0]})" if changed else beats


def _read(one: Threshold, report: FitnessReport | Digest) -> str:
    if one.pace is None:
        return why_in_words(one)
    between = pace_between(one.low, one.high, report)
    figure = figure_and_unit(one.pace, report.barn)[0]
    if one.reading.outside:
        figure = f"{figure} beyond the steps"
    return f"{figure} ({between})" if between else figure


def _since(one: Threshold, report: FitnessReport | Digest) -> str | Cell:
    if one.change is None:
        return NO_VALUE
    difference = written(one.change.difference, report.barn)
    if one.change.limit is None:
        return f"{difference}, {test_changed(one.change)}"
    limit = figure_and_unit(one.change.limit, report.barn)[0]
    text = f"{difference}, {'beyond' if one.change.real else 'within'} {limit}"
    return Cell(text) if one.change.real else text


def asked(told: FitnessReport | Digest) -> Table | None:
    """Return what was asked of each timed work, and what it was."""
    found, classes, test = _asked_of(told)
    if not found:
        return None
    keys = [key for key in ("v4", "v200") if any(key in one.over for one in found)]
    rows = tuple(_asked_row(one, keys, classes, told) for one in found)
    columns = [Column("day"), Column("work"), Column("asked"), Column("went")]
    columns.append(Column("at its quickest"))
    columns += [Column(_ABOVE[key]) for key in keys]
    return Table(
        tuple(columns),
        rows,
        title="Asked and done",
        note=asked_note(told, classes, test if keys else None),
    )


def _asked_of(
    told: FitnessReport | Digest,
) -> tuple[tuple[Asked, ...], tuple[SpeedClass, ...], FitnessTest | None]:
    if isinstance(told, FitnessReport):
        return told.asked, told.classes, told.newest
    return told.asked, told.load.classes if told.load else (), told.test


def _asked_row(
    one: Asked, keys: list[str], classes: tuple[SpeedClass, ...], told: FitnessReport | Digest
) -> tuple[str | Cell, ...]:
    day = short_day(one.day) if isinstance(told, Digest) else brief_day(one.day, told.last)
    return (
        day,
        f"{written(one.distance, told.barn)} in {written(one.time, told.barn)}",
        one.effort or "not noted",
        _like(one),
        quickest_in_words(one, classes, told),
        *(over_in_words(one, key, told) for key in keys),
    )


def _like(one: Asked) -> str | Cell:
    """Write which effort a work was like, where it was not as asked by more than works differ."""
    if one.nearest is None or one.verdict is None:
        return NO_VALUE
    if not one.effort:
        return NO_VALUE
    if one.verdict == "as expected":
        return "as asked"
    return Cell(one.verdict if one.nearest == one.effort else f"{one.verdict}, near {one.nearest}")
