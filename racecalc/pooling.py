"""Partial pooling: what to expect of a reading that carries several labels.

Each reading is an overall mean, plus one effect for each of its labels, plus noise. The effects of
one kind of label lie around zero with a spread that is learned, so that a label with few readings
leans on the others and one with many stands for itself. The noise has Student's t distribution, so
that a reading that was taken wrongly pulls little; how heavy its tails are is learned too.

Sources: ``lange_1989`` (the t distribution and its weights), ``bates_lme4`` (spreads).
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError

__all__ = ["Foretold", "Pool", "difference", "foretell", "pool"]

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
Levels = tuple[dict[Hashable, int], ...]

# Degrees of freedom of t that are weighed against one another. Before the readings are seen each
# counts for one over itself, which on these steps is even in one over the degrees of freedom. At 40
# the noise can hardly be told from normal.
_TAILS = np.geomspace(2.5, 40.0, 15)
_TAILS_BEFORE = -np.log(_TAILS)

_ROUNDS = 500
_SETTLED = 1e-6
# Where no guess holds it up, a variance may sink to this part of it, and what is left to judge the
# noise by to this part of a reading.
_LEAST = 1e-10
# Places at which the t distribution is cut into normal ones, each of one chance.
_CHANCES = (np.arange(100) + 0.5) / 100
# The chance below the upper end of a 95 % interval, and how finely that end is sought.
_UP_TO = 0.975
_HALVINGS = 30


@dataclass(frozen=True)
class Pool:
    """Everything learned from readings.

    ``effects`` holds the mean, then the effect of each level at the place that ``levels`` gives it;
    ``covariance`` belongs to it. ``spreads`` holds one standard deviation for each kind of label.
    ``noise`` is the scale of the noise's t distribution and ``tails`` its degrees of freedom;
    ``weights`` tells how much each reading counted (near zero: taken wrongly). ``spare`` is the
    number of readings left over to judge the noise by.
    """

    levels: Levels
    effects: FloatArray
    covariance: FloatArray
    spreads: FloatArray
    noise: float
    tails: float
    weights: FloatArray
    spare: float


@dataclass(frozen=True)
class Foretold:
    """What to expect: the middle, and half the width of the 95 % interval around it."""

    middle: float
    half_width: float


def pool(
    readings: npt.ArrayLike,
    labels: Sequence[Sequence[Hashable]],
    *,
    guess: float,
    weight: float = 1.0,
    tails: float | None = None,
) -> Pool:
    """Learn the mean, the effects of all labels, their spreads and the noise.

    Spreads and noise are those of restricted maximum likelihood, each joined with a guess that
    counts for as much as ``weight`` more levels (of the noise: readings) would.

    Parameters
    ----------
    readings : array_like, shape (readings,)
        What was read.
    labels : sequence of sequences of labels, each of shape (readings,)
        One sequence for each kind of label.
    guess : float
        What each spread and the noise are taken to be beforehand, in the unit of the readings.
    weight : float
        How much the guess counts; zero leaves it out.
    tails : float, optional
        Degrees of freedom of the noise, infinite for normal noise; learned if not given.

    Raises
    ------
    OutOfRangeError
        If there is no reading, one is not finite, or a kind has not one label for each.

    References
    ----------
    lange_1989 (weights under t noise); bates_lme4 (spreads in two sets of readings).

    Examples
    --------
    >>> learned = pool([1.0, 3.0, 11.0, 13.0], [["a", "a", "b", "b"]], guess=1.0)
    >>> round(foretell(learned, ["b"]).middle, 1)
    11.8
    """
    values = np.asarray(readings, dtype=np.float64)
    if not values.size or not np.isfinite(values).all():
        raise OutOfRangeError("readings: none, or one that is not finite; give finite numbers")
    if any(len(kind) != len(values) for kind in labels):
        raise OutOfRangeError("labels: give one of each kind for each reading")
    levels, first = [], 1
    for kind in labels:
        levels.append(_number(kind, first))
        first += len(levels[-1])
    middle = float(np.median(values))
    learned = _settle(_Sums(values - middle, labels, tuple(levels)), guess, weight, tails)
    learned.effects[0] += middle
    return learned


def foretell(learned: Pool, labels: Sequence[Hashable], *, least_noise: float = 0.0) -> Foretold:
    """Return what to expect of a reading with these labels, and its 95 % interval.

    A label that was never seen has the effect zero, and its whole spread widens the interval.

    Parameters
    ----------
    learned : Pool
        What `pool` returned.
    labels : sequence of labels
        One of each kind.
    least_noise : float
        A standard deviation below which the noise is not taken to be.
    """
    row, unseen = np.zeros(len(learned.effects)), 0.0
    row[0] = 1.0
    for label, level, spread in zip(labels, learned.levels, learned.spreads, strict=True):
        if label in level:
            row[level[label]] = 1.0
        else:
            unseen += float(spread) ** 2
    return _foretold(learned, row, unseen, max(learned.noise, least_noise))


def difference(learned: Pool, kind: int, label: Hashable, other: Hashable) -> Foretold:
    """Return by how much the effect of one label exceeds that of another of its kind.

    Raises
    ------
    KeyError
        If no reading had such a label.
    """
    row = np.zeros(len(learned.effects))
    row[learned.levels[kind][label]] += 1.0
    row[learned.levels[kind][other]] -= 1.0
    return _foretold(learned, row, 0.0, 0.0)


def _number(labels: Sequence[Hashable], first: int) -> dict[Hashable, int]:
    """Return the place of each label, in an order that does not depend on the readings'."""
    return {label: first + place for place, label in enumerate(sorted(set(labels), key=repr))}


