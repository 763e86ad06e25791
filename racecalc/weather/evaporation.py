"""Reference evapotranspiration: how much water the air of a day takes from wet ground.

By FAO Irrigation and Drainage Paper 56: Penman and Monteith's equation, and Hargreaves' where only
temperatures are known. Source: ``fao56``.
"""

import numpy as np
import numpy.typing as npt

from racecalc.errors import OutOfRangeError
from racecalc.weather import sunlight

__all__ = [
    "DAY",
    "HOUR",
    "actual_vapour_kpa",
    "hargreaves_mm",
    "penman_monteith_mm",
    "pressure_kpa",
    "psychrometric_kpa",
    "reference_et_mm",
    "saturation_kpa",
    "vapour_slope_kpa",
    "wind_at_2m",
]

Floats = npt.ArrayLike
FloatArray = npt.NDArray[np.float64]

DAY = 900.0
"""The factor of equation 6, for a day."""

HOUR = 37.0
"""The factor of equation 53, for an hour."""

_MJ_TO_MM = 0.408  # equation 20: a megajoule evaporates so many millimetres
_USUAL_WIND_M_S = 2.0  # page 63: where nothing is known of the wind
_LEAST_WIND_M_S = 0.5  # page 63: the air above ground is never still
_STATION_M = 10.0  # weather services tell the wind at this height


def _array(values: Floats) -> FloatArray:
    return np.asarray(values, dtype=np.float64)


def pressure_kpa(elevation_m: float) -> float:
    """Return the usual pressure of the air at a height above the sea (equation 7).

    References
    ----------
    fao56, equation 7; example 2.

    Examples
    --------
    >>> round(pressure_kpa(1800), 1)
    81.8
    """
    return float(101.3 * ((293 - 0.0065 * elevation_m) / 293) ** 5.26)


def psychrometric_kpa(pressure: float) -> float:
    """Return the psychrometric constant in kPa for each °C (equation 8).

    References
    ----------
    fao56, equation 8; example 2.

    Examples
    --------
    >>> round(psychrometric_kpa(81.8), 3)
    0.054
    """
    return 0.665e-3 * pressure


def saturation_kpa(temperature_c: Floats) -> FloatArray:
    """Return the vapour pressure of saturated air (equation 11).

    References
    ----------
    fao56, equation 11; example 3.

    Examples
    --------
    >>> round(float(saturation_kpa(24.5)), 3)
    3.075
    """
    celsius = _array(temperature_c)
    return 0.6108 * np.exp(17.27 * celsius / (celsius + 237.3))


def vapour_slope_kpa(temperature_c: Floats) -> FloatArray:
    """Return how steeply the vapour pressure of saturated air rises, in kPa/°C (equation 13).

    References
    ----------
    fao56, equation 13; example 17.

    Examples
    --------
    >>> round(float(vapour_slope_kpa(30.2)), 3)
    0.246
    """
    return 4098 * saturation_kpa(temperature_c) / (_array(temperature_c) + 237.3) ** 2


def actual_vapour_kpa(
    tmin_c: Floats, tmax_c: Floats, rh_min_pct: Floats, rh_max_pct: Floats
) -> FloatArray:
    """Return the vapour pressure of the air of a day (equations 17, 18 and 48).

    Where only the highest humidity is known it is taken at the lowest temperature, where only the
    lowest is known at the highest, but never above what the coldest air holds; where none is, the
    lowest temperature is taken for the dew point.

    References
    ----------
    fao56, equations 17, 18, 48; examples 5, 20.

    Examples
    --------
    >>> round(float(actual_vapour_kpa(18, 25, 54, 82)), 2)
    1.7
    """
    cold, warm = saturation_kpa(tmin_c), saturation_kpa(tmax_c)
    at_cold = cold * _array(rh_max_pct) / 100
    at_warm = warm * _array(rh_min_pct) / 100
    # Alone, the least humidity of a mild afternoon can stand for more vapour than its night held.
    at_warm = np.where(np.isnan(at_cold), np.minimum(at_warm, cold), at_warm)
    found = np.stack(np.broadcast_arrays(at_cold, at_warm))
    known = np.isfinite(found)
    both = np.where(known, found, 0.0).sum(axis=0) / np.maximum(known.sum(axis=0), 1)
    return np.where(known.any(axis=0), both, cold)


def wind_at_2m(wind_m_s: Floats, height_m: float = _STATION_M) -> FloatArray:
    """Return the wind 2 m above the ground from that at a station's height (equation 47).

    References
    ----------
    fao56, equation 47; examples 14, 18.

    Examples
    --------
    >>> round(float(wind_at_2m(10 / 3.6)), 3)
    2.078
    """
    return _array(_array(wind_m_s) * 4.87 / np.log(67.8 * height_m - 5.42))


