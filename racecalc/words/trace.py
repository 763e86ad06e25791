"""The words of a GPS track: what it says, how far it can be trusted, what was found in it."""

from racecalc.digest import Trace, WorkReview
from racecalc.notation import typeset
from racecalc.page import Prose
from racecalc.words.grammar import count_of, pronouns
from racecalc.words.written import written

__all__ = ["path_caption", "path_words", "speed_caption", "speed_words", "trace_notes"]


def speed_words(review: WorkReview) -> str:
    """Describe the picture of the speed: what is shown and its highest."""
    seen, barn = review.trace, review.barn
    top = f"; the highest is {written(seen.top_speed, barn)}" if seen and seen.top_speed else ""
    return f"A line of the speed by GPS from the start to the last pole{top}."


def speed_caption(review: WorkReview) -> str:
    """Say what the line and the steps are."""
    text = "Line: by GPS, smoothed over some seconds."
    return f"{text} Red: section means by the watch." if review.work.sections else text


def path_words(review: WorkReview) -> str:
    """Describe the picture of the path: what is shown and its middle."""
    seen, barn = review.trace, review.barn
    middle = f"; the middle is {written(seen.out, barn)}" if seen and seen.out else ""
    return f"A line of how far outside the measuring line the horse went, by GPS{middle}."


def path_caption(review: WorkReview) -> str:
    """Say what is up, and what a receiver cannot tell."""
    return (
        "Up: farther from the rail. A receiver may be off by some metres all along, so the shape "
        "tells more than the height."
    )


def trace_notes(review: WorkReview) -> Prose | None:
    """Say what the receiver's file tells and what was found in it; nothing without a file."""
    seen = review.trace
    if seen is None:
        return None
    parts = [_told(review, seen)] if seen.poles else []
    parts += list(seen.findings)
    return Prose(
        tuple(part for part in parts if part), title="The GPS file", half=True, group="gps"
    )


def _told(review: WorkReview, seen: Trace) -> str:
    barn, they = review.barn, pronouns(review.horse.sex)
    parts = []
    if seen.interval and seen.noise:
        parts.append(
            f"A fix every {written(seen.interval, barn)}, scattered by {written(seen.noise, barn)}."
        )
    if seen.out and seen.extra:
        out = written(seen.out, barn).lstrip("+\N{MINUS SIGN}")
        side = "inside" if seen.out.value < 0 else "outside"
        extra = written(seen.extra, barn)
        parts.append(
            f"Half of the time {they.subject} was farther out than {out} {side} the measuring "
            f"line, half of the time less far; on the bends that came to {extra} of ground."
        )
    if seen.top_speed:
        parts.append(f"The highest speed was {written(seen.top_speed, barn)}.")
    differing = [pole for pole in seen.poles if pole.differs]
    if differing:
        poles = count_of(len(differing), "pole")
        first = typeset(differing[0].pole)
        parts.append(
            f"At {poles}, first at {first}, watch and GPS lie further apart than their errors."
        )
    parts.append(
        "A pole time by GPS is no better than one by hand, but there is one for each pole."
    )
    return " ".join(parts)
