"""The load up to a day: weeks, sums, what is usual, and what was never timed."""

import tempfile
from datetime import date, timedelta
from pathlib import Path

import pytest

from racecalc import digest, figures, tables, words
from racecalc.errors import OutOfRangeError
from tests.daybook.stable import BARN
from tests.digest.small import ALONE, METRIC, month_of, record_of, rows

FURLONG = 201.168
LAST = date(2026, 10, 31)


def load_of(until="2026-10-31", barn=METRIC, **tables):
    with tempfile.TemporaryDirectory() as folder:
        return digest.build_load(record_of(Path(folder), barn, **tables), until)


def gallops(days, first=LAST, distance="2 km", time="2:50.00", step=1):
    lines = (
        f"{first - timedelta(days=step * ago)},sieve,gallop,{distance},{time},main"
        for ago in range(days)
    )
    return rows("exercise", *lines)


def untimed():
    """A horse whose walks nobody timed, that was never timed at a work, and that swims."""
    return load_of(
        exercise=rows(
            "exercise", "2026-10-30,sieve,walk,800 m,,", "2026-10-29,sieve,swim,60 metres,,"
        ),
        works=rows("works", "a,2026-10-28,sieve,main,600 m,"),
    )


def test_weeks_end_with_the_last_day_and_hold_all_ground():
    found = load_of(exercise=gallops(60)).load
    assert [week.last for week in found.weeks[-2:]] == [date(2026, 10, 24), LAST]
    assert all((week.last - week.first).days == 6 for week in found.weeks)
    # Before the record began nothing is known: there are eight whole weeks in sixty days.
    assert len(found.weeks) == 8
    # 2 km in 2:50 is 11.8 m/s: quicker than a jog, slower than fast.
    assert found.weeks[-1].ground[1].value == pytest.approx(7 * 2000)
    assert set(found.weeks[-1].ground) == {1}
    assert found.weeks[-1].days == ("gallop",) * 7
    assert len(found.line) == 5, "thirty days to each of five weeks"


def test_ground_is_classed_by_the_speed_of_each_split():
    """The first furlong is slower than 14 m/s, the second lies above 16.7 m/s."""
    found = load_of(
        works=rows("works", "a,2026-10-30,sieve,main,2 f,:26.60"),
        splits=rows("splits", "a,1/8,:14.60"),
    ).load
    metres = {n: number.value for n, number in found.spans[0].ground.items()}
    assert metres == pytest.approx({1: FURLONG, 4: FURLONG})
    assert [one.high and one.high.value for one in found.classes] == [5.5, 14.0, 15.5, 16.7, None]
    assert [one.fast for one in found.classes] == [False, False, True, True, True]


def test_the_barns_own_classes_stand_in_for_the_published_ones():
    barn = METRIC + '[care]\nspeed_classes = ["12 m/s"]\n'
    found = load_of(barn=barn, works=rows("works", "a,2026-10-30,sieve,main,400 m,:26.00")).load
    # The fast speed always parts two classes, so that none is both.
    assert [one.high and one.high.value for one in found.classes] == [5.5, 12.0, 14.0, None]
    assert [one.fast for one in found.classes] == [False, False, False, True]
    assert found.classes[1].high.sources == ()
    assert set(found.spans[0].ground) == {3}


def test_sums_of_7_30_and_60_days():
    found = load_of(exercise=gallops(100)).load
    assert {span.label: span.ground[1].value for span in found.spans} == {
        "7d": 14000.0,
        "30d": 60000.0,
        "60d": 120000.0,
    }


def test_days_since_the_last_fast_work_and_a_race_counts():
    work = rows("works", "a,2026-10-20,sieve,main,400 m,:25.00")
    found = load_of(works=work).load
    assert (found.since.days.value, found.since.what) == (11, "work")
    race = rows("exercise", "2026-10-29,sieve,race,1200 m,,main")
    found = load_of(works=work, exercise=race).load
    assert (found.since.days.value, found.since.what, found.since.day.day) == (2, "race", 29)
    slow = rows("works", "a,2026-10-20,sieve,main,400 m,:40.00")
    assert load_of(works=slow).load.since is None


def test_ground_without_a_time_takes_the_usual_pace_and_is_marked():
    found = untimed().load
    assert found.estimated.value == 800.0
    assert found.spans[0].ground[0].value == 800.0
    # Of a work nothing is usual: its speed is not known, and it is no fast work.
    assert found.spans[0].unknown.value == 600.0
    assert found.since is None


def test_own_timed_ground_says_what_is_usual():
    """Five canters at 9.5 m/s, the sixth without a time: in a barn that draws the line at 9 m/s."""
    barn = METRIC + '[care]\nfast_speed = "9 m/s"\n'
    days = [f"2026-10-{day},sieve,canter,950 m,1:40.00,main" for day in range(20, 25)]
    last = "2026-10-30,sieve,canter,950 m,,main"
    found = load_of(barn=barn, exercise=rows("exercise", *days, last)).load
    assert found.spans[0].ground[2].value == 950.0
    few = load_of(barn=barn, exercise=rows("exercise", *days[1:], last)).load
    assert few.spans[0].ground[1].value == 950.0, "the usual canter of the trade is slower"


