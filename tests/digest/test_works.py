"""Works of a month: totals, sections, and how they stand to the horse's line."""

import pytest

from tests.daybook.stable import BARN
from tests.digest.small import ALONE, METRIC, month_of, numbers_of, rows

FURLONG = 201.168


def the_work(month="2026-10", barn=None, **tables):
    found = month_of(month, **({"barn": barn} if barn else {}), **tables)
    return found.works[-1]


def sections_of(work):
    return [
        (s.pole, round(s.distance_m, 3), round(s.time.value, 6), round(s.clock.value, 6))
        for s in work.sections
    ]


def test_totals_count_and_add_up_the_works_of_the_month_and_of_the_one_before():
    found = month_of(
        works=rows(
            "works",
            "a,2026-08-31,sieve,main,3 f,:37",
            "b,2026-09-01,sieve,main,4 f,:50",
            "c,2026-09-30,sieve,hill,3 f,",
            "d,2026-10-01,sieve,main,5 f,1:01 2/5",
            "e,2026-10-31,sieve,main,1200 m,1:16",
            "f,2026-11-01,sieve,main,6 f,1:13",
        )
    )
    numbers = numbers_of(found)
    assert [work.id for work in found.works] == ["d", "e"]
    assert numbers["month.works.count"] == 2
    assert numbers["month.works.distance"] == pytest.approx(5 * FURLONG + 1200)
    assert numbers["last_month.works.count"] == 2
    assert numbers["last_month.works.distance"] == pytest.approx(7 * FURLONG)


def test_pace_and_speed_of_a_work():
    # 6 f in 1:13 1/5 is 12.2 s a furlong, and 0.75 mi in 73.2 s is 36.8852 mph.
    work = the_work(works=rows("works", "a,2026-10-02,sieve,main,6 f,1:13 1/5"))
    assert work.time.value == pytest.approx(73.2)
    assert work.pace.value == pytest.approx(12.2)
    assert work.speed.value == pytest.approx(36.8852 * 0.44704, abs=1e-4)


def test_a_work_without_a_time_has_its_distance_and_nothing_else():
    found = month_of(works=rows("works", "a,2026-10-02,sieve,main,3 f,"))
    work = found.works[0]
    assert work.distance.value == pytest.approx(3 * FURLONG)
    assert (work.time, work.pace, work.speed, work.sections, work.stand) == (
        None,
        None,
        None,
        (),
        None,
    )
    assert ("clock", 1) in {(gap.what, gap.count) for gap in found.missing}
    assert found.ground[0].by_speed["untimed"].value == pytest.approx(3 * FURLONG)


def test_a_work_is_cut_at_its_poles_and_ends_with_its_time():
    work = the_work(
        works=rows("works", "a,2026-10-02,sieve,main,4 f,:49"),
        splits=rows("splits", "a,3/8,:12 3/5", "a,1/4,:24 4/5", "a,1/8,:37", "a,+1/8,1:02"),
    )
    assert sections_of(work) == [
        ("3/8", FURLONG, 12.6, 12.6),
        ("1/4", FURLONG, 12.2, 24.8),
        ("1/8", FURLONG, 12.2, 37.0),
        ("finish", FURLONG, 12.0, 49.0),
        ("+1/8", FURLONG, 13.0, 62.0),
    ]
    assert [section.gallop_out for section in work.sections] == [False] * 4 + [True]
    assert work.sections[0].pace_s == pytest.approx(12.6)


def test_a_missing_pole_makes_a_longer_section_and_is_not_filled_in():
    work = the_work(
        works=rows("works", "a,2026-10-02,sieve,main,4 f,:49"),
        splits=rows("splits", "a,1/8,:37"),
    )
    assert sections_of(work) == [
        ("1/8", 3 * FURLONG, 37.0, 37.0),
        ("finish", FURLONG, 12.0, 49.0),
    ]


def test_a_work_from_a_pole_ends_where_its_distance_says():
    """Three furlongs from the half-mile pole end at the eighth pole; after it is galloping out."""
    work = the_work(
        works=rows("works", "a,2026-10-02,sieve,main,3 f,:37,1/2", more=",from_pole"),
        splits=rows("splits", "a,3/8,:12 2/5", "a,1/4,:24 4/5", "a,finish,:50"),
    )
    assert sections_of(work) == [
        ("3/8", FURLONG, 12.4, 12.4),
        ("1/4", FURLONG, 12.4, 24.8),
        ("1/8", FURLONG, 12.2, 37.0),
        ("finish", FURLONG, 13.0, 50.0),
    ]
    assert [section.gallop_out for section in work.sections] == [False, False, False, True]


