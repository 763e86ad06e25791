"""Tables and key figures of a month."""

from datetime import timedelta
from itertools import islice

from racecalc.digest import Digest, Ground, Measure, Number, Target, Work
from racecalc.notation import typeset
from racecalc.page import Cell, Column, Figure, KeyFigures, Several, Table
from racecalc.tables.body import measure_figure
from racecalc.words import (
    ACTIVITY_NAMES,
    NO_VALUE,
    SPEED_NAMES,
    capital,
    count_of,
    day_of,
    figure_and_unit,
    next_note,
    next_work_in_words,
    number_word,
    pronouns,
    section_span,
    sections_title,
    short_day,
    usual_in_words,
    usual_note,
    work_kind,
    works_note,
    written,
)

__all__ = [
    "ground",
    "key_figures",
    "splits",
    "what_next",
    "works",
]

_FIGURES = 4

# An older reading is no news of the month; it stands in the table below.
_RECENT = timedelta(days=31)


def key_figures(digest: Digest) -> KeyFigures | None:
    """Return up to four figures, each with what it is compared with; none for an empty month."""
    if not digest.recorded:
        return None
    found = (
        _works_figure(digest),
        _fast_figure(digest),
        _recent(digest, digest.height),
        _recent(digest, digest.weight),
        _days_figure(digest),
    )
    return KeyFigures(tuple(islice((figure for figure in found if figure), _FIGURES)))


def works(digest: Digest) -> Table | None:
    """Return the month's works, one row each."""
    if not digest.works:
        return None
    metric = digest.barn.units == "metric"
    their = pronouns(digest.horse.sex).possessive
    line = any(work.stand for work in digest.works)
    columns = [
        Column("day"),
        Column("distance"),
        Column("time", "right"),
        *([Column("expected", "right")] if line else []),
        Column("a furlong", "right"),
        Column("km/h" if metric else "mph", "right"),
        Column("how"),
        Column("where, and the footing"),
    ]
    return Table(
        columns=tuple(columns),
        rows=tuple(_work_row(work, digest, line) for work in digest.works),
        title=f"{capital(their)} works",
        note=works_note(digest),
    )


def splits(digest: Digest) -> Several:
    """Return a table for each work that was clocked at its poles, one row for each section."""
    return Several(
        tuple(_splits_table(work, digest) for work in digest.works if work.sections or work.loose)
    )


def _splits_table(work: Work, digest: Digest) -> Table:
    rows = [
        (
            section_span(work, index),
            section.colour or NO_VALUE,
            written(section.time, digest.barn),
            written(section.clock, digest.barn),
        )
        for index, section in enumerate(work.sections)
    ]
    rows += [
        (
            f"at {typeset(one.pole)}",
            one.colour or NO_VALUE,
            NO_VALUE,
            written(one.clock, digest.barn),
        )
        for one in work.loose
    ]
    return Table(
        (Column("from and to"), Column("pole"), Column("split", "right"), Column("watch", "right")),
        tuple(rows),
        title=sections_title(work, digest.barn),
        half=True,
        group="splits",
    )


def ground(digest: Digest) -> Table | None:
    """Return ground by activity and by speed: this month, last month, 30 days.

    There is none for a month of which nothing was recorded.
    """
    if not digest.recorded or not any(span.by_activity for span in digest.ground):
        return None
    month, last_month, _ = digest.ground
    columns = (
        Column("ground"),
        Column(f"{month.first:%B}", "right", strong=True),
        Column(f"{last_month.first:%B}", "right"),
        Column(f"30 days to {day_of(month.last)}", "right"),
    )
    rows = [
        _ground_row(name, activity, digest, "by_activity")
        for activity, name in ACTIVITY_NAMES.items()
        if any(activity in span.by_activity for span in digest.ground)
    ]
    rows += [
        _ground_row(name, speed_class, digest, "by_speed")
        for speed_class, name in SPEED_NAMES.items()
        # That no ground is without a speed goes without saying.
        if speed_class != "untimed" or any(s.by_speed["untimed"].value for s in digest.ground)
    ]
    return Table(
        columns,
        tuple(rows),
        title="Ground covered",
        note=f"Fast: {written(digest.fast_speed, digest.barn)} or quicker, section by section "
        "where a work was clocked at the poles. Works count their timed distance; galloping "
        f"out stands apart. Above {written(digest.fast_limit, digest.barn)} of it in 30 days the "
        f"barn looks closer: a setting, no safe limit.{usual_note(digest)}",
    )


