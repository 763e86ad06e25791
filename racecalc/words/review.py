"""The words of a work review, and of the horse's own line."""

from racecalc.daybook import Barn
from racecalc.digest import Digest, LinePoint, Number, Shape, Stand, Work, WorkReview
from racecalc.page import Masthead, Prose
from racecalc.words.grammar import capital, count_of, day_of, full_day, number_word, pronouns
from racecalc.words.leads import lead_practice
from racecalc.words.works import (
    distance_in_words,
    time_in_words,
    times_between,
    work_kind,
)
from racecalc.words.written import figure_and_unit, written

__all__ = [
    "line_caption",
    "line_picture_words",
    "line_title",
    "piece_in_words",
    "review_masthead",
    "review_notes",
    "review_remark",
    "review_summary",
    "stand_in_words",
]


def review_masthead(review: WorkReview) -> Masthead:
    """Return the head of the review."""
    work, barn = review.work, review.barn
    far = distance_in_words(work.distance, barn)
    return Masthead(
        name=review.horse.name,
        when=full_day(work.day),
        day=work.day.isoformat(),
        subtitle=capital(f"{far} at {work.track}"),
        audience="work review",
        barn=barn.name,
        trainer=barn.trainer,
        language=barn.language,
        paper=barn.paper,
        description=f"How {review.horse.name} worked {far} on {day_of(work.day)}.",
    )


def review_summary(review: WorkReview) -> Prose:
    """Return the sentences that carry the work."""
    sentences = [_went(review), stand_in_words(review), _quickest(review)]
    if review.shape:
        sentences.append(_shape(review.shape, review))
    sentences.append(_galloped_out(review))
    return Prose((" ".join(text for text in sentences if text),), style="lead")


def _went(review: WorkReview) -> str:
    work, barn = review.work, review.barn
    far, name = distance_in_words(work.distance, barn), review.horse.name
    if work.time is None or review.pace is None:
        clock = "no time at the end" if work.sections else "no clock"
        return f"{name} worked {far}; there was {clock}."
    kind = work_kind(work)
    how = f", {kind}" if kind[0].isalpha() else ""
    footing = f" on a {work.state} {work.course.surface} track" if work.state else ""
    return (
        f"{name} worked {far} in {time_in_words(work.time, barn)}{how}{footing}: "
        f"{figure_and_unit(review.pace, barn)[0]} seconds {piece_in_words(review)}."
    )


def piece_in_words(review: WorkReview) -> str:
    """Write in what pace is told: "a furlong", or "for 200 m" of a metric work."""
    return "a furlong" if review.pace is review.work.pace else "for 200 m"


def stand_in_words(review: WorkReview) -> str:
    """Say how the work stands to what was to be expected, or nothing where nothing was."""
    stand, barn = review.work.stand, review.barn
    if stand is None:
        return ""
    they = pronouns(review.horse.sex)
    usual = times_between(stand.low, stand.high, barn)
    more = (
        f" More was asked of {they.object} than in the works before." if review.asked_more else ""
    )
    if stand.margin is None:
        return f"That is within what was to be expected of {they.object}, {usual}.{more}"
    return f"That is {stand.verdict} than was to be expected of {they.object}, {usual}.{more}"


def _quickest(review: WorkReview) -> str:
    if review.quickest_of is None:
        return ""
    they, count = pronouns(review.horse.sex), round(review.quickest_of.value)
    return f"It is the quickest of {they.possessive} last {number_word(count)} like it."


def _shape(shape: Shape, review: WorkReview) -> str:
    they, barn = pronouns(review.horse.sex), review.barn
    gate = ", the start from the gate left aside" if review.work.from_gate else ""
    if shape.finish is None or shape.finish_verdict is None:
        even = "went evenly" if shape.even else "was neither quicker nor slower at the end"
        return f"{capital(they.subject)} {even}{gate}, as far as the watch can tell."
    by = written(shape.finish, barn).lstrip("+\N{MINUS SIGN}")
    way = "quicker" if shape.finish_verdict == "quickened" else "slower"
    return (
        f"{capital(they.subject)} {shape.finish_verdict}: the last part was {by} a furlong "
        f"{way}{gate}."
    )


