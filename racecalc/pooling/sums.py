"""The weighted equations of readings that carry labels, and how they are solved."""

from collections import Counter
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from itertools import count
from typing import Any

import numpy as np
import numpy.typing as npt

__all__ = ["Covariance", "FloatArray", "IntArray", "Labels", "Nested", "Solved", "Sums", "numbered"]

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Labels:
    """The labels of one kind: those that occur, and for each reading the place of its own."""

    names: tuple[Hashable, ...]
    places: IntArray

    def of(self, readings: npt.NDArray[np.bool_]) -> "Labels":
        """Return the labels of some of the readings."""
        taken = self.places[readings]
        used = np.flatnonzero(np.bincount(taken))
        return Labels(tuple(self.names[place] for place in used), np.searchsorted(used, taken))

    def counts(self) -> Counter[Any]:
        """Return how many readings bear each label."""
        numbers = np.bincount(self.places, minlength=len(self.names)).tolist()
        return Counter(dict(zip(self.names, numbers, strict=True)))

    def are(self, label: Hashable) -> npt.NDArray[np.bool_]:
        """Return which readings bear a label."""
        places = [place for place, name in enumerate(self.names) if name == label]
        return np.isin(self.places, places)


def numbered(labels: Iterable[Hashable]) -> Labels:
    """Return the labels of one kind numbered, in an order that does not depend on the readings'."""
    labels = list(labels)
    names = tuple(sorted(set(labels), key=repr))
    places = dict(zip(names, count(), strict=False))
    return Labels(names, np.array([places[label] for label in labels], dtype=np.intp))


@dataclass(frozen=True, eq=False)
class Nested:
    """The equations of two kinds alone, each level of the inner one within one of the outer.

    ``within`` tells for each level of the inner kind (rows) in which of the outer (columns) it
    lies, and ``above`` its place. ``own`` is the weight of each inner level with its precision,
    ``share`` the part of it that is weight, and ``rest`` that which is precision; ``over`` is the
    variance of each outer level once the inner kind is eliminated.
    """

    within: FloatArray
    above: IntArray
    own: FloatArray
    share: FloatArray
    rest: FloatArray
    over: FloatArray

    def solve(self, sums: FloatArray) -> FloatArray:
        """Return the effects, the outer first, for sums of each inner level, on the last axis."""
        outer = (self.rest * sums) @ self.within * self.over
        inner = sums / self.own - self.share * outer[..., self.above]
        return np.concatenate([outer, inner], axis=-1)

    def of(self, row: FloatArray) -> float:
        """Return the variance of a sum of effects, the outer first, given how often each is in."""
        outer, inner = np.split(row, [len(self.over)])
        left = outer - (self.share * inner) @ self.within
        return float((inner**2 / self.own).sum() + self.over @ left**2)


@dataclass(frozen=True, eq=False)
class Covariance:
    """The covariance of all effects, in pieces: as a whole it would be large.

    ``few`` belongs to the effects that are solved together, which stand at ``at_few``; ``between``
    to these and those of the two kinds at ``at_many``, whose own is that of ``alone`` less
    ``shared`` times ``between``. The place behind the last is that of an effect held at zero.
    """

    at_few: IntArray
    at_many: IntArray
    few: FloatArray
    between: FloatArray
    alone: Nested
    shared: FloatArray

    def of(self, row: FloatArray) -> float:
        """Return the variance of a sum of effects, given how often each is in it."""
        row = np.append(row, 0.0)
        few, many = row[self.at_few], row[self.at_many]
        across = self.between @ many
        own = self.alone.of(many) - (self.shared @ many) @ across
        return float(few @ self.few @ few + 2 * few @ across + own)


@dataclass(frozen=True, eq=False)
class Solved:
    """The effects under given weights and spreads, each one's variance, and their covariance.

    ``linked`` is the covariance of each level of the inner kind with the outer one that it is in.
    """

    effects: FloatArray
    variances: FloatArray
    linked: FloatArray
    covariance: Covariance


