"""The next work: the day proposed, what it rests on, and what is lacking, in small books."""

import tempfile
from datetime import date, timedelta
from pathlib import Path

import pytest

from racecalc import digest
from racecalc.errors import OutOfRangeError
from racecalc.notation import write_clock
from tests.daybook.stable import BARN
from tests.digest import sky
from tests.digest.sky import LAST, forecast, forecast_rows, log, table, weather
from tests.digest.small import METRIC, month_of, record_of, rows
from tests.digest.test_fitness import step_test

LEFT = "horse,name,foaled,sex,left\nsieve,Sieve,2022,filly,{day}\n"


def works(*days: date, far: str = "4 f", clock: str = ":49 2/5", track: str = "main") -> str:
    """Return a work on each of these days."""
    lines = (
        f"w{number},{day},sieve,{track},{far},{clock},breezing,steady"
        for number, day in enumerate(days)
    )
    return rows("works", *lines, more=",manner,effort")


def habit(last_work: date, every: int = 7, count: int = 14, **more: str) -> str:
    """Return works at even distances, the last of them on a day."""
    return works(*(last_work - timedelta(days=every * n) for n in reversed(range(count))), **more)


def plan_of(until: str = LAST.isoformat(), barn: str = BARN, asked=None, **tables: str):
    """Return the plan of a horse whose book holds these tables on a kept track."""
    book = {
        "tracks": sky.TRACKS,
        "works": habit(LAST - timedelta(days=5)),
        "surface": log(),
        "weather": weather(),
        "forecast": forecast(10, 10, 10, 10, 10, 10, 10, 10, 10),
    } | tables
    with tempfile.TemporaryDirectory() as folder:
        record = record_of(Path(folder), barn, **book)
        return digest.build_next_work(record, until, **(asked or {}))


def care(*lines: str, barn: str = BARN) -> str:
    return "\n".join([barn, "[care]", *lines]) + "\n"


def on(ahead: int) -> date:
    """Return a day by how far it lies ahead."""
    return LAST + timedelta(days=ahead)


def said(day, rule: str) -> str:
    """Return what a rule says of a day."""
    (found,) = [reason.says for reason in day.reasons if reason.rule == rule]
    return found


def says(plan, rule: str) -> list[str]:
    return [said(day, rule) for day in plan.days]


def numbers_of(plan) -> dict[str, float]:
    numbers = plan.numbers()
    named = {number.name: number.value for number in numbers}
    assert len(named) == len(numbers), "two numbers have one name"
    assert all(number.kind in digest.KIND_UNITS for number in numbers)
    assert all(abs(number.value) < 1e9 for number in numbers)
    return named


# The day


def test_a_horse_in_its_habit_is_to_work_when_it_usually_would() -> None:
    plan = plan_of(forecast=forecast(*[0] * 9))
    assert plan.since_day == on(-5)
    assert plan.gap is not None
    assert plan.gap.value == 7
    assert (plan.planned, plan.asked_for) == (on(2), False)
    assert plan.best == on(2)
    assert plan.fall_backs == (on(3), on(4))
    assert [day.day for day in plan.days] == [on(n) for n in range(1, 8)]
    assert says(plan, "spacing") == ["fine"] * 7
    numbers_of(plan)


def test_rain_before_the_planned_day_moves_the_work_where_footing_matters() -> None:
    rain = {"forecast": forecast(30, 0, 0, 0, 0, 0, 0, air="40 mm,8 C,19 C,3 m/s,50,92")}
    dear = plan_of(asked={"bad_footing": "30"}, **rain)
    assert dear.bad_footing.value == 30
    assert dear.best == on(1), "before the rain"
    assert dear.day(on(2)).outlook.bad.value > 15
    assert dear.day(dear.best).outlook.bad.value < 5
    assert dear.day(on(2)).cost.value > dear.day(on(1)).cost.value
    assert plan_of(asked={"bad_footing": "0"}, **rain).best == on(2)


def test_a_day_likelier_bad_than_not_is_refused_whatever_it_costs() -> None:
    rain = forecast(100, 0, 0, 0, 0, 0, 0, air="40 mm,8 C,19 C,3 m/s,50,92")
    plan = plan_of(asked={"bad_footing": "0"}, forecast=rain)
    for day in plan.days:
        refused = day.outlook.bad.value > 50
        assert said(day, "footing") == ("refused" if refused else "fine")
        assert day.refused_by == (("footing",) if refused else ())
        assert (day.cost is None) == (not day.allowed) == refused
    assert [day.allowed for day in plan.days[:2]] == [True, False]
    assert plan.best == on(1)


def test_fall_backs_are_weighed_for_a_morning_on_which_the_day_proposed_was_too_wet() -> None:
    """A chance of heavy rain before the day: where it came, the day after is too wet as well."""
    rain = forecast(30, 0, 0, 0, 0, 0, 0, air="40 mm,8 C,19 C,3 m/s,50,92")
    plan = plan_of(asked={"bad_footing": "1"}, forecast=rain)
    assert plan.best == on(2)
    # As things are, the day after would do, and be the cheapest.
    assert plan.day(on(3)).allowed
    assert min((day.cost.value, day.day) for day in plan.days[2:])[1] == on(3)
    then = plan.outlook.if_wet[1]
    assert then[1] > 0.6
    assert then[2] > 0.5 > then[4]
    assert on(3) not in plan.fall_backs
    assert len(plan.fall_backs) == 2
    assert list(plan.fall_backs) == sorted(plan.fall_backs)
    assert all(then[(day - LAST).days - 1] <= 0.5 for day in plan.fall_backs)


def test_chances_of_a_day_given_another_are_those_of_draws_in_which_that_one_was_bad() -> None:
    plan = plan_of(forecast=forecast(*[30] * 7, air="20 mm,8 C,19 C,3 m/s,50,92"))
    chances, given = (
        [day.outlook.bad.value / 100 for day in plan.days],
        plan.outlook.if_wet,
    )
    assert len(given) == 7
    for at in range(7):
        assert len(given[at]) == 7
        for other in range(7):
            # Both bad: the same counted from either day.
            both = given[at][other] * chances[at]
            assert both == pytest.approx(given[other][at] * chances[other], rel=1e-6)
            assert 0 <= given[at][other] <= 1
    # What was wet stays so until the day after.
    assert all(given[at][at + 1] > chances[at + 1] for at in range(6))
    ends = plan_of(forecast=forecast(30, 30, 30))
    assert [len(row) for row in ends.outlook.if_wet] == [3, 3, 3]
    assert plan_of(forecast=table(sky.FORECAST, [])).outlook.if_wet == ()


def test_costs_are_days_away_and_the_chance_of_bad_footing() -> None:
    plan = plan_of()
    for day in plan.days:
        assert day.allowed
        away = abs((day.day - on(2)).days)
        chance = day.outlook.bad.value / 100
        assert day.cost.value == pytest.approx(away + 4 * chance)
        assert day.outlook.basis == "forecast"


