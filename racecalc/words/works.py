"""The words of one work: its distance and time, its sections, how it was done."""

from racecalc.daybook import Barn
from racecalc.digest import Course, Number, Section, Work
from racecalc.notation import typeset, write_pole
from racecalc.units import FOOT_M
from racecalc.words.grammar import capital, count_of, day_of, listed, number_word
from racecalc.words.written import written

__all__ = [
    "NO_VALUE",
    "distance_and_time",
    "distance_in_words",
    "oval_caption",
    "oval_words",
    "part_in_words",
    "place_in_words",
    "pole_in_words",
    "section_span",
    "sections_caption",
    "sections_picture_words",
    "sections_title",
    "time_in_words",
    "times_between",
    "work_kind",
]

_NEAR_M = 0.01
# Stands where a row has nothing to show.
NO_VALUE = "–"


def distance_in_words(distance: Number, barn: Barn) -> str:
    """Write "six furlongs", "five and a half furlongs", "a mile", else the trade's notation."""
    text = written(distance, barn)
    figure, _, unit = text.partition(" ")
    if unit == "f" and figure.rstrip("½").isdigit():
        whole = int(figure.rstrip("½"))
        if figure.endswith("½"):
            return f"{number_word(whole)} and a half furlongs"
        return count_of(whole, "furlong")
    if text == "1 mi":
        return "a mile"
    return text.replace(" mi", " miles") if text.endswith(" mi") else text


def time_in_words(time: Number | None, barn: Barn) -> str:
    """Write "1:13⅖", and with a unit what would be a bare number: "37 seconds"."""
    text = written(time, barn) if time else ""
    return f"{text[1:]} seconds" if text.startswith(":") else text


def distance_and_time(work: Work, barn: Barn) -> str:
    """Write "6 f 1:13⅖", or the distance alone where there was no clock."""
    far = written(work.distance, barn)
    return f"{far} {written(work.time, barn)}" if work.time else far


def work_kind(work: Work) -> str:
    """Write "threshold, handily, from the gate" from what the book holds."""
    kinds = (work.effort, work.manner, "from the gate" if work.from_gate else None)
    return ", ".join(kind for kind in kinds if kind) or NO_VALUE


def times_between(low: Number, high: Number, barn: Barn) -> str:
    """Write "1:11⅕ to 1:13⅗", "50⅖ to 52⅖ seconds"."""
    first, last = written(low, barn), written(high, barn)
    if first.startswith(":") and last.startswith(":"):
        return f"{first[1:]} to {last[1:]} seconds"
    return f"{first} to {last}"


def oval_words(work: Work, barn: Barn) -> str:
    """Describe the picture of a work on its oval: where it went, and where it was quick."""
    begin = "the chute" if work.start_in else place_in_words(work.start_m, work.course)
    end = place_in_words(work.end_m, work.course)
    text = (
        f"The oval of {work.track} drawn to scale, with {distance_in_words(work.distance, barn)} "
        f"on it, from {begin} to {end}"
    )
    quick, slow = (
        [pole_in_words(section.pole) for section in _timed(work) if section.tempo == tempo]
        for tempo in ("quicker", "slower")
    )
    parts = [
        f"{word} than the work’s mean to {listed(poles)}"
        for word, poles in (("quicker", quick), ("slower", slow))
        if poles
    ]
    return f"{text}: {', '.join(parts)}." if parts else f"{text}."


def oval_caption(work: Work, *, brief: bool = False) -> str | None:
    """Say what the line on the oval means; briefly where room is short, only what is not plain."""
    tempi = {section.tempo for section in _timed(work)}
    marks = {
        "quicker": "Thick: quicker than the work’s mean, beyond the error of the watch.",
        "slower": "Thin: slower, likewise.",
    }
    parts = [] if brief else ["Run left-handed." if _left(work) else "Run right-handed."]
    parts += [text for tempo, text in marks.items() if tempo in tempi]
    if any(section.gallop_out for section in work.sections) and not brief:
        parts.append("Dotted: galloping out.")
    return " ".join(parts) or None


def _left(work: Work) -> bool:
    return work.course.oval is None or work.course.oval.hand == "left"


def _timed(work: Work) -> list[Section]:
    return [section for section in work.sections if not section.gallop_out]


def place_in_words(to_finish_m: float, course: Course) -> str:
    """Write "the ¾ pole" for any place, laps before the finish counted off; "the finish".

    Where no pole stands it is "23 ft past the ¾ pole".
    """
    left_m = round(to_finish_m % course.lap_m, 6)
    if course.pole_at(left_m) is not None:
        return pole_in_words(write_pole(left_m if left_m < course.lap_m - _NEAR_M else 0.0))
    behind_m = (left_m // course.spacing_m + 1) * course.spacing_m
    past_m = behind_m - left_m
    if behind_m > course.lap_m:
        behind_m, past_m = 0.0, course.lap_m - left_m
    far = f"{past_m:.0f} m" if course.metric else f"{past_m / FOOT_M:.0f} ft"
    return f"{far} past {pole_in_words(write_pole(round(behind_m, 6)))}"


def part_in_words(part: str) -> str:
    """Write "in the far turn", "on the backstretch", "in the chute"."""
    return f"{'in' if part.endswith('turn') or part == 'chute' else 'on'} the {part}"


def section_span(work: Work, index: int) -> str:
    """Write "3/4 to 5/8" for a section of a work, with galloping out said."""
    section = work.sections[index]
    begin = "start" if index == 0 else work.sections[index - 1].pole
    text = f"{typeset(begin)} to {typeset(section.pole)}"
    return f"{text}, galloping out" if section.gallop_out else text


def sections_title(work: Work, barn: Barn) -> str:
    """Write "Six furlongs on 24 October"."""
    far = capital(distance_in_words(work.distance, barn))
    return f"{far} on {day_of(work.day)}"


def sections_caption() -> str:
    """Say what the bars are."""
    return "Seconds a furlong; higher is faster. Bars: the error of the watch."


def sections_picture_words(work: Work, barn: Barn) -> str:
    """Describe the picture of one work: what is shown, and which sections stand out."""
    timed = [section for section in work.sections if not section.gallop_out]
    quickest = min(timed, key=lambda section: section.pace_s)
    slowest = max(timed, key=lambda section: section.pace_s)
    error = max(quickest.pace_error_s, slowest.pace_error_s)
    text = (
        f"Points for {count_of(len(timed), 'section')} of the work of {day_of(work.day)}, "
        f"{distance_in_words(work.distance, barn)}, in seconds for each furlong"
    )
    if slowest.pace_s - quickest.pace_s <= error:
        return f"{text}: all alike within the error of the watch."
    return (
        f"{text}: quickest to {pole_in_words(quickest.pole)}, "
        f"slowest to {pole_in_words(slowest.pole)}."
    )


def pole_in_words(pole: str) -> str:
    """Write "the ⅝ pole", "the finish"."""
    return "the finish" if pole == "finish" else f"the {typeset(pole)} pole"
