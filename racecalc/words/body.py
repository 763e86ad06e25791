"""The words of what was measured on a horse: is the change real, and how was it measured."""

from datetime import date, timedelta

from racecalc import units
from racecalc.digest import (
    BodyReport,
    Compared,
    Digest,
    LoadReport,
    Measure,
    Number,
    OffDay,
    Swing,
    Trend,
    Vital,
)
from racecalc.words.grammar import (
    capital,
    chosen,
    count_of,
    day_of,
    listed,
    ordinal,
    pronouns,
)
from racecalc.words.written import figure_and_unit, written

__all__ = [
    "MEASURE_NAMES",
    "SCORES",
    "Told",
    "change_in_words",
    "how_taken",
    "last_of",
    "measure_caption",
    "measure_picture_words",
    "measure_sentences",
    "measures_explained",
    "off_days_sentence",
    "off_in_words",
    "score_in_words",
    "trend_in_words",
    "verdict",
    "vital_caption",
    "vital_picture_words",
]

Told = Digest | BodyReport

MEASURE_NAMES = {
    "height": "height",
    "weight": "weight",
    "condition": "condition",
    "girth": "girth",
    "length": "length",
    "cannon": "cannon bone",
    "temperature": "temperature",
    "pulse": "pulse",
}

# What the scores of body condition mean: fat that is seen and felt, not muscle.
SCORES = {
    1: "poor: every bone stands out, no fat to feel",
    2: "very thin: ribs, hips and tailhead stand out",
    3: "thin: ribs seen, a little fat over them",
    4: "moderately thin: a faint outline of ribs",
    5: "moderate: back level, ribs felt and not seen",
    6: "moderately fleshy: ribs spongy, tailhead soft",
    7: "fleshy: fat felt between the ribs",
    8: "fat: ribs hard to feel, neck thick",
    9: "very fat: a crease down the back, bulging fat",
}

_METHODS = {
    "stick": "by stick",
    "laser": "by laser",
    "scale": "on the scale",
    "tape": "by tape",
    "estimate": "by eye",
}

# Measured by tape with few exceptions, so that the way is named only where it is another.
_SPOKEN = ("weight", "height", "condition")

# Printed to the quarter, anything below this is an inch or part of one.
_ABOVE_ONE_INCH = 1.125

# An older reading is no news in a body report; from so many years on a horse is grown.
_NEWS = timedelta(days=92)
_GROWN_YEARS = 6

# More days off normal than this are counted, not named.
_NAMED_DAYS = 3


def last_of(told: Told | LoadReport) -> date:
    """Return the last day that a report tells of."""
    return told.month.last if isinstance(told, Digest) else told.last


def how_taken(method: str | None, shod: bool | None, adjusted: bool = False) -> str:
    """Write how a reading was taken: "barefoot, by stick", "on the scale"."""
    shoes = "shod, less shoes" if adjusted else {True: "shod", False: "barefoot", None: ""}[shod]
    method = _METHODS.get(method or "", "")
    return ", ".join(part for part in (shoes, method) if part) or "method not noted"


def verdict(against: Compared) -> str:
    """Write whether a change is larger than the error of measuring."""
    if against.coarse:
        return "too coarse to tell"
    return {True: "beyond the error", False: "within error", None: "error not known"}[against.real]


def measure_sentences(told: Told) -> str:
    """Tell first what has changed, then what has not, then what cannot be told.

    A reading of an earlier month is no news of this one.
    """
    changed, others = [], []
    for measure in _newly_taken(told):
        against = measure.against
        if against and against.real:
            changed.append(_CHANGED[measure.what](measure, against, told))
        elif measure.swing:
            changed.append(_swung(measure, measure.swing, told))
        elif measure.trend and measure.trend.real and measure.what == "weight":
            changed.append(_drifted(measure, measure.trend, told))
        elif measure.what != "condition":
            others.append(_unchanged(measure, told))
    return " ".join([*changed, *others])


