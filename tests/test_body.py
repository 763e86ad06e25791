"""Series of measurements and changes in them."""

import math
from datetime import date
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import body
from racecalc.errors import OutOfRangeError
from racecalc.sources import SOURCES
from racecalc.units import INCH_M


def table(*rows: tuple[str, str, float, str | None, bool | None, str | None]) -> pd.DataFrame:
    names = ("date", "what", "value", "method", "shod", "by")
    frame = pd.DataFrame(
        {name: pd.Series([row[at] for row in rows], dtype=object) for at, name in enumerate(names)}
    )
    return frame.assign(
        date=pd.to_datetime(frame["date"]), value=frame["value"].astype(float), horse="H1"
    )


HEIGHTS = table(
    ("2026-03-01", "height", 1.62, "stick", False, "A"),
    ("2026-01-01", "height", 1.60, "stick", False, "A"),
    ("2026-01-01", "height", 1.61, "stick", False, "A"),
    ("2026-01-01", "height", 1.66, "stick", False, "A"),
    ("2026-02-01", "height", 1.63, "stick", True, "A"),
    ("2026-02-02", "height", 1.64, "laser", False, "A"),
    ("2026-02-03", "height", 1.64, "stick", None, "A"),
    ("2026-02-04", "weight", 480.0, "scale", True, "A"),
    ("2026-02-05", "weight", 481.0, "scale", False, "A"),
)


def test_shoes_and_methods_are_kept_apart() -> None:
    found = body.series(HEIGHTS, "height")
    assert [(one.method, one.shod, len(one.readings)) for one in found] == [
        ("stick", False, 2),
        ("stick", None, 1),
        ("laser", False, 1),
        ("stick", True, 1),
    ]
    assert found[0].unit == "m"


def test_a_day_is_its_median() -> None:
    barefoot = body.series(HEIGHTS, "height")[0]
    assert barefoot.dates == (date(2026, 1, 1), date(2026, 3, 1))
    assert barefoot.values == (1.61, 1.62)


def test_shoes_do_not_split_a_weight() -> None:
    assert [len(one.readings) for one in body.series(HEIGHTS, "weight")] == [2]


def test_latest_is_the_newest() -> None:
    newest = body.latest(body.series(HEIGHTS, "height"))
    assert newest is not None
    assert newest.last == body.Reading(date(2026, 3, 1), 1.62, "A")
    assert body.latest([]) is None
    assert body.series(HEIGHTS, "girth") == []


@given(order=st.permutations(range(len(HEIGHTS))))
def test_the_order_of_rows_does_not_matter(order: list[int]) -> None:
    assert body.series(HEIGHTS.iloc[order], "height") == body.series(HEIGHTS, "height")


def test_what_cannot_be_a_series() -> None:
    with pytest.raises(OutOfRangeError, match="write one of height"):
        body.series(HEIGHTS, "temper")
    two = pd.concat([HEIGHTS, HEIGHTS.assign(horse="H2")])
    with pytest.raises(OutOfRangeError, match="2 horses"):
        body.series(two, "height")


def weights(*values: float, method: str = "scale", by: str | None = None) -> body.Series:
    rows = [
        (f"2026-0{month}-01", "weight", value, method, None, by)
        for month, value in enumerate(values, start=1)
    ]
    return body.series(table(*rows), "weight")[0]


def test_change_is_real_beyond_its_noise() -> None:
    found = body.change(weights(500.0, 500.0, 512.0))
    assert found is not None
    assert (found.difference, found.n, found.real) == (12.0, 3, True)
    assert found.noise.limit == pytest.approx(1.96 * math.sqrt(2) * 0.0063 * 512)
    small = body.change(weights(500.0, 508.0))
    assert small is not None
    assert small.real is False


@given(
    values=st.lists(st.floats(350, 650), min_size=2, max_size=9),
    method=st.sampled_from(["scale", "tape", "estimate"]),
)
def test_backward_in_time_the_change_is_the_opposite(values: list[float], method: str) -> None:
    there = body.change(weights(*values, method=method))
    back = body.change(weights(*reversed(values), method=method))
    assert there is not None
    assert back is not None
    assert (there.difference, there.noise, there.real) == (-back.difference, back.noise, back.real)


@given(first=st.floats(350, 650), last=st.floats(350, 650))
def test_the_unit_does_not_decide_what_is_real(first: float, last: float) -> None:
    plain, pounds = body.change(weights(first, last)), body.change(weights(first * 2, last * 2))
    assert plain is not None
    assert pounds is not None
    assert plain.noise.limit is not None
    assert pounds.noise.limit == pytest.approx(2 * plain.noise.limit)
    assert plain.real == pounds.real


def test_since_and_until_choose_the_readings() -> None:
    readings = weights(470.0, 480.0, 490.0, 500.0)
    found = body.change(readings, since=date(2026, 2, 20), until=date(2026, 3, 31))
    assert found is not None
    assert (found.first.value, found.last.value, found.n) == (480.0, 490.0, 2)
    oldest = body.change(readings, since=date(2020, 1, 1))
    assert oldest is not None
    assert (oldest.first.value, oldest.n) == (470.0, 4)


def test_no_change_without_two_days() -> None:
    readings = weights(470.0, 480.0)
    assert body.change(weights(470.0)) is None
    assert body.change(readings, until=date(2026, 1, 15)) is None
    assert body.change(readings, since=date(2026, 2, 1)) is None


@pytest.mark.parametrize(("by", "real"), [("A", True), (None, False)])
def test_one_person_measures_a_height_more_closely(by: str | None, real: bool) -> None:
    rows = [(f"2026-0{m}-01", "height", 1.60 + 0.02 * m, "stick", False, by) for m in (1, 2)]
    found = body.change(body.series(table(*rows), "height")[0])
    assert found is not None
    assert found.real is real
    assert found.noise.limit is not None
    assert found.noise.limit < 1.1 * INCH_M
    assert found.noise.source_keys == ("lamas_2007",)


def test_a_day_measured_by_two_people_is_nobodys() -> None:
    rows = [("2026-01-01", "height", 1.6, "stick", False, by) for by in ("A", "B")]
    assert body.series(table(*rows), "height")[0].last.by is None


@pytest.mark.parametrize(
    ("what", "method"),
    [("temperature", None), ("pulse", None), ("girth", "tape"), ("height", "laser")],
)
def test_nothing_is_claimed_where_no_error_is_published(what: str, method: str | None) -> None:
    rows = [(f"2026-0{m}-01", what, 1.0 * m, method, None, None) for m in (1, 2)]
    found = body.change(body.series(table(*rows), what)[0])
    assert found is not None
    assert (found.noise, found.real) == (body.Noise(None), None)


@pytest.mark.parametrize(
    ("foaled", "year", "age"),
    [
        (pd.Timestamp("2023-04-01"), 2023.0, 3),
        (pd.NaT, 2023.0, 3),
        (None, 2023, 3),
        (pd.NaT, np.nan, None),
        (None, None, None),
        (pd.Timestamp("2027-01-01"), np.nan, None),
    ],
)
def test_age(foaled: Any, year: float | None, age: int | None) -> None:
    assert body.age_years(foaled, year, date(2026, 10, 31)) == age


@pytest.mark.parametrize("wrong", [-1.0, float("nan")])
def test_no_negative_error(wrong: float) -> None:
    with pytest.raises(OutOfRangeError, match="zero or more"):
        body.smallest_detectable_change(wrong)


def test_every_spread_names_its_source() -> None:
    assert {spread.source_key for spread in body.SPREADS.values()} <= SOURCES.keys()
