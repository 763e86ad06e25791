"""The sentences at the head of a report: what the month was, in plain words.

Each function answers one question an owner asks and returns one sentence, or nothing where the
record holds no answer. A change is claimed only where the digest found it larger than its error.
"""

from collections.abc import Sequence
from datetime import date

from racecalc.daybook import Barn
from racecalc.digest import Digest, Horse, Number, Race, Work
from racecalc.page import Masthead, Prose
from racecalc.words.body import measure_sentences, off_days_sentence
from racecalc.words.grammar import (
    capital,
    chosen,
    count_of,
    day_of,
    listed,
    number_word,
    ordinal,
    pronouns,
)
from racecalc.words.works import distance_in_words, time_in_words
from racecalc.words.written import figure_and_unit, written

__all__ = ["masthead", "masthead_until", "month_name", "summary", "who"]

# Days off are news where they are one day in this many, or more.
_OFTEN = 4


def month_name(digest: Digest) -> str:
    """Write "October 2026"."""
    return f"{digest.month.first:%B %Y}"


def masthead(digest: Digest) -> Masthead:
    """Return the head of the report."""
    horse = digest.horse
    return Masthead(
        name=horse.name,
        when=month_name(digest),
        day=digest.month.last.isoformat(),
        subtitle=capital(who(digest.horse)),
        audience="owner’s report",
        barn=digest.barn.name,
        trainer=digest.barn.trainer,
        language=digest.barn.language,
        paper=digest.barn.paper,
        description=f"What {horse.name} did in {month_name(digest)}.",
    )


def masthead_until(horse: Horse, barn: Barn, last: date, audience: str, told: str) -> Masthead:
    """Return the head of a report on one horse up to a day.

    ``told`` is what the report tells, with ``{name}`` and ``{when}`` where these belong.
    """
    when = f"to {day_of(last)} {last.year}"
    return Masthead(
        name=horse.name,
        when=when,
        day=last.isoformat(),
        subtitle=capital(who(horse)),
        audience=audience,
        barn=barn.name,
        trainer=barn.trainer,
        language=barn.language,
        paper=barn.paper,
        description=told.replace("{when}", when).replace("{name}", horse.name),
    )


def summary(digest: Digest) -> Prose:
    """Return the sentences that carry the month."""
    if not digest.recorded:
        return Prose((_nothing(digest),), style="lead")
    sentences = (
        _what_was_done(digest),
        _races(digest),
        _the_work_to_know(digest),
        _fast_ground(digest),
        off_days_sentence(digest, (digest.temperature, digest.pulse)),
        measure_sentences(digest),
        _time_off(digest),
        _what_is_next(digest),
    )
    return Prose((" ".join(sentence for sentence in sentences if sentence),), style="lead")


def who(horse: Horse) -> str:
    """Write colour, sex and year: "bay filly, foaled in 2023"."""
    kind = " ".join(word for word in (horse.colour, horse.sex) if word) or "horse"
    return kind if horse.foaled_year is None else f"{kind}, foaled in {horse.foaled_year}"


def _chosen(digest: Digest, question: str, ways: Sequence[str]) -> str:
    """Pick one way of saying it: the same for the same horse and month, varied over the barn."""
    return chosen(f"{digest.horse.id} {digest.month.key} {question}", ways)


def _nothing(digest: Digest) -> str:
    horse, month = digest.horse, digest.month
    text = f"Nothing was recorded for {horse.name} in {month_name(digest)}."
    if horse.left and horse.left <= month.last:
        they = capital(pronouns(horse.sex).subject)
        return f"{text} {they} left the barn on {day_of(horse.left, month.first)}."
    if horse.arrived and horse.arrived > month.last:
        they = capital(pronouns(horse.sex).subject)
        return f"{text} {they} came to the barn on {day_of(horse.arrived, month.first)}."
    if digest.last_record is None:
        return text
    return f"{text} The last entry before is of {day_of(digest.last_record, month.first)}."


def _what_was_done(digest: Digest) -> str:
    name, month = digest.horse.name, f"{digest.month.first:%B}"
    count = len(digest.works)
    if not count:
        return _no_works(digest)
    far = _furlongs(digest.works_month.distance, digest)
    if count == 1:
        ways = [
            f"{name} worked once in {month}, over {far}.",
            f"{month} brought {name} one work, of {far}.",
        ]
    else:
        times = "twice" if count == 2 else f"{number_word(count)} times"
        ways = [
            f"{name} worked {times} in {month}, {far} in all.",
            f"{month} brought {name} {count_of(count, 'work')}, {far} together.",
        ]
    if all(work.time for work in digest.works):
        ways.append(f"{name} went {far} against the watch in {count_of(count, 'work')}.")
    return _chosen(digest, "done", ways)


def _furlongs(distance: Number, digest: Digest) -> str:
    figure, unit = figure_and_unit(distance, digest.barn)
    if unit != "f":
        return f"{figure} {unit}"
    return f"{figure} furlong" if figure == "1" else f"{figure} furlongs"


