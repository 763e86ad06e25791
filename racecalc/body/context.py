"""Published swings of a horse's weight and height that are no change of the horse itself."""

from types import MappingProxyType

__all__ = ["SWINGS"]

SWINGS = MappingProxyType(
    {
        # A racing Thoroughbred's mean loss in one race, in kg.
        "race_loss": (3.5, "chuckwagon_2002"),
        # Lowest and highest mean swing over a year, fillies and entire males, in kg.
        "season_low": (6.0, "japan_race_weights_2017"),
        "season_high": (8.0, "japan_race_weights_2017"),
        # Rise of the withers by a trot, gone within seven minutes, in metres.
        "trot_rise": (0.0175, "hodges_1986"),
        # Fall of the withers in twenty minutes of standing, in metres.
        "standing_fall": (0.0048, "curtis_2010"),
    }
)
"""Each swing with the key of its source: kilograms or metres."""
