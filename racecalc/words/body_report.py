"""The words of the report on a horse's body: the message, the notes, how to measure."""

from racecalc.body import FORMULAS
from racecalc.daybook import Barn
from racecalc.digest import BodyReport, Digest, Growth
from racecalc.page import Masthead, Prose
from racecalc.words.body import (
    MEASURE_NAMES,
    last_of,
    measure_sentences,
    measures_explained,
    off_days_sentence,
    score_in_words,
)
from racecalc.words.grammar import capital, count_of, day_of, listed, pronouns
from racecalc.words.notes import places_left_out, remarks_kept_back
from racecalc.words.summary import masthead_until
from racecalc.words.written import written

__all__ = [
    "NEED_NAMES",
    "body_context",
    "body_masthead",
    "body_missing",
    "body_notes",
    "body_protocol",
    "body_summary",
    "energy_note",
    "formula_basis",
    "formula_name",
    "growth_note",
    "off_note",
    "tape_note",
    "vitals_note",
]

NEED_NAMES = {
    "minimum": "at rest, least",
    "average": "at rest, average",
    "elevated": "at rest, nervous or restless",
    "light": "light work: some hours a week, walk and trot",
    "moderate": "moderate work: three to five hours a week, some canter",
    "heavy": "heavy work: canter and gallop, the middle of race training",
}

# An older horse has little left to grow: its growth stands in the table alone.
_SPOKEN_MONTHS = 36

# Left out of what the page calls missing: few barns take them.
_EXPECTED = ("height", "weight", "condition")


def body_masthead(report: BodyReport) -> Masthead:
    """Return the head of the report."""
    told = "How the body of {name} measured {when}."
    return masthead_until(report.horse, report.barn, report.last, "body report", told)


def body_summary(report: BodyReport) -> Prose:
    """Return the sentences that carry the report."""
    if not report.recorded:
        return Prose((f"No measurement of {report.horse.name} is on record.",), style="lead")
    sentences = (
        off_days_sentence(report, report.vitals),
        measure_sentences(report),
        _condition(report),
        _growing(report),
        _vitals(report),
    )
    return Prose((" ".join(text for text in sentences if text),), style="lead")


def _condition(report: BodyReport) -> str:
    line = report.of("condition")
    if line is None or (line.measure.against and line.measure.against.real):
        return ""
    their = capital(pronouns(report.horse.sex).possessive)
    score = written(line.measure.latest, report.barn)
    return f"{their} condition is scored {score} of 9, {score_in_words(line.measure)}."


def _growing(report: BodyReport) -> str:
    growth = report.growth
    if growth is None or growth.age.value > _SPOKEN_MONTHS:
        return ""
    they = pronouns(report.horse.sex)
    text = (
        f"At {written(growth.age, report.barn)} most horses still grow: on average one of that age "
        f"has {written(growth.weight, report.barn)} of its mature weight"
    )
    if growth.mature is None:
        return f"{text}."
    low, _, high = growth.mature
    return (
        f"{text}, and {they.possessive} height may end between {written(low, report.barn)} and "
        f"{written(high, report.barn)}."
    )


def _vitals(report: BodyReport) -> str:
    calm = [vital for vital in report.vitals if not vital.off]
    if not calm:
        return ""
    their = pronouns(report.horse.sex).possessive
    counts = [f"{written(vital.count, report.barn)} readings of {vital.what}" for vital in calm]
    since = day_of(min(vital.first for vital in calm), report.last)
    return f"None of {their} {listed(counts)} since {since} was off normal."


def vitals_note(told: BodyReport | Digest) -> str:
    """Say what the normal is made of."""
    their = pronouns(told.horse.sex).possessive
    return (
        f"Usual: the median of {their} readings in the two months (pulse: four) to "
        f"{day_of(last_of(told))}. Own normal: the range that holds nearly all of them, wider by "
        "a margin. Published: what vets call the upper end; the horse’s own normal comes first."
    )


def off_note() -> str:
    """Say what to do about a reading off normal."""
    return (
        "A reading off normal is a reason to take it again and to call the veterinarian, the more "
        "so if the horse is dull, off its feed, coughing or lame. What it means is the "
        "veterinarian’s to say."
    )


def growth_note(report: BodyReport) -> str:
    """Say what the curves are, where horses depart from them, and how far they missed."""
    barn = report.barn
    text = (
        "Average horses, by published curves. Published heights for an age differ, hence the "
        "range; how far one horse differs from the average is not published, and the ends allow "
        "for it widely."
    )
    if report.growth:
        text += _departs(report.growth, barn)
    if report.growth and report.growth.left_out:
        their = pronouns(report.horse.sex).possessive
        text += (
            f" Tested on {their} own heights, each foretold from the others, the curve was out by "
            f"{written(report.growth.left_out, barn)}, half of them by less."
        )
    return text


def _departs(growth: Growth, barn: Barn) -> str:
    if growth.departs is None:
        return " How Thoroughbreds of this age differ from the curve of weight is not published."
    less, more = growth.departs
    found = [f"up to {written(one, barn)} {way}" for one, way in ((less, "less"), (more, "more"))
             if one.value]  # fmt: skip
    return f" Thoroughbreds of this age were found to weigh {' and '.join(found)} than the curve."


