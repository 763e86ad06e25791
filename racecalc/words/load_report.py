"""The words of the report on load: against the horse's own past, the barn, and the studies."""

from racecalc.digest import Digest, LoadReport, Usual
from racecalc.page import Masthead, Prose
from racecalc.words.grammar import capital, count_of, number_word, pronouns
from racecalc.words.load import load_of, load_sentences, range_of
from racecalc.words.notes import places_left_out, remarks_kept_back
from racecalc.words.summary import masthead_until
from racecalc.words.works import NO_VALUE
from racecalc.words.written import written

__all__ = [
    "USUAL_NAMES",
    "WEEK_AGAINST_MONTH",
    "load_masthead",
    "load_missing",
    "load_notes",
    "load_summary",
    "smoothed_caption",
    "smoothed_words",
    "speeds_note",
    "studies_note",
    "usual_place",
    "usual_range",
    "usuals_note",
]

USUAL_NAMES = {
    "week": "at canter and quicker, last 7 days",
    "four_weeks": "the same, a week, over 4 weeks",
    "coupled": "week to month: the week over its 4 weeks",
    "uncoupled": "the week over the 3 weeks before it",
    "weighted": "week over month, exponentially weighted",
    "monotony": "monotony: mean of 7 days over their spread",
    "strain": "strain: the week times its monotony",
    "quick_sum": "impulse response, fading over 7 days",
    "slow_sum": "impulse response, fading over 42 days",
    "works": "timed works, 60 days",
    "gap": "days from timed work to timed work, middle of 180 days",
}

WEEK_AGAINST_MONTH = (
    "A week against a month is no measure of danger: in people the ratio told hardly more than the "
    "week alone, and in the one study of horses the week and the week before pointed opposite ways."
)


def load_masthead(report: LoadReport) -> Masthead:
    """Return the head of the report."""
    told = "How much, how fast and how often {name} went {when}."
    return masthead_until(report.horse, report.barn, report.last, "load report", told)


def load_summary(report: LoadReport) -> Prose:
    """Return the sentences that carry the report."""
    if not report.recorded:
        text = f"No ground of {report.horse.name} is on record in the half year before."
        return Prose((text,), style="lead")
    sentences = (load_sentences(report), _unusual(report), _races(report))
    return Prose((" ".join(text for text in sentences if text),), style="lead")


def _unusual(report: LoadReport) -> str:
    """Tell whether the last week was an unusual one for this horse."""
    week = next((one for one in report.usuals if one.what == "week"), None)
    if week is None or week.low is None or week.high is None:
        return ""
    their = capital(pronouns(report.horse.sex).possessive)
    far = written(week.now, report.barn)
    return (
        f"{their} last seven days held {far} at canter and quicker, {usual_place(week)} the "
        f"{range_of((week.low, week.high), report.barn)} of eight weeks in ten."
    )


def _races(report: LoadReport) -> str:
    """Tell how long ago the last race was, and how far off the next one aimed at is."""
    they = pronouns(report.horse.sex).subject
    since, ahead = (
        one and count_of(round(one.value), "day") for one in (report.since_race, report.to_race)
    )
    if since and ahead:
        return f"{capital(they)} last raced {since} before, and is aimed at a race in {ahead}."
    if since:
        return f"{capital(they)} last raced {since} before."
    return f"{capital(they)} is aimed at a race in {ahead}." if ahead else ""


def usual_place(usual: Usual) -> str:
    """Write where a figure lies to what was usual: "above", "below", "within"."""
    if usual.high is not None and usual.now.value > usual.high.value:
        return "above"
    if usual.low is not None and usual.now.value < usual.low.value:
        return "below"
    return "within"


def usual_range(usual: Usual, report: LoadReport) -> str:
    """Write what was usual for the horse: "6.1 to 9.4 mi"."""
    if usual.low is None or usual.high is None:
        return NO_VALUE
    return range_of((usual.low, usual.high), report.barn)