def what_next(digest: Digest) -> Table | None:
    """Return the next fast work as proposed, and the races that the horse is aimed at."""
    if not digest.targets and digest.next_work is None:
        return None
    ahead = digest.next_work
    rows = (
        [(ahead.best, f"next fast work, as proposed: {next_work_in_words(digest)}")]
        if ahead
        else []
    )
    rows += [(target.day, f"race aimed at: {_race(target, digest)}") for target in digest.targets]
    return Table(
        (Column("day"), Column("what")),
        tuple((day_of(day, digest.month.last), what) for day, what in sorted(rows)),
        title="What comes next",
        note=next_note(digest),
        half=True,
        group="newest",
    )


def _race(target: Target, digest: Digest) -> str:
    parts = (written(target.distance, digest.barn), target.track, target.what, target.note)
    return ", ".join(part for part in parts if part)


def _works_figure(digest: Digest) -> Figure | None:
    count = round(digest.works_month.count.value)
    last = round(digest.works_last_month.count.value)
    if not count and not last:
        return None
    month = f"{digest.ground[1].first:%B}"
    before = f"{count_of(last, 'work')} in {month}"
    if last:
        before += f", {written(digest.works_last_month.distance, digest.barn)}"
    return Figure(
        value=str(count),
        unit="work" if count == 1 else "works",
        label=_works_label(digest) if count else "none against the watch",
        compare=before,
    )


def _works_label(digest: Digest) -> str:
    far = written(digest.works_month.distance, digest.barn)
    return f"{far} {'against the watch' if all(work.time for work in digest.works) else 'in all'}"


def _fast_figure(digest: Digest) -> Figure | None:
    fast = digest.ground[2].by_speed["fast"]
    if not fast.value:
        return None
    value, unit = figure_and_unit(fast, digest.barn)
    return Figure(value, unit, "fast ground in 30 days", usual_in_words(digest))


def _recent(digest: Digest, measure: Measure | None) -> Figure | None:
    if measure is None or measure.day < digest.month.first - _RECENT:
        return None
    return measure_figure(measure, digest)


def _days_figure(digest: Digest) -> Figure | None:
    out = round(digest.days_out.value)
    off, blank = round(digest.days_off.value), round(digest.days_blank.value)
    if blank == len(digest.days):
        return None
    rest = f"{number_word(off) if off else 'none'} off"
    if blank:
        rest += f", {number_word(blank)} without an entry"
    return Figure(str(out), "day" if out == 1 else "days", "out of the stall to exercise", rest)


def _work_row(work: Work, digest: Digest, line: bool) -> tuple[str | Cell, ...]:
    barn = digest.barn
    time = written(work.time, barn) if work.time else "no clock"
    return (
        short_day(work.day),
        written(work.distance, barn),
        Cell(time) if work.stand and work.stand.margin else time,
        *([_line(work, digest)] if line else []),
        figure_and_unit(work.pace, barn)[0] if work.pace else NO_VALUE,
        figure_and_unit(work.speed, barn)[0] if work.speed else NO_VALUE,
        work_kind(work),
        f"{work.track}, {work.state}" if work.state else work.track,
    )


def _line(work: Work, digest: Digest) -> str:
    """Write the times that were to be expected of a work."""
    if work.stand is None:
        return NO_VALUE
    return f"{written(work.stand.low, digest.barn)}–{written(work.stand.high, digest.barn)}"


def _ground_row(name: str, key: str, digest: Digest, basis: str) -> tuple[str | Cell, ...]:
    def text(span: Ground) -> str:
        number: Number | None = getattr(span, basis).get(key)
        return written(number, digest.barn) if number else NO_VALUE

    return (name, *(text(span) for span in digest.ground))