@pytest.mark.parametrize(("setting", "cost"), [((), 4), (("bad_footing_days = 7",), 7)])
def test_what_bad_footing_costs_is_the_barns_setting_or_ours(
    setting: tuple[str, ...], cost: float
) -> None:
    assert plan_of(barn=care(*setting)).bad_footing.value == cost
    asked = plan_of(barn=care(*setting), asked={"bad_footing": "2.5"})
    assert asked.bad_footing.value == 2.5


def test_the_planned_day_may_be_asked_for() -> None:
    plan = plan_of(asked={"planned": on(4).isoformat()}, forecast=forecast(*[0] * 9))
    assert (plan.planned, plan.asked_for, plan.best) == (on(4), True, on(4))
    far = plan_of(asked={"planned": on(9).isoformat()})
    assert len(far.days) == 13
    farthest = plan_of(asked={"planned": on(14).isoformat()})
    assert len(farthest.days) == 14
    assert farthest.planned == on(14)


def test_the_planned_day_is_before_the_race() -> None:
    race = {"targets": rows("targets", f"sieve,{on(9)},6 f,main,maiden")}
    assert plan_of(asked={"planned": on(8).isoformat()}, **race).planned == on(8)
    for ahead in (9, 10):
        with pytest.raises(OutOfRangeError, match=f"is not before the race of {on(9)}"):
            plan_of(asked={"planned": on(ahead).isoformat()}, **race)


@pytest.mark.parametrize(
    ("setting", "asked", "whose"),
    [
        ((), {}, "default"),
        (("bad_footing_days = 4",), {}, "barn"),
        (("bad_footing_days = 4",), {"bad_footing": "4"}, "asked"),
        ((), {"bad_footing": "4"}, "asked"),
    ],
)
def test_whose_the_cost_of_bad_footing_is(
    setting: tuple[str, ...], asked: dict[str, str], whose: str
) -> None:
    plan = plan_of(barn=care(*setting), asked=asked)
    assert (plan.cost_from, plan.bad_footing.value) == (whose, 4)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"planned": LAST.isoformat()}, "is not after 2026-10-31, the last day that is known"),
        ({"planned": "2026-10-01"}, "is not after"),
        ({"planned": "soon"}, "planned “soon” is no day"),
        ({"planned": "2026-11-31"}, "is no day"),
        ({"planned": on(15).isoformat()}, "is more than 14 days after 2026-10-31"),
        ({"planned": "2027-10-31"}, "is more than 14 days after"),
        ({"bad_footing": "-1"}, "bad footing “-1”: write how many days of waiting it costs"),
        ({"bad_footing": "x"}, "bad footing “x”"),
        ({"bad_footing": "61"}, "0 to 60"),
        ({"bad_footing": "nan"}, "bad footing “nan”"),
        ({"bad_footing": "inf"}, "bad footing “inf”"),
        (
            {"track": "moon"},
            "no track has the id “moon”, or its row was refused (racecalc check tells)",
        ),
    ],
)
def test_what_cannot_be_asked_for_is_refused(asked: dict[str, str], says: str) -> None:
    with pytest.raises(OutOfRangeError) as refused:
        plan_of(asked=asked)
    assert says in str(refused.value)


@pytest.mark.parametrize(
    ("until", "says"),
    [
        ("yesterday", "“yesterday” is no day"),
        ("0001-01-01", "write a day of the years 1700 to 2200"),
        ("9999-12-31", "write a day of the years 1700 to 2200"),
    ],
)
def test_a_last_day_that_is_none_is_refused(until: str, says: str) -> None:
    with pytest.raises(OutOfRangeError, match=says):
        plan_of(until=until)


@pytest.mark.parametrize("until", ["1700-01-01", "2200-12-31"])
def test_a_last_day_far_from_any_record_is_told_of(until: str) -> None:
    plan = plan_of(until=until)
    assert plan.last == date.fromisoformat(until)
    assert plan.best is None


# The race


def test_without_a_race_nothing_is_held_against_one() -> None:
    plan = plan_of()
    assert plan.target is None
    assert "target" in plan.lacks
    assert says(plan, "before_race") == ["unknown"] * 7
    assert plan.best is not None


def test_days_too_close_to_a_race_are_refused() -> None:
    race = rows("targets", f"sieve,{on(6)},6 f,main,maiden")
    plan = plan_of(targets=race)
    assert "target" not in plan.lacks
    assert plan.target.day == on(6)
    assert [day.day for day in plan.days] == [on(n) for n in range(1, 6)]
    assert says(plan, "before_race") == ["fine", "fine", "refused", "refused", "refused"]
    assert [day.to_race.value for day in plan.days] == [5, 4, 3, 2, 1]
    assert plan.planned == on(2)


def test_a_race_comes_before_the_habit() -> None:
    """Every 14 days it works, next on the race's day: the plan is four days before that."""
    race = rows("targets", f"sieve,{on(9)},6 f,main,maiden")
    plan = plan_of(targets=race, works=habit(on(-5), every=14))
    assert plan.gap.value == 14
    assert plan.planned == on(5)


def test_a_race_within_the_limits_leaves_no_allowed_day() -> None:
    plan = plan_of(targets=rows("targets", f"sieve,{on(3)},6 f,main,maiden"))
    assert says(plan, "before_race") == ["refused", "refused"]
    assert (plan.best, plan.fall_backs) == (None, ())
    assert plan.works == (), "no work is laid out where no day fits"
    assert all(day.cost is None and not day.allowed for day in plan.days)
    numbers_of(plan)


def test_a_race_tomorrow_leaves_no_day() -> None:
    plan = plan_of(targets=rows("targets", f"sieve,{on(1)},6 f,main,maiden"))
    assert (plan.days, plan.best, plan.planned) == ((), None, None)
    assert "track" not in plan.lacks, "the track is known"
    numbers_of(plan)


def test_the_next_race_counts_and_one_that_was_run_does_not() -> None:
    race = rows(
        "targets", f"sieve,{on(20)},6 f,main,", f"sieve,{on(12)},1 mi,main,", f"sieve,{LAST},6 f,,"
    )
    assert plan_of(targets=race).target.day == on(12)


# The horse


@pytest.mark.parametrize(
    ("setting", "least"), [((), 10), (("days_after_race = 3",), 3), (("days_after_race = 0",), 0)]
)
def test_a_race_needs_its_own_distance_in_days(setting: tuple[str, ...], least: int) -> None:
    raced = rows("exercise", f"{on(-1)},sieve,race,6 f,1:12,main")
    plan = plan_of(exercise=raced, barn=care(*setting))
    assert (plan.since_day, plan.since_what, plan.least_days) == (on(-1), "race", least)
    # Its habit is seven days; the days from a work to the next are of no account.
    assert plan.planned == on(-1) + timedelta(days=max(least, 7))
    soon = max(least - 2, 0)
    assert says(plan, "spacing") == ["refused"] * soon + ["fine"] * (len(plan.days) - soon)
    assert plan.best == plan.planned


