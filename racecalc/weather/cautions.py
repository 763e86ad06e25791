"""Limits of heat, cold, air and lightning that bodies of the sport have published.

They differ, were made for racing or for other horses, and most leave the decision to the people on
the spot. A page prints them with the body's name, and none stands for the track's own rules.
"""

from dataclasses import dataclass

__all__ = [
    "CAUTIONS",
    "COLD_FAST_C",
    "HOT_AIR_C",
    "HOT_SUM",
    "HOT_WBGT_C",
    "WARM_SUM",
    "WARM_WBGT_C",
    "Caution",
]

WARM_WBGT_C = 28.0
"""From here on Racing Victoria asks for measures against heat (moderate)."""

HOT_WBGT_C = 32.0
"""From here on Racing Victoria asks to consider a delay (high)."""

WARM_SUM = 130.0
"""A sum of °F and percent from which a horse cools itself less well."""

HOT_AIR_C = 35.0
"""From here on Racing New South Wales takes the first of its measures, whatever the humidity."""

HOT_SUM = 180.0
"""A sum of °F and percent above which horses should not be worked."""

COLD_FAST_C = -7.0
"""Below about 20 °F many barns do no fast work: common practice, no source."""


@dataclass(frozen=True)
class Caution:
    """What one body has published: of what, from where on, what it asks for, the source's key."""

    subject: str
    at: str
    asks: str
    source: str


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "heat", "°F plus % humidity, 130 to 149", "cooling is reduced", "minnesota_heat_sum",
    ),
    Caution("heat", "°F plus % humidity, above 180", "no work", "aaep_heat_sum"),
    Caution(
        "heat", "WBGT 82 °F (28 °C); 90 °F (32 °C)", "measures against heat; consider a delay",
        "racing_victoria_heat",
    ),
    Caution(
        "heat", "95 °F (35 °C) or shade WBGT 79 °F (26 °C); 100 °F (38 °C) or 82 °F (28 °C)",
        "first and second level of measures", "racing_nsw_heat",
    ),
    Caution(
        "heat", "WBGT above 91 °F (33 °C)", "high risk; often cancelled or put off",
        "equestrian_australia_heat",
    ),
    Caution("heat", "WBGT 91.4 °F (33 °C)", "no racing", "maryland_heat"),
    Caution("heat", "heat index 105 °F", "vets and stewards confer", "new_york_heat_index"),
    Caution(
        "cold", "23 °F (−5 °C)",
        "air passages of healthy horses were inflamed after 15 minutes of exercise", "davis_2005",
    ),
    Caution("cold", "below −15 °F", "no racing at one harness track", "monticello_cold"),
    Caution(
        "air", "index 150 to 174; 175 and more",
        "jog only, or jog and gallop; no racing or works, a jog at most", "hisa_air",
    ),
    Caution(
        "air", "index 150 to 200; above 200",
        "racing only after one more examination of the breathing; no racing or training",
        "new_york_air",
    ),
    Caution("air", "index 151 and more", "suspend or cancel", "usef_air"),
    Caution(
        "lightning", "within 8 miles", "stop, until 30 minutes after the last stroke",
        "texas_lightning",
    ),
    Caution(
        "lightning", "30 seconds from flash to bang (6 miles)", "stop, and wait 30 minutes",
        "racing_nsw_lightning",
    ),
)  # fmt: skip
"""The published limits, by subject."""
