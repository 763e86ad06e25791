"""The words of exercise tests: what was read, why something was not, and what it does not mean."""

from datetime import date

from racecalc.digest import (
    Asked,
    Digest,
    FitnessReport,
    FitnessTest,
    Number,
    SpeedClass,
    TestChanged,
    Threshold,
)
from racecalc.page import Masthead, Prose
from racecalc.words.grammar import capital, count_of, day_of, listed, number_word, pronouns
from racecalc.words.load import class_name
from racecalc.words.notes import places_left_out, remarks_kept_back
from racecalc.words.summary import masthead_until
from racecalc.words.works import NO_VALUE
from racecalc.words.written import figure_and_unit, written

__all__ = [
    "REPEATED_LACTATES",
    "STEADY_REMINDER",
    "THRESHOLD_NAMES",
    "asked_note",
    "bands_caption",
    "bands_words",
    "fitness_masthead",
    "fitness_missing",
    "fitness_notes",
    "fitness_summary",
    "heart_caption",
    "heart_words",
    "lactate_caption",
    "lactate_words",
    "over_in_words",
    "pace_between",
    "quickest_in_words",
    "test_changed",
    "test_sentence",
    "tests_note",
    "why_in_words",
]

THRESHOLD_NAMES = {
    "v4": "pace at 4 mmol/l",
    "v200": "pace at 200 beats",
    "v_peak": "pace at the highest heart rate",
}

STEADY_REMINDER = (
    "The pace at 4 mmol/l is a mark to compare tests of one horse by. It is not the quickest at "
    "which lactate stays steady: that was found at the speed at 2 mmol/l or below."
)

REPEATED_LACTATES = (
    "Lactates of repeated gallops at one speed were found to differ by 1.9 mmol/l on average"
)

# Distances are read exactly; a centimetre absorbs what floats leave.
_SAME_PLACE_M = 0.01

_WHY = {
    "few": "too few steps",
    "level": "no rise with speed",
    "outside": "not among the steps",
    "plateau": "levelled off before",
    "several": "passed more than once",
}
_WHY_PEAK = {"outside": "no levelling off seen"}


def pace_between(low: Number | None, high: Number | None, told: FitnessReport | Digest) -> str:
    """Write between which paces a threshold lies, the slower first: "16.8 to 16.1"."""
    if low is None or high is None:
        return ""
    slow, quick = (figure_and_unit(one, told.barn)[0] for one in (low, high))
    return slow if slow == quick else f"{slow} to {quick}"


def why_in_words(threshold: Threshold) -> str:
    """Write why a threshold could not be read; nothing where it was."""
    if threshold.why is None:
        return ""
    if threshold.what == "v_peak" and threshold.why in _WHY_PEAK:
        return _WHY_PEAK[threshold.why]
    return _WHY[threshold.why]


def test_changed(changed: TestChanged | None) -> str:
    """Write whether a change between tests is larger than their error."""
    if changed is None:
        return NO_VALUE
    return {True: "beyond the error", False: "within error", None: "error not known"}[changed.real]


def fitness_masthead(report: FitnessReport) -> Masthead:
    """Return the head of the report."""
    told = "What the exercise tests of {name} told {when}."
    return masthead_until(report.horse, report.barn, report.last, "exercise tests", told)


def fitness_summary(report: FitnessReport) -> Prose:
    """Return the sentences that carry the report."""
    newest = report.newest
    if newest is None:
        text = f"No exercise test of {report.horse.name} is on record."
        return Prose((text,), style="lead")
    sentences = (
        _tested(newest, report),
        test_sentence(newest, report),
        _changes(newest, report),
        _works(report),
    )
    return Prose((" ".join(text for text in sentences if text),), style="lead")


def _tested(test: FitnessTest, report: FitnessReport) -> str:
    name, on = report.horse.name, day_of(test.day, report.last)
    speeds = len({step.speed.value for step in test.steps})
    if not speeds:
        return f"Of {name} the recovery after exercise was noted on {on}."
    return f"On {on} {name} was tested at {count_of(speeds, 'speed')}."


def test_sentence(test: FitnessTest, told: FitnessReport | Digest) -> str:
    """Tell what a test read, with its interval, or why it did not."""
    if not test.steps:
        return ""
    their = pronouns(told.horse.sex).possessive
    ways = (
        (f"{their} blood reaches 4 mmol/l of lactate", test.v4),
        (f"{their} heart reaches 200 beats a minute", test.v200),
    )
    parts = [
        f"{words} at {written(one.pace, told.barn)}{_bracket(one, told)}"
        for words, one in ways
        if one.pace
    ]
    if not parts:
        return f"No speed could be read: {_all_reasons(test)}."
    return f"By the steps {listed(parts)}."


