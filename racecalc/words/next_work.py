"""The words of the next work: the day proposed, or why none is, and how it was weighed."""

from racecalc.digest import NextWork, PlanDay, Target
from racecalc.page import Masthead, Prose
from racecalc.sources import brief
from racecalc.weather import CAUTIONS, Caution
from racecalc.words.grammar import (
    capital,
    chosen,
    count_of,
    day_of,
    listed,
    number_word,
)
from racecalc.words.notes import places_left_out, remarks_kept_back
from racecalc.words.plan import refusals
from racecalc.words.summary import masthead_until
from racecalc.words.surface import lean_in_words, outlook_lacks
from racecalc.words.written import written

__all__ = [
    "next_masthead",
    "next_missing",
    "next_notes",
    "next_sentence",
    "next_summary",
    "published_cautions",
]

_NEAR = ("spacing", "before_race")
_LACKS = {
    "track": "It is not known where {name} is to work.",
    "target": "No race of the next two months is written down as an aim.",
    "works": "{name} has no timed work at this track in the year before to set another one by.",
    "line": "There are too few works on record to expect a time.",
    "threshold": "No exercise test of the half year before tells the speed at 4 mmol/l.",
}


def next_masthead(plan: NextWork) -> Masthead:
    """Return the head of the report."""
    told = "Which day, how far and how fast {name} might work next, from what is known {when}."
    return masthead_until(plan.horse, plan.barn, plan.last, "the next work", told)


def next_summary(plan: NextWork) -> Prose:
    """Return the sentences that carry the report."""
    sentences = [next_sentence(plan), _footing(plan), _fall_backs(plan)]
    sentences.append("The trainer decides on the morning." if plan.best else "")
    return Prose((" ".join(text for text in sentences if text),), style="lead")


def next_sentence(plan: NextWork) -> str:
    """Say which day is proposed, or why none is."""
    if plan.out_of_work:
        return _out_of_work(plan)
    if not plan.best:
        return _no_day(plan)
    name, day = plan.horse.name, f"{plan.best:%A} {day_of(plan.best, plan.last)}"
    ways = (
        f"{day} looks best for {name}’s next fast work{_when(plan)}.",
        f"For {name}’s next fast work, {day} is proposed{_when(plan)}.",
        f"{name}’s next fast work is proposed for {day}{_when(plan)}.",
    )
    return chosen(f"{plan.horse.id} {plan.last} next work", ways)


def _when(plan: NextWork) -> str:
    """Write how long after the last work, and how long before the race: ": nine days after …"."""
    day = plan.day(plan.best)
    parts = []
    if day and day.since:
        what = "race" if plan.since_what == "race" else "work"
        parts.append(f"{count_of(round(day.since.value), 'day')} after the last {what}")
    if day and day.to_race and plan.target:
        ahead = count_of(round(day.to_race.value), "day")
        parts.append(f"{ahead} before {_race(plan.target, plan)}")
    return f": {listed(parts)}" if parts else ""


def _race(target: Target, plan: NextWork) -> str:
    where = f" at {target.track}" if target.track else ""
    return f"the race over {written(target.distance, plan.barn)}{where}"


def _no_day(plan: NextWork) -> str:
    name, target = plan.horse.name, plan.target
    if target and all(one in _NEAR for day in plan.days for one in day.refused_by):
        did = "raced" if plan.since_what == "race" else "worked"
        since = f" {did} on {day_of(plan.since_day)} and" if plan.since_day else ""
        return (
            f"{name}{since} is aimed at {_race(target, plan)} on {day_of(target.day, plan.last)}: "
            "by the barn’s own limits no fast work fits between. What to do until then is the "
            "trainer’s to say."
        )
    if not plan.days:
        left = f"leaves the barn on {day_of(plan.horse.left, plan.last)}" if plan.horse.left else ""
        return f"{name} {left or 'has no day ahead'}, so no day is proposed here."
    *others, last = dict.fromkeys(reason for day in plan.days for reason in refusals(day))
    reasons = f"{', '.join(others)} or {last}" if others else last
    aim = ""
    if target:
        on = day_of(target.day, plan.last)
        aim = f" The aim is {_race(target, plan)} on {on}."
    end = day_of(plan.days[-1].day)
    return f"No day up to {end} suits a fast work of {name}: {reasons}.{aim} The trainer decides."


def _out_of_work(plan: NextWork) -> str:
    told = "no work or race on record"
    if plan.idle:
        told = f"not worked or raced for {number_word(round(plan.idle.value))} days"
    aim = f" The aim is {_race(plan.target, plan)}." if plan.target else ""
    return (
        f"{plan.horse.name} has {told}, so no day is proposed here. The first works back are for "
        f"the trainer and the vet to set.{aim}"
    )


