"""Radiation of the sun and of the ground, by FAO Irrigation and Drainage Paper 56, chapter 3.

All functions take numbers or arrays. Energies are in megajoules on a square metre in a day.
Source: ``fao56``.
"""

import numpy as np
import numpy.typing as npt

__all__ = [
    "clear_sky_mj",
    "daylight_hours",
    "extraterrestrial_mj",
    "net_longwave_mj",
    "net_shortwave_mj",
    "sun_from_hours_mj",
    "sun_from_temperatures_mj",
]

Floats = npt.ArrayLike
FloatArray = npt.NDArray[np.float64]

_SOLAR_CONSTANT_MJ_MIN = 0.0820  # equation 21
_ALBEDO = 0.23  # equation 38, of the reference grass
_STEFAN_BOLTZMANN_MJ = 4.903e-9  # equation 39, on a square metre in a day
_KELVIN = 273.16  # as equation 39 prints it
_CLOUDED = 0.3  # page 75
_INLAND = 0.16  # equation 50; 0.19 at a coast


def _array(values: Floats) -> FloatArray:
    return np.asarray(values, dtype=np.float64)


def _declination(day_of_year: Floats) -> FloatArray:
    # equation 24
    return 0.409 * np.sin(2 * np.pi / 365 * _array(day_of_year) - 1.39)


def _sunset_angle(latitude_deg: float, day_of_year: Floats) -> FloatArray:
    """Return the hour angle of sunset (equation 25); beyond the polar circles it is held."""
    phi = np.radians(latitude_deg)
    return _array(np.arccos(np.clip(-np.tan(phi) * np.tan(_declination(day_of_year)), -1.0, 1.0)))


def extraterrestrial_mj(latitude_deg: float, day_of_year: Floats) -> FloatArray:
    """Return the sun's energy above the air in a day (equations 21, 23 to 25).

    Parameters
    ----------
    latitude_deg : float
        Degrees, north positive.
    day_of_year : float or array
        1 to 366.

    References
    ----------
    fao56, equation 21; example 8.

    Examples
    --------
    >>> round(float(extraterrestrial_mj(-20, 246)), 1)
    32.2
    """
    phi, delta = np.radians(latitude_deg), _declination(day_of_year)
    distance = 1 + 0.033 * np.cos(2 * np.pi / 365 * _array(day_of_year))
    omega = _sunset_angle(latitude_deg, day_of_year)
    height = omega * np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.sin(omega)
    return _array(24 * 60 / np.pi * _SOLAR_CONSTANT_MJ_MIN * distance * height)


def daylight_hours(latitude_deg: float, day_of_year: Floats) -> FloatArray:
    """Return the hours between sunrise and sunset (equation 34).

    References
    ----------
    fao56, equation 34; example 9.

    Examples
    --------
    >>> round(float(daylight_hours(-20, 246)), 1)
    11.7
    """
    return 24 / np.pi * _sunset_angle(latitude_deg, day_of_year)


def clear_sky_mj(extraterrestrial: Floats, elevation_m: float = 0.0) -> FloatArray:
    """Return the sun's energy on the ground under a clear sky (equation 37).

    References
    ----------
    fao56, equation 37; examples 11, 18.

    Examples
    --------
    >>> round(float(clear_sky_mj(25.1)), 1)
    18.8
    """
    return (0.75 + 2e-5 * elevation_m) * _array(extraterrestrial)


def sun_from_hours_mj(sun_hours: Floats, daylight: Floats, extraterrestrial: Floats) -> FloatArray:
    """Return the sun's energy on the ground from hours of bright sun (equation 35).

    References
    ----------
    fao56, equation 35; example 10.

    Examples
    --------
    >>> round(float(sun_from_hours_mj(7.1, 10.9, 25.1)), 2)
    14.45
    """
    return (0.25 + 0.50 * _array(sun_hours) / _array(daylight)) * _array(extraterrestrial)


def sun_from_temperatures_mj(
    tmin_c: Floats, tmax_c: Floats, extraterrestrial: Floats
) -> FloatArray:
    """Return the sun's energy on the ground of an inland place from temperatures (equation 50).

    References
    ----------
    fao56, equation 50; example 20.

    Examples
    --------
    >>> round(float(sun_from_temperatures_mj(14.8, 26.6, 40.55)), 1)
    22.3
    """
    spread = np.maximum(_array(tmax_c) - _array(tmin_c), 0.0)
    return _INLAND * np.sqrt(spread) * _array(extraterrestrial)


def net_shortwave_mj(sun: Floats) -> FloatArray:
    """Return what the ground keeps of the sun (equation 38).

    References
    ----------
    fao56, equation 38; examples 12, 17, 18.

    Examples
    --------
    >>> round(float(net_shortwave_mj(22.07)), 2)
    16.99
    """
    return (1 - _ALBEDO) * _array(sun)


def net_longwave_mj(
    tmin_c: Floats, tmax_c: Floats, vapour_kpa: Floats, sun: Floats, clear_sky: Floats
) -> FloatArray:
    """Return what the ground sends back (equation 39).

    More sun than a clear sky counts as clear, and less than 0.3 of it as wholly clouded.

    References
    ----------
    fao56, equation 39; page 75 (0.3 presumes total cloud cover); example 11.

    Examples
    --------
    >>> round(float(net_longwave_mj(19.1, 25.1, 2.1, 14.5, 18.8)), 1)
    3.5
    """
    fourth = ((_array(tmax_c) + _KELVIN) ** 4 + (_array(tmin_c) + _KELVIN) ** 4) / 2
    cloud = 1.35 * np.clip(_array(sun) / _array(clear_sky), _CLOUDED, 1.0) - 0.35
    return _STEFAN_BOLTZMANN_MJ * fourth * (0.34 - 0.14 * np.sqrt(_array(vapour_kpa))) * cloud
