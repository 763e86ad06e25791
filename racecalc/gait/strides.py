"""Stride by stride: how long each took, where the feet landed in it, and on which leads."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from racecalc.gait.clip import FEET, PAIRS, Clip

__all__ = [
    "NEAR_HALF",
    "Couplet",
    "Stride",
    "StrideTime",
    "couplets",
    "pair_gaps",
    "stride_time",
    "strides_of",
]

NEAR_HALF = 0.40
"""From this share of a stride on, two landings of a pair are half a stride apart (schmitt_2006)."""

# Two feet of one clip that give stride times further apart are not feet of one steady stride.
_FEET_DISAGREE = 0.10
# A stride from one landing of a foot to its next, when none between them was missed.
_ONE_STRIDE = (0.7, 1.3)
# Strides between two landings of a foot: more than 1.7 are two, of which one landing was missed.
_MISSED = 0.3
# By how much of a stride the first landing may come before a beginning that was not noted.
_BEFORE = 0.1
# And before one that was.
_JUST_BEFORE = 0.05

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class StrideTime:
    """The mean time of a stride, and from how many feet and strides (summed over the feet)."""

    mean_s: float
    feet: int
    strides: int
    agree: bool


@dataclass(frozen=True)
class Couplet:
    """Two landings of a pair close after one another; the second to land is the leading foot.

    ``lead`` is missing where both came in one frame, so that the order was not seen.
    """

    first_s: float
    gap_s: float
    lead: str | None

    @property
    def second_s(self) -> float:
        """When the second foot landed."""
        return self.first_s + self.gap_s


@dataclass(frozen=True)
class Stride:
    """One stride.

    ``time_s`` is missing for the last, after which no further stride begins. ``landings_s`` are the
    times after ``start_s``; ``stances_s`` are nan where a lift was not noted. ``hind`` and ``fore``
    are the couplets of a gait that has them.
    """

    start_s: float
    time_s: float | None
    landings_s: dict[str, float]
    stances_s: dict[str, float]
    hind: Couplet | None = None
    fore: Couplet | None = None

    @property
    def leads(self) -> tuple[str | None, str | None]:
        """The leads of the hind and of the fore feet, where they were seen."""
        return (self.hind.lead if self.hind else None, self.fore.lead if self.fore else None)


def stride_time(clip: Clip) -> StrideTime | None:
    """Return the mean time of a stride; missing where no foot was seen to land twice.

    It is taken from each foot's first landing to its last. A landing that was not noted counts as a
    stride all the same, for the time between its neighbours is twice that of the others.
    """
    between = {foot: np.diff(clip.on_s[foot]) for foot in clip.seen if len(clip.on_s[foot]) > 1}
    if not between:
        return None
    usual = _usual_s(np.concatenate(list(between.values())))
    counts = {
        foot: np.maximum(np.floor(d / usual + _MISSED), 1).sum() for foot, d in between.items()
    }
    spans = {foot: float(times.sum()) for foot, times in between.items()}
    strides = int(sum(counts.values()))
    mean = sum(spans.values()) / strides
    own = np.array([spans[foot] / counts[foot] for foot in between])
    agree = bool(np.ptp(own) <= _FEET_DISAGREE * mean)
    if not agree and any(len({c.lead for c in couplets(clip, p, mean)}) > 1 for p in PAIRS):
        # A change of leads itself sets a foot down earlier or later, by less than a couplet.
        off = [abs(spans[foot] - counts[foot] * mean) for foot in between]
        agree = bool(max(off) <= NEAR_HALF * mean)
    return StrideTime(mean, len(between), strides, agree)


def _usual_s(between: Floats) -> float:
    """Return the time between two landings of a foot by which most others are explained.

    Neither the longest nor the shortest need be a stride: a landing may not have been noted, or
    have been written to another foot. Times near twice a stride speak for it half as much, and so
    on; of two with as much behind them the shorter is taken.
    """
    times = between / between[:, None]
    strides = np.maximum(np.round(times), 1)
    near = np.abs(times / strides - 1) <= 1 - _ONE_STRIDE[0]
    behind = np.where(near, 1 / strides, 0.0).sum(axis=1)
    most = between[behind >= behind.max() - 1e-9].min()
    return float(np.median(between[np.abs(between / most - 1) <= 1 - _ONE_STRIDE[0]]))


def pair_gaps(clip: Clip, pair: str, stride_s: float) -> list[float]:
    """Return how far apart the two feet of a pair landed, each time, as shares of a stride.

    Half a stride is the furthest that two can be apart. The stride is the one that the first of the
    two feet took then, where that is known, as a horse may slow down within a clip.
    """
    gaps = [
        (after - before) / _own_s(clip, one, before, stride_s) % 1
        for (before, one), (after, other) in pairwise(clip.of_pair(pair))
        if one != other
    ]
    return [min(gap, 1 - gap) for gap in gaps]


def _own_s(clip: Clip, foot: str, at: float, usual_s: float) -> float:
    """Return the time from a landing of a foot to its next, or else from its last."""
    low, high = _ONE_STRIDE
    on = clip.on_s[foot]
    place = int(np.searchsorted(on, at))
    for one, two in ((place, place + 1), (place - 1, place)):
        if one >= 0 and two < len(on) and low <= (on[two] - on[one]) / usual_s <= high:
            return float(on[two] - on[one])
    return usual_s


def couplets(clip: Clip, pair: str, stride_s: float) -> list[Couplet]:
    """Return the couplets of a pair, by time."""
    found, used = [], False
    for (before, one), (after, other) in pairwise(clip.of_pair(pair)):
        if not used and one != other and (after - before) / stride_s < NEAR_HALF:
            # In one frame: half a step, so that rounding of seconds does not matter.
            seen = after - before > clip.step_s / 2
            side = "left" if other.startswith("L") else "right"
            found.append(Couplet(before, after - before, side if seen else None))
            used = True
        else:
            used = False
    return found


def strides_of(clip: Clip, stride_s: float, *, symmetrical: bool) -> tuple[Stride, ...]:
    """Return the strides of a clip, by time.

    Those of a symmetrical gait begin where the foot lands that was seen most often; those of an
    asymmetrical one with the first hind foot. Where only the fore feet of such a stride were noted,
    it begins as long before them as others do.
    """
    hinds, fores = (() if symmetrical else couplets(clip, pair, stride_s) for pair in PAIRS)
    if hinds or fores:
        begins = _begins(hinds, fores, stride_s)
    else:
        # Of feet that were seen as often the earliest: what lands before it is in no stride.
        most = min(clip.seen, key=lambda foot: (-len(clip.on_s[foot]), clip.on_s[foot][0]))
        begins = [(float(on), True) for on in clip.on_s[most]]
    return tuple(
        _stride(clip, begin, later, stride_s, hinds, fores)
        for begin, later in zip(begins, [*begins[1:], None], strict=True)
    )


def _begins(
    hinds: Sequence[Couplet], fores: Sequence[Couplet], stride_s: float
) -> list[tuple[float, bool]]:
    """Return when strides with couplets begin, by time, and whether that landing was noted."""
    noted = np.array([couplet.first_s for couplet in hinds])
    fore = np.array([couplet.first_s for couplet in fores])
    before = fore[:, None] - noted
    whole = before[(before >= 0) & (before < stride_s)]
    begins = fore - (np.median(whole) if len(whole) else 0.0)
    alone = [float(begin) for begin in begins if not (np.abs(noted - begin) < stride_s / 2).any()]
    return sorted([*((float(one), True) for one in noted), *((one, not hinds) for one in alone)])


def _stride(
    clip: Clip,
    begin: tuple[float, bool],
    later: tuple[float, bool] | None,
    usual_s: float,
    hinds: Sequence[Couplet],
    fores: Sequence[Couplet],
) -> Stride:
    start, noted = begin
    next_s, next_noted = later or (np.inf, True)
    low, high = _ONE_STRIDE
    one = next_s - start <= high * usual_s
    end = next_s if one else start + usual_s
    known = one and noted and next_noted and next_s - start >= low * usual_s
    from_s = start - _slack_s(clip, usual_s, noted=noted)
    upto_s = end - _slack_s(clip, usual_s, noted=next_noted)
    landings, stances = {}, {}
    for foot in FEET:
        inside = np.flatnonzero((clip.on_s[foot] >= from_s) & (clip.on_s[foot] < upto_s))
        if len(inside):
            landings[foot] = float(clip.on_s[foot][inside[0]]) - start
            stances[foot] = float(clip.stances_s(foot)[inside[0]])
    return Stride(
        start_s=start,
        time_s=end - start if known else None,
        landings_s=landings,
        stances_s=stances,
        hind=_within(hinds, from_s, upto_s),
        fore=_within(fores, from_s, upto_s),
    )


def _slack_s(clip: Clip, stride_s: float, *, noted: bool) -> float:
    """Return how long before its beginning a landing still belongs to a stride."""
    # The feet of a trot or a pace land together, and either may be the first by a little. Before a
    # beginning that was not noted, a foot of its own may have landed, and no other: the horse is in
    # flight.
    return max(clip.step_s / 2, _JUST_BEFORE * stride_s) if noted else _BEFORE * stride_s


def _within(found: Sequence[Couplet], start: float, end: float) -> Couplet | None:
    return next((couplet for couplet in found if start <= couplet.first_s < end), None)
