"""The words for a track in the order in which it dries, and which of them stand for no work."""

from collections.abc import Iterable

from racecalc.errors import OutOfRangeError

__all__ = ["DRYING_ORDER", "OUTSIDE_ORDER", "workable"]

# After rain a dirt track is sloppy, then muddy, then good or wet fast (newspapers of race days).
# Where heavy and slow belong is our own choice, as lists of the trade contradict each other. The
# order is one of water, not of time: muddy is often slower than sloppy.
DRYING_ORDER: dict[str, tuple[str, ...]] = {
    "dirt": ("fast", "wet fast", "good", "slow", "heavy", "muddy", "sloppy"),
    "turf": ("firm", "good", "yielding", "soft", "heavy"),
    "synthetic": ("fast", "good", "slow", "wet"),
}
"""The words of each surface, from dry to wet."""

OUTSIDE_ORDER = ("frozen",)
"""Words that water does not order."""


def workable(surface: str, no_work_states: Iterable[str]) -> tuple[bool, ...]:
    """Return of each word of a surface, from dry to wet, whether the barn works on it.

    Raises
    ------
    OutOfRangeError
        If the surface is not known.

    Examples
    --------
    >>> workable("turf", ["soft", "heavy"])
    (True, True, True, False, False)
    """
    if surface not in DRYING_ORDER:
        raise OutOfRangeError(
            f"surface {surface!r}: not known; there are {', '.join(DRYING_ORDER)}"
        )
    refused = set(no_work_states)
    return tuple(word not in refused for word in DRYING_ORDER[surface])
