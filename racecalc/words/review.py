"""The words of a work review, and of the horse's own line."""

from racecalc.daybook import Barn
from racecalc.digest import Digest, LinePoint, Shape, Stand, Work, WorkReview
from racecalc.notation import typeset
from racecalc.page import Masthead, Prose
from racecalc.words.grammar import capital, count_of, day_of, full_day, pronouns
from racecalc.words.works import distance_in_words, time_in_words, times_between, work_kind
from racecalc.words.written import figure_and_unit, written

__all__ = [
    "line_caption",
    "line_picture_words",
    "line_title",
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
    sentences = [_went(review), stand_in_words(review)]
    if review.shape:
        sentences.append(_shape(review.shape, review))
    sentences.append(_galloped_out(review))
    return Prose((" ".join(text for text in sentences if text),), style="lead")


def _went(review: WorkReview) -> str:
    work, barn = review.work, review.barn
    far, name = distance_in_words(work.distance, barn), review.horse.name
    if work.time is None or work.pace is None:
        return f"{name} worked {far}; there was no clock."
    kind = work_kind(work)
    how = f", {kind}" if kind[0].isalpha() else ""
    footing = f" on a {work.state} {work.course.surface} track" if work.state else ""
    return (
        f"{name} worked {far} in {time_in_words(work.time, barn)}{how}{footing}: "
        f"{figure_and_unit(work.pace, barn)[0]} seconds a furlong."
    )


def stand_in_words(review: WorkReview) -> str:
    """Say how the work stands to the horse's line, or nothing where there is none."""
    stand, barn = review.work.stand, review.barn
    if stand is None:
        return ""
    they = pronouns(review.horse.sex)
    usual = times_between(stand.low, stand.high, barn)
    if stand.margin is None:
        return f"That is within {they.possessive} line: {usual} was to be expected."
    return f"That is {stand.verdict} than {they.possessive} line: {usual} was to be expected."


def _shape(shape: Shape, review: WorkReview) -> str:
    they, barn = pronouns(review.horse.sex), review.barn
    if shape.finish is None or shape.finish_verdict is None:
        even = "went evenly" if shape.even else "was neither quicker nor slower at the end"
        return f"{capital(they.subject)} {even}, as far as the watch can tell."
    by = written(shape.finish, barn).lstrip("+\N{MINUS SIGN}")
    way = "quicker" if shape.finish_verdict == "quickened" else "slower"
    return f"{capital(they.subject)} {shape.finish_verdict}: the last part was {by} {way}."


def _galloped_out(review: WorkReview) -> str:
    out = [section for section in review.work.sections if section.gallop_out]
    if not out:
        return ""
    they, barn = pronouns(review.horse.sex), review.barn
    last = out[-1]
    pole = typeset(last.pole.lstrip("+"))
    return (
        f"{capital(they.subject)} galloped out to {pole} past the finish, "
        f"the watch at {written(last.clock, barn)}."
    )


def review_remark(review: WorkReview) -> Prose | None:
    """Return what was remarked on the work."""
    if review.work.note is None:
        return None
    return Prose((review.work.note,), title="In the trainer’s words", half=True, group="furlongs")


def line_title(digest: Digest | WorkReview) -> str:
    """Write "Her line over six furlongs"."""
    they = pronouns(digest.horse.sex)
    return f"{capital(they.possessive)} line over {_line_distance(digest)}"


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
    marks = {"quicker": "pointing up, quicker than the line", "slower": "pointing down, slower"}
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


def review_notes(review: WorkReview) -> Prose:
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
    if any(section.lead for section in work.sections):
        parts.append(
            "Leads as they were noted at the poles. A lead, or a change that did not come, has "
            "many ordinary causes and is no finding."
        )
    if review.left_out:
        parts.append(f"Entries of the daybook that could not be used: {len(review.left_out)}.")
    return Prose(tuple(parts), title="How it was measured", style="small")


def line_explained(review: WorkReview) -> str:
    """Say what the line is made from, and how far."""
    stand: Stand | None = review.work.stand
    if stand is None:
        return ""
    they = pronouns(review.horse.sex)
    own, others = round(stand.own.value), round(stand.others.value)
    return (
        f"{capital(they.possessive)} line is what works before this day let one expect: of "
        f"{they.possessive} own {own} and {others} of the rest of the barn, each for its distance, "
        "track, footing, start, and what was asked. The fewer of "
        f"{they.possessive} own, the more it leans on the barn’s. A wet track may be quicker or "
        "slower; that is learned for each track."
    )
