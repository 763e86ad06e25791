"""What holds of every horse: months part the works, order says nothing, names differ."""

import itertools
import tempfile
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from racecalc import digest
from tests.digest.small import numbers_of, record_of, rows

FIRST_DAY = date(2023, 12, 15)
# Three months from a December to a leap February, and what stands before and after them.
MONTHS = ("2023-12", "2024-01", "2024-02", "2024-03")

days = st.integers(0, 90).map(lambda step: FIRST_DAY + timedelta(days=step))
tracks = st.sampled_from(["main", "hill", "gallop"])
# Distance, time, and the clock at the eighth pole.
runs = st.sampled_from(
    [
        ("3 f", ":37", ":25"),
        ("3 f", ":37 2/5", ""),
        ("4 f", ":49 2/5", ":37"),
        ("4 f", "", ":37 2/5"),
        ("600 m", ":38", ""),
    ]
)
works = st.lists(st.tuples(days, tracks, runs), max_size=6)
exercise = st.lists(
    st.tuples(
        days,
        st.sampled_from(["rest", "walk", "jog", "gallop", "race", "swim", "turnout"]),
        st.sampled_from(["", "1 f", "1 mi", "300 m"]),
        st.sampled_from(["", "main", "hill"]),
    ),
    max_size=15,
)
measurements = st.lists(
    st.tuples(
        days,
        st.sampled_from(
            [
                "height,15.2,no,stick",
                "height,15.3,no,stick",
                "height,16.0,yes,stick",
                "weight,1000 lb,,scale",
                "weight,1010 lb,,scale",
                "weight,1100 lb,,tape",
            ]
        ),
    ),
    max_size=10,
)
log = st.dictionaries(
    st.tuples(days, st.sampled_from(["main", "hill"])),
    st.sampled_from(["fast,", "fast,0", "good,0.2 in", "good,3 mm"]),
    max_size=8,
)
targets = st.lists(st.tuples(days, st.sampled_from(["6 f", "1 mi"])), max_size=4)


@st.composite
def books(draw):
    """Rows of every table that reports draw on, as lines of text."""
    worked = draw(works)
    return {
        "works": [
            f"w{number},{day},sieve,{track},{distance},{clock}"
            for number, (day, track, (distance, clock, _)) in enumerate(worked)
        ],
        "splits": [f"w{number},1/8,{at}" for number, (_, _, (*_, at)) in enumerate(worked) if at],
        "exercise": [
            f"{day},sieve,{activity},{'' if activity in ('rest', 'turnout') else far},,{track}"
            for day, activity, far, track in draw(exercise)
        ],
        "measurements": [f"{day},sieve,{rest}" for day, rest in draw(measurements)],
        "surface": [f"{day},{track},{rest}" for (day, track), rest in draw(log).items()],
        "targets": [f"sieve,{day},{far},main,aim" for day, far in draw(targets)],
    }


def read(lines):
    with tempfile.TemporaryDirectory() as folder:
        tables = {name: rows(name, *found) for name, found in lines.items()}
        return record_of(Path(folder), **tables)


@settings(max_examples=15)
@given(lines=books())
def test_months_part_the_works_and_their_ground(lines):
    record = read(lines)
    found = [digest.build(record, month) for month in MONTHS]
    ids = [work.id for one in found for work in one.works]
    assert sorted(ids) == sorted(line.split(",")[0] for line in lines["works"])
    metres = sum(one.works_month.distance.value for one in found)
    assert metres == pytest.approx(record.tables["works"]["distance_m"].sum())
    for one, following in itertools.pairwise(found):
        assert one.works_month.count.value == following.works_last_month.count.value
        assert one.works_month.distance.value == following.works_last_month.distance.value
        month, last_month = one.ground[0], following.ground[1]
        assert values(month.by_activity) == values(last_month.by_activity)
        assert values(month.by_speed) == values(last_month.by_speed)


@settings(max_examples=15)
@given(lines=books(), data=st.data())
def test_the_order_of_rows_changes_nothing(lines, data):
    shuffled = {name: data.draw(st.permutations(found)) for name, found in lines.items()}
    one, other = read(lines), read(shuffled)
    assert one.data_hash == other.data_hash
    for month in MONTHS[1:3]:
        assert digest.build(one, month) == digest.build(other, month)


@settings(max_examples=15)
@given(lines=books())
def test_names_are_unique_values_finite_and_days_add_up(lines):
    record = read(lines)
    for month in MONTHS:
        found = digest.build(record, month)
        numbers = numbers_of(found)
        assert all(abs(value) < 1e9 for value in numbers.values())
        assert all(number.kind in digest.KIND_UNITS for number in found.numbers())
        records = [day.record for day in found.days]
        assert found.days_out.value == records.count("out")
        assert found.days_off.value == records.count("off")
        assert found.days_blank.value <= records.count("blank")
        for ground in found.ground:
            swum = ground.by_activity.get("swim")
            covered = sum(values(ground.by_activity).values()) - (swum.value if swum else 0)
            assert covered == pytest.approx(sum(values(ground.by_speed).values()))
        drawn = sum(number.value for day in found.days for number in day.ground.values())
        shown = [n.value for name, n in found.ground[0].by_activity.items() if name in DRAWN]
        assert drawn == pytest.approx(sum(shown))


DRAWN = ("jog", "canter", "gallop", "work", "gallop_out", "race")


def values(numbers):
    return {name: number.value for name, number in numbers.items()}