def _newly_taken(told: Told) -> list[Measure]:
    if isinstance(told, BodyReport):
        since = told.last - _NEWS
        measures = [line.measure for line in told.lines]
        return [one for one in measures if one.what in _SPOKEN and one.day >= since]
    found = (told.weight, told.height, told.condition)
    return [measure for measure in found if measure and measure.day >= told.month.first]


def _may_grow(told: Told) -> bool:
    born = told.horse.foaled_year
    return born is None or last_of(told).year - born < _GROWN_YEARS


def _weight_changed(weight: Measure, against: Compared, told: Told) -> str:
    they = pronouns(told.horse.sex)
    moved, more = ("lost", "less") if against.change.value < 0 else ("gained", "more")
    latest, by = written(weight.latest, told.barn), change_in_words(against.change, told)
    since, limit = _since(weight, against, told), _limit(against, told)
    ways = (
        f"{capital(they.subject)} weighs {latest} and has {moved} {by} since {since}; weighings of "
        f"an unchanged horse differ by up to {limit}.",
        f"At {latest} {they.subject} weighs {by} {more} than on {since}, and weighings of an "
        f"unchanged horse differ by up to {limit}.",
    )
    return _varied(ways, weight, told)


def _height_changed(height: Measure, against: Compared, told: Told) -> str:
    they, since = pronouns(told.horse.sex), _since(height, against, told)
    latest, by = written(height.latest, told.barn), change_in_words(against.change, told)
    if against.change.value < 0 or not _may_grow(told):
        way = "less" if against.change.value < 0 else "more"
        return (
            f"{capital(they.possessive)} height reads {by} {way} than in {since}; a horse does not "
            "shrink, nor a grown one grow, so one of the two readings wants repeating."
        )
    return (
        f"{capital(they.subject)} stands {latest}, {by} taller than in {since}; readings by stick "
        f"can differ by {_limit(against, told)}, so this is growth."
    )


def _condition_changed(score: Measure, against: Compared, told: Told) -> str:
    their = capital(pronouns(told.horse.sex).possessive)
    moved = "down" if against.change.value < 0 else "up"
    return (
        f"{their} condition is scored {written(score.latest, told.barn)}, {moved} "
        f"{change_in_words(against.change, told)} since {_since(score, against, told)}."
    )


_CHANGED = {
    "weight": _weight_changed,
    "height": _height_changed,
    "condition": _condition_changed,
}


def _swung(measure: Measure, swing: Swing, told: Told) -> str:
    they = pronouns(told.horse.sex)
    moved = "fell" if swing.change.value < 0 else "rose"
    by = change_in_words(swing.change, told)
    return (
        f"{capital(they.possessive)} {measure.what} {moved} by {by} to the "
        f"{ordinal(swing.day.day)}; by the {ordinal(measure.day.day)} it was back to what it was."
    )


def _drifted(measure: Measure, trend: Trend, told: Told) -> str:
    they = pronouns(told.horse.sex)
    moved = "down" if trend.total.value < 0 else "up"
    return (
        f"{capital(they.possessive)} {measure.what} has gone {moved} little by little, by about "
        f"{change_in_words(trend.total, told)} since {day_of(trend.first, last_of(told))}: more "
        "than single readings differ by."
    )


def _unchanged(measure: Measure, told: Told) -> str:
    """Tell of a measurement that shows no change, or of which no change can be told."""
    they, against = pronouns(told.horse.sex), measure.against
    latest = written(measure.latest, told.barn)
    does = "weighs" if measure.what == "weight" else "stands"
    if against is None:
        return f"{capital(they.subject)} {does} {latest}; there is nothing earlier to compare."
    if against.coarse:
        how = how_taken(measure.method, measure.shod, measure.adjusted)
        return (
            f"{capital(they.possessive)} {measure.what}, {latest} {how}, is measured too roughly "
            "to tell a change."
        )
    if against.real is None:
        return (
            f"{capital(they.subject)} {does} {latest}; too few readings to know how far they err, "
            "so no change is called."
        )
    return _steady(measure, against, told)


