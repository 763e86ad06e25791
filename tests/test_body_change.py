"""Is a change real? One basis for heights, a horse's own error, and trends: by simulation."""

from datetime import date, timedelta
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import body
from racecalc.errors import OutOfRangeError
from tests.test_body import table

FIRST = date(2026, 1, 1)
WEEKS = np.arange(60) * 7
TRIALS = 2000


def weighings(values: npt.ArrayLike, days: npt.ArrayLike = WEEKS, what: str = "weight") -> Any:
    found = tuple(
        body.Reading(FIRST + timedelta(days=int(day)), float(value))
        for day, value in zip(np.asarray(days), np.asarray(values), strict=False)
    )
    return body.Series(what, "scale", None, "kg", found)


def heights(*rows: tuple[str, float, bool | None]) -> list[body.Series]:
    return body.series(
        table(*((day, "height", value, "stick", shod, "A") for day, value, shod in rows)), "height"
    )


def test_heights_with_shoes_are_lowered_by_what_shoes_add() -> None:
    (found,) = body.barefoot(heights(("2026-01-01", 1.60, False), ("2026-02-01", 1.63, True)))
    assert found.values == (1.60, pytest.approx(1.62))
    assert [reading.adjusted for reading in found.readings] == [False, True]
    (own,) = body.barefoot(heights(("2026-02-01", 1.63, True)), allowance_m=0.006)
    assert own.last.value == pytest.approx(1.624)


def test_of_a_day_with_both_the_barefoot_height_stands() -> None:
    (found,) = body.barefoot(heights(("2026-01-01", 1.60, False), ("2026-01-01", 1.62, True)))
    assert (found.values, found.last.adjusted) == ((1.60,), False)


def test_heights_of_unknown_shoes_stay_apart() -> None:
    found = body.barefoot(heights(("2026-01-01", 1.60, None), ("2026-02-01", 1.62, True)))
    assert [one.shod for one in found] == [False, None]


def test_the_allowance_has_an_error_of_its_own() -> None:
    bare = heights(("2026-01-01", 1.60, False), ("2026-02-01", 1.63, False))
    mixed = heights(("2026-01-01", 1.60, False), ("2026-02-01", 1.63, True))
    both = heights(("2026-01-01", 1.60, True), ("2026-02-01", 1.63, True))
    limits = []
    for found in (bare, mixed, both):
        change = body.change(body.barefoot(found)[0])
        assert change is not None
        limits.append(change.noise.limit)
    assert limits[0] == limits[2]
    assert limits[1] == pytest.approx(np.hypot(limits[0], body.SHOE_ERROR_M))


def test_a_horses_own_shoes_are_measured_on_days_with_both() -> None:
    found = heights(
        ("2026-01-01", 1.60, False),
        ("2026-01-01", 1.612, True),
        ("2026-03-01", 1.60, False),
        ("2026-03-01", 1.608, True),
        ("2026-04-01", 1.70, True),
    )
    assert body.shoes_add(found) == (pytest.approx(0.010), 2)
    assert body.shoes_add(heights(("2026-01-01", 1.60, False))) is None


def test_each_scorer_sees_condition_otherwise() -> None:
    rows = [
        ("2026-01-01", "condition", 5.0, None, None, "A"),
        ("2026-02-01", "condition", 6.0, None, None, "B"),
        ("2026-03-01", "condition", 5.5, None, None, "A"),
    ]
    found = body.series(table(*rows), "condition")
    assert [(one.by, one.values) for one in found] == [("A", (5.0, 5.5)), ("B", (6.0,))]


@pytest.mark.parametrize(("n", "low", "high"), [(20, 0.03, 0.06), (60, 0.035, 0.06)])
def test_pure_noise_passes_the_limit_learned_from_it_in_a_twentieth_of_trials(
    n: int, low: float, high: float
) -> None:
    rng = np.random.default_rng(20261125)
    passed = 0
    for _ in range(TRIALS):
        change = body.change(weighings(rng.normal(480, 4.0, n)), FIRST + timedelta(days=7 * n - 40))
        assert change is not None
        assert change.noise.own_n == n
        passed += bool(change.real)
    assert low < passed / TRIALS < high


def test_pure_noise_passes_the_limit_of_a_known_error_in_a_twentieth_of_trials() -> None:
    """Few readings: the published error of the scale, 0.63 % of the weight, stands."""
    rng = np.random.default_rng(7)
    passed = 0
    for _ in range(TRIALS):
        change = body.change(weighings(rng.normal(480, 0.0063 * 480, 3)))
        assert change is not None
        assert change.noise.own_n is None
        passed += bool(change.real)
    assert 0.035 < passed / TRIALS < 0.06


