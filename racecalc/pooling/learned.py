"""Partial pooling: what to expect of a reading that carries several labels.

Each reading is an overall mean, plus one effect for each of its labels, plus noise. The effects of
one kind of label lie around zero with a spread that is learned, so that a label with few readings
leans on the others and one with many stands for itself. The noise has Student's t distribution, so
that a reading that was taken wrongly pulls little; how heavy its tails are is learned too.

Sources: ``lange_1989`` (the t distribution and its weights), ``bates_lme4`` (spreads),
``anderson_1965`` (how the rounds are cut short).
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from itertools import count

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError
from racecalc.pooling.sums import Covariance, FloatArray, Labels, Solved, Sums, numbered

__all__ = [
    "Foretold",
    "Pool",
    "difference",
    "foretell",
    "middle",
    "pool",
]

Levels = tuple[dict[Hashable, int], ...]

# Degrees of freedom of t that are weighed against one another. Before the readings are seen each
# counts for one over itself, which on these steps is even in one over the degrees of freedom. At 40
# the noise can hardly be told from normal.
_TAILS = np.geomspace(2.5, 40.0, 15)
_TAILS_BEFORE = -np.log(_TAILS)

_ROUNDS = 500
_SETTLED = 5e-7
# All of a round is held as logarithms. Once no variance changes by more than this, so many of the
# last rounds tell where they lead, which is believed up to so far beyond the last of them. Choices:
# with these about half of the rounds are needed, for invented barns and for readings at random.
# Of few readings rounds may come to rest in more places than one, and nearly so in others: there
# each round is gone. From this number on no other end was met, of 620 invented barns from 40 up.
_NEAR = 0.5
_FEWEST_FOR_LEAPS = 60
_REMEMBERED = 6
_FARTHEST = 1.0
# A round that differs from a mixture of others by no more than this part of them tells nothing.
_ALIKE = 1e-8
# Where no guess holds it up, a variance may sink to this part of it, and what is left to judge the
# noise by to this part of a reading.
_LEAST = 1e-10
# Places at which the t distribution is cut into normal ones, each of one chance.
_CHANCES = (np.arange(100) + 0.5) / 100
# The chance below the upper end of a 95 % interval, and to what part of it that end is sought.
_UP_TO = 0.975
_FINELY = 1e-12


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
    covariance: Covariance
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
    labels: Sequence[Sequence[Hashable] | Labels],
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
        One sequence for each kind of label, or what `numbered` made of it.
    guess : float
        What each spread and the noise are taken to be beforehand, in the unit of the readings.
    weight : float
        How much the guess counts; zero leaves it out, which needs readings that tell of every
        spread by themselves.
    tails : float, optional
        Degrees of freedom of the noise, infinite for normal noise; learned if not given.

    Raises
    ------
    OutOfRangeError
        If there is no reading, one is not finite, or a kind has not one label for each; if the
        guess is not above zero, or its weight is below.

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
    kinds = [kind if isinstance(kind, Labels) else numbered(kind) for kind in labels]
    if any(len(kind.places) != len(values) for kind in kinds):
        raise OutOfRangeError("labels: give one of each kind for each reading")
    if not (np.isfinite(guess) and guess > 0 and weight >= 0):
        raise OutOfRangeError(
            f"guess {guess:g}, weight {weight:g}: give a guess above zero, and a weight of zero or "
            "more"
        )
    middle = float(np.median(values))
    learned = _settle(Sums(values - middle, kinds), _levels(kinds), guess, weight, tails)
    learned.effects[0] += middle
    return learned


def _levels(kinds: Sequence[Labels]) -> Levels:
    """Return the place among all effects of each label; the first is the mean's."""
    places = count(1)
    return tuple(dict(zip(kind.names, places, strict=False)) for kind in kinds)


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
    row, unseen = _row(learned, labels)
    return _foretold(learned, row, unseen, max(learned.noise, least_noise))


def middle(learned: Pool, labels: Sequence[Hashable]) -> float:
    """Return the middle alone of what `foretell` tells."""
    row, _ = _row(learned, labels)
    return float(row @ learned.effects)


def _row(learned: Pool, labels: Sequence[Hashable]) -> tuple[FloatArray, float]:
    """Return which effects labels have, and the variance of those that were never seen."""
    row, unseen = np.zeros(len(learned.effects)), 0.0
    row[0] = 1.0
    for label, level, spread in zip(labels, learned.levels, learned.spreads, strict=True):
        if label in level:
            row[level[label]] = 1.0
        else:
            unseen += float(spread) ** 2
    return row, unseen


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


@dataclass(frozen=True, eq=False)
class _Round:
    """What one round makes of a state: the logarithms of all spreads, noise and weights."""

    solved: Solved
    state: FloatArray
    tails: float
    spare: float


