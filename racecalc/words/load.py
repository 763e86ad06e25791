"""The words of the load: how much ground, how fast, and how long since the last fast work."""

from racecalc.daybook import Barn
from racecalc.digest import Digest, Load, LoadReport, Number, SpeedClass, Week
from racecalc.page import Prose
from racecalc.words.grammar import capital, count_of, day_of, listed, number_word, pronouns
from racecalc.words.written import figure_and_unit, written
from racecalc.workload import CANTER_FROM_M_S

__all__ = [
    "DAY_NAMES",
    "class_name",
    "fast_line_caption",
    "fast_line_words",
    "load_note",
    "load_of",
    "load_sentences",
    "range_of",
    "week_in_words",
    "weeks_caption",
    "weeks_words",
]

# What stands under a week, the highest stroke first.
DAY_NAMES = {
    "race": "a race",
    "work": "a work",
    "test": "an exercise test",
    "gallop": "a gallop",
    "light": "a jog or canter",
    "other": "a walk, a swim or the treadmill",
    "off": "a day off",
    "blank": "no entry",
    "away": "not in the barn",
}
# Drawn as no stroke.
_WITHOUT_STROKE = ("blank", "away")


def load_of(told: Digest | LoadReport) -> Load:
    """Return the load that a month or a report on load tells of.

    Raises
    ------
    ValueError
        If it tells of none.
    """
    if told.load is None:
        raise ValueError("this month holds no load")
    return told.load


def class_name(speed: SpeedClass, barn: Barn) -> str:
    """Write seconds a furlong, or 200 m: "walk, jog", "14.37 to 12.98 s", "12.05 s or quicker"."""
    if speed.walked:
        return "walk, jog"
    low, high = (figure_and_unit(one, barn)[0] if one else "" for one in (speed.low, speed.high))
    # A class that begins where a canter does goes without its lower end.
    if high and (speed.low is None or speed.low.value == CANTER_FROM_M_S):
        return f"slower than {high} s"
    return f"{low} to {high} s" if high else f"{low} s or quicker"


def load_sentences(told: Digest | LoadReport) -> str:
    """Tell how long ago the last fast work was, and how the fast ground compares."""
    load = load_of(told)
    return f"{_since(told, load)} {_fast_ground(told, load)}"


def _since(told: Digest | LoadReport, load: Load) -> str:
    they = pronouns(told.horse.sex)
    when = f"On {day_of(load.last)}"
    if isinstance(told, Digest) and load.last == told.month.last:
        when = "At the end of the month"
    if load.since is None:
        return f"No fast work of {they.object} with a clock is on record."
    days = round(load.since.days.value)
    what = "race" if load.since.what == "race" else "fast work"
    on = day_of(load.since.day, load.last)
    if not days:
        return f"{capital(they.possessive)} last {what} was on {on}, the last day told of."
    return f"{when} it was {count_of(days, 'day')} since {they.possessive} last {what}, on {on}."


def _fast_ground(told: Digest | LoadReport, load: Load) -> str:
    """Tell the fast ground of 30 days, and what it was at the ends of the months before."""
    they, fast = pronouns(told.horse.sex), load.line[-1].fast
    far = written(fast, told.barn)
    quick = f"({written(told.fast_speed, told.barn)} or quicker)"
    text = (
        f"In the 30 days to {day_of(load.last)} {they.subject} covered {far} of fast ground {quick}"
    )
    if not fast.value:
        text = (
            f"In the 30 days to {day_of(load.last)} {they.subject} covered no fast ground {quick}"
        )
    if told.usual_fast is None:
        return f"{text}."
    months = number_word(told.usual_fast[0].n)
    usual = range_of(told.usual_fast, told.barn)
    return f"{text}; at the ends of the {months} months before it was {usual}."


def range_of(ends: tuple[Number, Number], barn: Barn) -> str:
    """Write "1.1 to 2.2 mi", with both units where they differ, or one value for both."""
    (low, unit), (high, other) = (figure_and_unit(number, barn) for number in ends)
    if (low, unit) == (high, other):
        return f"{low} {unit}".strip()
    if unit == other:
        return f"{low} to {high} {unit}".strip()
    return f"{f'{low} {unit}'.strip()} to {f'{high} {other}'.strip()}"


def weeks_words(told: Digest | LoadReport) -> str:
    """Describe the picture of the weeks: what is shown, the finding and the range."""
    load = load_of(told)
    weeks = load.weeks
    quick = [n for n, one in enumerate(load.classes) if one.fast]
    fast = [sum(week.ground[n].value for n in quick if n in week.ground) for week in weeks]
    text = (
        f"Bars for {number_word(len(weeks))} weeks to {day_of(load.last)}: fast ground by class of "
        "speed, and slower ground."
    )
    if not any(fast):
        return f"{text} No week held fast ground."
    most = weeks[fast.index(max(fast))]
    none = sum(not value for value in fast)
    text += f" Most fast ground in the week to {day_of(most.last)}"
    return f"{text}; {count_of(none, 'week')} held none." if none else f"{text}."


def week_in_words(week: Week, load: Load, barn: Barn) -> dict[int, str]:
    """Write what a bar stands for, by the number of its class."""
    days = f"{day_of(week.first)} to {day_of(week.last)}"
    return {
        n: f"{days}: {written(number, barn)}, {class_name(load.classes[n], barn)}"
        for n, number in week.ground.items()
    }


def weeks_caption(told: Digest | LoadReport) -> str:
    """Say what the strokes below the weeks mean."""
    load = load_of(told)
    shown = {day for week in load.weeks for day in week.days}
    named = [
        name for kind, name in DAY_NAMES.items() if kind in shown and kind not in _WITHOUT_STROKE
    ]
    return (
        f"Bars: weeks to the day below, {_a_furlong(told)}. Strokes: its days, the longest first: "
        f"{listed(named)}; without a stroke, no entry."
    )


def _a_furlong(told: Digest | LoadReport) -> str:
    return "seconds per 200 m" if told.barn.units == "metric" else "seconds a furlong"


def fast_line_words(told: Digest | LoadReport) -> str:
    """Describe the line of fast ground: what is shown, the newest and the range."""
    load, barn = load_of(told), told.barn
    values = [point.fast for point in load.line]
    low, high = (f(values, key=_value) for f in (min, max))
    return (
        "A line of fast ground in the 30 days to the end of each week: from "
        f"{written(low, barn)} to {written(high, barn)}; the newest, {written(values[-1], barn)}."
    )


def _value(number: Number) -> float:
    return number.value


def fast_line_caption(told: Digest | LoadReport) -> str | None:
    """Say what the band and the dotted line are, and what the line is not."""
    load = load_of(told)
    their = pronouns(told.horse.sex).possessive
    band = ""
    if told.usual_fast is not None:
        band = f"Band: {their} range at the ends of the months before. "
    if load.published is None:
        return band.strip() or None
    return (
        f"{band}Dotted: {written(load.published, told.barn)}, of which a study of 1,178 "
        "racehorses found more fractures when there was much canter as well. Other studies found "
        "the opposite, so it is no limit for one horse."
    )


def load_note(told: Digest | LoadReport) -> Prose | None:
    """Return the sentences of the load as a paragraph, where there is any."""
    if told.load is None:
        return None
    return Prose((load_sentences(told),), title="Load")
