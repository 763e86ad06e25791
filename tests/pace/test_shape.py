"""Evenness and finish against start: what they compare, and how often they are wrong."""

import math
from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import pace
from racecalc.errors import OutOfRangeError
from racecalc.units import FURLONG_M
from tests.pace.works import clocked_works

F = FURLONG_M
FIFTHS, HUNDREDTHS = (pace.clock_error_s(clock) for clock in ("fifths", "hundredths"))
SIMULATED = 2000
TWO_STANDARD_ERRORS = 2 * math.sqrt(0.05 * 0.95 / SIMULATED)

Clocks = npt.NDArray[np.float64]


def work(*times_s: float, furlongs: float = 1.0, out_s: tuple[float, ...] = ()) -> pd.DataFrame:
    """The sections of a work of pieces of one length, and the furlongs that it galloped out."""
    clocks, past = np.cumsum(times_s), sum(times_s) + np.cumsum(out_s)
    poles = np.arange(len(times_s) - 1, 0, -1) * furlongs * F
    beyond = -np.arange(1, len(out_s) + 1) * F
    return pace.sections(
        len(times_s) * furlongs * F,
        float(clocks[-1]),
        np.concatenate([poles, beyond]),
        np.concatenate([clocks[:-1], past]),
    )


def normal(true_s: Clocks, chance: np.random.Generator) -> Clocks:
    """A hand that errs as under hundredths."""
    return true_s + chance.normal(0, HUNDREDTHS / 1.96, true_s.shape)


def rounded_down(true_s: Clocks, chance: np.random.Generator) -> Clocks:
    """A watch that shows whole fifths, begun anywhere in one."""
    return np.floor((true_s + chance.uniform(0, 0.2, (len(true_s), 1))) * 5) / 5


def hand_and_rounded_down(true_s: Clocks, chance: np.random.Generator) -> Clocks:
    """Both: the hand of `mann_2015`, 0.07 s, on a watch of fifths."""
    return rounded_down(true_s + chance.normal(0, 0.07, true_s.shape), chance)


WATCHES = [(normal, HUNDREDTHS), (rounded_down, FIFTHS), (hand_and_rounded_down, FIFTHS)]


@cache
def even_works(count: int, clock: Callable[..., Clocks]) -> list[pd.DataFrame]:
    """Works of even pace, each at its own, as a watch takes them; all in one cut."""
    chance = np.random.default_rng(count)
    true_s = np.arange(count + 1) * chance.uniform(11.5, 15.0, (SIMULATED, 1))
    taken = clock(true_s, chance)
    taken = taken - taken[:, :1]
    ids = np.arange(SIMULATED)
    works = pd.DataFrame({"work": ids, "distance_m": count * F, "time_s": taken[:, -1]})
    splits = pd.DataFrame(
        {
            "work": ids.repeat(count - 1),
            "to_finish_m": np.tile(np.arange(count - 1, 0, -1) * F, SIMULATED),
            "clock_s": taken[:, 1:-1].ravel(),
        }
    )
    return [group for _, group in pace.cut(works, splits).groupby("work")]


@pytest.mark.parametrize("count", [3, 5, 8])
@pytest.mark.parametrize(("clock", "one_s"), WATCHES)
def test_an_even_work_is_called_uneven_in_at_most_5_of_100(
    count: int, clock: Callable[..., Clocks], one_s: float
) -> None:
    found = [pace.evenness(one, one_s).verdict for one in even_works(count, clock)]
    assert set(found) <= {"even", "uneven"}
    assert found.count("uneven") / SIMULATED <= 0.05 + TWO_STANDARD_ERRORS


@pytest.mark.parametrize("count", [3, 5, 8])
def test_the_limit_of_evenness_is_not_far_above_what_is_needed(count: int) -> None:
    """A limit that is never passed would be honest and useless: with a normal hand 2 % pass it."""
    found = [pace.evenness(one, HUNDREDTHS).verdict for one in even_works(count, normal)]
    assert found.count("uneven") / SIMULATED >= 0.02