def _steady(measure: Measure, against: Compared, told: Told) -> str:
    they, since = pronouns(told.horse.sex), _since(measure, against, told)
    latest = written(measure.latest, told.barn)
    subject, their = capital(they.subject), capital(they.possessive)
    ways: tuple[str, ...]
    if measure.what == "height":
        ways = (
            f"{subject} stands {latest}, the same as in {since} as far as a stick can tell.",
            f"{their} height, {latest}, has not changed since {since}.",
        )
    else:
        limit = _limit(against, told)
        ways = (
            f"{subject} weighs {latest}, no real change since {since}: weighings differ by up to "
            f"{limit}.",
            f"{their} weight holds at {latest}: the change since {since} is within the {limit} by "
            "which weighings differ.",
            f"At {latest}, {they.possessive} weight is where it was on {since}, give or take the "
            f"{limit} between weighings.",
        )
    return _varied(ways, measure, told)


def _varied(ways: tuple[str, ...], measure: Measure, told: Told) -> str:
    """Pick one way of saying it: the same for the same horse and month, varied over the barn."""
    return chosen(f"{told.horse.id} {last_of(told):%Y-%m} {measure.what}", ways)


def _limit(against: Compared, told: Told) -> str:
    return written(against.noise, told.barn) if against.noise else "error"


def change_in_words(change: Number, told: Told) -> str:
    """Write the size of a change: "29 lb", "½ inch", "1½ inches", "one point"."""
    figure, unit = figure_and_unit(change, told.barn)
    figure = figure.lstrip("+\N{MINUS SIGN}")
    if unit == "in":
        unit = "inch" if abs(float(units.inches(change.value))) < _ABOVE_ONE_INCH else "inches"
    return f"{figure} {unit}"


def _since(measure: Measure, against: Compared, told: Told) -> str:
    """Write the day for what changes in weeks, the month for height: growth is slow."""
    last = last_of(told)
    if measure.what != "height":
        return day_of(against.since, last)
    same_year = against.since.year == last.year
    return f"{against.since:%B}" if same_year else f"{against.since:%B %Y}"


def off_days_sentence(told: Told, vitals: tuple[Vital | None, ...]) -> str:
    """Tell of days on which temperature or pulse was off the horse's normal: the vet's to judge."""
    their = pronouns(told.horse.sex).possessive
    sentences = []
    for vital in vitals:
        if vital is None or not vital.off:
            continue
        # Of a day with several readings the last stands for it.
        by_day = {one.day: one for one in vital.off}
        days = [
            f"{day_of(day, last_of(told))} ({written(one.number, told.barn)})"
            for day, one in by_day.items()
        ]
        when = listed(days) if len(days) <= _NAMED_DAYS else count_of(len(days), "day")
        since = "" if vital.is_off else ", and within it since"
        sentences.append(
            f"{capital(their)} {vital.what} was off {their} normal on {when}{since}. A reading off "
            "normal is a reason to call the veterinarian, who alone can say what it means."
        )
    return " ".join(sentences)


def off_in_words(one: OffDay) -> str:
    """Write where a reading lies: "above the published range"."""
    of = ["the horse’s own normal"] if one.own else []
    of += ["the published range"] if one.published else []
    return f"{one.side} {listed(of)}"


def score_in_words(scored: Measure) -> str:
    """Write what a score of condition means; a half point lies between two."""
    low = int(scored.latest.value)
    if scored.latest.value == low:
        return SCORES[low]
    names = (SCORES[score].partition(":")[0] for score in (low, low + 1))
    return f"between {' and '.join(names)}"


def trend_in_words(trend: Trend, told: Told) -> str:
    """Write where the readings of some weeks went together, with the interval and the verdict."""
    barn = told.barn
    low, high = figure_and_unit(trend.low, barn)[0], written(trend.high, barn)
    sure = {
        True: "a change beyond the error",
        False: "no change beyond the error",
        None: "no verdict, as the error is not known or too large",
    }[trend.real]
    return (
        f"A line through the {written(trend.count, barn)} readings since "
        f"{day_of(trend.first, last_of(told))} changes by {written(trend.total, barn)} "
        f"({low} to {high}): {sure}."
    )