def _footing(plan: NextWork) -> str:
    day = plan.day(plan.best)
    if day is None or day.outlook.bad is None:
        return ""
    chance, track = written(day.outlook.bad, plan.barn), plan.track or "the track"
    if day.outlook.basis == "log":
        return (
            f"{_no_forecast(plan, day)}; over the 90 days before, {track} was too wet for a fast "
            f"work on {chance} of days."
        )
    return (
        f"By the forecast, the chance that {track} is too wet for a fast work that morning is "
        f"{chance}{lean_in_words(plan.lean)}."
    )


def _no_forecast(plan: NextWork, day: PlanDay) -> str:
    """Say why the footing of a day is not told by the forecast."""
    if plan.outlook is None or plan.outlook.issued is None:
        return "There is no forecast of these days"
    if day.outlook.rain_chance is None:
        return "The forecast does not reach that day"
    return "The footing of that day could not be told from the forecast"


def _fall_backs(plan: NextWork) -> str:
    if not plan.best:
        return ""
    days = [day_of(day) for day in plan.fall_backs]
    if not days:
        return "No later day of those that were weighed fits if that morning falls through."
    then = f", then {days[1]}" if len(days) > 1 else ""
    return f"If that morning falls through, {days[0]} is next{then}."


def next_notes(plan: NextWork) -> Prose | None:
    """Explain the rules, the chances and what a plan is."""
    if not plan.days:
        return None
    barn = plan.barn
    resting = listed([capital(day) for day in barn.rest_days])
    rests = f", no work on {resting}" if resting else ""
    since = "from the last race" if plan.since_what == "race" else "from work to work"
    most = f"at most {written(plan.fast_limit, barn)} of " if plan.fast_limit else ""
    rules = (
        f"The barn’s limits: {count_of(plan.least_days, 'day')} {since}, "
        f"{count_of(barn.days_work_to_race, 'day')} from a work to a race, {most}fast ground in "
        f"30 days{rests}. Nothing is proposed after six weeks without a work or a race. A day is "
        "refused when even its coolest hour is too hot (°F plus humidity above 180, or a wet bulb "
        "globe temperature of 90 °F, 32 °C), or its warmest colder than about 20 °F, −7 °C (common "
        "practice)."
    )
    return Prose((rules, *_how_wet(plan)), title="How it was weighed", style="small")


def _how_wet(plan: NextWork) -> tuple[str, ...]:
    """Explain the chances of the footing, where there are any by the forecast."""
    if not any(day.outlook.basis == "forecast" for day in plan.days):
        return ()
    return (
        "The footing: the forecast’s rain is drawn ten thousand times, and the top of the track "
        "wetted and dried by it (FAO 56, with drainage and sealing of our own); what that has "
        "meant at the track, and how often a day’s rain comes before the morning’s entry, is "
        "learned from its log. Where the forecast is wrong, so are these chances.",
    )


def published_cautions(plan: NextWork) -> Prose | None:
    """Tell what bodies of the sport ask for in heat, cold, bad air and lightning."""
    if not plan.days:
        return None
    lines = []
    for subject in dict.fromkeys(caution.subject for caution in CAUTIONS):
        asked = (
            f"{brief(one.source).partition(',')[0]}: {_steps(one)}."
            for one in CAUTIONS
            if one.subject == subject
        )
        lines.append(f"{capital(subject)}. {' '.join(asked)}")
    lines.append(
        "WBGT is the wet bulb globe temperature, which counts heat, damp and sun as one. Air "
        "quality and lightning are not in the book: look on the morning. All this was made for "
        "racing or for other horses, and it differs. The track’s own rules, the vet and local law "
        "come first."
    )
    return Prose(tuple(lines), title="What bodies of the sport ask for", style="small")


def _steps(caution: Caution) -> str:
    """Write what one body asks for, each of its steps with what begins there."""
    ats, asks = caution.at.split("; "), caution.asks.split("; ")
    if len(ats) != len(asks):
        return f"{caution.at}: {caution.asks}"
    return "; ".join(f"{at}, {ask}" for at, ask in zip(ats, asks, strict=True))


def next_missing(plan: NextWork) -> Prose | None:
    """Say what was lacking, and which rows could not be used."""
    name = plan.horse.name
    parts = outlook_lacks(plan.outlook) if plan.outlook else []
    parts += [_LACKS[lack].replace("{name}", name) for lack in plan.lacks if lack in _LACKS]
    parts += places_left_out(plan.left_out)
    parts += remarks_kept_back(plan.withheld_notes)
    if not parts:
        return None
    return Prose(tuple(parts), title="What is missing", style="small", half=True, group="end")
