"""Where the names of symmetrical gaits part: by the lag of the fore feet and the duty factor."""

from dataclasses import dataclass

import numpy as np

__all__ = [
    "DIAGONAL",
    "LAG_EDGES",
    "RUN_BELOW",
    "WALK_FROM",
    "Place",
    "by_the_shorter_way",
    "symmetrical_name",
]

# Each region of the fore lag is named by where it begins; what is past the last is the first again.
LAG_EDGES = (0.0625, 0.1875, 0.3125, 0.4375, 0.5625, 0.9375)
"""Where the regions of the fore lag part (hildebrand_regions, remembered and not read).

Each is an eighth of a stride wide, about trot and pace too, but the last, which no horse uses.
"""

RUN_BELOW = 0.50
"""A foot that is down for less than this share of a stride belongs to a run (schmitt_2006)."""

WALK_FROM = 0.60
"""From this share on a four-beat gait is called a walk, not a running walk (our choice).

Walks that animals of a horse's mass prefer have 0.70 (walking_mammals_2016).
"""

DIAGONAL = "diagonal sequence"
"""What no horse usually does: each fore foot lands long after the hind foot of its side."""

# By the region of the lag: a run, a gait just above it, a walk.
_REGIONS = (
    ("pace", "walking pace", "walking pace"),
    ("stepping pace", "stepping pace", "walk"),
    ("single-foot", "running walk", "walk"),
    ("fox trot", "fox trot", "walk"),
    ("trot", "walking trot", "walking trot"),
    (DIAGONAL, DIAGONAL, DIAGONAL),
)


def symmetrical_name(lag: float, duty: float) -> str:
    """Return the name of a symmetrical gait from its fore lag and duty factor, shares of a stride.

    Examples
    --------
    >>> symmetrical_name(0.25, 0.65), symmetrical_name(0.5, 0.4), symmetrical_name(0.99, 0.4)
    ('walk', 'trot', 'pace')
    """
    region = int(np.searchsorted(LAG_EDGES, lag % 1, side="right")) % len(LAG_EDGES)
    return _REGIONS[region][int(duty >= RUN_BELOW) + int(duty >= WALK_FROM)]


def by_the_shorter_way(share: float) -> float:
    """Return a share of a stride by the shorter way round."""
    return (share + 0.5) % 1 - 0.5


@dataclass(frozen=True)
class Place:
    """A fore lag and a duty factor, each with how far off it may be, all shares of a stride."""

    lag: float
    lag_error: float
    duty: float
    duty_error: float

    def names(self) -> set[str]:
        """Return every name that is possible."""
        # The region at the lower end, and each that begins between the ends.
        lags = [self.lag - self.lag_error]
        lags += [
            edge for edge in LAG_EDGES if abs(by_the_shorter_way(edge - self.lag)) <= self.lag_error
        ]
        duties = [self.duty - self.duty_error]
        duties += [e for e in (RUN_BELOW, WALK_FROM) if abs(e - self.duty) <= self.duty_error]
        return {symmetrical_name(lag, duty) for lag in lags for duty in duties}
