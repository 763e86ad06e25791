"""What the drying index has meant at a track: its words, learned from the log.

The chance that a track is at least so wet rises as the index falls, by a logistic curve; each word
has an index below which it or a wetter one is the likelier (a cumulative logit, or proportional
odds, model). The curves start from a stated default, and the log moves them: with few entries they
stay near the default, with many they follow the track.

Source: ``mccullagh_1980``.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.optimize import minimize
from scipy.special import expit, logit

from racecalc.errors import OutOfRangeError
from racecalc.surface.order import DRYING_ORDER

__all__ = ["BEFORE_WORK", "ODD", "WordCurves", "default_curves", "learn_curves", "unlikely"]

FloatArray = npt.NDArray[np.float64]

BEFORE_WORK = 0.5
"""How often the rain of a day falls before the morning's work, before anything is learned. Ours."""

ODD = 0.02
"""The share of entries that are held to be any word: one odd entry overturns no curve. Ours."""

# The index below which each surface is taken to be at least so wet, before anything is learned:
# one for each word but the driest. Our own choice.
_DEFAULT_CUTS: dict[str, tuple[float, ...]] = {
    "dirt": (0.70, 0.55, 0.15, 0.10, 0.05, -0.25),
    "turf": (0.70, 0.35, 0.10, -0.20),
    "synthetic": (0.40, 0.10, -0.10),
}
_DEFAULT_SCALE = 0.10
# How far the log may easily move them: the first cut, the logarithm of each step from cut to cut,
# the logarithm of the scale, and the logit of the share of rain before work, as standard
# deviations. Our own choice.
_CUT_SPREAD, _STEP_SPREAD, _SCALE_SPREAD, _SHARE_SPREAD = 0.3, 1.0, 0.5, 1.5
_LEAST = 1e-12


@dataclass(frozen=True)
class WordCurves:
    """How the index maps to the words of one surface.

    Attributes
    ----------
    surface : str
        dirt, turf or synthetic.
    cuts : tuple of float
        For each word but the driest, the index at which it or a wetter word is as likely as not;
        falling.
    scale : float
        How soft the edges are, in units of the index.
    entries : int
        How many entries of the log are behind it; with none it is the default.
    before_work : float
        How often the rain of a day had fallen before its entry, or before the morning's work.
    odd : float
        The share of entries that may be any word at all.
    """

    surface: str
    cuts: tuple[float, ...]
    scale: float
    entries: int
    before_work: float = BEFORE_WORK
    odd: float = ODD

    def chances(self, index: npt.ArrayLike) -> FloatArray:
        """Return the chance of each word, from dry to wet, along a new last axis.

        Examples
        --------
        >>> default_curves("turf").chances(1.0).round(2).tolist()
        [0.94, 0.05, 0.01, 0.0, 0.0]
        """
        found = _chances(np.asarray(index, dtype=np.float64), np.array(self.cuts), self.scale)
        # Of many draws the array is large: it is changed in place.
        found *= 1 - self.odd
        found += self.odd / found.shape[-1]
        return found

    def morning_chances(self, evening: npt.ArrayLike, after_rain: npt.ArrayLike) -> FloatArray:
        """Return the chance of each word on mornings whose rain of the day is known.

        Parameters
        ----------
        evening, after_rain : array
            The index that the evening before left, and that with the rain of the day on top.
        """
        dry, wet = self.chances(evening), self.chances(after_rain)
        return (1 - self.before_work) * dry + self.before_work * wet


def default_curves(surface: str) -> WordCurves:
    """Return the curves that stand before anything is learned.

    Raises
    ------
    OutOfRangeError
        If the surface is not known.
    """
    if surface not in _DEFAULT_CUTS:
        raise OutOfRangeError(
            f"surface {surface!r}: not known; there are {', '.join(_DEFAULT_CUTS)}"
        )
    return WordCurves(surface, _DEFAULT_CUTS[surface], _DEFAULT_SCALE, 0)


def learn_curves(
    surface: str,
    index: npt.ArrayLike,
    ranks: npt.ArrayLike,
    after_rain: npt.ArrayLike | None = None,
    odd: float = ODD,
) -> WordCurves:
    """Learn the curves of a track from its log.

    Whether the rain of a day fell before its entry, a record of days does not say. Both are held
    possible, and how often it did is learned with the curves.

    Parameters
    ----------
    surface : str
        dirt, turf or synthetic.
    index : array
        The drying index that the evening before each entry left.
    ranks : array of int
        The place of the entry's word in `DRYING_ORDER`, 0 for the driest.
    after_rain : array, optional
        The index with the rain of the entry's own day on top; the same as ``index`` where not
        given, and then nothing is learned of when it fell.
    odd : float
        The share of entries that may be any word at all.

    Raises
    ------
    OutOfRangeError
        If the surface or a rank is not known, or an index is not a number.

    References
    ----------
    mccullagh_1980 (the cumulative logit model); the default it leans on is ours.

    Examples
    --------
    >>> curves = learn_curves("synthetic", [1.0, 0.9, 0.2, 0.1] * 20, [0, 0, 1, 1] * 20)
    >>> 0.2 < curves.cuts[0] < 0.9
    True
    """
    base = default_curves(surface)
    x = np.asarray(index, dtype=np.float64)
    words = np.asarray(ranks, dtype=np.intp)
    wet = x if after_rain is None else np.asarray(after_rain, dtype=np.float64)
    if not (
        np.isfinite(x).all() and np.isfinite(wet).all() and x.shape == wet.shape == words.shape
    ):
        raise OutOfRangeError("drying index: a number is needed for each entry of the log")
    if words.size == 0:
        return base
    if words.min() < 0 or words.max() >= len(DRYING_ORDER[surface]):
        raise OutOfRangeError(f"rank {words.min()} to {words.max()}: {surface} has no such word")
    steps = [_STEP_SPREAD] * (len(base.cuts) - 1)
    found = _fitted(
        np.append(_parameters(base.cuts, base.scale), logit(base.before_work)),
        np.array([_CUT_SPREAD, *steps, _SCALE_SPREAD, _SHARE_SPREAD]),
        np.stack((x, wet)),
        words,
        odd,
    )
    cuts, scale, share = _read(found)
    return WordCurves(surface, tuple(cuts.tolist()), scale, words.size, share, odd)


