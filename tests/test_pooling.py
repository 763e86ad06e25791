"""Partial pooling apart from horses: shrinkage, unseen labels, tails, refusals."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
from scipy import special

from racecalc.errors import OutOfRangeError
from racecalc.pooling import difference, foretell, numbered, pool


def drawn(seed: int) -> tuple[Any, list[list[int]]]:
    """Readings with labels of several kinds, some of them far off."""
    chance = np.random.default_rng(seed)
    count, kinds = int(chance.choice([20, 60, 200])), int(chance.integers(1, 5))
    labels = [chance.integers(0, chance.integers(3, 12), count) for _ in range(kinds)]
    readings = chance.standard_t(chance.choice([3, 30]), count)
    for places in labels:
        readings = readings + chance.choice([0.1, 1, 3]) * chance.normal(size=12)[places]
    readings[: count // 40] += 20
    return readings, [places.tolist() for places in labels]


def rounds_alone(
    readings: Any, labels: Sequence[Sequence[int]], guess: float, settled: float
) -> tuple[Any, Any, float]:
    """Effects, logarithms of spreads and noise, and tails, by rounds that go nowhere by themselves.

    The equations are written out as a whole; nothing is put together as `pool` does it.
    """
    kinds = [numbered(kind) for kind in labels]
    rows = [np.ones((len(readings), 1)), *(np.eye(len(k.names))[k.places] for k in kinds)]
    design = np.hstack(rows)
    kind = np.repeat(np.arange(len(kinds)), [len(k.names) for k in kinds])
    values = readings - np.median(readings)
    variances, weights = np.full(len(kinds) + 1, guess**2), np.ones(len(values))
    degrees = np.geomspace(2.5, 40, 15)
    for _ in range(2000):
        before, (*spreads, noise) = variances, variances
        held = np.diag(np.append(0, 1 / np.array(spreads)[kind]))
        covariance = np.linalg.inv(design.T @ (design * weights[:, None]) / noise + held)
        effects = covariance @ design.T @ (weights * values) / noise
        of_kind = np.arange(len(kinds))[:, None] == kind
        decided = of_kind @ (1 - np.diag(covariance)[1:] / np.array(spreads)[kind])
        squares = (values - design @ effects) ** 2
        spreads = (of_kind @ effects[1:] ** 2 + guess**2) / (decided + 1)
        noise = (weights @ squares + guess**2) / (len(values) - decided.sum())
        far = (squares + ((design @ covariance) * design).sum(axis=1)) / noise
        half = degrees / 2
        told = special.gammaln(half + 0.5) - special.gammaln(half) - np.log(degrees) / 2
        told = len(far) * told - np.log(degrees)
        told -= (half + 0.5) * np.log1p(far / degrees[:, None]).sum(axis=1)
        tails = float(np.average(degrees, weights=np.exp(told - told.max())))
        weights = (tails + 1) / (tails + far)
        variances = np.append(spreads, noise)
        if np.abs(np.log(variances / before)).max() < settled:
            effects[0] += np.median(readings)
            return effects, np.log(variances) / 2, tails
    raise AssertionError("the rounds do not settle")


@pytest.mark.published("anderson_1965", "the same end as that of the rounds alone")
@pytest.mark.parametrize("seed", range(25))
def test_pool__settles_where_rounds_alone_do(seed: int) -> None:
    readings, labels = drawn(seed)
    effects, variances, tails = rounds_alone(readings, labels, 1.0, 1e-12)
    learned = pool(readings, labels, guess=1.0)
    assert np.log([*learned.spreads, learned.noise]) == pytest.approx(variances, abs=1e-5)
    assert learned.effects == pytest.approx(effects, abs=1e-5 * learned.noise)
    assert learned.tails == pytest.approx(tails, rel=1e-5)


@pytest.mark.parametrize("seed", range(20))
def test_pool__of_few_readings_goes_every_round(seed: int) -> None:
    """Eight works of a small barn, with as many kinds of labels as works have."""
    chance = np.random.default_rng(seed)
    count = int(chance.integers(8, 21))
    kinds = int(chance.integers(5, 8))
    labels = [chance.integers(0, chance.integers(1, 12), count).tolist() for _ in range(kinds)]
    readings = 2.5 + 0.01 * chance.standard_t(3, count)
    _, variances, tails = rounds_alone(readings, labels, 0.01, 5e-7)
    learned = pool(readings, labels, guess=0.01)
    assert np.log([*learned.spreads, learned.noise]) == pytest.approx(variances, abs=1e-6)
    assert learned.tails == pytest.approx(tails, rel=1e-5)


@pytest.mark.parametrize("how", [{"guess": 0.0}, {"guess": np.nan}, {"guess": 1, "weight": -1.0}])
def test_a_guess_that_is_none_is_told(how):
    with pytest.raises(OutOfRangeError, match="give a guess above zero"):
        pool([1.0, 2.0], [], **how)


def test_a_label_with_more_readings_is_pulled_less_to_the_mean():
    labels = ["few"] * 2 + ["many"] * 30 + [f"other {k}" for k in range(20)]
    readings = [5.0] * 32 + [0.0] * 20
    learned = pool(readings + np.tile([-0.5, 0.5], 26), [labels], guess=1.0)
    few, many, unseen = (foretell(learned, [label]).middle for label in ("few", "many", "new"))
    assert unseen < few < many < 5.01


def test_a_label_that_was_never_seen_widens_by_the_spread():
    chance = np.random.default_rng(1)
    labels = np.repeat(np.arange(10), 20)
    readings = chance.normal(0, 1, 10)[labels] + chance.normal(0, 0.1, 200)
    learned = pool(readings, [labels.tolist()], guess=0.5)
    assert foretell(learned, [10]).half_width > 5 * foretell(learned, [3]).half_width
    assert learned.spreads[0] == pytest.approx(1, rel=0.5)
    assert learned.noise == pytest.approx(0.1, rel=0.15)


def test_readings_far_off_make_the_tails_heavy_and_count_little():
    chance = np.random.default_rng(2)
    readings = chance.normal(0, 1, 300)
    calm = pool(readings, [], guess=1.0)
    readings[:9] += 15
    rough = pool(readings, [], guess=1.0)
    assert rough.tails < 4 < calm.tails
    assert rough.weights[:9].max() < 0.05 < rough.weights[9:].min()
    assert rough.effects[0] == pytest.approx(calm.effects[0], abs=0.1)


def test_the_interval_of_known_normal_noise_is_that_of_the_t_distribution():
    """Mean of n readings: half width t(n-1) s sqrt(1 + 1/n), as any text on intervals has it."""
    from scipy.special import stdtrit

    readings = np.array([4.1, 5.0, 4.4, 4.9, 5.6, 4.6, 4.7, 5.2])
    learned = pool(readings, [], guess=1.0, weight=0.0, tails=np.inf)
    wide = stdtrit(7, 0.975) * readings.std(ddof=1) * np.sqrt(1 + 1 / 8)
    told = foretell(learned, [])
    assert told.middle == pytest.approx(readings.mean())
    assert told.half_width == pytest.approx(wide, rel=1e-5)


def test_two_labels_differ_by_the_difference_of_their_effects():
    learned = pool([1.0, 1.2, 3.0, 3.2, 1.1, 3.1], [["a", "a", "b", "b", "a", "b"]], guess=1.0)
    gap, back = difference(learned, 0, "b", "a"), difference(learned, 0, "a", "b")
    assert 1 < gap.middle < 2
    assert back.middle == -gap.middle
    assert back.half_width == gap.half_width
    with pytest.raises(KeyError):
        difference(learned, 0, "c", "a")


@pytest.mark.parametrize("readings", [[], [1.0, np.nan], [np.inf]])
def test_readings_that_are_none_are_refused(readings):
    with pytest.raises(OutOfRangeError, match="give finite numbers"):
        pool(readings, [["a"] * len(readings)], guess=1.0)


def test_labels_must_match_the_readings():
    with pytest.raises(OutOfRangeError, match="one of each kind for each reading"):
        pool([1.0, 2.0], [["a"]], guess=1.0)