def _end(told: FitnessReport | Digest) -> date:
    return told.month.last if isinstance(told, Digest) else told.last


def _bracket(one: Threshold, told: FitnessReport | Digest) -> str:
    between = pace_between(one.low, one.high, told)
    outside = "a little beyond the steps" if one.reading.outside else ""
    inside = ", ".join(part for part in (between, outside) if part)
    return f" ({inside})" if inside else ""


def _all_reasons(test: FitnessTest) -> str:
    return f"of lactate, {why_in_words(test.v4)}; of heart rate, {why_in_words(test.v200)}"


def _changes(test: FitnessTest, report: FitnessReport) -> str:
    """Tell whether the heart's line has moved by more than tests of an unchanged horse do."""
    changed = test.v200.change
    if changed is None:
        return ""
    since = day_of(changed.since, report.last)
    they = pronouns(report.horse.sex)
    if not changed.real:
        return (
            f"Since the test of {since} the pace at 200 beats has not changed by more than tests "
            "of an unchanged horse may."
        )
    way = "quicker" if changed.difference.value < 0 else "slower"
    seconds = written(changed.difference, report.barn).lstrip("+−")
    return (
        f"At 200 beats {they.subject} is {seconds} {way} than on {since}: more than tests of an "
        "unchanged horse differ by."
    )


def _works(report: FitnessReport) -> str:
    """Tell how many of the works were quicker throughout than the paces of the test."""
    keys = [key for key in ("v4", "v200") if any(key in one.over for one in report.asked)]
    if not keys:
        return ""
    whole = sum(all(_throughout(one, key) for key in keys) for one in report.asked)
    count, when = len(report.asked), f"in the 30 days to {day_of(report.last)}"
    which = "both paces" if len(keys) == 2 else "that pace"
    if whole == count:
        all_of = {1: "the one work", 2: "both works"}.get(count, f"all {count_of(count, 'work')}")
        return f"{capital(all_of)} {when} went quicker than {which} throughout, as works do."
    some = "none" if not whole else number_word(whole)
    return f"Of {count_of(count, 'work')} {when}, {some} went quicker than {which} throughout."


def _throughout(one: Asked, key: str) -> bool:
    above = one.over[key].above
    return above is not None and abs(above.value - one.distance.value) < _SAME_PLACE_M


def quickest_in_words(
    one: Asked, classes: tuple[SpeedClass, ...], told: FitnessReport | Digest
) -> str:
    """Write how much of a work fell into the quickest class of speed that it held."""
    return f"{written(one.in_it, told.barn)} at {class_name(classes[one.quickest], told.barn)}"


def over_in_words(one: Asked, key: str, told: FitnessReport | Digest) -> str:
    """Write how much of a work lay above a threshold, and how much cannot be told."""
    over = one.over.get(key)
    if over is None:
        return NO_VALUE
    if over.above is None and over.at is None:
        return "none"
    above = written(over.above, told.barn) if over.above else "none"
    return f"{above}, {written(over.at, told.barn)} at it" if over.at else above


def asked_note(
    told: FitnessReport | Digest, classes: tuple[SpeedClass, ...], test: FitnessTest | None
) -> str:
    """Say what the columns mean."""
    they = pronouns(told.horse.sex)
    text = (
        "Went: as asked where the time lies among those to expect with that word, from "
        f"{they.possessive} works and the barn’s before that day; else quicker or slower, and the "
        "word to whose time it is nearest. Classes of speed part at "
        f"{listed([figure_and_unit(one.high, told.barn)[0] for one in classes if one.high])} s."
    )
    if test is None:
        return text
    return (
        f"{text} Past: ground quicker than the paces that the test of "
        f"{day_of(test.day, _end(told))} found, by more than their error."
    )


def heart_words(report: FitnessReport) -> str:
    """Describe the picture of heart rate on speed."""
    newest = report.newest
    if newest is None:
        return "No test."
    beats = [step.heart_rate.value for step in newest.steps if step.heart_rate]
    text = (
        f"Heart rate on speed in {count_of(len(beats), 'step')}, from {min(beats):.0f} to "
        f"{max(beats):.0f} a minute."
    )
    if newest.v200.pace:
        return f"{text} The line reaches 200 at {written(newest.v200.pace, report.barn)}."
    return f"{text} 200 was not read: {why_in_words(newest.v200)}."


