"""The name of a gait, from the order and spacing of its footfalls; unclear, where that is not told.

A gait in which each pair of feet lands half a stride apart is named by when the fore foot follows
the hind foot of its side, and by how long feet stay down; one whose pairs land close after one
another by whether the second hind foot and the first fore foot come together. Never by speed: a
horse can gallop as slowly as it walks.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
import numpy.typing as npt

from racecalc.gait.clip import PAIRS, SIDES, Clip
from racecalc.gait.cycle import TOGETHER, together
from racecalc.gait.precision import landing_error_s, stance_error_s
from racecalc.gait.regions import DIAGONAL, Place, by_the_shorter_way
from racecalc.gait.strides import NEAR_HALF, Stride, StrideTime, couplets, pair_gaps

__all__ = [
    "GAITS",
    "NAMING_SOURCES",
    "REASONS",
    "UNCLEAR",
    "Gait",
    "is_symmetrical",
    "name_gait",
]

Floats = npt.NDArray[np.float64]

NAMING_SOURCES = ("schmitt_2006", "hildebrand_regions", "biancardi_2012")

UNCLEAR = "unclear"

GAITS = (
    "walk",
    "running walk",
    "single-foot",
    "stepping pace",
    "fox trot",
    "trot",
    "walking trot",
    "pace",
    "walking pace",
    "canter",
    "disunited canter",
    "transverse gallop",
    "rotary gallop",
    "gallop",
)
"""Every name that `name_gait` gives, beside unclear.