class Sums:
    """Readings and labels, ready to be summed again and again under new weights.

    A reading has one label of each kind, so that the equations of one kind alone are diagonal, and
    those of two, one within the other as forms are within horses, nearly so. The kind with the most
    levels is eliminated, and with it one that it lies within; only the others are solved together.
    """

    def __init__(self, values: FloatArray, kinds: Sequence[Labels]) -> None:
        self.values = values
        # The kind of each effect but the mean, which is of none.
        self.kind = np.repeat(np.arange(len(kinds)), [len(kind.names) for kind in kinds])
        # Behind all effects stands one that is held at zero: within it lies what is in no other.
        nothing = np.zeros(len(values), dtype=np.intp)
        groups = [nothing, *(kind.places for kind in kinds), nothing]
        counts = [1, *(len(kind.names) for kind in kinds), 1]
        inner = int(np.argmax(counts[:-1]))
        outer = _around(groups, counts, inner)
        self.above = np.empty(counts[inner], dtype=np.intp)
        self.above[groups[inner]] = groups[outer]
        self.within = np.eye(counts[outer])[self.above]
        begins = np.cumsum([0, *counts])
        self.at_outer, self.at_inner = (
            np.arange(begins[one], begins[one + 1]) for one in (outer, inner)
        )
        self.at_many = np.append(self.at_outer, self.at_inner)
        others = [one for one in range(len(kinds) + 1) if one not in (inner, outer)]
        self.at_few = np.flatnonzero(np.isin(np.arange(begins[-2]), self.at_many, invert=True))
        self.inner = groups[inner]
        self.many = np.stack([groups[outer], self.inner + counts[outer]])
        begins = np.cumsum([0, *(counts[one] for one in others)])[:-1]
        few = np.array([groups[one] for one in others], dtype=np.intp)
        self.few = few.reshape(-1, len(values)) + begins[:, None]
        one, other = np.triu_indices(len(self.few))
        self.pairs = self.few[one] * len(self.at_few) + self.few[other]
        self.times = np.where(one == other, 1.0, 2.0)
        self.crossed = self.few * len(self.at_inner) + self.inner
        self.cross = self.few * len(self.at_many) + self.many[:, None]

    def solve(self, weights: FloatArray, precision: FloatArray) -> Solved:
        """Solve the weighted equations, given the precision of each effect beforehand."""
        few, inner, weighted = len(self.at_few), len(self.at_inner), weights * self.values
        precision = np.append(precision, np.inf)
        alone = self._alone(_added(self.inner, weights, inner), precision)
        upper = _added(self.pairs, weights, few**2).reshape(few, few)
        square = upper + upper.T
        np.fill_diagonal(square, np.diagonal(upper) + precision[self.at_few])
        below = _added(self.crossed, weights, few * inner).reshape(few, inner)
        cross = np.hstack([below @ self.within, below])
        shared = alone.solve(below)
        inverse = _floats(np.linalg.inv(square - shared @ cross.T))
        between = -inverse @ shared
        lone = alone.solve(_added(self.inner, weighted, inner))
        effects, variances = np.zeros((2, len(precision)))
        effects[self.at_few] = inverse @ (_added(self.few, weighted, few) - cross @ lone)
        effects[self.at_many] = lone - effects[self.at_few] @ shared
        variances[self.at_few] = np.diagonal(inverse)
        spread = alone.over[self.above]
        own = np.append(alone.over, 1 / alone.own + alone.share**2 * spread)
        variances[self.at_many] = own - (shared * between).sum(axis=0)
        outer = len(self.at_outer)
        linked = -alone.share * spread
        linked -= (shared[:, :outer][:, self.above] * between[:, outer:]).sum(axis=0)
        covariance = Covariance(self.at_few, self.at_many, inverse, between, alone, shared)
        return Solved(effects, variances, linked, covariance)

    def _alone(self, weights: FloatArray, precision: FloatArray) -> Nested:
        """Return the equations of the two kinds that are eliminated."""
        own = weights + precision[self.at_inner]
        share, rest = weights / own, precision[self.at_inner] / own
        over = 1 / (precision[self.at_outer] + (weights * rest) @ self.within)
        return Nested(self.within, self.above, own, share, rest, over)

    def misses(self, solved: Solved) -> tuple[FloatArray, FloatArray]:
        """Return each value's squared distance from its fit, and the variance of the fit."""
        fit = solved.effects[self.at_few][self.few].sum(axis=0)
        fit += solved.effects[self.at_many][self.many].sum(axis=0)
        variances = self.times @ solved.covariance.few.ravel()[self.pairs]
        variances += 2 * solved.covariance.between.ravel()[self.cross].sum(axis=(0, 1))
        variances += solved.variances[self.at_many][self.many].sum(axis=0)
        variances += 2 * solved.linked[self.inner]
        return (self.values - fit) ** 2, variances


def _around(groups: Sequence[IntArray], counts: Sequence[int], inner: int) -> int:
    """Return which group one lies within: that of most levels, or the last, which is nothing's."""
    others = [one for one in range(1, len(groups) - 1) if one != inner]
    fit = [one for one in others if _lies_within(groups[inner], groups[one])]
    return max(fit, key=counts.__getitem__, default=len(groups) - 1)


def _lies_within(inner: IntArray, outer: IntArray) -> bool:
    """Return whether readings alike in one kind are always alike in another."""
    above = np.empty(int(inner.max()) + 1, dtype=np.intp)
    above[inner] = outer
    return bool((above[inner] == outer).all())


def _floats(array: npt.ArrayLike) -> FloatArray:
    return np.asarray(array, dtype=np.float64)


def _added(places: IntArray, values: FloatArray, size: int) -> FloatArray:
    """Return the sums of values by their place; there may be several places for each value."""
    repeated = np.tile(values, places.size // len(values))
    return _floats(np.bincount(places.ravel(), repeated, size))