def test_a_work_after_a_race_is_a_work() -> None:
    raced = rows("exercise", f"{on(-6)},sieve,race,6 f,1:12,main")
    plan = plan_of(exercise=raced, barn=care("days_between_works = 8"))
    assert (plan.since_day, plan.since_what, plan.least_days) == (on(-5), "work", 8)
    assert says(plan, "spacing") == ["refused"] * 2 + ["fine"] * 5


@pytest.mark.parametrize(
    ("every", "count", "gap"), [(7, 14, 7), (10, 5, 10), (7, 3, None), (7, 1, None)]
)
def test_a_habit_needs_three_gaps(every: int, count: int, gap: int | None) -> None:
    plan = plan_of(works=habit(on(-2), every=every, count=count))
    assert (plan.gap and plan.gap.value) == gap
    assert plan.planned == on(-2) + timedelta(days=gap or 5)


def nothing_is_weighed(plan) -> bool:
    numbers_of(plan)
    kept = (plan.days, plan.best, plan.fall_backs, plan.works, plan.planned, plan.outlook)
    return plan.out_of_work and kept == ((), None, (), (), None, None)


def test_of_a_horse_out_of_work_for_six_weeks_no_days_are_weighed() -> None:
    plan = plan_of(works=habit(on(-43)))
    assert nothing_is_weighed(plan)
    assert plan.idle.value == 43
    assert (plan.fast, plan.usual_fast, plan.fast_limit, plan.lean) == (None, None, None, None)
    last = plan_of(works=habit(on(-42)))
    assert not last.out_of_work
    assert says(last, "in_work") == ["refused"] * len(last.days)
    assert last.best is None
    almost = plan_of(works=habit(on(-41)))
    assert not almost.out_of_work
    assert says(almost, "in_work")[:2] == ["fine", "refused"]
    assert almost.best == on(1)
    assert almost.idle is None


def test_a_race_keeps_a_horse_in_work() -> None:
    raced = rows("exercise", f"{on(-12)},sieve,race,6 f,1:12,main")
    plan = plan_of(works=habit(on(-43)), exercise=raced)
    assert not plan.out_of_work
    assert plan.best is not None


def test_a_first_work_is_not_proposed() -> None:
    plan = plan_of(works=rows("works"))
    assert (plan.since_day, plan.since_what, plan.gap, plan.idle) == (None, None, None, None)
    assert nothing_is_weighed(plan)


@pytest.mark.parametrize("day", [LAST, on(-3)])
def test_nothing_is_proposed_of_a_horse_that_left(day: date) -> None:
    with pytest.raises(OutOfRangeError, match=f"Sieve left the barn on {day}"):
        plan_of(horses=LEFT.format(day=day))


def test_before_it_left_it_was_there() -> None:
    found = plan_of(until=on(-1).isoformat(), horses=LEFT.format(day=LAST))
    assert found.last == on(-1)


@pytest.mark.parametrize(("left", "days"), [(4, 3), (7, 6), (8, 7), (30, 7)])
def test_the_plan_ends_where_the_horse_leaves_the_barn(left: int, days: int) -> None:
    plan = plan_of(horses=LEFT.format(day=on(left)))
    assert [day.day for day in plan.days] == [on(n) for n in range(1, days + 1)]
    assert all(day < on(left) for day in (plan.best, *plan.fall_backs))


def test_a_horse_that_leaves_tomorrow_has_no_day_left() -> None:
    plan = plan_of(horses=LEFT.format(day=on(1)))
    assert (plan.days, plan.best, plan.out_of_work) == ((), None, False)
    numbers_of(plan)


def test_days_of_rest_are_refused_and_move_the_plan() -> None:
    """By its habit it would work on a Monday, 2 November."""
    plan = plan_of(barn=care('rest_days = ["monday", "sunday"]'), forecast=forecast(*[0] * 9))
    assert on(2).weekday() == 0
    refused = [day.day.weekday() for day in plan.days if "rest_day" in day.refused_by]
    assert refused == [6, 0]
    assert (plan.planned, plan.best) == (on(3), on(3))
    assert plan.day(on(3)).cost.value == pytest.approx(
        4 * plan.day(on(3)).outlook.bad.value / 100
    ), "no day of waiting"
    assert on(2) not in plan.fall_backs
    asked = plan_of(
        barn=care('rest_days = ["monday", "sunday"]'), asked={"planned": on(2).isoformat()}
    )
    assert asked.planned == on(2), "what was asked for stays"


def test_fast_ground_above_the_limit_is_refused_until_it_falls_out_of_the_days() -> None:
    """Works of 800 m at 16 m/s on the days -26 and -5; a third would pass 2 km in 30 days."""
    fast = works(on(-26), on(-5), far="800 m", clock=":50")
    plan = plan_of(barn=care('fast_limit_30d = "2 km"'), works=fast)
    assert says(plan, "fast_ground") == ["refused"] * 3 + ["fine"] * 4
    assert plan.best == on(4)
    assert plan.fast.value == pytest.approx(1600)
    assert said(plan_of(works=fast).days[0], "fast_ground") == "fine"


@pytest.mark.parametrize("track", ["main", "hill"])
def test_a_work_like_the_last_adds_to_fast_ground_at_whatever_track_that_was(track: str) -> None:
    """Slow works at the main track, and one fast half mile, the newest, elsewhere or there."""
    slow = habit(on(-8), clock="1:20")
    newest = f"last,{on(-5)},sieve,{track},4 f,:48,breezing,steady\n"
    plan = plan_of(works=slow + newest)
    assert plan.track == "Main Oval"
    assert plan.fast.value == pytest.approx(2 * 804.672)
    assert plan.days[0].day == on(1)
    untimed = f"untimed,{on(-3)},sieve,{track},4 f,,breezing,steady\n"
    assert plan_of(works=slow + newest + untimed).fast.value == plan.fast.value
    easy = plan_of(works=slow)
    assert easy.fast.value == 0
    numbers_of(plan)


# The footing


def test_the_words_on_which_the_barn_does_not_work_are_what_is_bad() -> None:
    usual = plan_of()
    for day in usual.days:
        refused = ("sloppy", "muddy", "heavy")
        chances = day.outlook.words
        assert sum(chances.values()) == pytest.approx(1)
        assert day.outlook.bad.value == pytest.approx(100 * sum(chances[w] for w in refused))
        assert day.outlook.driest.value == pytest.approx(100 * chances["fast"])
    none = plan_of(barn=care("no_work_states = []"))
    assert {day.outlook.bad for day in none.days} == {None}
    assert [day.cost.value for day in none.days] == [1, 0, 1, 2, 3, 4, 5]
    assert none.best == none.planned
    assert none.lean is None
    most = plan_of(
        barn=care('no_work_states = ["wet fast", "good", "slow", "heavy", "muddy", "sloppy"]')
    )
    for one, other in zip(usual.days, most.days, strict=True):
        assert other.outlook.bad.value > one.outlook.bad.value


def test_a_forecast_begins_from_the_weather_of_the_week() -> None:
    plan = plan_of()
    assert plan.outlook.begins == "weather"
    assert plan.outlook.issued == LAST
    assert plan.outlook.lacks == ()
    assert plan.track == "Main Oval"