def test_metric_poles_keep_their_names_and_are_no_furlongs():
    work = the_work(
        barn=METRIC,
        works=rows("works", "a,2026-10-02,sieve,gallop,1200 m,1:15.30"),
        splits=rows("splits", "a,800 m,:25.10", "a,400 m,:50.00", "a,+200 m,1:29.00"),
    )
    assert sections_of(work) == [
        ("800 m", 400.0, 25.1, 25.1),
        ("400 m", 400.0, 24.9, 50.0),
        ("finish", 400.0, 25.3, 75.3),
        ("+200 m", 200.0, 13.7, 89.0),
    ]
    assert work.sections[0].pace_s == pytest.approx(25.1 * FURLONG / 400)


def test_poles_without_the_time_of_the_work_are_kept():
    work = the_work(
        works=rows("works", "a,2026-10-02,sieve,main,4 f,"),
        splits=rows("splits", "a,3/8,:12 3/5", "a,1/4,:24 4/5"),
    )
    assert sections_of(work) == [("3/8", FURLONG, 12.6, 12.6), ("1/4", FURLONG, 12.2, 24.8)]
    assert work.time is None


BEFORE = tuple(
    f"b{number},2026-0{number % 4 + 5}-{number + 10},sieve,main,6 f,1:1{4 + number % 2}"
    for number in range(10)
)


def stand_of(clock, *others, before=BEFORE, more=""):
    found = month_of(
        works=rows("works", *before, *others, f"z,2026-10-20,sieve,main,6 f,{clock}", more=more)
    )
    return found.works[-1].stand


@pytest.mark.parametrize(
    ("clock", "verdict"),
    [("1:14 2/5", "as expected"), ("1:09", "quicker"), ("1:21", "slower")],
)
def test_a_work_stands_to_the_line_of_the_works_before(clock, verdict):
    stand = stand_of(clock)
    assert stand.verdict == verdict
    assert stand.low.value < 74.5 < stand.high.value
    # What only a review has room for is left out of a month.
    assert (stand.expected, stand.own, stand.others) == (None, None, None)
    assert (stand.margin is None) == (verdict == "as expected")


def test_the_margin_is_from_what_was_expected_in_the_middle():
    stand = stand_of("1:09")
    middle = (stand.low.value + stand.high.value) / 2
    assert stand.margin.value == pytest.approx(middle - 69.0, abs=0.1)


@pytest.mark.parametrize(
    "before",
    [
        (),  # nothing before
        BEFORE[:3],  # too few
        tuple(line.replace("6 f", "1200 m") for line in BEFORE),  # another distance, 7 m less
        tuple(line.replace("main", "hill") for line in BEFORE),  # another track
        tuple(line.replace("2026-0", "2024-0") for line in BEFORE),  # more than a year ago
        tuple(line.rpartition(",")[0] + "," for line in BEFORE),  # no clock
    ],
)
def test_no_line_without_enough_like_it_before(before):
    assert stand_of("1:09", before=before) is None


def test_works_of_the_day_and_later_do_not_count():
    same_day = ("c,2026-10-20,sieve,main,6 f,1:30", "d,2026-10-21,sieve,main,6 f,1:30")
    found = month_of(works=rows("works", *BEFORE, "z,2026-10-20,sieve,main,6 f,1:14", *same_day))
    stand = next(work.stand for work in found.works if work.id == "z")
    assert stand == stand_of("1:14")


def test_the_barns_other_works_are_behind_it_without_a_name():
    horses = ALONE["horses"] + "other,Other,2021,colt\n"
    others = [line.replace("sieve", "other").replace("b", "o", 1) for line in BEFORE]
    found = month_of(
        horses=horses,
        works=rows("works", *others, "z,2026-10-20,sieve,main,6 f,1:14"),
    )
    stand = found.works[-1].stand
    assert stand.low.value < 74.5 < stand.high.value
    assert stand.low.n == 10


