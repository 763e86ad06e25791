"""The words of the report on a track: its log, how it dried, and what that has meant there."""

from collections import Counter

from racecalc.digest import NextWork, Outlook, SurfaceReport
from racecalc.page import Masthead, Prose
from racecalc.surface import DRYING_ORDER
from racecalc.words.grammar import capital, count_of, day_of, listed, number_word
from racecalc.words.notes import places_left_out, remarks_kept_back
from racecalc.words.written import written

__all__ = [
    "air_note",
    "check_note",
    "edges_note",
    "lean_in_words",
    "outlook_lacks",
    "outlook_note",
    "surface_masthead",
    "surface_missing",
    "surface_notes",
    "surface_summary",
    "too_wet",
    "water_caption",
    "water_words",
]

_LACKS = {
    "forecast": "There is no forecast for this track of the three days before.",
    "old_forecast": "The forecast for this track is more than three days old and was not used.",
    "forecast_days": "The forecast leaves out days, or their chance of rain or temperatures; it "
    "was used up to the first of them.",
    "forecast_ends": "The forecast ends before the days that were weighed do; after it nothing is "
    "known of heat and cold.",
    "disagree": "The last word for the track is not one that the weather on record would make of "
    "it: the water was taken from the word.",
    "frozen": "The track was frozen at the last entry; the forecast does not tell its footing.",
    "weather": "The weather of the week before is not on record day by day: the water in the track "
    "was taken from the last word for it, if there is one of these days.",
    "latitude": "Without the latitude of the track its drying cannot be computed.",
    "learned": "No entry of the log could be compared with the weather: what a drying index means "
    "at this track is a default of ours.",
}
_BY_LOG = (
    "Where the forecast tells nothing, chances are how often each word stood in 90 days’ log, on "
    "the first days after its end drawn to those of its last day."
)


def outlook_lacks(outlook: Outlook) -> list[str]:
    """Say what was missing for the chances of the footing."""
    parts = [_LACKS[lack] for lack in outlook.lacks]
    return parts + ([_BY_LOG] if any(day.basis == "log" for day in outlook.days) else [])


def lean_in_words(lean: str | None) -> str:
    """Write a warning of chances that have been too low, or too high, at this track."""
    if lean is None:
        return ""
    how = "more" if lean == "low" else "less"
    return f" (when this was tried on past months, such chances came true {how} often than stated)"


def too_wet(told: NextWork | SurfaceReport) -> str:
    """Name the words on which the barn does not work, of those that water makes; or nothing."""
    ahead = told.outlook
    order = DRYING_ORDER[ahead.surface] if ahead else ()
    return listed([word for word in order if word in told.barn.no_work_states])


def surface_masthead(report: SurfaceReport) -> Masthead:
    """Return the head of the report."""
    when = f"to {day_of(report.last)} {report.last.year}"
    return Masthead(
        name=report.name,
        when=when,
        day=report.last.isoformat(),
        subtitle=f"{capital(report.surface)} track",
        audience="track surface",
        barn=report.barn.name,
        trainer=report.barn.trainer,
        language=report.barn.language,
        paper=report.barn.paper,
        description=f"The footing and the drying of {report.name} {when}.",
    )


def surface_summary(report: SurfaceReport) -> Prose:
    """Return the sentences that carry the report."""
    if not report.recorded:
        return Prose((f"No footing of {report.name} is on record in the 60 days before.",), "lead")
    sentences = (_days(report), _rain(report), _now(report), _ahead(report))
    return Prose((" ".join(text for text in sentences if text),), style="lead")


def _days(report: SurfaceReport) -> str:
    states = Counter(day.state for day in report.water if day.state)
    told = [f"{word} on {number_word(count)}" for word, count in states.most_common()]
    since = f"with an entry since {day_of(report.first)}"
    if states.total() == 1:
        return f"On the one day {since} {report.name} was {next(iter(states))}."
    return f"Of the {count_of(states.total(), 'day')} {since} {report.name} was {listed(told)}."


def _rain(report: SurfaceReport) -> str:
    rain = report.tracks[0].rain
    if rain is None:
        return ""
    return f"Rain came to {written(rain, report.barn)}." if rain.value else "No rain was logged."


def _now(report: SurfaceReport) -> str:
    outlook = report.outlook
    if outlook.state is None or outlook.state_day is None:
        return ""
    on = day_of(outlook.state_day, report.last)
    return f"The last word for it, on {on}, was {outlook.state}."


def _ahead(report: SurfaceReport) -> str:
    told = [day for day in report.outlook.days if day.basis == "forecast" and day.bad]
    if not told:
        return ""
    chances = {day.day: written(day.bad, report.barn) for day in told if day.bad}
    worst = max(told, key=lambda day: day.bad.value if day.bad else 0.0)
    if worst.bad is None or worst.bad.value < _HARDLY:
        return (
            f"By the forecast it is unlikely to be too wet for fast work up to "
            f"{day_of(told[-1].day)}."
        )
    days = [day_of(day) for day, chance in chances.items() if chance == chances[worst.day]]
    lean = report.checked.lean if report.checked else None
    return (
        f"By the forecast, the chance that it is too wet for fast work is highest on "
        f"{listed(days)}: {chances[worst.day]}{lean_in_words(lean)}."
    )


