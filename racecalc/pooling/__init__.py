"""Partial pooling: what to expect of a reading that carries several labels."""

from racecalc.pooling.learned import Foretold, Pool, difference, foretell, middle, pool
from racecalc.pooling.sums import Covariance, Labels, numbered

__all__ = [
    "Covariance",
    "Foretold",
    "Labels",
    "Pool",
    "difference",
    "foretell",
    "middle",
    "numbered",
    "pool",
]