def test_growth_is_not_taken_for_error() -> None:
    rng = np.random.default_rng(3)
    grown = 400 + 0.3 * WEEKS + rng.normal(0, 2.0, len(WEEKS))
    found = body.own_error(WEEKS.tolist(), grown.tolist(), 75)
    assert found is not None
    assert found.standard_error == pytest.approx(2.0, rel=0.25)


@given(
    values=st.lists(st.floats(400, 600), min_size=12, max_size=30),
    slope=st.floats(-2, 2),
    scale=st.floats(0.5, 3),
)
def test_own_error_does_not_see_a_straight_line_and_scales(
    values: list[float], slope: float, scale: float
) -> None:
    days = [7.0 * day for day in range(len(values))]
    plain = body.own_error(days, values, 75)
    tilted = body.own_error(
        days, [scale * value + slope * day for day, value in zip(days, values, strict=True)], 75
    )
    assert plain is not None
    assert tilted is not None
    assert tilted.standard_error == pytest.approx(scale * plain.standard_error, abs=1e-6)
    assert tilted.freedom == plain.freedom


def test_readings_too_far_apart_tell_nothing_of_their_error() -> None:
    assert body.own_error([0.0, 90.0, 180.0], [480.0, 490.0, 480.0], 75) is None
    assert body.own_error([0.0, 7.0], [480.0, 490.0], 75) is None
    with pytest.raises(OutOfRangeError, match="ascending"):
        body.own_error([0.0, 0.0, 7.0], [480.0, 490.0, 480.0], 75)


def test_readings_that_are_all_alike_tell_nothing_of_their_error() -> None:
    assert body.own_error_of(weighings(np.full(30, 67 * 0.0254)), date(2027, 1, 1)) is None
    change = body.change(weighings(np.full(30, 480.0)))
    assert change is not None
    assert change.noise.standard_error == pytest.approx(0.0063 * 480)


def test_pure_noise_is_hardly_ever_a_trend() -> None:
    rng = np.random.default_rng(11)
    real = 0
    for _ in range(TRIALS):
        found = body.trend(weighings(rng.normal(480, 2.5, 14)), FIRST, date(2027, 1, 1))
        assert found is not None
        real += bool(found.real)
    assert real / TRIALS < 0.01


def test_the_interval_of_a_slope_holds_it_in_95_of_100() -> None:
    rng = np.random.default_rng(12)
    held = 0
    for _ in range(TRIALS):
        line = 480 - 0.1 * WEEKS[:14] + rng.normal(0, 2.5, 14)
        found = body.trend(weighings(line), FIRST, date(2027, 1, 1))
        assert found is not None
        held += found.low <= -0.1 <= found.high
    assert 0.93 < held / TRIALS < 0.98


def test_weight_that_falls_at_every_weighing_is_a_trend_though_its_ends_are_within_error() -> None:
    """Nine weighings, two pounds less each: no two neighbours differ, all of them do."""
    values = [500.0 - 1.2 * week for week in range(9)]
    found = body.trend(weighings(values), FIRST, FIRST + timedelta(days=60))
    assert found is not None
    assert found.real is True
    assert found.total == pytest.approx(-9.6)
    month = body.change(weighings(values), FIRST + timedelta(days=28))
    assert month is not None
    assert month.real is False


def test_one_odd_reading_does_not_bend_a_trend() -> None:
    values = np.full(13, 480.0)
    values[6] = 520.0
    found = body.trend(weighings(values), FIRST, date(2027, 1, 1))
    assert found is not None
    assert (found.slope, found.real) == (0.0, False)


@pytest.mark.parametrize("days", [[0, 7, 14, 21, 28], [0, 2, 4, 6, 8, 10]])
def test_too_few_readings_or_days_make_no_trend(days: list[int]) -> None:
    assert body.trend(weighings(np.full(len(days), 480.0), days), FIRST, date(2027, 1, 1)) is None


def test_a_trend_without_a_known_error_claims_nothing() -> None:
    found = body.trend(
        weighings(np.linspace(1.8, 1.9, 7), np.arange(7) * 40, "girth"), FIRST, date(2027, 1, 1)
    )
    assert found is not None
    assert (found.limit, found.real) == (None, None)