def lactate_words(report: FitnessReport) -> str:
    """Describe the picture of lactate on speed."""
    newest = report.newest
    if newest is None:
        return "No test."
    values = [step.lactate for step in newest.steps if step.lactate]
    low, high = (f(values, key=lambda one: one.value) for f in (min, max))
    text = (
        f"Blood lactate on speed in {count_of(len(values), 'step')}, from "
        f"{written(low, report.barn)} to {written(high, report.barn)}."
    )
    if newest.v4.pace:
        return f"{text} 4 is reached at {written(newest.v4.pace, report.barn)}."
    return f"{text} 4 was not read: {why_in_words(newest.v4)}."


def heart_caption(report: FitnessReport) -> str:
    """Say what is drawn, and where the line ends."""
    return f"Beats a minute.{_drawn(report)}"


def lactate_caption(report: FitnessReport) -> str:
    """Say what is drawn, and how the speed was read."""
    return f"mmol/l.{_drawn(report)} 4 mmol/l is read between the two points next to it."


def _drawn(report: FitnessReport) -> str:
    newest = report.newest
    large = f" Large points: {day_of(newest.day, report.last)}." if newest else ""
    if len(report.tests) < 2:
        return large
    return f"{large} Small: the test before, {day_of(report.tests[-2].day, report.last)}."


def tests_note(report: FitnessReport) -> str:
    """Say how a test is judged against the one before."""
    return (
        "In brackets: the interval that holds it 95 times of 100. Speeds at 200 beats were found "
        "to repeat within 2 %, taken as one deviation. Of the pace at 4 mmol/l, and of recovery a "
        "minute after the fastest step, no repeatability in horses was found: whether these have "
        "changed cannot be told. Highest: of the steps, not of the horse."
    )


def bands_words(report: FitnessReport) -> str:
    """Describe the picture of works against thresholds."""
    count = count_of(len(report.asked), "work")
    parts = [
        f"{THRESHOLD_NAMES[key]}, {written(one.pace, report.barn)}"
        for key, one in _thresholds(report)
        if one.pace
    ]
    gallops = count_of(len(report.gallops), "gallop")
    return (
        f"The sections of {count}, and {gallops}, on a scale of pace, with bands at the "
        f"{listed(parts)}."
    )


def _thresholds(report: FitnessReport) -> list[tuple[str, Threshold]]:
    newest = report.newest
    return [] if newest is None else [("v4", newest.v4), ("v200", newest.v200)]


def bands_caption(report: FitnessReport) -> str:
    """Say what the dots and bands are."""
    return (
        "A dot for each section between clocked poles, its bar the error of the watch, and for "
        "each timed gallop as a whole; quicker is further right. Bands: where each pace lies. "
        f"{STEADY_REMINDER}"
    )


def fitness_notes(report: FitnessReport) -> Prose | None:
    """Explain how the speeds were read."""
    if not report.recorded:
        return None
    return Prose(
        (
            "Lactate rises in the blood as a horse goes faster. The pace at which it reaches "
            "4 mmol/l, and that at 200 heart beats, are marks to compare the tests of one horse "
            "by. Heart rate is taken to rise with speed on a straight line, where a levelling off "
            "shows up to there; it often does not show, and then the line is a little flat. "
            "Lactate is taken to rise exponentially between two steps. A speed is read only among "
            "the steps (of heart rate, a little beyond).",
            f"{REPEATED_LACTATES}; track, warming up, feed, air and the minute of sampling all "
            "move them.",
        ),
        title="How it was read",
        style="small",
    )


def fitness_missing(report: FitnessReport) -> Prose | None:
    """Say what could not be told, and which rows could not be used."""
    parts = []
    newest = report.newest
    if newest and not report.fresh:
        parts.append(
            f"The newest test, of {day_of(newest.day, report.last)}, is older than half a year: "
            "works are not held against it."
        )
    for what, one in (("4 mmol/l", newest and newest.v4), ("200 beats", newest and newest.v200)):
        if one and one.why:
            parts.append(f"The speed at {what} was not read: {why_in_words(one)}.")
    parts += places_left_out(report.left_out)
    parts += remarks_kept_back(report.withheld_notes)
    if not parts:
        return None
    return Prose(tuple(parts), title="What is missing", style="small", half=True, group="end")