A ``gallop`` had strides of both kinds, or its leads were not seen.
"""

_COUPLED = ("canter", "gallop")
# By whether hind and fore leads were the same, of the strides in which both were seen.
_GALLOPS = {frozenset({True}): "transverse gallop", frozenset({False}): "rotary gallop"}

# By how much strides of one gait differ: two deviations of 2 % (drevemo_1980).
_SCATTER = 0.04
# A time between two landings of a foot that is longer than this is not one usual stride.
_TWO_STRIDES = 1.5
# The sides of a symmetrical gait may differ by this much of a stride (schmitt_2006).
_SIDES_DIFFER = 0.10

REASONS = (
    "no-repeat",
    "feet-disagree",
    "one-foot",
    "one-side",
    "one-diagonal",
    "one-pair",
    "pairs-differ",
    "pairs-between",
    "gait-changes",
    "between",
    "diagonal-sequence",
    "hinds-together",
    "flight-after-hinds",
    "odd-order",
)
"""Every reason for which a gait has no name; `Gait` tells what they mean."""

# Names that one word covers where it is not told how long feet stay down.
_BROADLY = (({"trot", "walking trot"}, "trot"), ({"pace", "walking pace"}, "pace"))


@dataclass(frozen=True)
class Gait:
    """A gait's name, or why it has none.

    ``why`` is one of ``no-repeat`` (no foot was seen to land twice), ``feet-disagree`` (feet give
    other stride times), ``one-foot``, ``one-side``, ``one-diagonal`` and ``one-pair`` (all that was
    seen of the horse, or all that fits together), ``pairs-differ`` (only one pair lands half a
    stride apart), ``pairs-between`` (a pair lands neither clearly half a stride apart nor clearly
    closer), ``gait-changes``, ``between`` (the names in ``between``, two at least, cannot be told
    apart; one may be ``diagonal sequence``, which is no usual gait of a horse),
    ``diagonal-sequence``, ``hinds-together``, ``flight-after-hinds`` and ``odd-order`` (no usual
    gait of a horse: feet may have been exchanged).
    """

    name: str
    why: str | None = None
    between: tuple[str, ...] = ()


def is_symmetrical(clip: Clip, stride: StrideTime) -> bool | None:
    """Return whether the feet of each pair land half a stride apart; missing where it is not told.

    A pair is taken by all its landings, so that one clip with two gaits is of neither kind.
    """
    kinds = {_kind(clip, pair, stride) for pair in PAIRS} - {"unseen"}
    return kinds == {"even"} if len(kinds) == 1 and kinds <= {"even", "uneven"} else None


def _kind(clip: Clip, pair: str, stride: StrideTime) -> str:
    gaps = np.array(pair_gaps(clip, pair, stride.mean_s))
    if not len(gaps):
        return "unseen"
    of_one, of_mean = (
        landing_error_s(clip.step_s, count) / stride.mean_s for count in (1, len(gaps))
    )
    closer, apart = gaps < NEAR_HALF - of_one, gaps > NEAR_HALF + of_one
    if closer.any() and apart.any():
        return "both"
    usual = float(np.median(gaps))
    if abs(usual - NEAR_HALF) < of_mean:
        return "between"
    return "even" if usual > NEAR_HALF else "uneven"


def name_gait(clip: Clip, stride: StrideTime | None, strides: Sequence[Stride]) -> Gait:
    """Return the name of a clip's gait.

    Parameters
    ----------
    clip : Clip
        The contacts.
    stride : StrideTime or None
        Its `strides.stride_time`.
    strides : sequence of Stride
        Its `strides.strides_of`.

    Notes
    -----
    A gallop is transverse where the leading feet are on one side (biancardi_2012), so that the foot
    on which it lands and the one from which it takes off are on opposite sides
    (bertram_gutmann_2009). With the left hind foot first it is on the right lead
    (williams_norris_2007).

    References
    ----------
    schmitt_2006; hildebrand_regions (remembered); biancardi_2012.
    """
    if stride is None:
        return Gait(UNCLEAR, "no-repeat")
    if not stride.agree:
        return Gait(UNCLEAR, "feet-disagree")
    kinds = {_kind(clip, pair, stride) for pair in PAIRS}
    if kinds == {"unseen"}:
        return Gait(UNCLEAR, _unpaired(clip))
    if "both" in kinds:
        return Gait(UNCLEAR, "gait-changes")
    if "between" in kinds:
        return Gait(UNCLEAR, "pairs-between")
    if kinds >= {"even", "uneven"}:
        return Gait(UNCLEAR, "pairs-differ")
    if "even" in kinds:
        return _symmetrical(clip, stride, strides)
    return _asymmetrical(clip, stride, strides)


def _unpaired(clip: Clip) -> str:
    if len(clip.seen) == 1:
        return "one-foot"
    return (
        "one-side"
        if any(set(clip.seen) <= set(side) for side in SIDES.values())
        else "one-diagonal"
    )


def _symmetrical(clip: Clip, stride: StrideTime, strides: Sequence[Stride]) -> Gait:
    lags = [(side, lag) for one in strides for side, lag in _lags(one, stride.mean_s)]
    if not lags:
        return Gait(UNCLEAR, "one-pair")
    first = lags[0][1]
    means = {
        side: first
        + float(np.mean([by_the_shorter_way(lag - first) for of, lag in lags if of == side]))
        for side in dict(lags)
    }
    count = len(lags) / len(means)
    unsure = landing_error_s(clip.step_s, count) / stride.mean_s
    if (
        abs(by_the_shorter_way(max(means.values()) - min(means.values())))
        > _SIDES_DIFFER + 2 * unsure
    ):
        return Gait(UNCLEAR, "odd-order")
    if _changes(clip, stride, strides):
        return Gait(UNCLEAR, "gait-changes")
    lag = float(np.mean(list(means.values())))
    names = Place(lag, unsure, *_duty(clip, stride, strides)).names()
    if len(names) == 1:
        name = names.pop()
        return Gait(UNCLEAR, "diagonal-sequence") if name == DIAGONAL else Gait(name)
    broad = next((word for group, word in _BROADLY if names <= group), None)
    return Gait(broad) if broad else Gait(UNCLEAR, "between", tuple(sorted(names)))


def _lags(one: Stride, usual_s: float) -> list[tuple[str, float]]:
    """Return by how much of a stride the fore foot of each side lands after the hind foot."""
    at = one.landings_s
    return [
        (side, (at[fore] - at[hind]) / (one.time_s or usual_s))
        for side, (hind, fore) in SIDES.items()
        if hind in at and fore in at
    ]


def _duty(clip: Clip, stride: StrideTime, strides: Sequence[Stride]) -> tuple[float, float]:
    """Return the duty factor and its error: of the hind feet, or of the fore feet without these.

    Anything is possible where no lift was noted.
    """
    for pair in PAIRS.values():
        stances = [one.stances_s[foot] for one in strides for foot in pair if foot in one.stances_s]
        known = np.array(stances)[np.isfinite(stances)]
        if len(known):
            # Both feet tell of the same strides.
            error = stance_error_s(clip.step_s, max(len(known) / 2, 1))
            return float(known.mean()) / stride.mean_s, error / stride.mean_s
    return 0.5, 0.5


def _changes(clip: Clip, stride: StrideTime, strides: Sequence[Stride]) -> bool:
    """Return whether two strides were of gaits that are not the same one, however they scatter."""
    possible = []
    for one in strides:
        duty, duty_error = _duty(clip, stride, [one])
        for _, lag in _lags(one, stride.mean_s):
            lag_error = landing_error_s(clip.step_s) / stride.mean_s + _SCATTER
            possible.append(Place(lag, lag_error, duty, duty_error + _SCATTER).names())
    return any(not one & other for one, other in combinations(possible, 2))


def _asymmetrical(clip: Clip, stride: StrideTime, strides: Sequence[Stride]) -> Gait:
    if all(_has_slower_strides(clip, pair, stride.mean_s) for pair in PAIRS.values()):
        return Gait(UNCLEAR, "gait-changes")
    near = together(clip.step_s, stride.mean_s) * stride.mean_s
    hinds = couplets(clip, "hind", stride.mean_s)
    if hinds and all(couplet.gap_s <= near for couplet in hinds):
        return Gait(UNCLEAR, "hinds-together")
    pairs = [(one.hind, one.fore) for one in strides if one.hind and one.fore]
    if not pairs:
        return Gait(UNCLEAR, "one-pair")
    between = np.array(
        [
            (
                hind.gap_s,
                fore.first_s - hind.second_s,
                fore.gap_s,
                stride.mean_s + hind.first_s - fore.second_s,
            )
            for hind, fore in pairs
        ]
    )
    # The longest of the four times is that after the fore feet, in which the horse flies.
    *others, after = between.mean(axis=0)
    # Two times between landings, each with its error.
    unsure = np.sqrt(2) * landing_error_s(clip.step_s, len(pairs))
    if max(others) > after - unsure:
        middle_s = others[1] == max(others) and others[1] > after + unsure
        return Gait(UNCLEAR, "flight-after-hinds" if middle_s else "odd-order")
    return _by_middle(between[:, 1], clip, stride, strides)


def _has_slower_strides(clip: Clip, feet: tuple[str, str], stride_s: float) -> bool:
    """Return whether a pair has a stride of a walk or a trot, far longer than the usual one.

    By its length alone it would be two, with a landing of each foot that was not noted; but of two
    strides with couplets the other foot does not land in the middle.
    """
    for one, other in (feet, feet[::-1]):
        for before, after in pairwise(clip.on_s[one]):
            inside = clip.on_s[other]
            inside = inside[(inside > before) & (inside < after)]
            long = after - before > _TWO_STRIDES * stride_s
            if long and len(inside) == 1:
                share = (inside[0] - before) / (after - before)
                if abs(share - 0.5) < 0.5 - NEAR_HALF:
                    return True
    return False


def _by_middle(middles: Floats, clip: Clip, stride: StrideTime, strides: Sequence[Stride]) -> Gait:
    """Return a canter or a gallop by the times from the second hind foot to the first fore foot."""
    near = TOGETHER * stride.mean_s
    of_one, of_mean = (landing_error_s(clip.step_s, count) for count in (1, len(middles)))
    mean = float(middles.mean())
    united = {one.leads[0] == one.leads[1] for one in strides if None not in one.leads}
    if abs(mean) + of_mean <= near and (np.abs(middles) - of_one <= near).all():
        return Gait("disunited canter" if united == {False} else "canter")
    if mean - of_mean > near and (middles + of_one > near).all():
        return Gait(_GALLOPS.get(frozenset(united), "gallop"))
    # A fore foot before the second hind foot is of neither.
    return Gait(UNCLEAR, "odd-order") if mean < 0 else Gait(UNCLEAR, "between", _COUPLED)