def test_without_weather_it_begins_from_the_word_of_the_day() -> None:
    dry = plan_of(weather=table(sky.WEATHER, []), surface=log(90, words="fast fast"))
    wet = plan_of(weather=table(sky.WEATHER, []), surface=log(90, words="sloppy sloppy"))
    for plan in (dry, wet):
        assert plan.outlook.begins == "word"
        assert "weather" in plan.outlook.lacks
        assert {day.outlook.basis for day in plan.days} == {"forecast"}
    assert wet.days[0].outlook.bad.value > dry.days[0].outlook.bad.value + 20


def test_an_old_word_begins_nothing() -> None:
    entry = f"{on(-3)},main,sloppy,,"
    plan = plan_of(weather=table(sky.WEATHER, []), surface=table(sky.LOG, [entry]))
    assert plan.outlook.begins == "none"
    assert "weather" in plan.outlook.lacks
    assert {day.outlook.basis for day in plan.days} == {"none"}
    assert all(day.outlook.driest is None and day.outlook.bad is None for day in plan.days)
    assert says(plan, "footing") == ["unknown"] * len(plan.days)
    assert plan.best == plan.planned, "the rules alone decide"


COOL, THAW = "0,-2 C,4 C,3 m/s,50,92", "0,-2 C,4.1 C,3 m/s,50,92"


@pytest.mark.parametrize("known", [True, False])
@pytest.mark.parametrize("ago", [0, 2])
def test_a_frozen_track_begins_nothing_and_is_refused_until_the_day_after_a_thaw(
    known: bool, ago: int
) -> None:
    """Three cool days, then one that thaws, and cool ones again."""
    lines = forecast_rows([0] * 7, air=COOL)
    lines[3] = forecast_rows([0] * 4, air=THAW)[3]
    before = table(sky.WEATHER, []) if not known else weather()
    entries = [line for line in log().splitlines()[1:] if date.fromisoformat(line[:10]) < on(-ago)]
    plan = plan_of(
        surface=table(sky.LOG, [*entries, f"{on(-ago)},main,frozen,,"]),
        weather=before,
        forecast=table(sky.FORECAST, lines),
    )
    assert plan.outlook.begins == "frozen"
    assert "frozen" in plan.outlook.lacks
    assert "weather" not in plan.outlook.lacks
    assert {day.outlook.basis for day in plan.days} == {"log"}
    assert says(plan, "cold") == ["refused"] * 4 + ["careful"] * 3
    assert plan.best == on(5)


def test_a_word_of_frost_three_days_old_refuses_nothing() -> None:
    entries = [line for line in log().splitlines()[1:] if date.fromisoformat(line[:10]) < on(-3)]
    plan = plan_of(surface=table(sky.LOG, [*entries, f"{on(-3)},main,frozen,,"]))
    assert plan.outlook.begins == "weather"
    assert says(plan, "cold") == ["fine"] * 7


def told_today(word: str, day: date = LAST) -> str:
    """Return the usual log with another word in place of that of a day, and none after it."""
    lines = log().splitlines()
    kept = [line for line in lines[1:] if date.fromisoformat(line[:10]) < day]
    return table(sky.LOG, [*kept, f"{day},main,{word},,"])


def test_a_word_that_the_weather_makes_rare_goes_before_the_weather() -> None:
    """It has not rained for four days, and yet the track is sloppy: somebody watered it."""
    usual, odd = plan_of(), plan_of(surface=told_today("sloppy"))
    assert (usual.outlook.begins, odd.outlook.begins) == ("weather", "word")
    assert "disagree" in odd.outlook.lacks
    assert "weather" not in odd.outlook.lacks
    assert "disagree" not in usual.outlook.lacks
    assert odd.days[0].outlook.basis == "forecast"
    assert odd.days[0].outlook.bad.value > usual.days[0].outlook.bad.value + 20
    yesterday = plan_of(surface=told_today("muddy", on(-1)))
    assert (yesterday.outlook.begins, "disagree" in yesterday.outlook.lacks) == ("word", True)
    likely = plan_of(surface=told_today("wet fast", on(-1)))
    assert (likely.outlook.begins, "disagree" in likely.outlook.lacks) == ("weather", False)
    old = plan_of(surface=told_today("muddy", on(-3)))
    assert (old.outlook.begins, "disagree" in old.outlook.lacks) == ("weather", False)


def weather_until(day: date) -> str:
    head, *lines = weather().splitlines()
    return table(head, [line for line in lines if date.fromisoformat(line[:10]) <= day])


@pytest.mark.parametrize("missing", [1, 2])
def test_days_without_weather_are_run_through_by_the_forecast(missing: int) -> None:
    """The newest day is seldom on record yet: the forecast tells of it, dry or wet."""

    def of(chance: int):
        lines = forecast_rows(
            [chance] * missing + [10] * 7,
            issued=on(-missing + 1),
            first=on(1 - missing),
            air="40 mm,8 C,19 C,3 m/s,50,92",
        )
        return plan_of(weather=weather_until(on(-missing)), forecast=table(sky.FORECAST, lines))

    dry, wet = of(0), of(100)
    for plan in (dry, wet):
        assert plan.outlook.begins == "weather"
        assert {day.outlook.basis for day in plan.days} == {"forecast"}
        assert [day.day for day in plan.days] == [on(n) for n in range(1, 8)]
        assert len(plan.outlook.if_wet) == 7
    assert wet.days[0].outlook.bad.value > dry.days[0].outlook.bad.value + 40


def test_days_of_which_neither_weather_nor_forecast_tells_are_not_made_up() -> None:
    """The forecast begins tomorrow and today's weather is missing: today's word begins."""
    plan = plan_of(weather=weather_until(on(-1)))
    assert plan.outlook.begins == "word"
    assert "weather" in plan.outlook.lacks
    assert {day.outlook.basis for day in plan.days} == {"forecast"}
    nothing = plan_of(weather=weather_until(on(-1)), surface=told_today("fast", on(-3)))
    assert nothing.outlook.begins == "none"
    assert "weather" in nothing.outlook.lacks
    assert {day.outlook.basis for day in nothing.days} == {"log"}


def test_weather_that_ended_three_days_ago_begins_nothing() -> None:
    lines = forecast_rows([10] * 10, issued=on(-2), first=on(-2))
    plan = plan_of(weather=weather_until(on(-3)), forecast=table(sky.FORECAST, lines))
    assert plan.outlook.begins == "word"


def test_one_missing_day_of_weather_is_not_bridged() -> None:
    gone = "\n".join(line for line in weather().splitlines() if not line.startswith("2026-10-29"))
    plan = plan_of(weather=gone + "\n")
    assert plan.outlook.begins == "word"


