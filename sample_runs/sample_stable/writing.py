"""How this stable writes its values: hands, poles, furlongs, a watch in fifths.

Written here by hand, not with racecalc's own writers, so that reading the sample is a real test.
"""

from fractions import Fraction

__all__ = [
    "METRES_PER_FURLONG",
    "clock_text",
    "depth_text",
    "distance_text",
    "fahrenheit_text",
    "hands_text",
    "inches_text",
    "miles_per_hour_text",
    "minutes_text",
    "pole_text",
    "pounds_text",
    "rain_text",
]

METRES_PER_FURLONG = 201.168  # 660 ft of 0.3048 m

_METRES_PER_SECOND_PER_MPH = 0.44704


def _mixed(value: Fraction) -> str:
    """Return ``1``, ``1/4`` or ``1 1/4``."""
    whole, rest = divmod(value, 1)
    parts = [str(whole)] if whole or not rest else []
    return " ".join(parts + ([str(rest)] if rest else []))


def distance_text(furlongs: Fraction | int) -> str:
    """Return ``5 1/2 f`` under a mile, ``1 1/4 mi`` from a mile on."""
    value = Fraction(furlongs)
    return f"{_mixed(value)} f" if value < 8 else f"{_mixed(value / 8)} mi"


def pole_text(furlongs_left: int) -> str:
    """Return the pole that stands so many furlongs before the finish, ``+1/8`` for past it."""
    if furlongs_left == 0:
        return "finish"
    return ("+" if furlongs_left < 0 else "") + str(Fraction(abs(furlongs_left), 8))


def clock_text(fifths: int) -> str:
    """Return the reading of a watch that counts fifths: ``1:13 2/5``, ``48 1/5``, ``:49``."""
    seconds, rest = divmod(fifths, 5)
    minutes, seconds = divmod(seconds, 60)
    tail = f" {rest}/5" if rest else ""
    if minutes:
        return f"{minutes}:{seconds:02d}{tail}"
    return f"{seconds}{tail}" if rest else f":{seconds:02d}"


def minutes_text(seconds: float) -> str:
    """Return a time to the second, as ``6:24``."""
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02d}"


def hands_text(inches: float) -> str:
    """Return a height to the nearest quarter inch, as ``16.1 1/4``."""
    quarters = round(inches * 4)
    hands, rest = divmod(quarters, 16)
    inch, quarter = divmod(rest, 4)
    return f"{hands}.{inch}" + (f" {Fraction(quarter, 4)}" if quarter else "")


def inches_text(inches: float, parts: int = 4) -> str:
    """Return a length to the nearest part of an inch, as ``71 1/2 in``."""
    return f"{_mixed(Fraction(round(inches * parts), parts))} in"


def depth_text(inches: float) -> str:
    """Return the depth of a cushion to the nearest quarter inch."""
    return inches_text(inches)


def rain_text(rain_mm: float) -> str:
    """Return rain in hundredths of an inch, ``trace`` under one, ``0`` for none."""
    if rain_mm == 0:
        return "0"
    inches = rain_mm / 25.4
    return f"{inches:.2f} in" if inches >= 0.01 else "trace"


def pounds_text(pounds: float) -> str:
    """Return a weight to the pound."""
    return f"{round(pounds)} lb"


def fahrenheit_text(temperature_c: float, decimals: int = 0) -> str:
    """Return a temperature in degrees Fahrenheit."""
    return f"{temperature_c * 9 / 5 + 32:.{decimals}f} F"


def miles_per_hour_text(speed_m_s: float) -> str:
    """Return a speed in miles per hour, to a tenth."""
    return f"{speed_m_s / _METRES_PER_SECOND_PER_MPH:.1f} mph"
