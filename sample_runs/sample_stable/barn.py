"""The stable itself: its settings, its two tracks, its owners and who owns what."""

from dataclasses import dataclass

__all__ = ["BARN_TOML", "MILE", "OWNERS", "SHARES", "TRACKS", "TRAINING", "Track"]

BARN_TOML = """\
[barn]
name = "Sedge Ladder Stable"
trainer = "Ottilie Marlpit"
units = "imperial"
clock = "fifths"
paper = "letter"
language = "en"

[care]
fast_speed = "14 m/s"
fast_limit_30d = "6 km"
days_between_works = 5
days_work_to_race = 4
no_work_states = ["sloppy", "muddy", "heavy", "frozen"]
"""


@dataclass(frozen=True)
class Track:
    """A left-handed oval; lengths in feet on the line where a lap is measured."""

    id: str
    name: str
    surface: str
    lap: str
    poles: str
    lap_ft: int
    straight_ft: int
    finish_to_turn_ft: int
    width_ft: int
    latitude: str
    longitude: str
    bearing: str

    def is_turn(self, to_finish_ft: float) -> bool:
        """Tell whether a point so far before the finish lies on a turn."""
        back = to_finish_ft % self.lap_ft
        run_in = self.straight_ft - self.finish_to_turn_ft
        turn = self.lap_ft / 2 - self.straight_ft
        return run_in < back < run_in + turn or (
            run_in + turn + self.straight_ft < back < self.lap_ft - self.finish_to_turn_ft
        )


# The classic mile: two straights and two turns of a quarter mile each.
MILE = Track(
    id="thimble-marsh",
    name="Thimble Marsh Park",
    surface="dirt",
    lap="1 mi",
    poles="1/16 mi",
    lap_ft=5280,
    straight_ft=1320,
    finish_to_turn_ft=285,
    width_ft=80,
    latitude="38.90120",
    longitude="-88.40170",
    bearing="72",
)
TRAINING = Track(
    id="rushlight-lane",
    name="Rushlight Lane training track",
    surface="synthetic",
    lap="6 f",
    poles="1/8 mi",
    lap_ft=3960,
    straight_ft=900,
    finish_to_turn_ft=200,
    width_ft=50,
    latitude="38.90870",
    longitude="-88.41540",
    bearing="15",
)
TRACKS = (MILE, TRAINING)

OWNERS = (
    ("barrowmead", "Juna Barrowmead", "juna@barrowmead.example"),
    ("osterwick", "Pell Osterwick", "pell@osterwick.example"),
    ("tallowhurst", "Corvin Tallowhurst", "corvin@tallowhurst.example"),
    ("dunwattle", "Mireille Dunwattle", "mireille@dunwattle.example"),
    ("oakshovel", "Hesper Oakshovel", ""),
    ("biscuit-three", "Third Biscuit Partnership", "desk@thirdbiscuit.example"),
)

# horse, owner, percent, since, until
SHARES = (
    ("larder-drizzle", "barrowmead", "60", "2025-05-05", ""),
    ("larder-drizzle", "osterwick", "40", "2025-05-05", ""),
    ("mallet-puddle", "barrowmead", "100", "", ""),
    ("colander-fog", "barrowmead", "100", "2025-10-20", ""),
    ("spokeshave-sleet", "tallowhurst", "100", "", ""),
    ("whisk-and-bittern", "biscuit-three", "100", "", ""),
    ("trowel-meringue", "dunwattle", "100", "2026-09-15", ""),
    ("hoarfrost-ladle", "osterwick", "50", "", "2026-08-17"),
    ("hoarfrost-ladle", "oakshovel", "50", "", "2026-08-17"),
    ("sump-and-thistle", "tallowhurst", "100", "2025-06-16", "2026-05-31"),
    ("sump-and-thistle", "oakshovel", "100", "2026-06-01", ""),
    ("gimlet-marshlight", "osterwick", "40", "2025-09-01", ""),
    ("gimlet-marshlight", "tallowhurst", "30", "2025-09-01", ""),
    ("gimlet-marshlight", "dunwattle", "20", "2025-09-01", ""),
    ("gimlet-marshlight", "biscuit-three", "10", "2025-09-01", ""),
    ("teaspoon-squall", "biscuit-three", "75", "", ""),
    ("teaspoon-squall", "dunwattle", "25", "", ""),
)