def test_without_a_forecast_the_log_of_the_season_speaks() -> None:
    plan = plan_of(forecast=table(sky.FORECAST, []))
    assert plan.outlook.issued is None
    assert plan.outlook.lacks[0] == "forecast"
    for day in plan.days:
        assert day.outlook.basis == "log"
        # After every fifth day it is sloppy.
        assert day.outlook.bad.value == pytest.approx(20, abs=1)
        assert day.outlook.rain_chance is None
        assert day.outlook.driest.value == pytest.approx(80, abs=1)
        assert said(day, "heat") == said(day, "cold") == "unknown"
    assert plan.best == plan.planned


def shares_of(entries: str, barn: str = BARN) -> tuple[float, float]:
    """Return the chance of bad footing and of the driest word that a log alone gives."""
    plan = plan_of(forecast=table(sky.FORECAST, []), surface=entries, barn=barn)
    (found,) = {(day.outlook.bad.value, day.outlook.driest.value) for day in plan.days}
    assert {day.outlook.basis for day in plan.days} == {"log"}
    return found


def words_of(*words: str, last: date = LAST) -> str:
    """Return a log of one entry a day that ends with a day."""
    days = sky.days_until(last, len(words))
    return table(
        sky.LOG, (f"{day},main,{word},,1 in" for day, word in zip(days, words, strict=True))
    )


def test_shares_of_the_log_are_those_of_ninety_days() -> None:
    assert shares_of(words_of(*["sloppy"] * 300, *["fast"] * 90)) == (0, 100)
    assert shares_of(words_of(*["sloppy"] * 300, *["fast"] * 89)) == pytest.approx(
        (100 / 90, 8900 / 90)
    )


def test_shares_of_the_log_are_of_days_not_of_entries() -> None:
    once = words_of(*["fast"] * 30, *["sloppy"] * 10)
    wet_days = sky.days_until(LAST, 10)
    again = "".join(f"{day},main,fast,,\n" for day in wet_days for _ in range(3))
    assert shares_of(once + again) == shares_of(once) == pytest.approx((25, 75))


def test_frozen_counts_as_bad_where_the_barn_does_not_work_on_it() -> None:
    entries = words_of(*["frozen"] * 10, *["sloppy"] * 10, *["fast"] * 20)
    assert shares_of(entries) == pytest.approx((50, 50))
    works_on = care('no_work_states = ["sloppy"]')
    assert shares_of(entries, works_on) == pytest.approx((25, 50))


def test_a_short_log_does_not_speak() -> None:
    plan = plan_of(forecast=table(sky.FORECAST, []), surface=log(19))
    assert {day.outlook.basis for day in plan.days} == {"none"}
    assert all(day.outlook.words == {} and day.outlook.likeliest is None for day in plan.days)
    assert {
        day.outlook.basis for day in plan_of(forecast=table(sky.FORECAST, []), surface=log(20)).days
    } == {"log"}


@pytest.mark.parametrize(("age", "used"), [(0, True), (3, True), (4, False), (9, False)])
def test_an_old_forecast_is_none(age: int, used: bool) -> None:
    told = table(sky.FORECAST, forecast_rows([10] * 16, issued=on(-age)))
    plan = plan_of(forecast=told)
    assert (plan.outlook.issued == on(-age)) == used
    assert ("old_forecast" in plan.outlook.lacks) == (not used)
    assert {day.outlook.basis for day in plan.days} == {"forecast" if used else "log"}


def test_of_two_forecasts_the_newer_is_used_alone() -> None:
    told = table(
        sky.FORECAST,
        [*forecast_rows([100] * 9, issued=on(-1)), *forecast_rows([0] * 3, issued=LAST)],
    )
    plan = plan_of(forecast=told)
    assert [day.outlook.basis for day in plan.days] == ["forecast"] * 3 + ["log"] * 4
    assert [day.outlook.rain_chance.value for day in plan.days[:3]] == [0, 0, 0]


def test_a_forecast_that_was_not_issued_yet_is_not_used() -> None:
    later = [*forecast_rows([100] * 9, issued=on(1)), *forecast_rows([100] * 9, issued=on(5))]
    plan = plan_of(forecast=table(sky.FORECAST, later))
    assert plan.outlook.issued is None
    assert {day.outlook.basis for day in plan.days} == {"log"}


def test_a_forecast_of_another_track_is_not_used() -> None:
    plan = plan_of(forecast=forecast(*[100] * 9, track="hill"))
    assert plan.outlook.issued is None
    assert plan.outlook.lacks[0] == "forecast"


@pytest.mark.parametrize(
    ("chances", "known"),
    [([10, 10, "", 10, 10], 2), (["", 10, 10, 10], 0), ([10, 10, 10], 3), ([10] * 9, 7)],
)
def test_a_forecast_is_followed_up_to_its_first_gap(chances: list[object], known: int) -> None:
    plan = plan_of(forecast=forecast(*chances))
    assert [day.outlook.basis for day in plan.days] == ["forecast"] * known + ["log"] * (7 - known)
    assert ("forecast_days" in plan.outlook.lacks) == ("" in chances)
    assert ("forecast_ends" in plan.outlook.lacks) == (chances == [10, 10, 10])


def test_a_forecast_of_days_that_are_over_is_one_that_leaves_days_out() -> None:
    plan = plan_of(forecast=forecast(10, 10, issued=on(-3)))
    assert {day.outlook.basis for day in plan.days} == {"log"}
    assert "forecast_days" in plan.outlook.lacks


@pytest.mark.parametrize(
    "row", [",6 mm,8 C,19 C,3 m/s,50,92", "10,6 mm,,19 C,3 m/s,50,92", "10,6 mm,8 C,,3 m/s,50,92"]
)
def test_a_day_without_chance_or_temperatures_is_a_gap(row: str) -> None:
    lines = forecast_rows([10] * 7)
    lines[2] = f"{LAST},{on(3)},main,{row}"
    plan = plan_of(forecast=table(sky.FORECAST, lines))
    assert [day.outlook.basis for day in plan.days] == ["forecast"] * 2 + ["log"] * 5
    assert "forecast_days" in plan.outlook.lacks


def test_without_an_amount_it_rains_as_it_usually_does_there() -> None:
    """It rained 15 mm each time: nine days of ninety tell too little, and 5 mm stand."""

    def bad(amount: str, days: int) -> list[float]:
        told = forecast(*[60] * 7, air=f"{amount},8 C,19 C,3 m/s,50,92")
        plan = plan_of(forecast=told, weather=weather(days), surface=log(20))
        assert all((day.outlook.rain is None) == (amount == "") for day in plan.days)
        return [day.outlook.bad.value for day in plan.days]

    assert bad("", 140) == bad("15 mm", 140)
    assert bad("", 40) == bad("5 mm", 40)
    assert bad("5 mm", 40) != bad("15 mm", 40)


def test_damp_and_wind_are_not_needed_for_the_footing() -> None:
    plan = plan_of(forecast=forecast(*[10] * 7, air="6 mm,8 C,19 C,,,"))
    assert {day.outlook.basis for day in plan.days} == {"forecast"}
    assert says(plan, "heat") == ["fine"] * 7
    assert says(plan, "cold") == ["fine"] * 7


