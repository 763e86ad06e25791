"""The words beside the days and the works of a plan."""

from datetime import date

from racecalc.digest import NextWork, OutlookDay, PlanDay, PlanWork, SurfaceReport
from racecalc.words.grammar import count_of, day_of, listed, ordinal, pronouns
from racecalc.words.surface import too_wet
from racecalc.words.works import NO_VALUE
from racecalc.words.written import written

__all__ = [
    "calls_note",
    "days_caption",
    "days_words",
    "objections",
    "plan_mark",
    "plan_note",
    "plan_works_note",
    "rain_in_words",
    "refusals",
    "work_name",
]

_WORK_KINDS = {
    "shorter": "shorter",
    "same": "as the last",
    "longer": "longer, easier",
    "easier": "as far, easier",
    "threshold": "gallop at test pace",
}
_REFUSED = {
    "in_work": "out of work too long",
    "spacing": "too soon after the last",
    "before_race": "too close to the race",
    "fast_ground": "more fast ground than the barn wants",
    "rest_day": "a day of rest",
    "heat": "too hot",
    "cold": "too cold",
    "footing": "more likely than not too wet",
}
_CAREFUL = {"heat": "hot later on: go early", "cold": "frost"}
# A chance of bad footing from which it is named among what stands against a day, in percent.
_DOUBTFUL = 25.0


def refusals(day: PlanDay) -> list[str]:
    """Write why limits refuse a day."""
    return [_REFUSED[rule] for rule in day.refused_by]


def plan_mark(day: date, plan: NextWork) -> str:
    """Write which choice a day is: "1st choice", "2nd choice", or nothing."""
    order = [plan.best, *plan.fall_backs]
    return f"{ordinal(order.index(day) + 1)} choice" if day in order else ""


def objections(day: PlanDay, plan: NextWork) -> str:
    """Write what stands against a day, or what to be careful of; a dash where nothing does."""
    parts = refusals(day)
    parts += [_CAREFUL[one.rule] for one in day.reasons if one.says == "careful"]
    doubtful = day.outlook.bad is not None and day.outlook.bad.value >= _DOUBTFUL
    if doubtful and "footing" not in day.refused_by:
        parts.append("footing doubtful")
    away = (day.day - plan.planned).days if plan.planned else 0
    if away and not refusals(day):
        side = "later" if away > 0 else "earlier"
        parts.append(f"{count_of(abs(away), 'day')} {side} than planned")
    return ", ".join(parts) or NO_VALUE


def rain_in_words(day: OutlookDay, plan: NextWork | SurfaceReport) -> str:
    """Write the forecast's rain: "75 %, 0.35 in"."""
    if day.rain_chance is None:
        return NO_VALUE
    chance = written(day.rain_chance, plan.barn)
    return f"{chance}, {written(day.rain, plan.barn)}" if day.rain else chance


def plan_note(plan: NextWork) -> str:
    """Say how days were weighed, and what the trainer has put in."""
    wet = too_wet(plan)
    text = (
        "Days lost, to the nearest half: one for each day before or after the day that was planned"
    )
    if wet:
        text += (
            f", and {_cost(plan)} times the chance, before it was rounded, that it is too wet "
            f"({wet}). Doubtful: from {_DOUBTFUL:.0f} % on"
        )
    text += ". The day that loses least, and that no limit refuses, is the 1st choice."
    if len(plan.fall_backs) > 1:
        text += (
            " The 2nd and 3rd are later days, in order of time: those that lose least if the 1st "
            "falls through."
        )
    if plan.planned is None or not plan.best:
        return text
    why = "as asked for" if plan.asked_for else _why_planned(plan)
    return f"Planned: {day_of(plan.planned)}, {why}. {text}"


def _cost(plan: NextWork) -> str:
    """Write how many days a work on bad footing costs, and who says so."""
    whose = {
        "asked": "as asked for",
        "barn": "as the barn has set it",
        "default": "our default, as the barn has set none",
    }[plan.cost_from]
    return f"{written(plan.bad_footing, plan.barn)} ({whose})"


def _why_planned(plan: NextWork) -> str:
    their = pronouns(plan.horse.sex).possessive
    if plan.gap:
        days = count_of(round(plan.gap.value), "day")
        return f"as {their} works usually lie {days} apart, within the barn’s limits"
    return "the first that the barn’s limits allow"


def days_words(plan: NextWork) -> str:
    """Describe the picture of the days: what is shown, and the day proposed."""
    best = f"; first choice is {day_of(plan.best)}" if plan.best else "; none is proposed"
    first, last = plan.days[0].day, plan.days[-1].day
    return (
        f"The days from {day_of(first)} to {day_of(last)}: for each the chance of rain, and the "
        f"chance that it is too wet for a fast work in the morning{best}."
    )


def days_caption(plan: NextWork) -> str:
    """Say what the bars are, and from what."""
    where = plan.track or "the track"
    issued = plan.outlook.issued if plan.outlook else None
    text = f"Above: the chance of rain, by the forecast of {day_of(issued)}. " if issued else ""
    told = {day.outlook.basis for day in plan.days if day.outlook.bad}
    wet = f"that {where} is too wet for a fast work in the morning"
    if "forecast" in told:
        pale = (
            "; pale bars: no forecast, so how often it was in the last 90 days"
            if "log" in told
            else ""
        )
        text += f"{'Below: t' if issued else 'T'}he chance {wet}{pale}. "
    elif told:
        text += (
            f"No forecast tells the chance {wet}: shown is how often it was in the last 90 days. "
        )
    refused = any(not day.allowed for day in plan.days)
    return f"{text}{'Marked “no”: refused by a limit of the barn.' if refused else ''}".strip()


def plan_works_note(plan: NextWork) -> str:
    """Say where the times are from, and how fast ground is counted."""
    on = plan.day(plan.best)
    state = on.outlook.likeliest if on else None
    footing = f" on a track that is {state}" if state else ""
    their = pronouns(plan.horse.sex).possessive
    text = (
        f"Times are those to expect by {their} own line{footing}; the range holds 95 of 100 such "
        "works. Fast ground: at an even pace"
    )
    if plan.fast_limit:
        text += f"; the barn looks closer above {written(plan.fast_limit, plan.barn)} in 30 days"
    text += "."
    if plan.threshold and plan.threshold_day:
        text += (
            f" Test pace: {written(plan.threshold, plan.barn)}, at 4 mmol/l of lactate on "
            f"{day_of(plan.threshold_day, plan.last)}: a gallop, no work."
        )
    unlearned = [w.effort for w in plan.works if w.time and not w.learned and w.kind != "threshold"]
    if unlearned:
        words = listed(list(dict.fromkeys(unlearned)))
        text += f" What {words} means here is not learned yet: too few works say it."
    return text


def work_name(work: PlanWork) -> str:
    """Write what a work is beside the last one: "shorter, sharper"."""
    name = _WORK_KINDS[work.kind]
    return f"{name}, sharper" if work.kind == "shorter" and work.sharper else name


def calls_note(plan: NextWork) -> str:
    """Say what the columns of poles are."""
    return (
        "The watch at an even pace; most horses go a little slower early. Each work ends at the "
        "finish. A pole sheet lays one of them out for the rider."
    )
