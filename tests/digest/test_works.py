"""Works of a month: totals, sections, and when one is called the quickest."""

import pytest

from tests.daybook.stable import BARN
from tests.digest.small import METRIC, month_of, numbers_of, rows

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
    assert (work.time, work.pace, work.speed, work.sections, work.quickest) == (
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
    assert all(section.whole_furlong for section in work.sections)


def test_a_missing_pole_makes_a_longer_section_and_is_not_filled_in():
    work = the_work(
        works=rows("works", "a,2026-10-02,sieve,main,4 f,:49"),
        splits=rows("splits", "a,1/8,:37"),
    )
    assert sections_of(work) == [
        ("1/8", 3 * FURLONG, 37.0, 37.0),
        ("finish", FURLONG, 12.0, 49.0),
    ]
    assert [section.whole_furlong for section in work.sections] == [False, True]


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
    assert not any(section.whole_furlong for section in work.sections)
    assert work.sections[0].pace_s == pytest.approx(25.1 * FURLONG / 400)


def test_poles_without_the_time_of_the_work_are_kept():
    work = the_work(
        works=rows("works", "a,2026-10-02,sieve,main,4 f,"),
        splits=rows("splits", "a,3/8,:12 3/5", "a,1/4,:24 4/5"),
    )
    assert sections_of(work) == [("3/8", FURLONG, 12.6, 12.6), ("1/4", FURLONG, 12.2, 24.8)]
    assert work.time is None


# Errors of single clocks are 0.19 s under fifths and 0.14 s under hundredths; a difference errs by
# the square root of two times that, 0.269 s and 0.198 s.
@pytest.mark.parametrize(
    ("barn", "before", "after", "margin"),
    [
        ("fifths", "1:13 2/5", "1:13 1/5", None),
        ("fifths", "1:13 2/5", "1:13", 0.4),
        ("fifths", "1:13 2/5", "1:13 2/5", None),
        ("fifths", "1:13", "1:13 2/5", None),
        ("hundredths", "1:13.40", "1:13.21", None),
        ("hundredths", "1:13.40", "1:13.20", 0.2),
    ],
)
def test_quicker_only_beyond_the_error_of_the_clock(barn, before, after, margin):
    found = month_of(
        barn=METRIC if barn == "hundredths" else METRIC.replace("hundredths", "fifths"),
        works=rows(
            "works",
            f"a,2026-09-02,sieve,main,6 f,{before}",
            "b,2026-09-10,sieve,main,6 f,1:20",
            "c,2026-09-12,sieve,main,6 f,",
            f"d,2026-10-02,sieve,main,6 f,{after}",
        ),
    )
    quickest = found.works[-1].quickest
    assert (quickest and round(quickest.margin.value, 6)) == margin
    if quickest:
        assert quickest.earlier_works.value == 2


@pytest.mark.parametrize(("own", "margin"), [("0.1 s", 0.2), ("0.15 s", None), ("1 s", None)])
def test_the_barns_own_error_of_its_watch_goes_before_the_published_one(own, margin):
    """One fifth quicker: 0.2 s is more than √2 times 0.1 s, and less than √2 times 0.15 s."""
    found = month_of(
        barn=BARN + f'clock_error = "{own}"\n',
        works=rows(
            "works",
            "a,2026-09-02,sieve,main,6 f,1:13 2/5",
            "d,2026-10-02,sieve,main,6 f,1:13 1/5",
        ),
        splits=rows("splits", "d,1/4,:48"),
    )
    quickest = found.works[-1].quickest
    assert (quickest and round(quickest.margin.value, 6)) == margin
    assert quickest is None or quickest.margin.sources == ()
    one_s = float(own.removesuffix(" s"))
    first = found.works[-1].sections[0]
    assert first.pace_error_s == pytest.approx(2**0.5 * one_s / 4)
    assert found.clock_error.name == "clock.difference"
    assert found.clock_error.value == pytest.approx(2**0.5 * one_s)
    assert (found.clock_error.sources, found.clock_error.caveat) == ((), "as the barn set it")


def test_the_published_error_of_a_watch_names_its_source_and_needs_no_caveat():
    found = month_of(works=rows("works", "a,2026-10-02,sieve,main,6 f,1:13"))
    assert found.clock_error.sources == ("chicago_tribune_1989",)
    assert found.clock_error.caveat is None


@pytest.mark.parametrize(
    "slow",
    [
        "a,2026-09-02,sieve,hill,6 f,1:20",  # another track
        "a,2026-09-02,sieve,main,5 f,1:20",  # another distance
        "a,2026-09-02,sieve,main,1200 m,1:20",  # 7 m less than 6 f is another distance
        "a,2026-10-02,sieve,main,6 f,1:20",  # the same day is not earlier
        "a,2026-10-03,sieve,main,6 f,1:20",  # later
        "a,2026-09-02,sieve,main,6 f,",  # no clock
        "a,2026-09-02,sieve,main,6 f,1:20,yes,",  # from the gate, where the other is not
        "a,2026-09-02,sieve,main,6 f,1:20,,muddy",  # another footing
    ],
)
def test_quicker_than_nothing_that_can_be_compared(slow):
    lines = (slow, "z,2026-10-02,sieve,main,6 f,1:13")
    found = month_of(works=rows("works", *lines, more=",from_gate,state"))
    assert [work.quickest for work in found.works if work.id == "z"] == [None]


@pytest.mark.parametrize(
    ("before", "after", "found"),
    [
        (("no", "steady"), ("no", "steady"), False),
        (("no", "steady"), ("no", "sharp"), True),
        (("no", ""), ("no", "sharp"), False),
        (("no", "sharp"), ("no", ""), False),
        (("yes", "steady"), ("no", "steady"), None),
        (("", "steady"), ("no", "sharp"), True),
    ],
)
def test_from_the_gate_is_another_start_and_more_asked_is_said(before, after, found):
    """``found``: whether more was asked; None where the two are not compared at all."""
    lines = [
        f"{work},2026-10-{day},sieve,main,4 f,{clock},{gate},{effort}"
        for work, day, clock, (gate, effort) in (
            ("a", "01", ":50", before),
            ("b", 20, ":49", after),
        )
    ]
    works = month_of(works=rows("works", *lines, more=",from_gate,effort")).works
    quickest = works[-1].quickest
    assert (quickest and quickest.asked_more) == found


def test_1200_m_twice_is_one_distance():
    found = month_of(
        works=rows(
            "works",
            "a,2026-10-01,sieve,gallop,1200 m,1:16",
            "b,2026-10-09,sieve,gallop,1.2 km,1:15",
        )
    )
    assert found.works[-1].quickest.margin.value == pytest.approx(1.0)


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
