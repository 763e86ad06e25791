"""The mean stride: when each foot lands and lifts in it, how many are down, how many beats."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from racecalc.errors import OutOfRangeError
from racecalc.gait.clip import FEET, SIDES
from racecalc.gait.strides import Stride

__all__ = [
    "TOGETHER",
    "Cycle",
    "beats",
    "flights",
    "fore_lag",
    "mean_cycle",
    "support_shares",
    "together",
]

TOGETHER = 0.05
"""Two landings closer than this share of a stride are heard as one (our choice)."""

# Beats are even when none comes further than this from its place in an even stride (ours).
_EVEN = 0.05
_ROUNDING = 1e-9


@dataclass(frozen=True)
class Cycle:
    """A stride as shares of itself.

    ``phase`` is where each foot lands, ``duty`` for how long it is down. ``duty`` lacks the feet
    of which no lift was noted; ``counts`` are the contacts behind each.
    """

    phase: Mapping[str, float]
    duty: Mapping[str, float]
    counts: Mapping[str, int]

    @property
    def whole(self) -> bool:
        """Whether all four feet are known, down and up."""
        return all(foot in self.duty for foot in FEET)


def mean_cycle(strides: Sequence[Stride], stride_s: float) -> Cycle:
    """Return the mean of some strides.

    Phases are averaged on the circle: a foot that lands just before a stride begins and one just
    after it are near one another.
    """
    phase, duty, counts = {}, {}, {}
    for foot in FEET:
        of = [stride for stride in strides if foot in stride.landings_s]
        if not of:
            continue
        turns = [one.landings_s[foot] / (one.time_s or stride_s) for one in of]
        phase[foot] = _circular_mean(turns)
        known = [one for one in of if np.isfinite(one.stances_s[foot])]
        counts[foot] = len(known)
        if known:
            duty[foot] = float(np.mean([one.stances_s[foot] for one in known])) / stride_s
    return Cycle(phase, duty, counts)


def _circular_mean(turns: Sequence[float]) -> float:
    """Return the mean of shares of a circle, about the first of them."""
    away = (np.asarray(turns) - turns[0] + 0.5) % 1 - 0.5
    return _wrapped(float(turns[0] + away.mean()))


def _wrapped(turn: float) -> float:
    """Return a share of a circle from zero on; what rounding leaves just below one is zero."""
    share = turn % 1
    return 0.0 if share > 1 - _ROUNDING else share


def fore_lag(cycle: Cycle) -> dict[str, float]:
    """Return by how much of a stride each fore foot lands after the hind foot of its side.

    Sides of which a foot was not seen are left out.
    """
    return {
        side: _wrapped(cycle.phase[fore] - cycle.phase[hind])
        for side, (hind, fore) in SIDES.items()
        if hind in cycle.phase and fore in cycle.phase
    }


def support_shares(cycle: Cycle) -> tuple[float, ...]:
    """Return the shares of a stride with no foot down, with one, two, three and all four.

    An even walk with a duty factor of 0.75 has three feet down at every moment (usherwood_2018).

    Raises
    ------
    OutOfRangeError
        If a foot is not known, down and up.

    Examples
    --------
    >>> on = {"LH": 0.0, "LF": 0.25, "RH": 0.5, "RF": 0.75}
    >>> walk = Cycle(on, dict.fromkeys(on, 0.65), dict.fromkeys(on, 1))
    >>> [round(share, 9) for share in support_shares(walk)]
    [0.0, 0.0, 0.4, 0.6, 0.0]
    """
    shares = [0.0] * 5
    for low, high, feet in _parts(cycle):
        shares[len(feet)] += high - low
    return tuple(shares)


def flights(cycle: Cycle) -> list[tuple[float, float]]:
    """Return when all four feet are off: begin and end, as shares of a stride.

    An end above one is in the next stride.

    Raises
    ------
    OutOfRangeError
        If a foot is not known, down and up.
    """
    off = [(low, high) for low, high, feet in _parts(cycle) if not feet]
    if len(off) > 1 and off[0][0] == 0 and off[-1][1] == 1:
        return [*off[1:-1], (off[-1][0], 1 + off[0][1])]
    return off


def _parts(cycle: Cycle) -> list[tuple[float, float, frozenset[str]]]:
    """Return the stride in pieces between landings and lifts: from, to, and the feet down."""
    if not cycle.whole:
        raise OutOfRangeError("support needs all four feet, with their landings and lifts")
    ends = [(cycle.phase[foot], cycle.phase[foot] + cycle.duty[foot]) for foot in FEET]
    marks = np.unique(np.round([0.0, 1.0, *(end % 1 for pair in ends for end in pair)], 12))
    parts: list[tuple[float, float, frozenset[str]]] = []
    for low, high in pairwise(marks.tolist()):
        middle = (low + high) / 2
        down = frozenset(
            foot
            for foot, (on, off) in zip(FEET, ends, strict=True)
            if (middle - on) % 1 < min(off - on, 1)
        )
        if parts and parts[-1][2] == down:
            parts[-1] = (parts[-1][0], high, down)
        else:
            parts.append((low, high, down))
    return parts


def together(step_s: float, stride_s: float) -> float:
    """Return how near two landings are heard as one, as a share of a stride: our own choice.

    That is a twentieth of a stride, or a frame where that is longer.
    """
    return max(TOGETHER, step_s / stride_s) + _ROUNDING


def beats(cycle: Cycle, step_s: float, stride_s: float) -> tuple[int, bool] | None:
    """Return how many impacts a stride has, and whether they are evenly spaced (minnesota_gaits).

    Missing where a foot was not seen.
    """
    if len(cycle.phase) < len(FEET):
        return None
    at = np.sort(np.array(list(cycle.phase.values())))
    gaps = np.diff(np.append(at, at[0] + 1))
    heard = gaps[gaps > together(step_s, stride_s)]
    count = max(len(heard), 1)
    # Feet that land together are as one; what they are apart goes to the gap before it.
    near = _EVEN + step_s / stride_s
    return count, bool(len(heard) == 0 or np.abs(heard - 1 / count).max() <= near)