def test_strides_are_counted_of_canter_and_quicker():
    found = load_of(exercise=gallops(1)).load.strides
    assert found.low.value <= found.middle.value <= found.high.value
    # 2 km at 11.76 m/s: 170 s at 2.15 strides a second.
    assert found.middle.value == pytest.approx(365, abs=3)
    # Nobody timed this canter: its usual pace is one.
    untimed_canter = rows("exercise", "2026-10-30,sieve,canter,2 km,,main")
    assert load_of(exercise=untimed_canter).load.strides.middle.value > 300
    assert (
        load_of(exercise=rows("exercise", "2026-10-30,sieve,jog,2 km,8:00.00,main")).load.strides
        is None
    )


def test_the_line_of_fast_ground_ends_with_the_last_day():
    work = rows("works", "a,2026-10-20,sieve,main,400 m,:25.00")
    line = load_of(works=work, exercise=gallops(80)).load.line
    assert (line[-1].day, line[-1].fast.value) == (LAST, 400.0)
    # On 24 October it is in, on 17 October not yet.
    assert [point.fast.value for point in line[-3:]] == [0.0, 400.0, 400.0]


def test_a_published_amount_is_told_only_where_the_horse_comes_near():
    work = rows("works", "a,2026-10-20,sieve,main,400 m,:25.00")
    assert load_of(works=work).load.published is None
    many = rows("works", *(f"w{n},2026-10-{n},sieve,main,400 m,:25.00" for n in range(10, 20)))
    assert load_of(works=many).load.published.value == 6000.0


def test_a_figure_of_now_stands_against_the_weeks_in_training():
    """A year of gallops on weekdays, with two months at grass: those weeks are not usual."""
    days = [LAST - timedelta(days=ago) for ago in range(380)]
    out = [day for day in days if day.weekday() < 5 and day.month not in (3, 4)]
    table = rows("exercise", *(f"{day},sieve,gallop,2 km,2:50.00,main" for day in sorted(out)))
    usual = {one.what: one for one in load_of(exercise=table).usuals}
    week = usual["week"]
    assert (week.now.value, week.low.value, week.high.value) == (10000.0, 10000.0, 10000.0)
    # Five like days and two of nothing: the mean over the deviation of the seven.
    assert usual["monotony"].now.value == pytest.approx(5 / 7 / (10 / 49) ** 0.5)
    assert usual["coupled"].now.value == pytest.approx(1.0)
    assert usual["uncoupled"].now.value == pytest.approx(1.0)


def test_what_a_study_tells_is_shown_where_fast_means_the_same():
    many = rows("works", *(f"w{n},2026-10-{n},sieve,main,400 m,:25.00" for n in range(10, 20)))
    barn = METRIC + '[care]\nfast_speed = "13 m/s"\n'
    assert load_of(barn=barn, works=many).load.published is None


def test_a_race_without_a_time_counts_where_fast_begins():
    barn = METRIC + '[care]\nspeed_classes = ["12 m/s", "16 m/s"]\n'
    race = rows("exercise", "2026-10-29,sieve,race,1200 m,,main")
    found = load_of(barn=barn, exercise=race).load
    (number,) = found.spans[0].ground
    assert (found.classes[number].low.value, found.classes[number].fast) == (14.0, True)


def test_a_test_has_its_own_stroke():
    tested = rows("fitness", "2026-10-30,sieve,1,10 m/s,170,,")
    found = load_of(exercise=gallops(10), fitness=tested).load
    assert found.weeks[-1].days[-2:] == ("test", "gallop")


def test_races_before_and_ahead():
    race = rows("exercise", "2026-10-21,sieve,race,1200 m,1:12.00,main")
    aim = rows("targets", "sieve,2026-11-14,1200 m,main,")
    found = load_of(exercise=race, targets=aim)
    assert (found.since_race.value, found.to_race.value) == (10, 14)


def test_the_words_say_what_stands_in_the_record():
    work = rows("works", "a,2026-10-20,sieve,main,400 m,:25.00")
    found = load_of(works=work, exercise=gallops(200))
    said = words.load_sentences(found)
    assert "it was eleven days since her last fast work, on 20 October" in said
    assert "covered 0.4 km of fast ground (14.3 s per 200 m or quicker)" in said
    assert "at the ends of the six months before it was none" in said
    alone = load_of(works=work)
    assert words.load_missing(alone).paragraphs[-1].startswith("Too few other horses")
    resting = load_of(exercise=gallops(100))
    assert "She had no timed work in the 60 days" in " ".join(
        words.load_missing(resting).paragraphs
    )