@pytest.mark.parametrize("count", [2, 5, 8])
@pytest.mark.parametrize(("clock", "one_s"), WATCHES)
def test_an_even_work_is_said_to_quicken_or_slow_in_at_most_5_of_100(
    count: int, clock: Callable[..., Clocks], one_s: float
) -> None:
    found = [pace.finish_against_start(one, one_s).verdict for one in even_works(count, clock)]
    assert sum(verdict is not None for verdict in found) / SIMULATED <= 0.05 + TWO_STANDARD_ERRORS


@pytest.mark.parametrize("count", [2, 5, 8])
def test_the_error_of_the_change_is_its_scatter(count: int) -> None:
    """Propagated and simulated: 1.96 standard deviations of the change of even works."""
    found = [pace.finish_against_start(one, HUNDREDTHS) for one in even_works(count, normal)]
    assert len({round(one.error_s, 9) for one in found}) == 1
    scatter = 1.96 * np.std([one.change_s for one in found])
    # The standard error of a standard deviation of 2000 is 1.6 %.
    assert found[0].error_s == pytest.approx(scatter, rel=0.048)


def test_sections_without_a_common_clock_err_independently() -> None:
    """First against last section, where no pole is clocked in the middle third."""
    cut = pace.sections(6 * F, 74.0, [5 * F, F], [13.0, 62.0])
    found = pace.finish_against_start(cut, 0.1)
    assert (found.first_m, found.last_m) == pytest.approx((F, F))
    assert found.change_s == pytest.approx(-1.0)
    assert found.error_s == pytest.approx(0.1 * math.sqrt(4))
    assert found.verdict == "quickened"


@pytest.mark.parametrize(
    ("poles", "first", "last"),
    [
        ([3, 2, 1], 2, 2),
        ([3], 1, 3),  # no pole in the middle third: the only two sections
        ([1], 3, 1),
        ([2], 2, 2),
        ([3, 1], 1, 1),
        ([2, 1], 2, 2),
        ([3, 2], 2, 2),
    ],
)
def test_halves_where_a_pole_allows_it(poles: list[int], first: float, last: float) -> None:
    clocks = [(4 - pole) * 12.0 for pole in poles]
    cut = pace.sections(4 * F, 48.0, np.array(poles) * F, clocks)
    found = pace.finish_against_start(cut, 0.1)
    assert (found.first_m / F, found.last_m / F) == pytest.approx((first, last))


def test_of_two_poles_beside_the_middle_the_later_parts_the_work() -> None:
    found = pace.finish_against_start(work(12.0, 12.0, 12.0, 12.0, 13.0), 0.1)
    assert (found.first_m / F, found.last_m / F) == pytest.approx((3, 2))
    assert found.change_s == pytest.approx(0.5)
    assert found.verdict == "slowed"


@pytest.mark.parametrize(("last_s", "verdict"), [(12.0, None), (12.4, None), (12.6, "slowed")])
def test_a_change_within_its_error_is_none(last_s: float, verdict: str | None) -> None:
    """Two furlongs in fifths: 0.19 √6 = 0.465 s."""
    found = pace.finish_against_start(work(12.0, last_s), FIFTHS)
    assert found.error_s == pytest.approx(0.4654, abs=5e-5)
    assert found.verdict == verdict


def test_galloping_out_is_no_part_of_the_shape() -> None:
    plain, out = work(12.0, 12.2, 12.4), work(12.0, 12.2, 12.4, out_s=(14.0, 16.0))
    for tell in (pace.evenness, pace.finish_against_start):
        assert tell(plain, FIFTHS) == tell(out, FIFTHS)
    assert out["gallop_out"].sum() == 2