def measure_caption(measure: Measure, told: Told, marks: str = "") -> str:
    """Say what the band is, what the marks are, and where the readings went together."""
    parts = ["Large: the newest reading."]
    against = measure.against
    if against and against.noise:
        parts.append(
            f"Readings inside the band, {written(against.noise, told.barn)} either way, are no "
            f"different from that of {day_of(against.since, last_of(told))}."
        )
    # Growth follows no line, so that one is told of in the tables of a body report only.
    if measure.trend and measure.what != "height":
        parts.append(trend_in_words(measure.trend, told))
    if any(reading.adjusted for reading in measure.readings):
        parts.append("Heights with shoes are lowered by what shoes add.")
    if len({reading.method for reading in measure.readings}) > 1:
        parts.append("Each way of measuring has its own mark and line; they are never joined.")
    return " ".join([*parts, marks]).strip()


def measure_picture_words(measure: Measure, told: Told) -> str:
    """Describe the picture of a measurement: what is shown, the finding and the range."""
    first, last = measure.readings[0], measure.readings[-1]
    values = sorted(measure.readings, key=lambda reading: reading.number.value)
    low, high = (written(reading.number, told.barn) for reading in (values[0], values[-1]))
    begin, end = f"{first.day:%B %Y}", f"{last.day:%B %Y}"
    span = f"in {begin}" if begin == end else f"from {begin} to {end}"
    found = ""
    if measure.against:
        since = day_of(measure.against.since, last_of(told))
        change = written(measure.against.change, told.barn)
        found = f" Change since {since}: {change}, {verdict(measure.against)}."
    return (
        f"{capital(MEASURE_NAMES[measure.what])} over time, {len(measure.readings)} "
        f"readings {span}, between {low} and {high}; the newest is "
        f"{written(measure.latest, told.barn)}.{found}"
    )


def vital_picture_words(vital: Vital, told: Told) -> str:
    """Describe the picture of temperature or pulse: what is shown, the finding and the range."""
    values = sorted(vital.readings, key=lambda reading: reading.number.value)
    low, high = (written(reading.number, told.barn) for reading in (values[0], values[-1]))
    off = f"{count_of(len(vital.off), 'reading')} off normal"
    return (
        f"{capital(vital.what)}, {written(vital.count, told.barn)} readings to "
        f"{day_of(vital.day, last_of(told))}, between {low} and {high}; {off}."
    )


def vital_caption(vital: Vital) -> str:
    """Say what the band and the marks are."""
    parts = []
    if vital.low:
        parts.append("Band: the horse’s own normal.")
    if vital.off:
        parts.append("Large: off normal.")
    return " ".join(parts) or "Too few readings to know what is normal."


def measures_explained(told: Told, measures: list[Measure]) -> list[str]:
    """Say how a change is judged, from which error, and that no weight is for dosing."""
    parts = []
    if measures:
        parts.append(
            "A change is called real only where it is larger than readings of an unchanged horse "
            f"differ by.{_errors(told, measures)} A real change may still be unimportant. Scale "
            "and tape are kept apart."
        )
    if any(measure.what == "weight" for measure in measures):
        parts.append(
            "Weight moves by a percent or more with feed and water in a day. No weight here is "
            "for dosing."
        )
    return parts


def _errors(told: Told, measures: list[Measure]) -> str:
    """Say where the error of each measurement is from."""
    they = pronouns(told.horse.sex).possessive
    own = [measure for measure in measures if measure.own]
    published = [m for m in measures if not m.own and m.against and m.against.noise]
    text = ""
    if own:
        said = [
            f"{they} {written(measure.own, told.barn)} readings of {MEASURE_NAMES[measure.what]}"
            for measure in own
            if measure.own
        ]
        text += f" That is learned from {listed(said)}."
    named = [m for m in published if m.what != "condition"]
    if named:
        text += f" For {listed([MEASURE_NAMES[m.what] for m in named])} it is a published error."
    return text