def test_the_line_runs_over_works_like_the_newest():
    found = month_of(
        works=rows(
            "works",
            *BEFORE,
            "x,2026-10-01,sieve,main,5 f,1:02",
            "y,2026-10-02,sieve,hill,6 f,1:15",
            "z,2026-10-20,sieve,main,6 f,1:14",
        )
    )
    assert [point.work for point in found.line] == [
        *(line.partition(",")[0] for line in sorted(BEFORE, key=lambda text: text.split(",")[1])),
        "z",
    ]
    assert found.line[-1].low.value == found.works[-1].stand.low.value
    assert found.line[0].expected is None


@pytest.mark.parametrize("own", ["0.1 s", "1 s"])
def test_the_barns_own_error_of_its_watch_goes_before_the_published_one(own):
    found = month_of(
        barn=BARN + f'clock_error = "{own}"\n',
        works=rows("works", "a,2026-10-02,sieve,main,6 f,1:13"),
        splits=rows("splits", "a,1/4,:48"),
    )
    one_s = float(own.removesuffix(" s"))
    assert found.works[0].sections[0].pace_error_s == pytest.approx(2**0.5 * one_s / 4)
    assert found.clock_error.name == "clock.difference"
    assert found.clock_error.value == pytest.approx(2**0.5 * one_s)
    assert (found.clock_error.sources, found.clock_error.caveat) == ((), "as the barn set it")


def test_the_published_error_of_a_watch_names_its_source_and_needs_no_caveat():
    found = month_of(works=rows("works", "a,2026-10-02,sieve,main,6 f,1:13"))
    assert found.clock_error.sources == ("chicago_tribune_1989",)
    assert found.clock_error.caveat is None


def test_where_a_work_begins_and_ends():
    [work] = month_of(works=rows("works", "a,2026-10-01,sieve,hill,1 mi,1:45")).works
    assert (work.start_m, work.end_m) == pytest.approx((8 * FURLONG, 0))
    [work] = month_of(
        works=rows("works", "a,2026-10-01,sieve,main,3 f,:37,1/2", more=",from_pole")
    ).works
    assert (work.start_m, work.end_m) == pytest.approx((4 * FURLONG, FURLONG))


def test_a_section_is_quicker_than_the_mean_only_beyond_the_error_of_the_watch():
    work = the_work(
        works=rows("works", "a,2026-10-02,sieve,main,3 f,:36 3/5"),
        splits=rows("splits", "a,1/4,:12 2/5", "a,1/8,:24 2/5"),
    )
    assert [section.tempo for section in work.sections] == ["alike", "alike", "alike"]
    work = the_work(
        works=rows("works", "a,2026-10-02,sieve,main,3 f,:36 3/5"),
        splits=rows("splits", "a,1/4,:13", "a,1/8,:25 1/5"),
    )
    assert [section.tempo for section in work.sections] == ["slower", "alike", "quicker"]


def test_the_lead_is_that_noted_at_the_pole():
    work = the_work(
        works=rows("works", "a,2026-10-02,sieve,main,2 f,:25"),
        splits=rows("splits", "a,1/8,:12 2/5,left", "a,finish,:25,", more=",lead"),
    )
    assert [section.lead for section in work.sections] == ["left", None]


@pytest.mark.parametrize(
    ("row", "distance", "time", "track"),
    [
        ("2026-10-24,sieve,race,6 f,1:11,main", 6 * FURLONG, 71.0, "Main Oval"),
        ("2026-10-24,sieve,race,,1:11,", None, 71.0, None),
        ("2026-10-24,sieve,race,6 f,,", 6 * FURLONG, None, None),
        ("2026-10-24,sieve,race,,,", None, None, None),
    ],
)
def test_a_race_shows_what_is_known_of_it(row, distance, time, track):
    found = month_of(exercise=rows("exercise", row, "2026-11-01,sieve,race,1 mi,1:38,main"))
    [race] = found.races
    assert (race.distance and round(race.distance.value, 3)) == (distance and round(distance, 3))
    assert (race.time and race.time.value) == time
    assert race.track == track
    # A race without a time counts as fast ground by the convention that `workload` states.
    assert found.ground[0].by_speed["fast"].value == pytest.approx(distance or 0.0)