def test_sections_of_the_commonest_length_are_compared() -> None:
    cut = pace.sections(7 * F, 87.0, [6 * F, 5 * F, 2 * F, F], [13.0, 25.0, 62.0, 74.4])
    found = pace.evenness(cut, FIFTHS)
    assert (found.sections, found.section_m) == (4, pytest.approx(F))
    assert found.spread_s == pytest.approx(1.0)
    quarters = pace.evenness(work(24.0, 25.0, 26.0, furlongs=2.0), FIFTHS)
    assert (quarters.sections, quarters.section_m) == (3, pytest.approx(2 * F))
    assert quarters.spread_s == pytest.approx(1.0)


def test_a_longer_section_errs_less_by_the_furlong() -> None:
    single = pace.evenness(work(12.0, 12.5, 13.0), FIFTHS)
    double = pace.evenness(work(24.0, 25.0, 26.0, furlongs=2.0), FIFTHS)
    assert double.error_s == pytest.approx(single.error_s / 2)


def test_sections_that_share_no_clock_need_less_room() -> None:
    """Pairs with a common clock differ by √6 deviations of a clock, other pairs by 2."""
    joined = pace.evenness(work(12.0, 12.0, 12.0, 12.0), FIFTHS)
    cut = pace.sections(
        10 * F, 120.0, np.array([9, 7, 6, 4, 3, 1]) * F, np.array([12.0, 36, 48, 72, 84, 108])
    )
    parted = pace.evenness(cut, FIFTHS)
    assert (joined.sections, parted.sections) == (4, 4)
    assert parted.error_s < joined.error_s


@pytest.mark.parametrize("times", [(36.0,), (12.0, 14.0)])
def test_too_few_sections_have_no_evenness(times: tuple[float, ...]) -> None:
    found = pace.evenness(work(*times), FIFTHS)
    assert (found.verdict, found.sections) == (None, len(times))
    assert math.isnan(found.spread_s)
    assert math.isnan(found.error_s)


@pytest.mark.parametrize("cut", [work(36.0), pace.sections(3 * F, None, [], [])])
def test_one_section_has_no_finish_to_set_against_its_start(cut: pd.DataFrame) -> None:
    found = pace.finish_against_start(cut, FIFTHS)
    assert found.verdict is None
    assert all(math.isnan(x) for x in (found.change_s, found.error_s, found.first_m, found.last_m))
    assert pace.evenness(cut, FIFTHS).verdict is None


@pytest.mark.parametrize("one_s", [0.0, -0.1, math.nan])
@pytest.mark.parametrize("tell", [pace.evenness, pace.finish_against_start])
def test_an_error_of_the_watch_that_is_none(tell: Any, one_s: float) -> None:
    with pytest.raises(OutOfRangeError, match="give seconds above zero"):
        tell(work(12.0, 12.0, 12.0), one_s)


@given(run=clocked_works(), later=st.floats(0.1, 0.5))
def test_a_coarser_watch_never_tells_more(run: dict[str, Any], later: float) -> None:
    cut = pace.sections(**run)
    for tell in (pace.evenness, pace.finish_against_start):
        fine, coarse = tell(cut, 0.1), tell(cut, 0.1 + later)
        if coarse.verdict not in (None, "even"):
            assert fine.verdict == coarse.verdict


@given(run=clocked_works(every_pole=True))
def test_a_work_run_backwards_has_the_same_spread_and_the_opposite_change(
    run: dict[str, Any],
) -> None:
    forward = pace.sections(**run)
    times = forward.loc[~forward["gallop_out"], "time_s"].to_numpy()
    ahead, back = work(*times), work(*times[::-1])
    if len(times) >= 3:
        spreads = [pace.evenness(one, FIFTHS).spread_s for one in (ahead, back)]
        assert spreads[0] == pytest.approx(spreads[1], abs=1e-9)
    if len(times) % 2 == 0:
        changes = [pace.finish_against_start(one, FIFTHS).change_s for one in (ahead, back)]
        assert changes[0] == pytest.approx(-changes[1], abs=1e-9)