# Below this a chance is not worth a sentence, in percent.
_HARDLY = 5.0


def water_words(report: SurfaceReport) -> str:
    """Describe the picture of the water: what is shown, and the newest."""
    known = [day for day in report.water if day.index]
    newest = known[-1] if known else None
    now = ""
    if newest and newest.index:
        now = f"; on {day_of(newest.day)} it was {written(newest.index, report.barn)}"
    return (
        f"The drying index of {report.name} on each morning, the word of its log under it, and the "
        f"rain of each day{now}."
    )


def water_caption(report: SurfaceReport) -> str:
    """Say what the line, the bars and the strip are."""
    return (
        "From above: rain; the drying index of each morning (1: the top of the track is dry; 0: "
        "wet, but drained; below 0: water stands on it); the word of the log, the driest on top."
    )


def edges_note(report: SurfaceReport) -> str:
    """Say what the index is and what the edges are."""
    count = round(report.learned.value)
    soil = "the book’s own numbers" if report.own_soil else f"our default for {report.surface}"
    return (
        f"The top of the track, by {soil}, can lose {written(report.holds, report.barn)} of water "
        f"by drying, the first {written(report.gives, report.barn)} as fast as the air takes it; "
        f"up to {written(report.stands, report.barn)} more stands on it after rain and drains by "
        f"{written(report.drains, report.barn)} a day. Below the index beside a word, that word or "
        f"a wetter one is more likely than not. Learned from "
        f"{count_of(count, 'entry', 'entries')}; with few it stays near our default. It is no "
        "official word for a track."
    )


def check_note(report: SurfaceReport) -> str:
    """Say how the check was made, and what it came to."""
    check = report.checked
    if check is None:
        return ""
    days = round(check.days.value)
    text = (
        "Months, six at most, were foretold from the log before them, with the weather that came: "
        f"{count_of(days, 'day')}. The likeliest word was that of the log on "
        f"{number_word(round(check.likeliest.value))}. Mean squared error of the chances (0 is "
        f"perfect): {written(check.brier, report.barn)}, against "
        f"{written(check.brier_of_base_rate, report.barn)} for always stating how often it came."
    )
    if check.value:
        text += (
            f" Where a bad work costs as much as {written(report.bad_footing, report.barn)} days "
            "of waiting, to wait whenever the chance is above one divided by that saves "
            f"{written(check.value, report.barn)} of what perfect foreknowledge would save."
        )
    if check.lean:
        how = "more often" if check.lean == "low" else "less often"
        text += f" Chances of 10 to 70 % came true {how} than stated, beyond mere luck."
    return text


def outlook_note(report: SurfaceReport) -> str:
    """Say what the chances are from, and which words are too wet."""
    issued, wet = report.outlook.issued, too_wet(report)
    by = f"By the forecast of {day_of(issued, report.last)}. " if issued else ""
    if not wet:
        return (
            f"{by}The barn has named no footing of a {report.surface} track that keeps it from "
            "fast work."
        )
    return f"{by}Too wet: {wet}, as the barn has set it. Chances are to the nearest 5 %."


def air_note(warm: bool) -> str:
    """Say of which hour heat and cold are told, and what the estimates are worth."""
    text = "The coldest and the warmest hour of the day; the morning’s work lies between."
    if warm:
        text += (
            " WBGT, the wet bulb globe temperature, is estimated from temperature and humidity of "
            "the warmest hour; that in the sun is too high under cloud and in wind."
        )
    return text


def surface_notes(report: SurfaceReport) -> Prose:
    """Explain the index, the chances, and their limits."""
    return Prose(
        (
            "The drying index follows the evaporation layer of FAO 56: rain wets it, and the air "
            "(Penman and Monteith’s equation, or what of it the weather on record allows) dries "
            "it. Drainage, standing water and what a sealed track sheds are terms of our own, with "
            "no published figures. Harrowing, watering and shade are not in it.",
            "The forecast’s rain is drawn ten thousand times; how often a day’s rain falls before "
            "the morning’s entry is learned with the words. Readings of moisture by different "
            "methods are never joined, and none is turned into a word.",
        ),
        title="How it was worked out",
        style="small",
    )


def surface_missing(report: SurfaceReport) -> Prose | None:
    """Say what was lacking, and which rows could not be used."""
    parts = outlook_lacks(report.outlook)
    if report.checked is None and too_wet(report):
        parts.append("There are too few entries with the weather before them to check the words.")
    parts += places_left_out(report.left_out)
    parts += remarks_kept_back(report.withheld_notes)
    if not parts:
        return None
    return Prose(tuple(parts), title="What is missing", style="small", half=True, group="end")