def _settle(sums: Sums, levels: Levels, guess: float, weight: float, tails: float | None) -> Pool:
    """Go round from effects to spreads, noise and tails and back until nothing changes.

    Of many readings where the rounds lead is foreseen, so that fewer of them are needed. After
    `_ROUNDS` it is left at that; of readings that say something about their spreads, or with a
    guess that counts, a few dozen are enough.
    """
    variances = len(levels) + 1
    state = np.append(np.full(variances, 2 * np.log(guess)), np.zeros(len(sums.values)))
    reached: list[FloatArray] = []
    changes: list[FloatArray] = []
    last = _NEAR
    for _ in range(_ROUNDS):
        once = _go_round(sums, state, guess, weight, tails)
        change = once.state - state
        most = float(np.abs(change[:variances]).max())
        if most < _SETTLED:
            break
        # Where a round has come to change more than the one before, the past misleads.
        if most > min(last, _NEAR):
            reached, changes = [], []
        last = most
        reached = [*reached, once.state][-_REMEMBERED:]
        changes = [*changes, change][-_REMEMBERED:]
        many = len(sums.values) >= _FEWEST_FOR_LEAPS
        state = _ahead(reached, changes) if many else once.state
    spreads, noise, weights = _parts(once.state, len(levels))
    return Pool(
        levels,
        once.solved.effects[:-1],
        once.solved.covariance,
        np.asarray(np.sqrt(spreads)),
        float(np.sqrt(noise)),
        once.tails,
        weights,
        once.spare,
    )


def _parts(state: FloatArray, kinds: int) -> tuple[FloatArray, float, FloatArray]:
    """Return the variances of all kinds, that of the noise, and the weights of the readings."""
    values = np.exp(state)
    return values[:kinds], float(values[kinds]), values[kinds + 1 :]


def _go_round(
    sums: Sums, state: FloatArray, guess: float, weight: float, tails: float | None
) -> _Round:
    """Go once from spreads, noise and weights to the effects and back.

    A spread's sum of squares is divided by the number of its levels that the readings decide (the
    rest of each effect is its guess of zero), which is where expectation and maximization, too,
    comes to rest, only sooner.
    """
    count, beforehand = len(sums.values), weight * guess**2
    kinds = len(state) - count - 1
    spreads, noise, weights = _parts(state, kinds)
    precision = 1 / spreads[sums.kind]
    solved = sums.solve(weights / noise, np.append(0.0, precision))
    decided = np.bincount(sums.kind, 1 - solved.variances[1:-1] * precision)
    squares, fit = sums.misses(solved)
    spare = max(count - 1 - float(decided.sum()), _LEAST) + weight
    held = np.bincount(sums.kind, solved.effects[1:-1] ** 2) + beforehand
    spreads = np.maximum(held / (decided + weight), _LEAST * guess**2)
    noise = float(weights @ squares + beforehand) / spare
    far = (squares + fit) / noise
    tail = _learned_tails(far) if tails is None else tails
    weights = np.ones(count) if np.isinf(tail) else (tail + 1) / (tail + far)
    return _Round(solved, np.log(np.concatenate([spreads, [noise], weights])), tail, spare)


def _ahead(reached: list[FloatArray], changes: list[FloatArray]) -> FloatArray:
    """Return where rounds lead, given what the last of them reached and changed.

    It is the mixture of what they reached whose mixed change is least (its parts add up to one, and
    may be negative).

    References
    ----------
    anderson_1965.
    """
    plain = reached[-1]
    if len(reached) == 1:
        return plain
    parts = np.linalg.lstsq(np.diff(changes, axis=0).T, changes[-1], rcond=_ALIKE)[0]
    beyond: FloatArray = parts @ np.diff(reached, axis=0)
    return plain if np.abs(beyond).max() > _FARTHEST else plain - beyond


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
    from scipy.optimize import brentq
    from scipy.special import gammaincinv, stdtr, stdtrit

    known = learned.covariance.of(row) + unseen
    if np.isinf(learned.tails):
        scales = np.array([np.sqrt(known + noise**2)])
    else:
        half = learned.tails / 2
        scales = np.sqrt(known + noise**2 * half / gammaincinv(half, _CHANCES))
    # One scale alone would need so many of itself; the mixture lies between its ends.
    reach = float(stdtrit(learned.spare, _UP_TO))
    low, high = reach * float(scales.min()), reach * float(scales.max())

    def over(end: float) -> float:
        return float(stdtr(learned.spare, end / scales).mean()) - _UP_TO

    # Scales that are all alike leave nothing between.
    between = over(low) < 0 < over(high)
    end = brentq(over, low, high, xtol=_FINELY * high) if between else high
    return Foretold(float(row @ learned.effects), end)