def test_a_forecast_without_temperatures_tells_nothing_of_heat_or_cold() -> None:
    plan = plan_of(forecast=forecast(*[10] * 7, air="6 mm,,,3 m/s,50,92"))
    assert says(plan, "heat") == says(plan, "cold") == ["unknown"] * 7


def test_an_unknown_day_costs_the_usual_chance_of_those_that_are_known() -> None:
    """The forecast tells of three days, and the log is too short to speak."""
    plan = plan_of(
        forecast=forecast(30, 30, 30, air="40 mm,8 C,19 C,3 m/s,50,92"),
        surface=log(10),
        asked={"bad_footing": "10"},
    )
    assert [day.outlook.basis for day in plan.days] == ["forecast"] * 3 + ["none"] * 4
    usual = sum(day.outlook.bad.value for day in plan.days[:3]) / 300
    assert usual > 0.05
    for ahead, day in enumerate(plan.days[3:], 4):
        assert said(day, "footing") == "unknown"
        assert day.cost.value == pytest.approx(ahead - 2 + 10 * usual)


def test_without_a_latitude_nothing_can_dry() -> None:
    blank = sky.TRACKS.replace("38.05,-84.5", ",")
    plan = plan_of(tracks=blank)
    assert {"latitude", "learned"} <= set(plan.outlook.lacks)
    assert "weather" not in plan.outlook.lacks, "it is on record, and of no use"
    assert {day.outlook.basis for day in plan.days} == {"log"}
    assert plan.best is not None


def test_no_weather_no_log_no_forecast_and_the_rules_still_plan() -> None:
    nothing = {
        "weather": table(sky.WEATHER, []),
        "surface": table(sky.LOG, []),
        "forecast": table(sky.FORECAST, []),
    }
    plan = plan_of(**nothing)
    assert {"forecast", "weather", "learned", "target", "threshold"} <= set(plan.lacks)
    assert plan.outlook.learned == 0
    assert plan.outlook.state is None
    assert says(plan, "footing") == ["unknown"] * 7
    assert plan.best == plan.planned == on(2)
    assert [day.cost.value for day in plan.days] == [1, 0, 1, 2, 3, 4, 5]
    numbers_of(plan)


def test_a_book_of_tables_that_are_missing_plans_too() -> None:
    with tempfile.TemporaryDirectory() as folder:
        plan = digest.build_next_work(record_of(Path(folder), tracks=sky.TRACKS), LAST.isoformat())
    assert nothing_is_weighed(plan)


def test_without_works_or_races_ahead_the_track_is_the_first_of_the_book() -> None:
    raced = rows("exercise", f"{on(-20)},sieve,race,6 f,1:12,")
    assert plan_of(works=rows("works"), exercise=raced).outlook.track == "main"
    race = rows("targets", f"sieve,{on(20)},6 f,gallop,")
    assert plan_of(works=rows("works"), exercise=raced, targets=race).track == "Long Gallop"


# The weather


HOT, COLD = "0,30 C,41 C,1 m/s,40,95", "0,-20 C,-10 C,3 m/s,50,92"


def test_a_hot_morning_is_refused_and_a_hot_noon_a_caution() -> None:
    plan = plan_of(forecast=forecast(*[0] * 7, air=HOT))
    assert says(plan, "heat") == ["refused"] * 7
    assert plan.best is None
    noon = plan_of(forecast=forecast(*[0] * 7, air="0,14 C,36 C,1 m/s,30,80"))
    assert says(noon, "heat") == ["careful"] * 7
    assert noon.best == on(2)


def test_air_alone_is_a_caution_or_a_refusal_where_humidity_is_unknown() -> None:
    for air, word in (
        ("0,20 C,34.9 C,,,", "fine"), ("0,20 C,35 C,,,", "careful"), ("0,35 C,42 C,,,", "refused")
    ):  # fmt: skip
        assert says(plan_of(forecast=forecast(*[0] * 7, air=air)), "heat") == [word] * 7


@pytest.mark.parametrize(("tmax", "told"), [("19.9 C", False), ("20 C", True)])
def test_figures_of_heat_are_told_of_warm_days(tmax: str, told: bool) -> None:
    plan = plan_of(forecast=forecast(*[0] * 7, air=f"0,0 C,{tmax},3 m/s,50,92"))
    for day in plan.days:
        air = day.outlook.air
        heat = (air.sum_of_heat, air.heat_index, air.wbgt_shade, air.wbgt_sun)
        assert any(heat) == told
        assert air.wind_chill is not None


def test_a_cold_morning_is_refused_and_a_frost_a_caution() -> None:
    plan = plan_of(forecast=forecast(*[0] * 7, air=COLD))
    assert says(plan, "cold") == ["refused"] * 7
    assert plan.days[0].outlook.air.wind_chill is not None
    mild_noon = plan_of(forecast=forecast(*[0] * 7, air="0,-7.1 C,12 C,3 m/s,50,92"))
    assert says(mild_noon, "cold") == ["refused"] * 7
    frost = plan_of(forecast=forecast(*[0] * 7, air="0,-7 C,12 C,3 m/s,50,92"))
    assert says(frost, "cold") == ["careful"] * 7
    assert frost.best == on(2)


# The works


def mixed(
    lengths: tuple[str, ...] = ("4 f", "3 f", "5 f"), effort: str = "steady", rounds: int = 5
) -> str:
    """Return works of several lengths in turn, a week apart; the newest is of the first length."""
    lines = []
    for number, far in enumerate(lengths * rounds):
        clock = write_clock(round(12.35 * float(far.split()[0]) * 5 + number % 2) / 5)
        lines.append(f"w{number},{on(-5 - 7 * number)},sieve,main,{far},{clock},breezing,{effort}")
    return rows("works", *lines, more=",manner,effort")


def furlongs(plan) -> list[float]:
    return [round(work.distance.value / 201.168, 6) for work in plan.works]


def test_works_lie_side_by_side_with_the_last() -> None:
    plan = plan_of(works=mixed())
    assert [work.kind for work in plan.works] == ["shorter", "same", "longer"]
    assert [work.effort for work in plan.works] == ["threshold", "steady", "easy"]
    assert furlongs(plan) == [3, 4, 5]
    for work in plan.works:
        assert work.low.value < work.time.value < work.high.value
        assert work.pace.kind == "threshold"
        assert work.pace.value == pytest.approx(work.distance.value / work.time.value)
    assert [work.learned for work in plan.works] == [False, True, False]
    assert [work.sharper for work in plan.works] == [True, False, False]
    numbers_of(plan)


@pytest.mark.parametrize(
    ("effort", "efforts"),
    [
        ("", ["threshold", "steady", "easy"]),
        ("easy", ["steady", "easy", "easy"]),
        ("threshold", ["sharp", "threshold", "easy"]),
        ("sharp", ["sharp", "sharp", "steady"]),
        # Nobody is advised to ask for everything.
        ("full", ["sharp", "sharp", "steady"]),
    ],
)
def test_efforts_go_up_a_step_for_a_shorter_work_and_down_two_for_a_longer(
    effort: str, efforts: list[str]
) -> None:
    plan = plan_of(works=mixed(effort=effort))
    assert [work.effort for work in plan.works] == efforts