def usuals_note(report: LoadReport) -> str:
    """Say what usual is, what the figures are made of, and what a ratio is not."""
    barn, they = "", pronouns(report.horse.sex).subject
    if report.others:
        barn = (
            " The barn: the middle half of its other horses, of which "
            f"{number_word(round(report.others.value))} had timed works in the 60 days."
        )
    return (
        f"Usual: eight in ten of the weeks of the year before in which {they} cantered or more. "
        "Days without ground count as nothing; the spread is that of the seven days themselves; "
        "among weights that fall, the newest day counts a quarter in the week and 2 in 29 in the "
        f"four weeks.{barn} {WEEK_AGAINST_MONTH}"
    )


def speeds_note(told: Digest | LoadReport) -> str:
    """Say where the classes of speed are from, and how often each foot came down."""
    load = load_of(told)
    text = f"Each section between clocked poles counts in its own class. {_whose_classes(told)}."
    walked = next((one.high for one in load.classes if one.walked), None)
    if walked:
        text += f" Walk, jog: slower than {written(walked, told.barn)}."
    if any(span.unknown for span in load.spans):
        text += " No time: of works or the treadmill, without a clock."
    if load.estimated:
        text += (
            f" Of the 60 days {written(load.estimated, told.barn)} had no time and stands in the "
            "class of its usual pace."
        )
    strides = load.strides
    if strides is None:
        return text
    low, middle, high = (
        written(one, told.barn) for one in (strides.low, strides.middle, strides.high)
    )
    return (
        f"{text} In the 30 days each foot came down about {middle} times at canter and quicker, by "
        f"published stride rates; other published counts make it {low} to {high}."
    )


def _whose_classes(told: Digest | LoadReport) -> str:
    """Say where fast begins, and whose the other edges are."""
    fast = f"Fast begins at {written(told.fast_speed, told.barn)}"
    if told.barn.speed_classes_m_s:
        return f"{fast}; the other edges are the barn’s"
    quick = [one.high for one in load_of(told).classes if one.fast]
    published = any(edge and edge.sources for edge in quick)
    return f"{fast}; the edges above it are those of a study" if published else fast


def smoothed_words(report: LoadReport) -> str:
    """Describe the smoothed load: what is shown and the newest."""
    newest = report.smoothed[-1]
    return (
        "Two lines of ground a day at canter and quicker, one smoothed over a week, one over four "
        f"weeks; the newest, {written(newest.week, report.barn)} and "
        f"{written(newest.month, report.barn)}."
    )


def smoothed_caption(report: LoadReport) -> str:
    """Say what the two lines are, and what they do not foretell."""
    return (
        "Ground a day at canter and quicker. Thin: smoothed over a week; thick: over four weeks. "
        "They tell what was done, and foretell nothing."
    )


def studies_note(report: LoadReport) -> str:
    """Say why no number of these is a limit."""
    return (
        "What studies counted differs, and they point both ways: horses that are sore work less, "
        "and good ones more. They tell of many horses together, never of one."
    )


def load_notes(report: LoadReport) -> Prose | None:
    """Explain what counts as what."""
    if not report.recorded:
        return None
    return Prose(
        (
            f"Fast ground is ground at {written(report.fast_speed, report.barn)} or quicker. A "
            "race without a time counts as fast. The day of a work is day 0 since it. Walks, jogs, "
            "canters and gallops that nobody timed take the usual pace of the horse’s own timed "
            "ground of that kind, or of the trade; works without a clock take none.",
        ),
        title="How it was counted",
        style="small",
    )


def _without_others(report: LoadReport) -> list[str]:
    """Say why there is nothing to compare with, where there is not."""
    if not report.recorded or report.others is not None:
        return []
    if any(one.what == "works" for one in report.usuals):
        return ["Too few other horses had timed works in the 60 days to compare with."]
    they = capital(pronouns(report.horse.sex).subject)
    return [f"{they} had no timed work in the 60 days to compare with the barn’s."]


def load_missing(report: LoadReport) -> Prose | None:
    """Say what the record does not hold, and which rows could not be used."""
    parts = []
    if report.recorded and not any(one.low for one in report.usuals):
        parts.append("There are too few weeks on record to tell what is usual.")
    parts += _without_others(report)
    parts += places_left_out(report.left_out)
    parts += remarks_kept_back(report.withheld_notes)
    if not parts:
        return None
    return Prose(tuple(parts), title="What is missing", style="small", half=True, group="end")
