"""The words of the report on a horse's body: the message, the notes, how to measure."""

from racecalc.body import FORMULAS
from racecalc.digest import BodyReport, Digest
from racecalc.page import Masthead, Prose
from racecalc.words.body import (
    MEASURE_NAMES,
    last_of,
    measure_sentences,
    measures_explained,
    off_days_sentence,
)
from racecalc.words.grammar import capital, count_of, day_of, listed, pronouns
from racecalc.words.notes import places_left_out, remarks_kept_back
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
    "elevated": "at rest, lively or in hard weather",
    "light": "light work: some hours a week, walk and trot",
    "moderate": "moderate work: three to five hours a week, some canter",
    "heavy": "heavy work: canter and gallop, the middle of race training",
    "very heavy": "very heavy work: racing, speed work",
}

# An older horse has little left to grow: its growth stands in the table alone.
_SPOKEN_MONTHS = 36

# Left out of what the page calls missing: few barns take them.
_EXPECTED = ("height", "weight", "condition")


def body_masthead(report: BodyReport) -> Masthead:
    """Return the head of the report."""
    barn, name = report.barn, report.horse.name
    when = f"to {day_of(report.last)} {report.last.year}"
    return Masthead(
        name=name,
        when=when,
        day=report.last.isoformat(),
        subtitle="Height, weight, condition and vital signs",
        audience="body report",
        barn=barn.name,
        trainer=barn.trainer,
        language=barn.language,
        paper=barn.paper,
        description=f"How the body of {name} measured {when}.",
    )


def body_summary(report: BodyReport) -> Prose:
    """Return the sentences that carry the report."""
    if not report.recorded:
        return Prose((f"No measurement of {report.horse.name} is on record.",), style="lead")
    sentences = (
        measure_sentences(report),
        _growing(report),
        _vitals(report),
        off_days_sentence(report, report.vitals),
    )
    return Prose((" ".join(text for text in sentences if text),), style="lead")


def _growing(report: BodyReport) -> str:
    growth = report.growth
    if growth is None or growth.age.value > _SPOKEN_MONTHS:
        return ""
    they = pronouns(report.horse.sex)
    text = (
        f"At {written(growth.age, report.barn)} {they.subject} is still growing: on average a "
        f"horse of that age has {written(growth.weight, report.barn)} of its mature weight"
    )
    if growth.mature is None:
        return f"{text}."
    low, _, high = growth.mature
    return (
        f"{text}, and {they.possessive} height may end between {written(low, report.barn)} and "
        f"{written(high, report.barn)}."
    )


def _vitals(report: BodyReport) -> str:
    calm = [vital for vital in report.vitals if not vital.off and vital.low]
    if not calm:
        return ""
    they = pronouns(report.horse.sex)
    names = listed([vital.what for vital in calm])
    verb = "was" if len(calm) == 1 else "were"
    return (
        f"{capital(they.possessive)} {names} {verb} within {they.possessive} own normal on every "
        f"reading since {day_of(report.first, report.last)}."
    )


def vitals_note(told: BodyReport | Digest) -> str:
    """Say what the normal is made of."""
    their = pronouns(told.horse.sex).possessive
    return (
        f"Usual: the median of {their} readings in the two months (pulse: four) to "
        f"{day_of(last_of(told))}. Own normal: so far from it as nearly all readings of a "
        "healthy horse lie. Published ranges "
        "differ from one another; the widest is shown, and the horse’s own normal comes first."
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
        less, more = (written(one, barn) for one in report.growth.departs)
        text += (
            f" Young Thoroughbreds were found to weigh up to {less} less and up to {more} more "
            "than the curve, by age."
        )
    if report.growth and report.growth.left_out:
        their = pronouns(report.horse.sex).possessive
        text += (
            f" Each of {their} heights foretold from the others by this curve was out by "
            f"{written(report.growth.left_out, barn)} in the middle."
        )
    return text


def formula_name(key: str) -> str:
    """Write who made a formula, and when."""
    formula = FORMULAS[key]
    return f"{formula.authors} {formula.year}" if formula.year else formula.authors


def formula_basis(key: str) -> str:
    """Write what a formula takes and of which horses it was made."""
    formula = FORMULAS[key]
    taken = f"girth and length ({formula.length})" if formula.length else "girth alone"
    return f"{taken}; {formula.population.replace('not said', 'on which horses is not told')}"


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
        f"For a weight of {newest}{how}. Published averages of digestible energy. Light to heavy "
        "work multiply the average rest, very heavy work the higher one (as remembered, not read), "
        "so that the step to it is larger. Twenty racehorses in training took in 4 to 22 % less "
        "than such guidance. What to feed is for a nutritionist or the veterinarian to say."
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
            "standing: as much as many a horse of three grows in months."
        )
    if not parts:
        return None
    return Prose(
        tuple(parts), title="What moves without change", style="small", half=True, group="changes"
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
            f" On {count} with both readings, {pronouns(report.horse.sex).possessive} shoes added "
            f"{written(shoes.own, barn).lstrip('+')} in the middle."
        )
    return Prose(
        (
            height,
            "Weight: at one hour, before feed and work, on the same scale. Girth: behind the "
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
    absent = [MEASURE_NAMES[what] for what in _EXPECTED if report.of(what) is None]
    parts = [f"No {listed(absent).replace(' and ', ' and no ')} is on record."] if absent else []
    if report.recorded and not report.vitals:
        since = day_of(report.first, report.last)
        parts.append(f"Temperature and pulse were not written down since {since}.")
    parts += places_left_out(report.left_out)
    parts += remarks_kept_back(report.withheld_notes)
    if not parts:
        return None
    return Prose(tuple(parts), title="What is missing", style="small", half=True, group="end")