def _galloped_out(review: WorkReview) -> str:
    out = [section for section in review.work.sections if section.gallop_out]
    if not out:
        return ""
    they, barn = pronouns(review.horse.sex), review.barn
    last = out[-1]
    gone = Number("", review.work.start_m - last.to_finish_m, "distance", "", 0)
    far = distance_in_words(gone, barn)
    return f"{capital(they.subject)} galloped out {far} in {time_in_words(last.clock, barn)}."


def review_remark(review: WorkReview) -> Prose | None:
    """Return what was remarked on the work."""
    if review.work.note is None:
        return None
    return Prose((review.work.note,), title="In the trainer’s words", half=True, group="furlongs")


def line_title(digest: Digest | WorkReview) -> str:
    """Write "Her works over six furlongs"."""
    they = pronouns(digest.horse.sex)
    return f"{capital(they.possessive)} works over {_line_distance(digest)}"


def _line_distance(digest: Digest | WorkReview) -> str:
    work = _line_work(digest)
    return distance_in_words(work.distance, digest.barn)


def _line_work(digest: Digest | WorkReview) -> Work:
    """Return the work up to which the line runs."""
    works = (digest.work,) if isinstance(digest, WorkReview) else digest.works
    return next(work for work in works if work.id == digest.line[-1].work)


def line_caption(digest: Digest | WorkReview) -> str:
    """Say what bars and points are."""
    verdicts = {point.verdict for point in digest.line}
    text = (
        f"At {_line_work(digest).track}, higher is faster. Bars: the times to be expected, 95 in "
        "100, from works before that day. Points: the watch"
    )
    marks = {"quicker": "pointing up, quicker than expected", "slower": "pointing down, slower"}
    shown = [words for verdict, words in marks.items() if verdict in verdicts]
    return f"{text}; {', '.join(shown)}." if shown else f"{text}."


def line_picture_words(digest: Digest | WorkReview) -> str:
    """Describe the picture of the line: what is shown, the range, and the newest work."""
    line, barn = digest.line, digest.barn
    times = sorted(line, key=lambda point: point.time.value)
    newest = line[-1]
    text = (
        f"{capital(count_of(len(line), 'work'))} over {_line_distance(digest)} at "
        f"{_line_work(digest).track}, between {written(times[0].time, barn)} and "
        f"{written(times[-1].time, barn)}; the newest took {written(newest.time, barn)}"
    )
    return f"{text}{_newest_expected(newest, barn)}."


def _newest_expected(point: LinePoint, barn: Barn) -> str:
    if point.low is None or point.high is None:
        return ""
    return f", where {written(point.low, barn)} to {written(point.high, barn)} was to be expected"


def review_notes(review: WorkReview) -> Prose | None:
    """Say how the figures were come by, each only where the review shows it."""
    work, barn = review.work, review.barn
    parts = []
    if work.time:
        parts.append(
            "Timed by hand from pole to pole, with the error of the watch at both ends of a "
            f"section: times within {written(review.clock_error, barn)} of each other are alike."
        )
    if work.stand:
        parts.append(line_explained(review))
    if work.course.oval is None:
        parts.append(
            f"The book does not tell where the turns of {work.track} are, so the work is not drawn "
            "on its oval."
        )
    if review.leads and lead_practice(work.course):
        parts.append(lead_practice(work.course))
    if review.withheld_notes:
        parts.append("Remarks that name another horse or an owner are kept back.")
    if review.left_out:
        parts.append(f"Entries of the daybook that could not be used: {len(review.left_out)}.")
    return Prose(tuple(parts), title="How it was measured", style="small") if parts else None


def line_explained(review: WorkReview) -> str:
    """Say what the line is made from, and how far."""
    stand: Stand | None = review.work.stand
    if stand is None or stand.own is None or stand.others is None:
        return ""
    they = pronouns(review.horse.sex)
    own, others = round(stand.own.value), round(stand.others.value)
    return (
        f"What was to be expected of {they.object} comes from works of the year before: of "
        f"{they.possessive} own {own} and {others} of the rest of the barn, each for its distance, "
        "track, footing, start, and what was asked. The fewer of "
        f"{they.possessive} own, the more it leans on the barn’s. A wet track may be quicker or "
        "slower; that is learned for each track."
    )