def formula_name(key: str) -> str:
    """Write who made a formula, and when."""
    formula = FORMULAS[key]
    return f"{formula.authors} {formula.year}" if formula.year else formula.authors


def formula_basis(key: str) -> str:
    """Write what a formula takes and of which horses it was made."""
    formula = FORMULAS[key]
    taken = f"girth and length ({formula.length})" if formula.length else "girth alone"
    error = f"; {formula.printed_error}" if formula.printed_error else ""
    return (
        f"{taken}; {formula.population.replace('not said', 'on which horses is not told')}{error}"
    )


def tape_note(report: BodyReport) -> str:
    """Say how far such weights can be trusted, and what they are never for."""
    days = {one.day for one in report.tape_weights}
    return (
        f"From girth and length of {day_of(max(days), report.last)}. The interval is the published "
        "scatter for horses of 15 hands and more. None of the formulas was made on Thoroughbreds "
        "in training, which weigh less than others of their height and condition. One formula is "
        "kept for one horse, and never joined with the scale. Never for dosing."
    )


def energy_note(report: BodyReport) -> str:
    """Say of which weight the energy is, where the classes break, and whom to ask."""
    weight = report.of("weight")
    newest = written(weight.measure.latest, report.barn) if weight else ""
    how = "" if report.energy and report.energy.by_scale else ", by tape and so a rough one"
    return (
        f"Digestible energy for a weight of {newest}{how}, by published averages for grown horses. "
        "The class of racing and speed work is not shown: its rule could not be read at a source. "
        "Horses differ; what to feed is for a nutritionist or the veterinarian to say."
    )


def body_context(report: BodyReport) -> Prose | None:
    """Return what moves weight and height without the horse being any different."""
    told, barn = report.context, report.barn
    parts = []
    if "season_low" in told:
        low, high = told["season_low"], told["season_high"]
        parts.append(
            f"Over a year the weight of racehorses swung by {written(low, barn)} to "
            f"{written(high, barn)} with the season, lowest in summer for males and in spring for "
            "females; most went on gaining until five years old."
        )
    if "race_loss" in told and report.after_race:
        days = round(report.after_race.value)
        when = "on the day of" if not days else f"{count_of(days, 'day')} after"
        parts.append(
            f"The newest weighing was {when} a race: one race took "
            f"{written(told['race_loss'], barn)} on average, and the day after not all was back."
        )
    if "trot_rise" in told:
        parts.append(
            f"After a trot the withers stood {written(told['trot_rise'], barn)} higher for some "
            f"minutes, and sank by {written(told['standing_fall'], barn)} in 20 minutes of "
            "standing: more than a three-year-old may grow in months."
        )
    if not parts:
        return None
    return Prose(
        tuple(parts), title="What comes and goes", style="small", half=True, group="changes"
    )


def body_protocol(report: BodyReport) -> Prose:
    """Return how to measure so that readings can be compared, and what shoes are taken to add."""
    shoes, barn = report.shoes, report.barn
    height = (
        "Height: on level ground, the horse settled for 20 minutes and not after work, the same "
        "stick with a level, from the left, head at rest; three readings, the median counts; note "
        f"shoes and the day of trimming. Shoes are taken to add {written(shoes.allowance, barn)}, "
        f"give or take {written(shoes.error, barn)}; common practice says a quarter to a half inch."
    )
    if shoes.own and shoes.pairs:
        count = count_of(round(shoes.pairs.value), "day")
        height += (
            f" {capital(pronouns(report.horse.sex).possessive)} own shoes added about "
            f"{written(shoes.own, barn)}, by {count} with both readings."
        )
    return Prose(
        (
            height,
            "Weight: at the same hour, before feed and work, on the same scale. Girth: behind the "
            "elbow and the withers, at the end of a breath. Length: from the point of the shoulder "
            "to the point of the buttock. Condition: always by the same person. Temperature: in "
            "the morning, at rest.",
        ),
        title="How to measure",
        style="small",
    )


def body_notes(report: BodyReport) -> Prose | None:
    """Explain how a change is judged."""
    parts = measures_explained(report, [line.measure for line in report.lines])
    return Prose(tuple(parts), title="How it was judged", style="small") if parts else None


def body_missing(report: BodyReport) -> Prose | None:
    """Say what was not measured, and which rows could not be used."""
    absent = [f"no {MEASURE_NAMES[what]}" for what in _EXPECTED if report.of(what) is None]
    parts = [f"{capital(listed(absent))} of the last three years is on record."] if absent else []
    if report.recorded and not report.vitals:
        parts.append("No temperature or pulse of the last three months is on record.")
    if report.growth is None and report.foaling_unknown:
        parts.append("The day of foaling is not on record, so that growth is not shown.")
    parts += places_left_out(report.left_out)
    parts += remarks_kept_back(report.withheld_notes)
    if not parts:
        return None
    return Prose(tuple(parts), title="What is missing", style="small", half=True, group="end")