def _no_works(digest: Digest) -> str:
    name, month = digest.horse.name, f"{digest.month.first:%B}"
    they = pronouns(digest.horse.sex).subject
    out = round(digest.days_out.value)
    if not out:
        return f"{name} had no exercise on record in {month}."
    text = f"{name} had no timed work in {month}; {they} was out on {count_of(out, 'day')}"
    gallops = sum("gallop" in day.ground for day in digest.days)
    if gallops == out:
        return f"{text}, at the gallop." if out == 1 else f"{text}, all at the gallop."
    if gallops:
        return f"{text}, {number_word(gallops)} of them at the gallop."
    # A race is faster than any gallop: the next sentence tells of it.
    return f"{text}." if digest.races else f"{text}, {'none' if out > 1 else 'not'} at the gallop."


def _the_work_to_know(digest: Digest) -> str:
    """Tell of the newest timed work, then of others that lay outside what was to be expected."""
    timed = [work for work in digest.works if work.time]
    if not timed:
        return _no_clock(digest)
    work = timed[-1]
    on = f"on the {ordinal(work.day.day)}"
    took = f"took {time_in_words(work.time, digest.barn)}{_as_expected(work, digest)}"
    far = distance_in_words(work.distance, digest.barn)
    others = _outside(timed[:-1], digest)
    if len(digest.works) == 1:
        return f"The work, {on}, {took}."
    if len(timed) == 1:
        return f"The one work with a clock, {far} {on}, {took}."
    with_clock = "" if work is digest.works[-1] else " with a clock"
    return f"The latest work{with_clock}, {far} {on}, {took}.{others}"


def _as_expected(work: Work, digest: Digest) -> str:
    if work.stand is None:
        return ""
    them = pronouns(digest.horse.sex).object
    if work.stand.margin is None:
        return f", as expected of {them}"
    return f", {work.stand.verdict} than expected of {them}"


def _outside(works: Sequence[Work], digest: Digest) -> str:
    """Name the other works that were quicker or slower than expected, and what was asked."""
    sentences = []
    for verdict in ("quicker", "slower"):
        said = [
            f"{distance_in_words(work.distance, digest.barn)} on the {ordinal(work.day.day)}"
            f"{f' (asked {work.effort})' if work.effort else ''}"
            for work in works
            if work.stand and work.stand.margin and work.stand.verdict == verdict
        ]
        if said:
            sentences.append(f" {capital(listed(said))} went {verdict} than expected.")
    return "".join(sentences)


def _no_clock(digest: Digest) -> str:
    if not digest.works:
        return ""
    if len(digest.works) > 1:
        return "None of the works was timed."
    return f"The work, on the {ordinal(digest.works[0].day.day)}, had no clock."


def _races(digest: Digest) -> str:
    if not digest.races:
        return ""
    they = pronouns(digest.horse.sex).subject
    return f"{capital(they)} raced {listed([_race(race, digest) for race in digest.races])}."


def _race(race: Race, digest: Digest) -> str:
    text = f"on the {ordinal(race.day.day)}"
    if race.distance:
        text += f" over {distance_in_words(race.distance, digest.barn)}"
    if race.track:
        text += f" at {race.track}"
    return f"{text} in {time_in_words(race.time, digest.barn)}" if race.time else text


def _fast_ground(digest: Digest) -> str:
    fast = digest.ground[2].by_speed["fast"]
    if fast.value <= digest.fast_limit.value:
        return ""
    far, limit = (written(number, digest.barn) for number in (fast, digest.fast_limit))
    above = "just above what calls" if far == limit else f"above the {limit} that calls"
    return f"Fast ground over 30 days came to {far}, {above} for a closer look."


def _time_off(digest: Digest) -> str:
    """Tell of days off where they were more than one in four."""
    off = round(digest.days_off.value)
    if off * _OFTEN < len(digest.days):
        return ""
    return f"{capital(pronouns(digest.horse.sex).subject)} had {count_of(off, 'day')} off."


def _what_is_next(digest: Digest) -> str:
    """Tell of the day proposed for the next fast work, and of the race aimed at."""
    ahead = digest.next_work
    their = capital(pronouns(digest.horse.sex).possessive)
    if not digest.targets:
        if ahead is None:
            return ""
        day = day_of(ahead.best, digest.month.first)
        return f"{their} next fast work is proposed for {day}, if the track allows."
    target = digest.targets[0]
    they = pronouns(digest.horse.sex).subject
    where = f" at {target.track}" if target.track else ""
    day, far = (
        day_of(target.day, digest.month.first),
        distance_in_words(target.distance, digest.barn),
    )
    if ahead is not None:
        work = day_of(ahead.best, digest.month.first)
        return (
            f"Next, if the track allows, is a fast work on {work}, then the race {they} is aimed "
            f"at, {far}{where} on {day}."
        )
    ways = (
        f"The race {they} is aimed at is on {day}: {far}{where}.",
        f"A race over {far}{where} is the aim, on {day}.",
        f"{capital(they)} is aimed at a race on {day}, {far}{where}.",
    )
    return _chosen(digest, "next", ways)
