"""The words that stand in and beside pictures and tables."""

from racecalc.digest import (
    Digest,
    Footing,
    Number,
    SurfaceReport,
    TrackLog,
)
from racecalc.words.grammar import (
    brief_day,
    capital,
    count_of,
    day_of,
    listed,
    number_word,
    ordinal,
    pronouns,
)
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
    "log_head",
    "month_picture_caption",
    "month_picture_words",
    "next_note",
    "next_work_in_words",
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


def next_work_in_words(digest: Digest) -> str:
    """Tell of the footing on the day proposed for the next fast work, and of the days after it."""
    ahead = digest.next_work
    if ahead is None:
        return ""
    parts = [ahead.track] if ahead.track else []
    if ahead.bad:
        chance = written(ahead.bad, digest.barn)
        by = "by the forecast" if ahead.basis == "forecast" else "by the log"
        parts.append(f"chance that it is too wet: {chance}, {by}")
    if ahead.fall_backs:
        days = [day_of(day, digest.month.last) for day in ahead.fall_backs]
        parts.append(f"else {' or '.join(days)}")
    return "; ".join(parts)


def next_note(digest: Digest) -> str:
    """Say whose decision it is."""
    if digest.next_work is None:
        return "An aim, not a promise: the trainer decides on the morning."
    aim = ", and an aim" if digest.targets else ""
    return (
        f"A proposal by the barn’s limits and the forecast{aim}; no promise. The trainer decides "
        "on the morning."
    )


def _worked_on(digest: Digest) -> str:
    """Tell on what footing the month's works were run."""
    count = len(digest.works)
    if not count or set(digest.worked_on) == {""}:
        return ""
    if len(digest.worked_on) == 1:
        state = next(iter(digest.worked_on))
        said = "The work was" if count == 1 else f"All {count_of(count, 'work')} were"
        return f"{said} on footing that was {state}."
    parts = [
        f"{number_word(round(number.value))} came on {state or 'footing that is not said'}"
        for state, number in digest.worked_on.items()
    ]
    their = pronouns(digest.horse.sex).possessive
    return f"Of {their} {count_of(count, 'work')} {listed(parts)}."


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


def footing_days(footing: Footing, told: Digest | SurfaceReport) -> str:
    """Write "3" for one day of a month, "6 to 8" for several; beyond a month "29 Sep to 2 Oct"."""
    first, last = footing.first, footing.last
    if isinstance(told, SurfaceReport):
        ends = (brief_day(day, told.last) for day in dict.fromkeys((first, last)))
        return " to ".join(ends)
    return str(first.day) if first == last else f"{first.day} to {last.day}"


def log_head(told: Digest | SurfaceReport) -> str:
    """Write the head of the days of a log: the month, or nothing where there are several."""
    return "days" if isinstance(told, SurfaceReport) else f"{told.month.first:%B}"


def between(low_high: tuple[Number, Number] | None, digest: Digest | SurfaceReport) -> str:
    """Write "8 to 11 %", or one value where both are printed alike; a dash where none is known."""
    if low_high is None:
        return NO_VALUE
    (low, unit), (high, _) = (figure_and_unit(number, digest.barn) for number in low_high)
    return f"{low} {unit}" if low == high else f"{low} to {high} {unit}"


def track_note(track: TrackLog, digest: Digest | SurfaceReport) -> str:
    """Say what a track is, its rain and upkeep, what moisture compares with, what was remarked."""
    kind = f"A lap of {written(track.lap, digest.barn)}, {track.surface}."
    rain = f"Rain in all: {written(track.rain, digest.barn)}." if track.rain else ""
    upkeep = "; ".join(
        f"{word}: {written(number, digest.barn)}"
        for word, number in track.upkeep.items()
        if word != "none"
    )
    care = f"Days {upkeep}." if upkeep else ""
    remarks = " ".join(f"{day_of(day)}: {note.rstrip('.')}." for day, note in track.notes)
    moisture = _NOT_COMPARABLE if track is _first_with_moisture(digest) else ""
    parts = (_use(track, digest), kind, rain, care, moisture, remarks)
    return " ".join(part for part in parts if part)


def _use(track: TrackLog, told: Digest | SurfaceReport) -> str:
    """Tell what the works were run on, once, and how often the barn would not have worked."""
    own = ""
    if isinstance(told, Digest) and track is told.tracks[0]:
        own = _worked_on(told)
    closed = ""
    if track.no_work:
        days = count_of(round(track.no_work.value), "day")
        closed = (
            f"On {days} of the log {track.name} was not fit for a fast work, by the barn’s rule."
        )
    return " ".join(part for part in (own, closed) if part)


_NOT_COMPARABLE = (
    "Moisture by volume and by mass are different shares, and readings at different tracks are "
    "not comparable."
)


def _first_with_moisture(digest: Digest | SurfaceReport) -> TrackLog | None:
    """Return the first track that shows moisture: what it compares with is said once."""
    shown = (track for track in digest.tracks if any(run.moisture for run in track.footing))
    return next(shown, None)
