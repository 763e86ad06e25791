"""How many feet are down at each moment of a clip: what a diagram of footfalls shows under it."""

from itertools import pairwise

import numpy as np

from racecalc.gait.clip import FEET, Clip

__all__ = ["support_over_time"]

# Twice the time between two landings is no stride: one was not noted between them.
_MISSED = 1.5


def support_over_time(clip: Clip, stride_s: float) -> list[tuple[float, float, int]]:
    """Return pieces of a clip with the number of feet that were down: from, to, how many.

    It begins when every foot has been seen to land, and ends with the last lift known of all. Empty
    where a foot was not seen, or a landing or a lift of the middle was not noted.

    Examples
    --------
    >>> from racecalc.gait import make_clip
    >>> pair, other = [(0.0, 0.4), (1.0, 1.4)], [(0.5, 0.9), (1.5, 1.9)]
    >>> trot = make_clip({"LH": pair, "RF": pair, "RH": other, "LF": other}, 0.001)
    >>> support_over_time(trot, 1.0)
    [(0.5, 0.9, 2), (0.9, 1.0, 0), (1.0, 1.4, 2)]
    """
    if len(clip.seen) < len(FEET):
        return []
    for foot in FEET:
        on, off = clip.on_s[foot], clip.off_s[foot]
        if np.isnan(off).any() or (np.diff(on) > _MISSED * stride_s).any():
            return []
    first = max(float(clip.on_s[foot][0]) for foot in FEET)
    last = min(float(clip.off_s[foot][-1]) for foot in FEET)
    marks = np.unique(np.concatenate([[first, last], *clip.on_s.values(), *clip.off_s.values()]))
    pieces: list[tuple[float, float, int]] = []
    for low, high in pairwise(marks[(marks >= first) & (marks <= last)].tolist()):
        down = sum(_is_down(clip, foot, (low + high) / 2) for foot in FEET)
        if pieces and pieces[-1][2] == down:
            pieces[-1] = (pieces[-1][0], high, down)
        else:
            pieces.append((low, high, down))
    return pieces


def _is_down(clip: Clip, foot: str, moment: float) -> bool:
    return bool(((clip.on_s[foot] <= moment) & (clip.off_s[foot] > moment)).any())
