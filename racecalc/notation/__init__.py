"""The trade's written heights, distances, clocks, weights and speeds, in and out.

Readers turn one text into an exact `fractions.Fraction` in SI units and refuse, in plain words,
what is wrong or can be read in two ways. Writers give one canonical ASCII form that reads back
exactly. `read_column` reads a whole column.
"""

from racecalc.notation.clock import Clock, read_clock, write_clock
from racecalc.notation.columns import KINDS, ColumnResult, read_column
from racecalc.notation.conversion import conversions
from racecalc.notation.decimals import write_length, write_mass, write_speed, write_temperature
from racecalc.notation.distance import (
    DistanceStyle,
    read_distance,
    read_pole,
    write_distance,
    write_pole,
)
from racecalc.notation.height import read_height, write_height
from racecalc.notation.measures import (
    read_length,
    read_mass,
    read_rain,
    read_speed,
    read_temperature,
    read_wind,
)
from racecalc.notation.typography import typeset

__all__ = [
    "KINDS",
    "Clock",
    "ColumnResult",
    "DistanceStyle",
    "conversions",
    "read_clock",
    "read_column",
    "read_distance",
    "read_height",
    "read_length",
    "read_mass",
    "read_pole",
    "read_rain",
    "read_speed",
    "read_temperature",
    "read_wind",
    "typeset",
    "write_clock",
    "write_distance",
    "write_height",
    "write_length",
    "write_mass",
    "write_pole",
    "write_speed",
    "write_temperature",
]
