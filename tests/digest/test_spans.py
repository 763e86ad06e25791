"""Spans of days: months of every length, the 30 days to a month's end, and what is usual."""

from datetime import date

import pytest

from tests.digest.small import METRIC, month_of, numbers_of, rows

FURLONG = 201.168


def walked(*days, activity="gallop", time=":15"):
    """One furlong at about 13.4 m/s on each day: slower than fast."""
    return rows("exercise", *(f"{day},sieve,{activity},1 f,{time},main" for day in days))


@pytest.mark.parametrize(
    ("month", "first", "last", "month_before", "thirty"),
    [
        ("2026-10", "2026-10-01", "2026-10-31", "2026-09-01", "2026-10-02"),
        ("2026-09", "2026-09-01", "2026-09-30", "2026-08-01", "2026-09-01"),
        ("2026-02", "2026-02-01", "2026-02-28", "2026-01-01", "2026-01-30"),
        ("2024-02", "2024-02-01", "2024-02-29", "2024-01-01", "2024-01-31"),
        ("2024-03", "2024-03-01", "2024-03-31", "2024-02-01", "2024-03-02"),
        ("2026-01", "2026-01-01", "2026-01-31", "2025-12-01", "2026-01-02"),
    ],
)
def test_every_span_holds_its_first_and_last_day_and_no_other(
    month, first, last, month_before, thirty
):
    edges = [date.fromisoformat(day) for day in (first, last, month_before, thirty)]
    days = sorted({day for edge in edges for day in around(edge)})
    found = month_of(month, exercise=walked(*days))
    spans = {
        "month": (edges[0], edges[1]),
        "last_month": (edges[2], day_before(edges[0])),
        "30d": (edges[3], edges[1]),
    }
    for ground in found.ground:
        assert (ground.first, ground.last) == spans[ground.label]
        inside = sum(ground.first <= day <= ground.last for day in days)
        assert ground.by_activity["gallop"].value == pytest.approx(inside * FURLONG)
        assert ground.by_activity["gallop"].n == inside
    assert (edges[1] - edges[3]).days == 29
    assert [day.day for day in found.days] == [
        date.fromordinal(n) for n in range(edges[0].toordinal(), edges[1].toordinal() + 1)
    ]


def around(day):
    return [date.fromordinal(day.toordinal() + step) for step in (-1, 0, 1)]


def day_before(day):
    return date.fromordinal(day.toordinal() - 1)


def test_ground_is_kept_apart_by_activity_and_by_speed():
    found = month_of(
        exercise=rows(
            "exercise",
            "2026-10-05,sieve,walk,2 f,,",
            "2026-10-05,sieve,jog,1 mi,8:00,main",
            "2026-10-06,sieve,gallop,2 f,:28,main",  # 14.37 m/s, fast
            "2026-10-07,sieve,swim,100 m,2:00,",
            "2026-10-08,sieve,turnout,,,",
            "2026-10-09,sieve,gallop,,,main",
        ),
        works=rows("works", "a,2026-10-12,sieve,main,2 f,:26"),
        splits=rows("splits", "a,1/8,:14 2/5", "a,+1/8,:42"),
    )
    month = found.ground[0]
    metres = {name: round(number.value, 3) for name, number in month.by_activity.items()}
    assert metres == {
        "walk": round(2 * FURLONG, 3),
        "jog": round(8 * FURLONG, 3),
        "gallop": round(2 * FURLONG, 3),
        "swim": 100.0,
        "work": round(2 * FURLONG, 3),
        "gallop_out": round(FURLONG, 3),
    }
    # The work's first furlong took 14.4 s (13.97 m/s), its second 11.6 s; swimming is no ground.
    # Nobody timed the walk: it is slower by what is usual.
    speeds = {name: number.value / FURLONG for name, number in month.by_speed.items()}
    assert speeds == pytest.approx({"fast": 3, "slower": 8 + 1 + 1 + 2, "untimed": 0})
    assert ("distance", 1) in {(gap.what, gap.count) for gap in found.missing}


def test_fast_speed_is_the_barns_own_setting():
    barn = METRIC + '[care]\nfast_speed = "16 m/s"\n'
    found = month_of(barn=barn, works=rows("works", "a,2026-10-12,sieve,main,400 m,:26.00"))
    assert found.fast_speed.value == 16.0
    assert found.ground[0].by_speed["fast"].value == 0.0


def work_ends(*months):
    """A two-furlong fast gallop at each month's 20th, growing by a furlong each time."""
    return rows(
        "exercise",
        *(
            f"{month}-20,sieve,gallop,{count} f,:{count * 12},main"
            for count, month in enumerate(months, start=1)
        ),
    )


def test_usual_fast_needs_three_of_the_last_six_months():
    assert month_of(exercise=work_ends("2026-08", "2026-09", "2026-10")).usual_fast is None
    # March is the seventh month back and does not count.
    assert month_of(exercise=work_ends("2026-03", "2026-08", "2026-09")).usual_fast is None
    low, high = month_of(exercise=work_ends("2026-04", "2026-08", "2026-09")).usual_fast
    assert (low.value, high.value) == pytest.approx((FURLONG, 3 * FURLONG))
    assert low.n == high.n == 3


def test_usual_fast_is_summed_over_the_30_days_to_each_month_end():
    # 1 August is not among the 30 days to the 31st; 2 August is.
    found = month_of(
        exercise=rows(
            "exercise",
            "2026-08-01,sieve,gallop,4 f,:50,main",
            "2026-08-02,sieve,gallop,1 f,:12,main",
            "2026-07-31,sieve,gallop,2 f,:24,main",
            "2026-09-30,sieve,gallop,2 f,:24,main",
            "2026-10-01,sieve,gallop,4 f,:50,main",
        )
    )
    low, high = found.usual_fast
    assert (low.value, high.value) == pytest.approx((FURLONG, 2 * FURLONG))


def test_a_month_long_after_the_last_record_is_empty():
    found = month_of("2031-05", exercise=walked("2026-10-04"))
    assert not found.recorded
    assert found.last_record == date(2026, 10, 4)
    assert numbers_of(found)["days.without_entry"] == 31
    assert found.ground[0].by_activity == {}


def test_a_month_before_the_first_record_is_empty_and_says_nothing_of_later():
    found = month_of(
        "2020-02",
        exercise=walked("2026-10-04"),
        measurements=rows("measurements", "2026-10-01,sieve,weight,1000 lb,,scale"),
        works=rows("works", "a,2026-10-02,sieve,main,3 f,:37"),
    )
    assert not found.recorded
    assert (found.last_record, found.height, found.weight, found.works) == (None, None, None, ())
    assert found.usual_fast is None
    assert found.days_blank.value == 29


def test_empty_tables_make_a_digest_with_nothing_in_it():
    found = month_of()
    assert not found.recorded
    assert (found.works, found.races, found.targets, found.tracks) == ((), (), (), ())
    assert all(day.record == "blank" and not day.ground for day in found.days)
