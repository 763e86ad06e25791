"""The words that stand in and beside pictures and tables."""

from racecalc.digest import (
    Digest,
    Footing,
    Number,
    TrackLog,
)
from racecalc.words.grammar import capital, count_of, day_of, listed, ordinal, pronouns
from racecalc.words.summary import month_name
from racecalc.words.works import NO_VALUE
from racecalc.words.written import figure_and_unit, written

__all__ = [
    "ACTIVITY_NAMES",
    "ASIDE_NAMES",
    "BEST_STATES",
    "GROUP_NAMES",
    "SPEED_NAMES",
    "between",
    "footing_days",
    "month_picture_caption",
    "month_picture_words",
    "track_note",
    "usual_in_words",
    "usual_note",
    "works_note",
]

GROUP_NAMES = {
    "work": "work or race, with galloping out",
    "gallop": "gallop",
    "jog": "jog or canter",
}
# Short enough for one day of the picture.
ASIDE_NAMES = {"walk": "walk", "swim": "swim", "treadmill": "belt", "turnout": "out"}
ACTIVITY_NAMES = {
    "work": "works, the timed distance",
    "gallop_out": "galloping out after works",
    "race": "races",
    "gallop": "gallop",
    "canter": "canter",
    "jog": "jog",
    "walk": "walk",
    "swim": "swim",
    "treadmill": "treadmill",
    "turnout": "turnout",
}
SPEED_NAMES = {
    "fast": "of all this, at fast speed",
    "slower": "slower than that",
    "untimed": "without a time",
}
# The best footing of each surface goes without saying.
BEST_STATES = ("fast", "firm", None)
_NO_BARS = {"walk": "walking", "swim": "swimming", "treadmill": "the treadmill"}


def month_picture_words(digest: Digest) -> str:
    """Describe the picture of the month: what is shown, the finding and the range."""
    they = pronouns(digest.horse.sex)
    shown = {group for day in digest.days for group in day.ground}
    groups = [name for group, name in GROUP_NAMES.items() if group in shown]
    parts = [
        f"Bars for each day of {month_name(digest)} show the ground covered: {listed(groups)}.",
        f"{capital(they.subject)} was out on {count_of(round(digest.days_out.value), 'day')}.",
    ]
    if digest.works:
        days = list(dict.fromkeys(f"the {ordinal(work.day.day)}" for work in digest.works))
        parts.append(f"{capital(count_of(len(digest.works), 'work'))}, on {listed(days)}.")
    wet = [day for day in digest.days if day.rain and day.rain.value]
    if wet:
        parts.append(f"Rain on {count_of(len(wet), 'day')} hangs below the line.")
    return " ".join(parts)


def month_picture_caption(digest: Digest) -> str | None:
    """Say what has no bars, what the marks mean, and of which track those below tell."""
    parts = []
    without = [name for activity, name in _NO_BARS.items() if activity in _done(digest)]
    if without:
        verb = "has" if len(without) == 1 else "have"
        parts.append(f"{capital(listed(without))} {verb} no bars.")
    if any(day.aside == "treadmill" for day in digest.days):
        parts.append("Belt: treadmill.")
    where = f" at {digest.home_track}" if digest.home_track else ""
    if any(day.rain and day.rain.value for day in digest.days):
        wet = any(day.state not in BEST_STATES for day in digest.days)
        footing = f", and the footing{where} when not at its best" if wet else where
        parts.append(f"Below the line: rain since the entry before{footing}.")
    elif any(day.state not in BEST_STATES for day in digest.days):
        parts.append(f"Below the line: the footing{where} when not at its best.")
    return " ".join(parts) or None


def _done(digest: Digest) -> set[str | None]:
    return {*digest.ground[0].by_activity, *(day.aside for day in digest.days)}


def usual_in_words(digest: Digest) -> str:
    """Write how fast ground compares with the range of the months before."""
    if digest.usual_fast is None:
        return "too few months to compare"
    low, high = digest.usual_fast
    fast = digest.ground[2].by_speed["fast"].value
    place = "above" if fast > high.value else "below" if fast < low.value else "within"
    their = pronouns(digest.horse.sex).possessive
    (first, unit), (last, other) = (figure_and_unit(number, digest.barn) for number in (low, high))
    if (first, unit) == (last, other):
        return f"{their} usual: {written(low, digest.barn)}"
    if not low.value:
        return f"{place} {their} usual, at most {written(high, digest.barn)}"
    if unit and unit != other:
        first = f"{first} {unit}"
    return f"{place} {their} usual {first} to {last}"


def works_note(digest: Digest) -> str | None:
    """Say how far the times can be trusted, and what bold means; nothing where none was timed."""
    if not any(work.time for work in digest.works):
        return None
    text = (
        "A furlong (f) is an eighth of a mile. Breezing: not urged; handily: asked a little. "
        f"Timed by hand: times within {written(digest.clock_error, digest.barn)} of each other "
        "count as alike."
    )
    if any(work.stand for work in digest.works):
        their = pronouns(digest.horse.sex).possessive
        text += (
            f" Expected: of {_object(digest)}, 95 in 100, from {their} works and the barn’s before "
            "that day."
        )
        if any(work.stand and work.stand.margin for work in digest.works):
            text += f" Bold: outside that{_margins(digest)}."
    return text


def _object(digest: Digest) -> str:
    return pronouns(digest.horse.sex).object


def _margins(digest: Digest) -> str:
    """Write by how much times lay from what was expected in the middle."""
    found = [(work, work.stand) for work in digest.works if work.stand]
    parts = [
        f"{written(stand.margin, digest.barn)} {stand.verdict} than expected on the "
        f"{ordinal(work.day.day)}"
        for work, stand in found
        if stand.margin
    ]
    return f", {listed(parts)}" if parts else ""


def usual_note(digest: Digest) -> str:
    """Write the usual range of fast ground as a sentence, or nothing where it is not known."""
    if digest.usual_fast is None:
        return ""
    low, high = (written(number, digest.barn) for number in digest.usual_fast)
    their = capital(pronouns(digest.horse.sex).possessive)
    return f" {their} usual in 30 days: {low if low == high else f'{low} to {high}'}."


def footing_days(footing: Footing) -> str:
    """Write "3" for one day, "6 to 8" for several."""
    first, last = footing.first.day, footing.last.day
    return str(first) if first == last else f"{first} to {last}"


def between(low_high: tuple[Number, Number] | None, digest: Digest) -> str:
    """Write "8 to 11 %", or one value where both are printed alike; a dash where none is known."""
    if low_high is None:
        return NO_VALUE
    (low, unit), (high, _) = (figure_and_unit(number, digest.barn) for number in low_high)
    return f"{low} {unit}" if low == high else f"{low} to {high} {unit}"


def track_note(track: TrackLog, digest: Digest) -> str:
    """Say what a track is, what rain it had, what was done to it, and what was remarked."""
    kind = f"A lap of {written(track.lap, digest.barn)}, {track.surface}."
    rain = f"Rain in all: {written(track.rain, digest.barn)}." if track.rain else ""
    upkeep = "; ".join(
        f"{word}: {written(number, digest.barn)}"
        for word, number in track.upkeep.items()
        if word != "none"
    )
    care = f"Days {upkeep}." if upkeep else ""
    remarks = " ".join(f"{day_of(day)}: {note.rstrip('.')}." for day, note in track.notes)
    return " ".join(part for part in (kind, rain, care, remarks) if part)
