"""Tables and key figures of the next work."""

from racecalc.digest import NextWork, PlanDay, PlanWork
from racecalc.page import Cell, Column, Figure, KeyFigures, Table
from racecalc.words import (
    NO_VALUE,
    calls_note,
    day_of,
    figure_and_unit,
    objections,
    plan_mark,
    plan_note,
    plan_works_note,
    rain_in_words,
    range_of,
    short_day,
    work_name,
    written,
)

__all__ = ["next_figures", "plan_calls", "plan_days", "plan_works"]


def next_figures(plan: NextWork) -> KeyFigures | None:
    """Return up to four figures of the day proposed, each with what it is compared with."""
    day = plan.day(plan.best)
    if day is None:
        return None
    found = []
    if day.since:
        what = "race" if plan.since_what == "race" else "work"
        least = f"the barn’s least: {plan.least_days}"
        found.append(_days_figure(day.since.value, f"after the last {what}", least))
    if day.to_race:
        least = f"the barn’s least: {plan.barn.days_work_to_race}"
        found.append(_days_figure(day.to_race.value, "before the race", least))
    if day.outlook.bad:
        value, unit = figure_and_unit(day.outlook.bad, plan.barn)
        basis = "by the forecast" if day.outlook.basis == "forecast" else "as in the 90 days before"
        found.append(Figure(value, unit, "chance that it is too wet", basis))
    if plan.fast:
        value, unit = figure_and_unit(plan.fast, plan.barn)
        usual = "too few months to compare"
        if plan.usual_fast:
            usual = f"usual: {range_of(plan.usual_fast, plan.barn)}"
        found.append(Figure(value, unit, "fast ground in 30 days, with it", usual))
    return KeyFigures(tuple(found))


def _days_figure(days: float, label: str, compare: str) -> Figure:
    count = round(days)
    return Figure(str(count), "day" if count == 1 else "days", label, compare)


def plan_days(plan: NextWork) -> Table | None:
    """Return the days that were weighed, with what stands against each."""
    if not plan.days:
        return None
    shown = {
        "to race": plan.target is not None,
        "rain": any(day.outlook.rain_chance for day in plan.days),
        _driest(plan): any(day.outlook.driest for day in plan.days),
        "too wet": any(day.outlook.bad for day in plan.days),
    }
    heads = ["day", f"since {plan.since_what}", *(head for head, on in shown.items() if on)]
    columns = [Column(head, "left" if head in ("day", "rain") else "right") for head in heads]
    rows = tuple(_day_row(day, plan, heads) for day in plan.days)
    return Table(
        (*columns, Column("days lost", "right"), Column("against it")),
        rows,
        title="The days, weighed",
        note=plan_note(plan),
    )


def _driest(plan: NextWork) -> str:
    words = plan.outlook.days[0].words if plan.outlook and plan.outlook.days else {}
    return next(iter(words), "dry")


def _day_row(day: PlanDay, plan: NextWork, heads: list[str]) -> tuple[str | Cell, ...]:
    mark, barn, on = plan_mark(day.day, plan), plan.barn, day.outlook
    name = f"{short_day(day.day)}, {mark}" if mark else short_day(day.day)
    texts = {
        "to race": written(day.to_race, barn) if day.to_race else NO_VALUE,
        "rain": rain_in_words(on, plan),
        _driest(plan): written(on.driest, barn) if on.driest else NO_VALUE,
        "too wet": written(on.bad, barn) if on.bad else NO_VALUE,
    }
    return (
        Cell(name) if day.day == plan.best else name,
        written(day.since, barn) if day.since else NO_VALUE,
        *(texts[head] for head in heads[2:]),
        written(day.cost, barn) if day.cost else NO_VALUE,
        objections(day, plan),
    )


def plan_works(plan: NextWork) -> Table | None:
    """Return the works that might be set, side by side."""
    if not plan.works or plan.best is None:
        return None
    piece = "200 m" if plan.barn.units == "metric" else "a furlong"
    return Table(
        (
            Column("work"),
            Column("distance"),
            Column("asked"),
            Column("time", "right"),
            Column("95 of 100", "right"),
            Column(piece, "right"),
            Column("fast ground", "right"),
            Column("30 days then", "right"),
        ),
        tuple(_work_row(work, plan) for work in plan.works),
        title=f"Works to choose from, for {day_of(plan.best)}",
        note=plan_works_note(plan),
    )


def _work_row(work: PlanWork, plan: NextWork) -> tuple[str | Cell, ...]:
    barn = plan.barn
    between = NO_VALUE
    if work.low and work.high:
        between = f"{written(work.low, barn)}–{written(work.high, barn)}"
    then = written(work.fast_30d, barn) if work.fast_30d else NO_VALUE
    return (
        work_name(work),
        written(work.distance, barn),
        NO_VALUE if work.kind == "threshold" else work.effort,
        Cell(written(work.time, barn)) if work.time else "no time",
        between,
        figure_and_unit(work.pace, barn)[0] if work.pace else NO_VALUE,
        written(work.fast, barn) if work.fast else NO_VALUE,
        f"{then}: look closer" if work.over_limit else then,
    )


def plan_calls(plan: NextWork) -> Table | None:
    """Return what the watch should show at each pole, a column for each work."""
    works = [work for work in plan.works if work.calls]
    if not works:
        return None
    poles = {call.to_finish_m: (call.pole, call.colour) for work in works for call in work.calls}
    rows = []
    for to_finish_m in sorted(poles, reverse=True):
        name, colour = poles[to_finish_m]
        watches = (
            next((c.watch for c in work.calls if c.to_finish_m == to_finish_m), None)
            for work in works
        )
        texts = (written(watch, plan.barn) if watch else NO_VALUE for watch in watches)
        rows.append((name, colour or NO_VALUE, *texts))
    heads = [
        Column(f"{written(work.distance, plan.barn)} {_asked(work)}", "right") for work in works
    ]
    return Table(
        (Column("pole"), Column("colour"), *heads),
        tuple(rows),
        title="The watch at the poles",
        note=calls_note(plan),
    )


def _asked(work: PlanWork) -> str:
    return "test pace" if work.kind == "threshold" else work.effort