def test_the_whole_page_of_odd_barns_can_be_set():
    """Classes of speed beyond those of the pictures' first colours, and a fast speed of a jog."""
    work = rows("works", "a,2026-10-30,sieve,main,800 m,:48.00")
    for care in (
        'speed_classes = ["9 m/s", "11 m/s", "13 m/s", "13.5 m/s"]',
        'speed_classes = ["15 m/s", "16 m/s", "17 m/s", "18 m/s"]',
        'fast_speed = "5 m/s"',
    ):
        found = load_of(barn=METRIC + f"[care]\n{care}\n", works=work, exercise=gallops(60))
        table = tables.speeds(found)
        assert len(table.rows) == len(found.load.classes)
        assert figures.weeks(found).caption
        assert len({one.text if hasattr(one, "text") else one for one, *_ in table.rows}) == len(
            table.rows
        )


def test_what_was_estimated_is_said_in_the_month_and_in_the_report():
    walk = rows("exercise", "2026-10-30,sieve,walk,800 m,,")
    for found in (month_of(barn=METRIC, exercise=walk), load_of(exercise=walk)):
        assert "800 m had no time" in tables.speeds(found).note.replace("0.8 km", "800 m")
        assert found.load.estimated.value == 800.0


def test_nothing_is_told_of_days_after_the_horse_left():
    """Works that a book holds after that day neither stop the month nor count since it."""
    horses = "horse,name,foaled,sex,left\nsieve,Sieve,2022,filly,2026-10-10\n"
    works = rows(
        "works", "a,2026-10-05,sieve,main,400 m,:25.00", "b,2026-10-20,sieve,main,400 m,:25.00"
    )
    found = month_of(barn=METRIC, horses=horses, works=works)
    assert (found.load.last, found.load.since.days.value) == (date(2026, 10, 10), 5)
    late = month_of(
        barn=METRIC,
        horses=horses,
        works=rows("works", "b,2026-10-20,sieve,main,400 m,:25.00"),
    )
    assert (late.load, late.asked, tables.asked(late)) == (None, (), None)


def test_a_smoothed_load_of_few_weeks_is_no_line():
    assert load_of(exercise=gallops(70)).smoothed == ()
    enough = load_of(exercise=gallops(80))
    assert len(enough.smoothed) >= 4
    assert figures.smoothed(enough) is not None


def test_of_few_weeks_nothing_is_usual():
    found = load_of(exercise=gallops(40))
    assert {one.what for one in found.usuals} >= {"week", "four_weeks", "coupled"}
    assert all(one.low is None for one in found.usuals)


def test_the_barns_spread_takes_four_other_horses():
    horses = ALONE["horses"] + "".join(f"h{n},Horse {n},2022,mare\n" for n in range(5))
    own = "own,2026-10-20,sieve,main,800 m,:50.00"
    others = [f"w{n},2026-10-20,h{n},main,{800 + 100 * n} m,1:0{n}.00" for n in range(4)]
    four = load_of(horses=horses, works=rows("works", own, *others))
    (works,) = [one for one in four.usuals if one.what == "works"]
    assert (four.others.value, works.now.value) == (4, 800.0)
    assert [end.value for end in works.barn] == [875.0, 1025.0]
    three = load_of(horses=horses, works=rows("works", own, *others[:3]))
    assert three.others is None
    assert all(one.barn is None for one in three.usuals)


def test_the_gap_is_the_middle_of_the_days_from_work_to_work():
    days = (1, 8, 15, 29)
    lines = (f"w{day},2026-10-{day:02d},sieve,main,800 m,:50.00" for day in days)
    found = load_of(works=rows("works", *lines))
    (gap,) = [one for one in found.usuals if one.what == "gap"]
    assert gap.now.value == 7


def test_without_ground_nothing_is_recorded():
    found = load_of()
    assert (found.recorded, found.load, found.usuals, found.smoothed) == (False, None, (), ())
    assert load_of(exercise=gallops(3), until="2025-01-01").recorded is False
    with pytest.raises(OutOfRangeError, match="no day"):
        load_of(until="soon")


def test_later_days_change_nothing():
    """What a report says of a day is the same whenever it is made."""
    early = rows(
        "exercise", "2026-10-01,sieve,walk,1 km,,", "2026-10-02,sieve,gallop,2 km,2:50.00,main"
    )
    later = [f"2026-11-{day:02d},sieve,walk,1 km,1:00.00," for day in range(1, 10)]
    plain = load_of(until="2026-10-31", exercise=early)
    more = load_of(until="2026-10-31", exercise=early + "\n".join(later) + "\n")
    assert [(n.name, n.value) for n in plain.numbers()] == [
        (n.name, n.value) for n in more.numbers()
    ]


def test_the_month_tells_of_the_load_up_to_the_newest_entry():
    """In mid-month the days to come are no days off."""
    found = month_of(barn=METRIC, exercise=gallops(100, first=date(2026, 10, 12)))
    assert found.load.last == date(2026, 10, 12)
    assert len(found.load.weeks) == 13
    assert month_of(barn=BARN).load is None