@pytest.mark.parametrize(
    ("lengths", "shorter"),
    [(("6 f", "5 f", "4 f", "3 f"), 4), (("6 f", "5 f"), 5), (("5 f", "4 f", "3 f"), 4)],
)
def test_a_shorter_work_is_plainly_shorter_where_there_is_such(
    lengths: tuple[str, ...], shorter: float
) -> None:
    plan = plan_of(works=mixed(lengths))
    assert plan.works[0].kind == "shorter"
    assert furlongs(plan)[0] == shorter


def test_where_nothing_longer_was_worked_an_easier_work_is_as_far_as_the_last() -> None:
    plan = plan_of(works=mixed(("5 f", "3 f"), effort="sharp"))
    assert [work.kind for work in plan.works] == ["shorter", "same", "easier"]
    assert furlongs(plan) == [3, 5, 5]
    assert [work.effort for work in plan.works] == ["sharp", "sharp", "steady"]
    easy = plan_of(works=mixed(("5 f",), effort="easy"))
    assert [work.kind for work in easy.works] == ["same"], "nothing is easier than easy"


@pytest.mark.parametrize(
    ("track", "far", "clock", "pole_m"),
    [("main", "5 f", "1:02", 201.168), ("gallop", "1000 m", "1:08", 200.0)],
)
def test_watches_are_of_an_even_pace_at_the_poles_of_furlongs_or_200_m(
    track: str, far: str, clock: str, pole_m: float
) -> None:
    """The main track has a pole each half furlong, the gallop each 100 m."""
    plan = plan_of(
        works=habit(on(-5), track=track, far=far, clock=clock),
        surface=log(track=track, words="good heavy" if track == "gallop" else "fast sloppy"),
        weather=weather(track=track),
        forecast=forecast(*[10] * 7, track=track),
    )
    same = next(work for work in plan.works if work.kind == "same")
    distance, time_s = same.distance.value, same.time.value
    assert [call.to_finish_m for call in same.calls] == pytest.approx(
        [pole_m * left for left in (4, 3, 2, 1, 0)]
    )
    for call in same.calls:
        assert call.watch.kind == "expected"
        passed = distance - call.to_finish_m
        assert call.watch.value == pytest.approx(time_s * passed / distance, abs=1e-9)
    assert same.calls[-1].watch.value == pytest.approx(time_s, abs=1e-9)
    numbers_of(plan)


def test_without_a_test_there_is_no_threshold_and_with_one_there_is() -> None:
    without = plan_of()
    assert without.threshold is None
    assert "threshold" in without.lacks
    assert not any(work.kind == "threshold" for work in without.works)
    tested = rows("fitness", *step_test(on(-11).isoformat()))
    plan = plan_of(fitness=tested)
    assert "threshold" not in plan.lacks
    assert plan.threshold_day == on(-11)
    (at,) = [work for work in plan.works if work.kind == "threshold"]
    assert at is plan.works[-1]
    assert at.effort == "threshold"
    assert at.low.value < at.time.value < at.high.value
    assert at.pace.value == pytest.approx(11.85, abs=0.3)
    assert at.distance.value == pytest.approx(804.672)
    longer = plan_of(fitness=tested, works=mixed())
    assert furlongs(longer) == [3, 4, 5, 5]
    assert longer.works[-1].kind == "threshold"
    old = plan_of(fitness=rows("fitness", *step_test("2026-01-10")))
    assert "threshold" in old.lacks
    later = plan_of(fitness=rows("fitness", *step_test(on(3).isoformat())))
    assert "threshold" in later.lacks


def test_fast_ground_of_a_work_is_all_of_it_or_none() -> None:
    """A work a week, 800 m at 16 m/s or at 11; four of them in the 30 days with the next."""
    fast, slow = (
        plan_of(works=habit(on(-5), far="800 m", clock=clock)) for clock in (":50", "1:13")
    )
    assert fast.works[0].kind == slow.works[0].kind == "same"
    assert fast.works[0].fast.value == 800
    assert fast.works[0].fast_30d.value == fast.fast.value == 800 * 5
    assert slow.works[0].fast.value == slow.works[0].fast_30d.value == slow.fast.value == 0


def test_a_longer_work_that_passes_the_barns_limit_says_so() -> None:
    """A work like the last stays within it, a furlong more does not."""
    usual = plan_of(works=mixed(("4 f", "5 f")))
    same, longer = usual.works
    assert longer.fast_30d.value == pytest.approx(same.fast_30d.value + 201.168)
    assert not longer.over_limit
    limit = (same.fast_30d.value + longer.fast_30d.value) / 2
    close = plan_of(works=mixed(("4 f", "5 f")), barn=care(f'fast_limit_30d = "{limit:.0f} m"'))
    assert [work.over_limit for work in close.works] == [False, True]
    assert close.best == usual.best


def test_untimed_works_say_when_it_worked_and_nothing_of_times() -> None:
    plan = plan_of(works=habit(on(-5), clock=""))
    assert plan.since_day == on(-5)
    assert plan.works == ()
    assert "works" in plan.lacks
    assert plan.best is not None


def test_too_few_works_give_no_time_to_expect() -> None:
    plan = plan_of(works=works(on(-12), on(-5)))
    assert "line" in plan.lacks
    assert [work.kind for work in plan.works] == ["same", "easier"]
    for work in plan.works:
        assert (work.time, work.low, work.high, work.pace, work.fast) == (None,) * 5
        assert work.calls == ()


def test_where_no_day_is_proposed_no_works_are_lacking() -> None:
    plan = plan_of(targets=rows("targets", f"sieve,{on(3)},6 f,main,maiden"))
    assert plan.best is None
    assert not {"works", "threshold", "line"} & set(plan.lacks)


def test_the_track_is_where_it_worked_most_or_the_one_asked_for() -> None:
    assert plan_of(works=habit(on(-5), track="hill")).track == "Hill Ring"
    plan = plan_of(asked={"track": "hill"})
    assert plan.track == "Hill Ring"
    assert "works" in plan.lacks, "it has not worked there"
    assert plan.since_day == on(-5)


@pytest.mark.parametrize(
    ("hill", "main", "track"),
    [
        # The newest is one work elsewhere.
        ([-5], [-12, -19], "Main Oval"),
        # Of two alike the one of the newest work.
        ([-5, -26], [-12, -19], "Hill Ring"),
        ([-12, -19], [-5, -26], "Main Oval"),
        # More than sixty days ago it worked elsewhere.
        ([-61, -68, -75, -82], [-5], "Main Oval"),
        ([-58, -59, -60], [-5, -12], "Hill Ring"),
    ],
)
def test_the_track_is_that_of_most_works_in_sixty_days(
    hill: list[int], main: list[int], track: str
) -> None:
    lines = [
        f"{where}{ago},{on(ago)},sieve,{where},4 f,:50,breezing,steady"
        for where, days in (("hill", hill), ("main", main))
        for ago in days
    ]
    assert plan_of(works=rows("works", *lines, more=",manner,effort")).track == track


