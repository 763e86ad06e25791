"""A file of positions laid on the track: pole times, speed and path, with their errors."""

from racecalc.gps.anchor import Anchor, to_track
from racecalc.gps.fixes import Finding
from racecalc.gps.trace import Trace, follow

__all__ = ["Anchor", "Finding", "Trace", "follow", "to_track"]
