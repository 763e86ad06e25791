"""The oval: its geometry, the poles that stand along it, and the ground that a work covers."""

from racecalc.track.course import PARTS, along, place, positions
from racecalc.track.ground import (
    STANDARD_GRAVITY_M_S2,
    Passing,
    Run,
    bend_rad,
    between_m,
    extra_m,
    neutral_bank,
    run,
    turns,
)
from racecalc.track.oval import RAIL_OFFSET_M, Chute, Oval, chute, lap_at_m, oval
from racecalc.track.poles import Pole, pole_at, pole_colour, poles

__all__ = [
    "PARTS",
    "RAIL_OFFSET_M",
    "STANDARD_GRAVITY_M_S2",
    "Chute",
    "Oval",
    "Passing",
    "Pole",
    "Run",
    "along",
    "bend_rad",
    "between_m",
    "chute",
    "extra_m",
    "lap_at_m",
    "neutral_bank",
    "oval",
    "place",
    "pole_at",
    "pole_colour",
    "poles",
    "positions",
    "run",
    "turns",
]
