"""Partial pooling apart from horses: shrinkage, unseen labels, tails, refusals."""

import numpy as np
import pytest

from racecalc.errors import OutOfRangeError
from racecalc.pooling import difference, foretell, pool


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
