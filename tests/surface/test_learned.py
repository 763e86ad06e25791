"""Words learned from a log: chances, the lean on the default, and the truth found again."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from racecalc import surface
from racecalc.errors import OutOfRangeError
from racecalc.surface import DRYING_ORDER, WordCurves, learned
from tests.surface import invented_sky

SURFACES = tuple(DRYING_ORDER)
kinds = st.sampled_from(SURFACES)
indices = st.floats(-2.0, 1.5)


@st.composite
def logs(draw: st.DrawFn) -> tuple[str, list[float], list[int]]:
    """Entries of any sense or none."""
    kind = draw(kinds)
    entry = st.tuples(indices, st.integers(0, len(DRYING_ORDER[kind]) - 1))
    entries = draw(st.lists(entry, max_size=25))
    return kind, [index for index, _ in entries], [rank for _, rank in entries]


def drawn(curves: WordCurves, count: int, seed: int = 1) -> tuple[np.ndarray, np.ndarray]:
    """Return indices drawn evenly, and words drawn from the curves."""
    chance = np.random.default_rng(seed)
    index = chance.uniform(-0.5, 1.0, count)
    lots = chance.random(count)
    ranks = (lots[:, None] > curves.chances(index).cumsum(axis=1)).sum(axis=1)
    return index, ranks


@settings(max_examples=50)
@given(log=logs(), index=st.lists(indices, min_size=1, max_size=5))
def test_chances_add_up_and_cuts_fall_whatever_the_log(
    log: tuple[str, list[float], list[int]], index: list[float]
) -> None:
    curves = surface.learn_curves(*log)
    assert curves.entries == len(log[1])
    assert len(curves.cuts) == len(DRYING_ORDER[log[0]]) - 1
    assert (np.diff(curves.cuts) < 0).all()
    assert curves.scale > 0
    chances = curves.chances(index)
    assert chances.shape == (len(index), len(DRYING_ORDER[log[0]]))
    assert (chances >= 0).all()
    np.testing.assert_allclose(chances.sum(axis=1), 1.0, atol=1e-9)


@settings(max_examples=50)
@given(log=logs(), one=indices, other=indices)
def test_a_drier_index_never_makes_a_wetter_word_likelier(
    log: tuple[str, list[float], list[int]], one: float, other: float
) -> None:
    """At least so wet: the chances of all words from there on, for every word."""
    wet, dry = sorted((one, other))
    at_least = surface.learn_curves(*log).chances([wet, dry])[:, ::-1].cumsum(axis=1)
    assert (at_least[0] >= at_least[1] - 1e-9).all()


@pytest.mark.parametrize("kind", SURFACES)
def test_nothing_learned_is_the_default(kind: str) -> None:
    assert surface.learn_curves(kind, [], []) == surface.default_curves(kind)


@pytest.mark.parametrize("kind", SURFACES)
def test_three_entries_leave_the_default_about_where_it_was(kind: str) -> None:
    default = surface.default_curves(kind)
    likely = [int(default.chances(index).argmax()) for index in (0.9, 0.5, 0.0)]
    few = surface.learn_curves(kind, [0.9, 0.5, 0.0], likely)
    np.testing.assert_allclose(few.cuts, default.cuts, atol=0.12)


def test_one_odd_entry_among_many_moves_little() -> None:
    """A word written by mistake: sloppy on a dry morning, among two hundred that make sense."""
    index, ranks = drawn(surface.default_curves("dirt"), 200)
    honest = surface.learn_curves("dirt", index, ranks)
    odd = surface.learn_curves("dirt", [*index, 0.95], [*ranks, 6])
    assert np.abs(odd.chances([0.3, 0.6, 0.9]) - honest.chances([0.3, 0.6, 0.9])).max() < 0.06


FEW = {
    "one dry": ([0.9], [0]),
    "four dry": ([0.9] * 4, [0] * 4),
    "ten dry": ([0.9] * 10, [0] * 10),
    "dry and wet": ([0.9] * 6 + [-0.3] * 2, [0] * 6 + [6] * 2),
}


def overturned(curves: WordCurves) -> bool:
    """Return whether a dry dirt track is no longer held to be fast, and a wet one no longer wet."""
    dry, half, wet = curves.chances([0.9, 0.3, -0.6])
    return bool(dry[0] < 0.85 or dry[6] > 0.02 or half[6] > 0.05 or wet[6] < 0.6)


@pytest.mark.parametrize("few", FEW)
@pytest.mark.parametrize("odd", [1, 2, 3])
def test_odd_entries_in_a_young_log_do_not_overturn_the_curves(few: str, odd: int) -> None:
    """Written by mistake, or of a track that was watered: sloppy on mornings as dry as any."""
    index, ranks = FEW[few]
    found = surface.learn_curves("dirt", index + [0.9] * odd, ranks + [6] * odd)
    assert not overturned(found)
    honest = surface.learn_curves("dirt", index, ranks)
    assert np.abs(found.chances([0.9, 0.3]) - honest.chances([0.9, 0.3])).max() < 0.05


def test_one_odd_entry_alone_does_not_overturn_the_curves() -> None:
    found = surface.learn_curves("dirt", [0.9], [6])
    assert not overturned(found)
    np.testing.assert_allclose(found.cuts, surface.default_curves("dirt").cuts, atol=0.03)


def test_without_a_share_for_odd_entries_they_would_overturn_the_curves() -> None:
    """The check can fail."""
    index, ranks = FEW["four dry"]
    assert overturned(surface.learn_curves("dirt", [*index, *[0.9] * 3], [*ranks, 6, 6, 6], odd=0))


def test_any_word_keeps_a_share() -> None:
    curves = surface.learn_curves("dirt", [0.9] * 300, [0] * 300)
    assert (curves.odd, curves.before_work) == (surface.ODD, surface.BEFORE_WORK)
    assert curves.chances([2.0, -2.0]).min() == pytest.approx(surface.ODD / 7, rel=1e-3)
    assert surface.learn_curves("dirt", [0.9], [0], odd=0.0).chances(2.0).min() < 1e-6


@pytest.mark.parametrize("truth", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("seed", [3, 4])
def test_when_the_rain_falls_is_learned_from_a_log(truth: float, seed: int) -> None:
    """Two years on which the rain of a day falls before work always, half of the time, never."""
    days = invented_sky.days_of(invented_sky.Sky(before_work=truth), 730, seed)
    last = days.weather["date"].iloc[-1].date()
    water = surface.daily_water(
        days.weather, days.log, "main", invented_sky.SAND, invented_sky.LATITUDE,
        invented_sky.FIRST, last,
    )  # fmt: skip
    index = surface.morning_index(water, invented_sky.SAND)
    wet = surface.after_rain(water, invented_sky.SAND)
    found = surface.learn(days.log, "main", "dirt", index, last, wet)
    assert found.before_work == pytest.approx(truth, abs=0.06)
    np.testing.assert_allclose(found.cuts, invented_sky.TRUE_CURVES.cuts, atol=0.06)
    without = surface.learn(days.log, "main", "dirt", index, last)
    assert without.before_work == pytest.approx(surface.BEFORE_WORK), "nothing tells of it"


def test_mornings_whose_rain_is_known_are_a_mixture_of_before_and_after() -> None:
    curves = WordCurves("dirt", surface.default_curves("dirt").cuts, 0.1, 0, before_work=0.3)
    dry, wet = curves.chances(0.9), curves.chances(-0.4)
    np.testing.assert_allclose(curves.morning_chances(0.9, -0.4), 0.7 * dry + 0.3 * wet)
    np.testing.assert_allclose(curves.morning_chances([0.9], [0.9]), [dry])


@pytest.mark.parametrize("kind", SURFACES)
def test_a_long_log_gives_the_truth_back(kind: str) -> None:
    """A track unlike the default: every edge is found to four standard errors."""
    default = surface.default_curves(kind)
    truth = WordCurves(kind, tuple(0.8 * cut - 0.08 for cut in default.cuts), 0.06, 0)
    found = surface.learn_curves(kind, *drawn(truth, 4_000))
    near = 4 * truth.scale * np.sqrt(4 / (4_000 * truth.scale / 1.5))
    np.testing.assert_allclose(found.cuts, truth.cuts, atol=near)
    assert found.scale == pytest.approx(truth.scale, rel=0.15)


def test_the_more_entries_the_nearer_to_the_truth() -> None:
    truth = WordCurves("turf", (0.5, 0.2, 0.0, -0.3), 0.06, 0)
    off = []
    for count in (0, 30, 1_000):
        told = [surface.learn_curves("turf", *drawn(truth, count, seed)) for seed in range(8)]
        off.append(np.mean([np.abs(np.subtract(one.cuts, truth.cuts)).mean() for one in told]))
    assert off[0] > 2 * off[1] > 4 * off[2]


@given(log=logs(), order=st.randoms(use_true_random=False))
@settings(max_examples=20)
def test_the_order_of_entries_says_nothing(
    log: tuple[str, list[float], list[int]], order: object
) -> None:
    kind, index, ranks = log
    mixed = list(zip(index, ranks, strict=True))
    order.shuffle(mixed)  # type: ignore[attr-defined]
    one = surface.learn_curves(*log)
    other = surface.learn_curves(kind, [at for at, _ in mixed], [rank for _, rank in mixed])
    np.testing.assert_allclose(one.chances(0.3), other.chances(0.3), atol=2e-3)


@pytest.mark.parametrize(
    ("kind", "index", "ranks", "says"),
    [
        ("ice", [0.5], [0], "surface 'ice': not known; there are dirt, turf, synthetic"),
        ("turf", [float("nan")], [0], "a number is needed for each entry"),
        ("turf", [0.5, 0.4], [0], "a number is needed for each entry"),
        ("turf", [0.5], [5], "turf has no such word"),
        ("turf", [0.5], [-1], "turf has no such word"),
    ],
)
def test_what_cannot_be_learned_from_is_refused(
    kind: str, index: list[float], ranks: list[int], says: str
) -> None:
    with pytest.raises(OutOfRangeError, match=says):
        surface.learn_curves(kind, index, ranks)


@pytest.mark.parametrize("wet", [[float("nan")], [0.1, 0.2], []])
def test_an_index_after_rain_belongs_to_each_entry(wet: list[float]) -> None:
    with pytest.raises(OutOfRangeError, match="a number is needed for each entry"):
        surface.learn_curves("turf", [0.5], [0], after_rain=wet)


def test_words_on_which_a_barn_does_not_work() -> None:
    assert surface.workable("dirt", []) == (True,) * 7
    assert surface.workable("synthetic", ["wet", "muddy"]) == (True, True, True, False)
    with pytest.raises(OutOfRangeError, match="surface 'sand'"):
        surface.workable("sand", [])


@pytest.mark.parametrize("kind", SURFACES)
@pytest.mark.parametrize("odd", [0.0, surface.ODD])
def test_the_slopes_of_how_unlikely_curves_are_are_those_of_small_steps(
    kind: str, odd: float
) -> None:
    chance = np.random.default_rng(9)
    size = len(DRYING_ORDER[kind]) + 1
    index, ranks = drawn(surface.default_curves(kind), 60)
    wet = index - chance.uniform(0.0, 0.4, 60)
    given = (np.zeros(size), chance.uniform(0.3, 1.5, size), np.stack((index, wet)), ranks, odd)
    # A first cut, steps, a scale and a share as they may be on the way, one of each held.
    steps = np.log(chance.uniform(0.02, 0.6, (4, size - 3)))
    ends = np.array([[0.8, -2.0, 0.0], [0.4, -1.5, 2.0], [0.6, 3.5, -1.0], [0.5, -1.0, 0.5]])
    steps[3, -1] = 5.5
    for (first, scale, share), between in zip(ends, steps, strict=True):
        at = np.array([first, *between, scale, share])
        _, slopes = learned.unlikely(at, *given)
        stepped = [
            (learned.unlikely(at + step, *given)[0] - learned.unlikely(at - step, *given)[0]) / 2e-6
            for step in 1e-6 * np.eye(size)
        ]
        np.testing.assert_allclose(slopes, stepped, rtol=1e-5, atol=1e-5)


@pytest.mark.parametrize("kind", SURFACES)
def test_no_curves_near_those_learned_are_likelier(kind: str) -> None:
    index, ranks = drawn(surface.default_curves(kind), 60)
    found = surface.learn_curves(kind, index, ranks)
    default = surface.default_curves(kind)
    start, at = (
        np.array([one.cuts[0], *np.log(-np.diff(one.cuts)), np.log(one.scale), 0.0])
        for one in (default, found)
    )
    spread = np.array([0.3, *[1.0] * (len(found.cuts) - 1), 0.5, 1.5])
    _, slopes = learned.unlikely(at, start, spread, np.stack((index, index)), ranks, surface.ODD)
    np.testing.assert_allclose(slopes, 0.0, atol=1e-4)
