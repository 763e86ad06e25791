"""Forecasts as the United States National Weather Service gives them, added up for local days.

The format is that of ``https://api.weather.gov/gridpoints/OFFICE/X,Y``: a GeoJSON feature whose
``properties`` hold the ``updateTime`` and layers of values, each with its unit (``uom``) and the
interval that it is for (``validTime``, ISO 8601). It is open and in the public domain, described by
the service's OpenAPI document and its questions and answers on grid points
(https://weather-gov.github.io/api/gridpoints). Files are read only; nothing here uses a network.
"""

import json
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, NoReturn

import numpy as np
import pandas as pd

from racecalc.daybook.beside import UnfitError, bytes_of
from racecalc.daybook.gridpoint_days import (
    AIR,
    AMOUNT,
    CHANCE,
    DAY_S,
    HIGH,
    HUMIDITY,
    LOW,
    MOST_DAYS,
    WIND,
    Floats,
    Layer,
    daily,
)
from racecalc.daybook.problems import listed, quoted
from racecalc.units import celsius

__all__ = ["LARGEST_FILE_MB", "MOST_VALUES", "Gridpoint", "read_gridpoint", "read_interval"]

LARGEST_FILE_MB = 20
"""Larger files are refused: a forecast of eight days with all its layers is about 0.3."""
MOST_VALUES = 10_000
"""Layers of more values are refused: it is one for each hour of a year."""

_LARGEST_NUMBER = 1e6
_FIRST_YEAR, _LAST_YEAR = 1980, 2099


def _as_is(values: Floats) -> Floats:
    return values


_DEGREES: Mapping[str, Callable[[Floats], Floats]] = {"degC": _as_is, "degF": celsius}
_LAYERS: Mapping[str, Mapping[str, Callable[[Floats], Floats]]] = {
    CHANCE: {"percent": _as_is},
    AMOUNT: {"mm": _as_is},
    WIND: {"km_h-1": lambda values: values / 3.6, "m_s-1": _as_is},
    HUMIDITY: {"percent": _as_is},
    AIR: _DEGREES,
    LOW: _DEGREES,
    HIGH: _DEGREES,
}
"""The layers that are used, and how a value of each unit that they may have becomes ours."""

_TIME = r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d{1,6})?(?:Z|[+-]\d\d(?::?\d\d)?)"
_LENGTH = r"P(?:(\d{1,3})D)?(?:T(?:(\d{1,4})H)?(?:(\d{1,5})M)?(?:(\d{1,7})S)?)?"
_INTERVAL = re.compile(rf"({_TIME})/(?:{_LENGTH}|({_TIME}))", re.ASCII)
_MOMENT = re.compile(_TIME, re.ASCII)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Gridpoint:
    """What a file gave.

    Attributes
    ----------
    rows : DataFrame
        A row for each local day: ``issued``, ``date``, ``rain_chance_pct``, ``rain_mm`` (if it
        rains), ``tmin_c``, ``tmax_c``, ``wind_m_s``, ``rh_min_pct``, ``rh_max_pct``; NaN where
        unknown.
    place : tuple of float or None
        Latitude and longitude of the middle of the grid square, in degrees, where the file tells.
    complaint : str or None
        Why nothing of the file can be used; there are no rows then.
    warnings : list of str
        What the file does not tell.
    """

    rows: pd.DataFrame
    place: tuple[float, float] | None = None
    complaint: str | None = None
    warnings: list[str] = field(default_factory=list)


