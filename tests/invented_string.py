"""An invented string whose true effects are known: what tests and benchmarks of a line share."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from racecalc import own_line
from racecalc.units import FURLONG_M

MANNERS = {"driving": -0.02, "handily": 0.0, "breezing": 0.02}
EFFORTS = {"easy": 0.03, "steady": 0.015, "threshold": 0.0, "sharp": -0.015, "full": -0.02}
# A wet track is slower at one and quicker at the other.
STATES = {"clay": {"fast": 0.0, "muddy": 0.025}, "sand": {"fast": 0.0, "muddy": -0.02}}
GATE = 0.006
FURLONGS = (3, 4, 5, 6)
LAST = pd.Timestamp("2026-06-30")
NOISE = 0.008


@dataclass
class String:
    """Horses with their own speed, on tracks with theirs; all drawn from one seed."""

    seed: int
    horses: int = 10

    def __post_init__(self) -> None:
        self.chance = np.random.default_rng(self.seed)
        self.speed = self.chance.normal(0, 0.012, self.horses)
        self.place = {
            (track, furlongs): self.chance.normal(0, 0.01)
            for track in STATES
            for furlongs in FURLONGS
        }

    def works(
        self, count: int, *, last_day: bool = False, horse: int | None = None, mistimed: float = 0.0
    ) -> pd.DataFrame:
        """Draw works of the year before `LAST`, or of that day, with their true ``middle_s``."""
        pick = self.chance.choice
        table = pd.DataFrame(
            {
                "horse": pick(self.horses, count) if horse is None else np.full(count, horse),
                "date": LAST - pd.to_timedelta(self.chance.integers(1, 360, count), "D"),
                "track": pick(["clay", "sand"], count, p=[0.7, 0.3]),
                "furlongs": pick(FURLONGS, count, p=[0.2, 0.4, 0.3, 0.1]),
                "state": pick(["fast", "muddy"], count, p=[0.75, 0.25]),
                "manner": pick(list(MANNERS), count, p=[0.1, 0.4, 0.5]),
                "effort": pick(list(EFFORTS), count),
                "from_gate": self.chance.random(count) < 0.15,
            }
        )
        if last_day:
            table["date"] = LAST
        table["work"] = [f"w{self.chance.integers(10**12)}" for _ in range(count)]
        table["distance_m"] = table["furlongs"] * FURLONG_M
        table["middle_s"] = table["furlongs"] * 12.4 * np.exp(self._effects(table))
        errors = self.chance.normal(0, NOISE, count)
        table["time_s"] = table["middle_s"] * np.exp(errors)
        table["mistimed"] = self.chance.random(count) < mistimed
        by_s = pick([-1.0, 1.0, 5.0], count)
        table["time_s"] += table["mistimed"] * by_s
        return table

    def _effects(self, table: pd.DataFrame) -> np.ndarray:
        rows = table.itertuples()
        return np.array(
            [
                self.speed[row.horse]
                + self.place[row.track, row.furlongs]
                + STATES[row.track][row.state]
                + MANNERS[row.manner]
                + EFFORTS[row.effort]
                + GATE * row.from_gate
                for row in rows
            ]
        )


def foretold(string: String, count: int, *, asked: int = 25, mistimed: float = 0.0) -> pd.DataFrame:
    """Draw a year, then a day of works of one horse, and foretell these; keep the truth beside."""
    year = string.works(count, mistimed=mistimed)
    day = string.works(asked, last_day=True, horse=0, mistimed=mistimed)
    both = pd.concat([year, day], ignore_index=True)
    own = both[both["horse"] == 0]
    told = own_line.expectations(own, year[year["horse"] != 0], 0.0, day["work"].tolist())
    return told.assign(middle_s=day["middle_s"].to_numpy())