def _floats(array: npt.ArrayLike) -> FloatArray:
    return np.asarray(array, dtype=np.float64)


class _Sums:
    """Readings and labels, ready to be summed again and again under new weights."""

    def __init__(
        self, values: FloatArray, labels: Sequence[Sequence[Hashable]], levels: Levels
    ) -> None:
        self.values, self.levels = values, levels
        # The places of each reading's effects; the first is the mean's.
        places = [
            [level[label] for label in kind] for kind, level in zip(labels, levels, strict=True)
        ]
        self.places = np.array([[0] * len(values), *places], dtype=np.intp)
        # The kind of each effect but the mean, which is of none.
        self.kind = np.repeat(np.arange(len(levels)), [len(level) for level in levels])
        self.size = 1 + len(self.kind)
        one, other = np.triu_indices(len(self.places))
        self.pairs = (self.places[one] * self.size + self.places[other]).ravel()

    def normal_equations(self, weights: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return the weighted sums of products of the labels, with one another and the values."""
        repeated = np.tile(weights, len(self.pairs) // len(weights))
        sums = np.bincount(self.pairs, repeated, self.size**2)
        upper = sums.reshape(self.size, self.size)
        products = np.tile(weights * self.values, len(self.places))
        joined = np.bincount(self.places.ravel(), products, self.size)
        return _floats(upper + np.triu(upper, 1).T), _floats(joined)

    def misses(self, effects: FloatArray, covariance: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return each value's squared distance from its fit, and the variance of the fit."""
        squares = (self.values - effects[self.places].sum(axis=0)) ** 2
        variances = np.zeros(len(squares))
        for place in self.places:
            variances += covariance[place, self.places].sum(axis=0)
        return squares, variances


def _settle(sums: _Sums, guess: float, weight: float, tails: float | None) -> Pool:
    """Go round from effects to spreads, noise and tails and back until nothing changes.

    A spread's sum of squares is divided by the number of its levels that the readings decide (the
    rest of each effect is its guess of zero), which is where expectation and maximization, too,
    comes to rest, only sooner.
    """
    count, beforehand = len(sums.values), weight * guess**2
    spreads, noise = np.full(len(sums.levels), guess**2), guess**2
    weights, tail = np.ones(count), np.inf if tails is None else tails
    for _ in range(_ROUNDS):
        before = np.append(spreads, noise)
        square, product = sums.normal_equations(weights / noise)
        square[np.diag_indices(sums.size)] += np.append(0.0, 1 / spreads[sums.kind])
        covariance = _floats(np.linalg.inv(square))
        effects = covariance @ product
        decided = np.bincount(sums.kind, 1 - np.diag(covariance)[1:] / spreads[sums.kind])
        squares, fit = sums.misses(effects, covariance)
        spare = max(count - 1 - float(decided.sum()), _LEAST) + weight
        spreads = (np.bincount(sums.kind, effects[1:] ** 2) + beforehand) / (decided + weight)
        spreads = np.maximum(spreads, _LEAST * guess**2)
        noise = float(weights @ squares + beforehand) / spare
        far = (squares + fit) / noise
        tail = _learned_tails(far) if tails is None else tails
        weights = np.ones(count) if np.isinf(tail) else (tail + 1) / (tail + far)
        if np.abs(np.log(np.append(spreads, noise) / before)).max() < _SETTLED:
            break
    scale = float(np.sqrt(noise))
    return Pool(
        sums.levels, effects, covariance, _floats(np.sqrt(spreads)), scale, tail, weights, spare
    )


def _learned_tails(far: FloatArray) -> float:
    """Return the mean degrees of freedom, given squared distances in units of the scale."""
    from scipy.special import gammaln

    half = _TAILS / 2
    constant = gammaln(half + 0.5) - gammaln(half) - 0.5 * np.log(_TAILS)
    drop = np.log1p(far / _TAILS[:, np.newaxis]).sum(axis=1)
    likelihood = _TAILS_BEFORE + len(far) * constant - (half + 0.5) * drop
    chance = np.exp(likelihood - likelihood.max())
    return float(chance @ _TAILS / chance.sum())


def _foretold(learned: Pool, row: FloatArray, unseen: float, noise: float) -> Foretold:
    """Return the sum of the row's effects; its interval is that of the sum and the noise.

    The t distribution of the noise is a mixture of normal ones; so is the sum. That the scale of
    all this was itself learned makes each of them a t distribution of ``spare`` degrees of freedom.
    """
    from scipy.special import gammaincinv, stdtr, stdtrit

    known = float(row @ learned.covariance @ row) + unseen
    if np.isinf(learned.tails):
        scales = np.array([np.sqrt(known + noise**2)])
    else:
        half = learned.tails / 2
        scales = np.sqrt(known + noise**2 * half / gammaincinv(half, _CHANCES))
    # One scale alone would need so many of itself; the mixture lies between its ends.
    reach = float(stdtrit(learned.spare, _UP_TO))
    low, high = reach * float(scales.min()), reach * float(scales.max())
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if stdtr(learned.spare, middle / scales).mean() < _UP_TO:
            low = middle
        else:
            high = middle
    return Foretold(float(row @ learned.effects), high)
