"""Works for tests: of whole furlongs, clocked at some of their poles and past the finish."""

from typing import Any

import numpy as np
from hypothesis import strategies as st

from racecalc.units import FURLONG_M


@st.composite
def clocked_works(draw: st.DrawFn, every_pole: bool = False) -> dict[str, Any]:
    """The arguments of `racecalc.pace.sections`, its time in fifths and the finish clocked."""
    furlongs = draw(st.integers(1, 10))
    past = draw(st.integers(0, 3))
    poles = list(range(furlongs - 1, -past - 1, -1))
    kept = [pole for pole in poles if every_pole or draw(st.booleans())]
    steps = draw(st.lists(st.integers(50, 90), min_size=len(poles), max_size=len(poles)))
    clock = dict(zip(poles, np.cumsum(steps) / 5, strict=True))
    return {
        "distance_m": furlongs * FURLONG_M,
        "time_s": float(clock[0]),
        "to_finish_m": np.array([pole * FURLONG_M for pole in kept]),
        "clock_s": np.array([clock[pole] for pole in kept]),
    }