def read_gridpoint(path: Path, hours_east: int) -> Gridpoint:
    """Read a forecast file and add it up for local days.

    Parameters
    ----------
    path : Path
        The file; it is only read.
    hours_east : int
        How far the local day is ahead of that of UTC. From a longitude it is a fifteenth of the
        degrees, rounded: within an hour or two of the clock on the wall.

    Returns
    -------
    Gridpoint
        Never raises for what the file holds. Days before the one of ``updateTime``, and days of
        which the layers of rain cover less than 18 hours, are left out; so is, within a day, what
        another layer covers less of.

    Notes
    -----
    The chance of a day is the highest of its pieces: the chance of rain in any of them is at least
    that, and how they hang together is not told. ``quantitativePrecipitation`` is an amount of
    water expected with or without rain, melted snow included, so that the amount if it rains is
    the amount of the day divided by its chance: as that chance is a lower bound, this is an upper
    one. It is at least 0.01 in (0.254 mm), for only that much counts as rain; where the chance is
    zero or unknown it is blank. A piece that crosses midnight gives each day its share by time.
    Lows and highs are of the layers made for them, each on the day that holds the time when three
    quarters of its interval are past; without them, the extremes of ``temperature``. Wind is the
    mean over time of ``windSpeed``, which the service calls the maximum prevailing speed.

    That the amount is unconditional, and is divided by the chance for one that is conditional upon
    rain, is from the National Weather Service's page on probabilistic forecasts of precipitation
    (https://www.weather.gov/tsa/pqpf_explaination), as is the threshold of 0.01 in.
    """
    try:
        whole = _parsed(_data(path))
        properties = _properties(whole)
        issued = _issued(properties) + 3600.0 * hours_east
        warnings: list[str] = []
        layers = _layers(properties, 3600.0 * hours_east, warnings)
        rows = daily(layers, int(issued // DAY_S))
        if rows.empty:
            raise UnfitError("covers the rain of no whole day from its issue on; save a newer one")
        return Gridpoint(rows, _place(whole), None, warnings)
    except RecursionError:
        complaint = "is nested deeper than any forecast; save it again"
    except UnfitError as error:
        complaint = str(error)
    return Gridpoint(pd.DataFrame(), None, complaint)


def read_interval(text: str) -> tuple[float, float] | None:
    """Read an ISO 8601 interval of a start and a duration, or of a start and an end.

    Returns
    -------
    tuple of float or None
        Start and end in seconds since the first day of 1970 in UTC. None where the text is none,
        where years or months (which have no length) are counted, and where the end does not follow
        the start within 31 days.

    Examples
    --------
    >>> read_interval("1970-01-02T00:00:00+00:00/P1DT6H")
    (86400.0, 194400.0)
    """
    match = _INTERVAL.fullmatch(text)
    if match is None:
        return None
    first, *length, last = match.groups()
    begins = _seconds(first)
    if last is None:
        days, hours, minutes, seconds = (int(part or 0) for part in length)
        lasts = timedelta(days=days, hours=hours, minutes=minutes, seconds=seconds)
        ends = begins + lasts.total_seconds()
    else:
        ends = _seconds(last)
    return (begins, ends) if 0 < ends - begins <= MOST_DAYS * DAY_S else None


def _seconds(text: str) -> float:
    """Return a time in seconds since 1970; NaN for one that no calendar has."""
    try:
        return (datetime.fromisoformat(text) - _EPOCH).total_seconds()
    except ValueError:
        return math.nan


def _data(path: Path) -> str:
    data = bytes_of(path, LARGEST_FILE_MB, "save the forecast alone", "save it again")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise UnfitError("is not UTF-8 text; save it again") from error


def _parsed(text: str) -> object:
    try:
        # Whole numbers become floats too: one of thousands of digits is then infinite.
        return json.loads(
            text, parse_int=float, parse_constant=_no_number, object_pairs_hook=_object
        )
    except json.JSONDecodeError as error:
        where = f"{error.msg}: line {error.lineno}, column {error.colno}"
        raise UnfitError(f"is not JSON ({where}); save it again") from error


def _no_number(word: str) -> NoReturn:
    raise UnfitError(f"holds {word}, which is no number of JSON; save it again")


def _object(pairs: list[tuple[str, object]]) -> dict[str, object]:
    """Refuse an object that names something twice, of which JSON does not say which counts."""
    made: dict[str, object] = {}
    for name, value in pairs:
        if name in made:
            raise UnfitError(f"names {quoted(name)} twice in one place; save it again")
        made[name] = value
    return made


def _properties(whole: object) -> dict[str, Any]:
    """Return the properties of the feature; say what else the service may have answered."""
    if isinstance(whole, dict):
        properties = whole.get("properties")
        if isinstance(properties, dict):
            if "periods" in properties:
                raise UnfitError(
                    "is the forecast in words; leave /forecast or /forecast/hourly off the address"
                )
            return properties
        if isinstance(whole.get("title"), str):
            raise UnfitError(
                f"holds no forecast but the answer {quoted(whole['title'])}; check the address, "
                "and save it again"
            )
    raise UnfitError(
        "is no forecast of api.weather.gov/gridpoints (an object with properties); save it again"
    )


def _issued(properties: dict[str, Any]) -> float:
    found = properties.get("updateTime")
    at = _seconds(found) if isinstance(found, str) and _MOMENT.fullmatch(found) else math.nan
    if math.isnan(at) or not _FIRST_YEAR <= int(str(found)[:4]) <= _LAST_YEAR:
        raise UnfitError(
            f"updateTime is {_kind(found)}, no time of {_FIRST_YEAR} to {_LAST_YEAR} such as "
            "2026-10-30T11:05:00+00:00; save the file again"
        )
    return at


def _kind(value: object) -> str:
    """Say what stands in the place of something else, without writing it all out."""
    if isinstance(value, dict | list):
        return "a list" if isinstance(value, list) else "an object"
    if value is None or isinstance(value, bool):
        return {None: "blank", True: "true", False: "false"}[value]
    return quoted(value)


def _place(whole: object) -> tuple[float, float] | None:
    """Return the middle of the square that the forecast is for; None where it is not told."""
    try:
        ring = whole["geometry"]["coordinates"][0]  # type: ignore[index]
        places = [(float(latitude), float(longitude)) for longitude, latitude in ring]
        north, east = (sum(parts) / len(places) for parts in zip(*places, strict=True))
    except (KeyError, IndexError, TypeError, ValueError):
        return None
    return (north, east) if abs(north) <= 90 and abs(east) <= 180 else None


def _layers(properties: dict[str, Any], east_s: float, warnings: list[str]) -> dict[str, Layer]:
    """Read the layers that are used; one that is not there is as one without values."""
    layers, nulls = {}, []
    for name in _LAYERS:
        layers[name], unknown = _layer(name, properties.get(name), east_s)
        if unknown:
            nulls.append(f"{unknown:,} of {name}")
    there = {name for name, layer in layers.items() if len(layer.values)}
    wanted = [CHANCE, AMOUNT, WIND, HUMIDITY]
    if not {LOW, HIGH} <= there:
        wanted.append(AIR)
    missing = [name for name in wanted if name not in there]
    if missing:
        warnings.append(f"holds no {listed(missing)}, so that what these tell is unknown")
    if nulls:
        warnings.append(f"values that are null: {listed(nulls)}; what they were for is unknown")
    return layers


def _layer(name: str, layer: object, east_s: float) -> tuple[Layer, int]:
    """Read one layer; the second value counts those that are null."""
    pieces = _pieces(name, layer)
    spans = [(interval[0], interval[1], value) for interval, value in pieces if value is not None]
    table = np.array(sorted(spans), dtype=np.float64).reshape(-1, 3)
    begins, ends, values = table.T
    # Lows and highs are of nights and days, and a service may let these overlap.
    if name not in (LOW, HIGH) and (begins[1:] < ends[:-1]).any():
        raise UnfitError(f"{name}: intervals overlap; save the file again")
    if len(values):
        values = _converted(name, layer, values)
    return Layer(begins + east_s, ends + east_s, values), len(pieces) - len(spans)


def _pieces(name: str, layer: object) -> list[tuple[tuple[float, float], float | None]]:
    if layer is None:
        return []
    values = layer.get("values") if isinstance(layer, dict) else None
    if not isinstance(values, list):
        raise UnfitError(f"{name}: holds no list of values; save the file again")
    if len(values) > MOST_VALUES:
        raise UnfitError(f"{name}: holds more than {MOST_VALUES:,} values; save the file again")
    return [_piece(f"{name}: value {number}", item) for number, item in enumerate(values, start=1)]


def _piece(where: str, item: object) -> tuple[tuple[float, float], float | None]:
    if not isinstance(item, dict) or not {"validTime", "value"} <= set(item):
        raise UnfitError(f"{where} has no validTime and value; save the file again")
    when, value = item["validTime"], item["value"]
    interval = read_interval(when) if isinstance(when, str) else None
    if interval is None:
        raise UnfitError(
            f"{where} is for {_kind(when)}, no interval such as 2026-10-30T06:00:00+00:00/PT6H; "
            "save the file again"
        )
    if value is not None and not (isinstance(value, float) and abs(value) <= _LARGEST_NUMBER):
        raise UnfitError(f"{where} is {_kind(value)}, no number of weather; save the file again")
    return interval, value


def _converted(name: str, layer: object, values: Floats) -> Floats:
    """Return the values of a layer in our unit."""
    unit = layer.get("uom") if isinstance(layer, dict) else None
    known = _LAYERS[name]
    # The namespace before the colon has changed over the years, and says nothing more.
    convert = known.get(unit.rpartition(":")[2]) if isinstance(unit, str) else None
    if convert is None:
        allowed = " or ".join(f"wmoUnit:{word}" for word in known)
        found = f"the unit (uom) is {_kind(unit)}, and must be {allowed}"
        raise UnfitError(f"{name}: {found}; save the file again")
    return convert(values)