@pytest.mark.parametrize(
    ("track", "words", "far", "clock"),
    [("gallop", "good heavy", "800 m", ":55"), ("hill", "fast wet", "4 f", ":50")],
)
def test_turf_and_synthetic_tracks_have_words_of_their_own(
    track: str, words: str, far: str, clock: str
) -> None:
    plan = plan_of(
        works=habit(on(-5), track=track, far=far, clock=clock),
        surface=log(track=track, words=words),
        weather=weather(track=track),
        forecast=forecast(*[10] * 7, track=track),
        barn=care('no_work_states = ["heavy", "wet"]'),
    )
    assert plan.outlook.begins == "weather"
    assert plan.outlook.learned > 60
    assert words.split()[1] in plan.days[0].outlook.words
    assert plan.best is not None
    numbers_of(plan)


def test_a_track_with_numbers_of_its_own_dries_by_them() -> None:
    own = sky.TRACKS.replace("longitude\n", "longitude,holds,gives,drains\n")
    deep, shallow = (
        own.replace("38.05,-84.5\nhill", f"38.05,-84.5,{soil}\nhill")
        for soil in ("40 mm,5 mm,0 mm", "3 mm,1 mm,100 mm")
    )
    wet = forecast(100, 0, 0, 0, 0, 0, 0, air="20 mm,8 C,19 C,3 m/s,50,92")
    found = [
        plan_of(tracks=tracks, surface=log(5), forecast=wet).days[3].outlook.bad.value
        for tracks in (deep, shallow)
    ]
    assert found[0] > 2 * found[1]


def test_a_metric_barn_is_told_the_same() -> None:
    imperial, metric = plan_of(), plan_of(barn=METRIC, works=habit(on(-5), clock="49.4"))
    assert metric.best == imperial.best
    assert [day.cost.value for day in metric.days] == [day.cost.value for day in imperial.days]
    numbers_of(metric)


# The past


LATER = {
    "works": f"late,{on(3)},sieve,main,3 f,:33,driving,full\n",
    "exercise": f"{on(1)},sieve,race,6 f,1:10,main\n",
    "surface": "".join(f"{on(n)},main,heavy,,1 in\n" for n in range(1, 40)),
    "weather": "".join(f"{on(n)},main,1 C,2 C,90 mm,0 m/s,99,100\n" for n in range(1, 40)),
    "forecast": "\n".join(forecast_rows([100] * 9, issued=on(1))) + "\n",
    "fitness": "\n".join(step_test(on(2).isoformat(), fitter=2)) + "\n",
}
HORSES = "horse,name,foaled,sex\nsieve,Sieve,2022,filly\ncrumb,Crumb,2022,filly\n"
OTHERS = "".join(
    f"other{n},{on(n)},crumb,main,{far},{clock},driving,sharp\n"
    for n, (far, clock) in enumerate((("2 f", ":22"), ("7 f", "1:25")) * 6, 1)
)


@pytest.mark.parametrize("planted", [*LATER, "all"])
def test_a_day_in_the_past_knows_nothing_of_what_came_later(planted: str) -> None:
    """The book as it is, asked for a day in the past, and the book cut off after that day."""
    book = {
        "horses": HORSES,
        "exercise": rows("exercise", f"{on(-20)},sieve,gallop,1 mi,2:00,main"),
        "works": habit(on(-5)),
        "surface": log(),
        "weather": weather(),
        "forecast": forecast(*[20] * 9, air=",8 C,19 C,3 m/s,50,92"),
        "fitness": rows("fitness", *step_test(on(-11).isoformat())),
    }
    known = plan_of(**book)
    names = LATER if planted == "all" else [planted]
    added = {name: book[name] + LATER[name] for name in names}
    if "works" in added:
        added["works"] += OTHERS
    later = plan_of(**(book | added))
    assert later.last == known.last == LAST
    unlike = {"data_hash", "barn"}
    for name in vars(known):
        if name not in unlike:
            assert repr(getattr(later, name)) == repr(getattr(known, name)), name


def test_what_came_later_would_be_seen() -> None:
    """The check can fail: a week later the same rows change the plan."""
    book = {"works": habit(on(-5)), "surface": log(), "weather": weather()}
    week = on(7).isoformat()
    known = plan_of(until=week, **book)
    for name in ("works", "weather"):
        later = plan_of(until=week, **(book | {name: book[name] + LATER[name]}))
        assert repr(later.outlook) != repr(known.outlook) or later.works != known.works


# The month


def next_of(month: str = "2026-10", **tables: str):
    """Return what a month tells of the next work of a horse in its habit."""
    book = {
        "tracks": sky.TRACKS,
        "works": habit(LAST - timedelta(days=5)),
        "surface": log(),
        "weather": weather(),
        "forecast": forecast(*[10] * 9),
    } | tables
    return month_of(month, **book).next_work


def test_a_month_proposes_what_the_plan_of_its_last_day_does() -> None:
    found, plan = next_of(), plan_of()
    assert (found.best, found.fall_backs) == (plan.best, plan.fall_backs)
    on_best = plan.day(plan.best).outlook
    assert (found.track, found.basis, found.likeliest) == ("Main Oval", "forecast", "fast")
    assert found.bad.value == on_best.bad.value


def test_a_month_in_the_past_proposes_nothing() -> None:
    """September has works of its own, but October came after it."""
    assert next_of("2026-09") is None


@pytest.mark.parametrize("table_name", ["works", "exercise", "surface", "weather", "fitness"])
def test_a_month_that_any_later_record_follows_proposes_nothing(table_name: str) -> None:
    book = {
        "exercise": rows("exercise", f"{on(-20)},sieve,gallop,1 mi,2:00,main"),
        "works": habit(on(-5)),
        "surface": log(),
        "weather": weather(),
        "fitness": rows("fitness", *step_test(on(-11).isoformat())),
    }
    assert next_of(**book) is not None
    assert next_of(**(book | {table_name: book[table_name] + LATER[table_name]})) is None


def test_a_month_without_records_proposes_nothing() -> None:
    """In November only the track is on record, or nothing is."""
    assert next_of("2026-11") is None
    later = log(last=on(5)), weather(last=on(5))
    assert next_of("2026-11", surface=later[0], weather=later[1]) is None
    assert next_of("2027-05") is None


def test_a_forecast_that_was_issued_later_is_not_called_old() -> None:
    later = table(sky.FORECAST, forecast_rows([10] * 5, issued=on(3)))
    assert plan_of(forecast=later).outlook.lacks[0] == "forecast"


def test_a_cool_day_is_not_hot_however_damp_it_is() -> None:
    damp = plan_of(forecast=forecast(*[10] * 7, air="6 mm,10 C,16 C,3 m/s,96,100"))
    assert set(says(damp, "heat")) == {"fine"}
    warm = plan_of(forecast=forecast(*[10] * 7, air="6 mm,18 C,27 C,3 m/s,80,100"))
    assert "careful" in says(warm, "heat")
