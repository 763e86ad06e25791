"""A clip: which foot was down from when to when, and how finely its times are known."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError

__all__ = ["FEET", "PAIRS", "SIDES", "Clip", "make_clip", "written_step_s"]

FEET = ("LH", "LF", "RH", "RF")
"""The four feet, in the order in which a walking horse sets them down."""

PAIRS = {"hind": ("LH", "RH"), "fore": ("LF", "RF")}
SIDES = {"left": ("LH", "LF"), "right": ("RH", "RF")}

# Times typed in seconds: what was written shows no finer step than this.
_FINEST_DECIMALS = 4
# Films of these rates are common; times of one lie on its frames.
_COMMON_RATES_HZ = (24, 25, 30, 48, 50, 60, 90, 100, 120, 200, 240, 250, 480, 500, 960, 1000)

# That all times lie on the frames of a film is no chance where it is rarer than this.
_BY_CHANCE = 0.001
# Times of a film of many hours are no finer than this as floats, and no person writes so.
_ROUNDING_S = 1e-9

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Clip:
    """The contacts of the feet that were seen, in seconds, each foot's in order of time.

    ``on_s`` and ``off_s`` have one array for each foot, of equal lengths, empty where the foot was
    not seen; ``off_s`` is nan where it was not noted. ``step_s`` is the time between two frames.
    """

    on_s: Mapping[str, Floats]
    off_s: Mapping[str, Floats]
    step_s: float

    @property
    def seen(self) -> tuple[str, ...]:
        """The feet with any contact."""
        return tuple(foot for foot in FEET if len(self.on_s[foot]))

    def stances_s(self, foot: str) -> Floats:
        """Return how long each contact of a foot lasted, nan where that is not known."""
        return self.off_s[foot] - self.on_s[foot]

    def of_pair(self, pair: str) -> Iterator[tuple[float, str]]:
        """Return the contacts of both feet of a pair, by time: when, and which foot."""
        found = [(float(on), foot) for foot in PAIRS[pair] for on in self.on_s[foot]]
        return iter(sorted(found))


def make_clip(contacts: Mapping[str, object], step_s: float) -> Clip:
    """Return a clip of contacts: for each foot pairs of on and off, in seconds.

    Parameters
    ----------
    contacts : mapping
        ``{"LH": [(on, off), ...], ...}``; ``off`` may be nan, and a foot may be missing.
    step_s : float
        Seconds between two frames of the film.

    Raises
    ------
    OutOfRangeError
        For a foot of another name, a step that is not above zero, a time that is not finite, a
        contact that ends before it begins, or two of one foot that overlap.

    Examples
    --------
    >>> make_clip({"LH": [(0.0, 0.1), (0.5, 0.6)]}, 1 / 240).stances_s("LH").round(3).tolist()
    [0.1, 0.1]
    """
    unknown = sorted(set(contacts) - set(FEET))
    if unknown:
        raise OutOfRangeError(f"{unknown[0]} is no foot; feet are {', '.join(FEET)}")
    if not (np.isfinite(step_s) and step_s > 0):
        raise OutOfRangeError("the time between two frames must be above zero, in seconds")
    on_s, off_s = {}, {}
    for foot in FEET:
        pairs = np.array(contacts.get(foot, ()), dtype=np.float64).reshape(-1, 2)
        pairs = pairs[np.argsort(pairs[:, 0], kind="stable")]
        on_s[foot], off_s[foot] = _checked(foot, pairs)
    return Clip(on_s, off_s, float(step_s))


def _checked(foot: str, pairs: Floats) -> tuple[Floats, Floats]:
    on, off = pairs[:, 0], pairs[:, 1]
    if not np.isfinite(on).all() or np.isinf(off).any():
        raise OutOfRangeError(f"{foot}: a foot lands at a time, in seconds")
    if (off <= on).any():
        raise OutOfRangeError(f"{foot}: a contact ends after it began")
    # Nothing is known to overlap with a contact whose end was not noted.
    end = np.where(np.isnan(off), on, off)
    if (on[1:] < end[:-1]).any() or (on[1:] == on[:-1]).any():
        raise OutOfRangeError(f"{foot}: two contacts overlap")
    return on, off


def written_step_s(times_s: npt.ArrayLike) -> float:
    """Return how finely times that were written in seconds are known, in seconds.

    That is the last place that was written, or the step of a common film on whose frames all the
    times lie, whichever is coarser: times read off a film of 60 frames a second are good to a
    sixtieth, with however many places they were written.

    Raises
    ------
    OutOfRangeError
        If there is no time, or one is not finite.

    Examples
    --------
    >>> written_step_s([0.1, 0.24, 0.55])
    0.01
    >>> round(1 / written_step_s([0.0333, 0.1, 0.2667, 0.4333]))
    30
    """
    times = np.unique(np.asarray(times_s, dtype=np.float64))
    if not len(times) or not np.isfinite(times).all():
        raise OutOfRangeError("times must be finite, in seconds, and one at least")
    place = next(
        10.0**-decimals
        for decimals in range(_FINEST_DECIMALS + 1)
        if decimals == _FINEST_DECIMALS
        or np.abs(times - times.round(decimals)).max() <= _ROUNDING_S
    )
    for rate in _COMMON_RATES_HZ:
        off_frame = np.abs(times * rate - np.round(times * rate)) / rate
        # Half a place, and its rounding.
        near = 0.51 * place
        # With coarse writing, or few times, any film would seem to fit.
        if (off_frame <= near).all() and (2 * near * rate) ** (len(times) - 1) < _BY_CHANCE:
            return 1 / rate
    return place
