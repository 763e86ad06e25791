"""A file of positions, laid on the track: pole times, speed, path, and how sure they are."""

from racecalc.gps.anchor import Anchor, to_track

__all__ = ["Anchor", "to_track"]