def penman_monteith_mm(
    temperature_c: Floats,
    net_radiation_mj: Floats,
    soil_heat_mj: Floats,
    wind_2m_m_s: Floats,
    deficit_kpa: Floats,
    psychrometric: float,
    span: float = DAY,
) -> FloatArray:
    """Return the reference evapotranspiration of a day, or of an hour (equations 6 and 53).

    Parameters
    ----------
    temperature_c, wind_2m_m_s : float or array
        Means of the span.
    net_radiation_mj, soil_heat_mj : float or array
        Energy gained, and taken up by the soil, on a square metre in the span.
    deficit_kpa : float or array
        By how much the vapour pressure lies below that of saturated air.
    psychrometric : float
        As `psychrometric_kpa` returns it.
    span : float
        `DAY` or `HOUR`.

    References
    ----------
    fao56, equations 6, 53; examples 17 to 19.

    Examples
    --------
    >>> round(float(penman_monteith_mm(16.9, 13.28, 0, 2.078, 0.589, 0.0666)), 1)
    3.9
    """
    slope, wind = vapour_slope_kpa(temperature_c), _array(wind_2m_m_s)
    energy = _MJ_TO_MM * slope * (_array(net_radiation_mj) - _array(soil_heat_mj))
    deficit = _array(deficit_kpa)
    air = psychrometric * span / (_array(temperature_c) + 273) * wind * deficit
    return (energy + air) / (slope + psychrometric * (1 + 0.34 * wind))


def hargreaves_mm(tmin_c: Floats, tmax_c: Floats, extraterrestrial_mj: Floats) -> FloatArray:
    """Return the reference evapotranspiration of a day from temperatures alone (equation 52).

    References
    ----------
    fao56, equation 52; example 20.

    Examples
    --------
    >>> round(float(hargreaves_mm(14.8, 26.6, 40.55)), 1)
    5.0
    """
    cold, warm = _array(tmin_c), _array(tmax_c)
    spread, mean = np.maximum(warm - cold, 0.0), (warm + cold) / 2
    return np.maximum(
        0.0023 * (mean + 17.8) * np.sqrt(spread) * _MJ_TO_MM * _array(extraterrestrial_mj), 0.0
    )


def reference_et_mm(
    tmin_c: Floats,
    tmax_c: Floats,
    rh_min_pct: Floats,
    rh_max_pct: Floats,
    wind_m_s: Floats,
    sun_mj: Floats,
    latitude_deg: float,
    day_of_year: Floats,
    elevation_m: float = 0.0,
) -> FloatArray:
    """Return the reference evapotranspiration of days, whatever of their weather is known.

    Penman and Monteith's equation with what is missing filled as FAO 56 advises: vapour as
    `actual_vapour_kpa`, the wind with 2 m/s, the sun from the temperatures, at most that of a clear
    sky. Where neither humidity, wind nor sun is known it is Hargreaves' equation. Heat of the soil
    is left out, as for a day.

    Parameters
    ----------
    tmin_c, tmax_c, rh_min_pct, rh_max_pct, wind_m_s, sun_mj : array
        A value for each day, NaN where unknown; wind at 10 m.
    latitude_deg, elevation_m : float
        Where; elevation in metres.
    day_of_year : array
        1 to 366.

    Returns
    -------
    array
        Millimetres a day; NaN where a temperature or the latitude is unknown.

    Raises
    ------
    OutOfRangeError
        If the latitude is outside -90 to 90.

    References
    ----------
    fao56, chapters 3 and 4; examples 17, 18, 20.

    Examples
    --------
    >>> day = reference_et_mm(12.3, 21.5, 63, 84, 10 / 3.6, 22.07, 50.8, 187, 100)
    >>> round(float(day), 1)
    3.9
    """
    if not (np.isnan(latitude_deg) or abs(latitude_deg) <= 90):
        raise OutOfRangeError(f"latitude: {latitude_deg} degrees found; give -90 to 90")
    arrays = (tmin_c, tmax_c, rh_min_pct, rh_max_pct, wind_m_s, sun_mj, day_of_year)
    cold, warm, dry, damp, wind, sun, day = np.broadcast_arrays(
        *(_array(array) for array in arrays)
    )
    above = sunlight.extraterrestrial_mj(latitude_deg, day)
    alone = np.isnan(dry) & np.isnan(damp) & np.isnan(wind) & np.isnan(sun)
    clear = np.maximum(sunlight.clear_sky_mj(above, elevation_m), 1e-9)
    guess = np.minimum(sunlight.sun_from_temperatures_mj(cold, warm, above), clear)
    sun = np.where(np.isnan(sun), guess, sun)
    wind = np.where(np.isnan(wind), _USUAL_WIND_M_S, np.maximum(wind_at_2m(wind), _LEAST_WIND_M_S))
    vapour = actual_vapour_kpa(cold, warm, dry, damp)
    net = sunlight.net_shortwave_mj(sun) - sunlight.net_longwave_mj(cold, warm, vapour, sun, clear)
    deficit = (saturation_kpa(cold) + saturation_kpa(warm)) / 2 - vapour
    psychrometric = psychrometric_kpa(pressure_kpa(elevation_m))
    whole = penman_monteith_mm((cold + warm) / 2, net, 0.0, wind, deficit, psychrometric)
    # A night that gives back more than the day took in leaves no evaporation below nothing.
    return np.where(alone, hargreaves_mm(cold, warm, above), np.maximum(whole, 0.0))