def _fitted(
    start: FloatArray,
    spread: FloatArray,
    both: FloatArray,
    words: npt.NDArray[np.intp],
    odd: float,
) -> FloatArray:
    """Return the likeliest parameters, given the index of each entry without its rain and with."""
    given = (start, spread, both, words, odd)
    # Of few parameters; the L-BFGS-B of SciPy waits for threads that have nothing to do.
    best = minimize(unlikely, start, args=given, jac=True, method="BFGS")
    return np.asarray(best.x, dtype=np.float64)


def unlikely(
    parameters: FloatArray,
    start: FloatArray,
    spread: FloatArray,
    both: FloatArray,
    words: npt.NDArray[np.intp],
    odd: float,
) -> tuple[float, FloatArray]:
    """Return how unlikely parameters are, and how that changes with each of them.

    Parameters
    ----------
    parameters : array
        The first cut, the logarithm of each step from cut to cut, the logarithm of the scale, and
        the logit of the share of rain before work.
    start, spread : array
        Those of the default, and how far the log may easily move them.
    both : array, shape (2, entries)
        The index of each entry without its rain and with.
    words : array of int, shape (entries,)
        The rank of each entry's word.
    odd : float
        The share of entries that may be any word at all.

    Returns
    -------
    tuple of float and array
        The negative logarithm of how likely they are, and its derivatives.
    """
    cuts, scale, share = _read(parameters)
    edges = np.array([np.inf, *cuts, -np.inf])
    # Of each entry the chance of its own word alone, between its edge and the next wetter one.
    drier, wetter = (expit((edges[at] - both) / scale) for at in (words, words + 1))
    dry, rained = (1 - odd) * (drier - wetter) + odd / (cuts.size + 1)
    chances = (1 - share) * dry + share * rained
    away = (parameters - start) / spread
    total = 0.5 * float(away @ away) - float(np.log(np.maximum(chances, _LEAST)).sum())

    # The chain rule: from the chances to the edges of the two curves, and on to the parameters.
    by_chance = np.where(chances > _LEAST, -1 / np.maximum(chances, _LEAST), 0.0)
    by_curve = (1 - odd) / scale * np.array([[1 - share], [share]]) * by_chance
    by_drier, by_wetter = by_curve * drier * (1 - drier), by_curve * wetter * (1 - wetter)
    by_edge = np.bincount(words, by_drier.sum(axis=0), edges.size)
    by_edge -= np.bincount(words + 1, by_wetter.sum(axis=0), edges.size)
    by_cut = by_edge[1:-1]
    # A step moves all cuts behind it.
    behind = np.cumsum(by_cut[::-1])[::-1]
    by_scale = ((by_drier - by_wetter) * both).sum() - by_cut @ cuts
    by_share = share * (1 - share) * (by_chance @ (rained - dry))
    slopes = np.array([behind[0], *(np.diff(cuts) * behind[1:]), by_scale, by_share])
    return total, np.where(parameters == _held(parameters), slopes, 0.0) + away / spread


def _chances(index: FloatArray, cuts: FloatArray, scale: float) -> FloatArray:
    at_least = np.empty((*index.shape, len(cuts) + 2))
    at_least[..., 0], at_least[..., -1] = 1.0, 0.0
    inner = at_least[..., 1:-1]
    np.subtract(cuts, index[..., None], out=inner)
    inner /= scale
    expit(inner, out=inner)
    return np.asarray(at_least[..., :-1] - at_least[..., 1:], dtype=np.float64)


def _parameters(cuts: tuple[float, ...], scale: float) -> FloatArray:
    return np.array([cuts[0], *np.log(-np.diff(cuts)), np.log(scale)])


def _held(parameters: FloatArray) -> FloatArray:
    """Return parameters whose steps and scale are held where a logistic curve can be computed."""
    held = parameters.copy()
    held[1:-2] = np.clip(held[1:-2], -20.0, 5.0)
    held[-2] = np.clip(held[-2], -6.0, 3.0)
    return held


def _read(parameters: FloatArray) -> tuple[FloatArray, float, float]:
    """Return cuts, scale and share of rain before work."""
    first, *steps, scale, share = _held(parameters)
    falls = np.cumsum([0.0, *np.exp(steps)])
    return first - falls, float(np.exp(scale)), float(expit(share))
