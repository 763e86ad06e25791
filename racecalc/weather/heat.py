"""Heat and cold as people have put them in one number. None was made for horses at work.

Temperatures are in °C, humidity in percent, wind in m/s.
"""

import numpy as np
import numpy.typing as npt

from racecalc import units

__all__ = [
    "heat_index_c",
    "sum_of_heat",
    "wbgt_shade_c",
    "wbgt_sun_c",
    "wet_bulb_c",
    "wind_chill_c",
]

Floats = npt.ArrayLike
FloatArray = npt.NDArray[np.float64]

_FULL_FROM_F = 80.0
_CHILL_BELOW_F, _CHILL_FROM_MPH = 50.0, 3.0
# Stull's equation was fitted to these.
_WET_BULB_RH, _WET_BULB_C = (5.0, 99.0), (-20.0, 50.0)


def _array(values: Floats) -> FloatArray:
    return np.asarray(values, dtype=np.float64)


def sum_of_heat(temperature_c: Floats, rh_pct: Floats) -> FloatArray:
    """Return degrees Fahrenheit plus percent of humidity, the rule of thumb of horsemen.

    It warns too little of dry heat: 40 °C at 25 % come to 129 only.

    References
    ----------
    aaep_heat_sum.

    Examples
    --------
    >>> float(sum_of_heat(35.0, 40.0))
    135.0
    """
    return units.fahrenheit(_array(temperature_c)) + _array(rh_pct)


def wbgt_sun_c(temperature_c: Floats, rh_pct: Floats) -> FloatArray:
    """Return an estimate of the wet bulb globe temperature in fairly strong sun and light wind.

    0.567 T + 0.393 e + 3.94, with e the vapour pressure in hPa. Too high under cloud, in wind, at
    night.

    References
    ----------
    abm_wbgt.

    Examples
    --------
    >>> round(float(wbgt_sun_c(30.0, 50.0)), 2)
    29.26
    """
    celsius = _array(temperature_c)
    vapour_hpa = _array(rh_pct) / 100 * 6.105 * np.exp(17.27 * celsius / (237.7 + celsius))
    return 0.567 * celsius + 0.393 * vapour_hpa + 3.94


def wet_bulb_c(temperature_c: Floats, rh_pct: Floats) -> FloatArray:
    """Return the wet bulb temperature at the pressure of the sea's level, by Stull.

    Returns
    -------
    array
        NaN outside 5 to 99 % and -20 to 50 °C, for which the equation was not fitted. Its error is
        stated as -1 to +0.65 °C; in air both cold and dry it is larger.

    References
    ----------
    stull_2011, equation 1.

    Examples
    --------
    >>> round(float(wet_bulb_c(20.0, 50.0)), 1)
    13.7
    """
    celsius, humid = _array(temperature_c), _array(rh_pct)
    found = (
        celsius * np.arctan(0.151977 * np.sqrt(humid + 8.313659))
        + np.arctan(celsius + humid)
        - np.arctan(humid - 1.676331)
        + 0.00391838 * humid**1.5 * np.arctan(0.023101 * humid)
        - 4.686035
    )
    damp = (humid >= _WET_BULB_RH[0]) & (humid <= _WET_BULB_RH[1])
    mild = (celsius >= _WET_BULB_C[0]) & (celsius <= _WET_BULB_C[1])
    return np.where(damp & mild, found, np.nan)


def wbgt_shade_c(temperature_c: Floats, rh_pct: Floats) -> FloatArray:
    """Return an estimate of the wet bulb globe temperature in the shade: 0.7 wet bulb + 0.3 air.

    References
    ----------
    iso_7243 (the weights, without sun); stull_2011 (the wet bulb).

    Examples
    --------
    >>> round(float(wbgt_shade_c(32.0, 60.0)), 1)
    27.7
    """
    return 0.7 * wet_bulb_c(temperature_c, rh_pct) + 0.3 * _array(temperature_c)


def heat_index_c(temperature_c: Floats, rh_pct: Floats) -> FloatArray:
    """Return the heat index of the United States' weather service, with its two adjustments.

    References
    ----------
    nws_heat_index.

    Examples
    --------
    >>> round(float(units.fahrenheit(heat_index_c(32.2222, 70.0))), 1)
    105.9
    """
    t, r = units.fahrenheit(_array(temperature_c)), _array(rh_pct)
    simple = (0.5 * (t + 61.0 + (t - 68.0) * 1.2 + r * 0.094) + t) / 2
    full = (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * r
        - 0.22475541 * t * r
        - 6.83783e-3 * t**2
        - 5.481717e-2 * r**2
        + 1.22874e-3 * t**2 * r
        + 8.5282e-4 * t * r**2
        - 1.99e-6 * t**2 * r**2
    )
    dry = (13 - r) / 4 * np.sqrt(np.maximum(17 - np.abs(t - 95.0), 0.0) / 17)
    damp = (r - 85) / 10 * (87 - t) / 5
    full = full - np.where((r < 13) & (t >= 80) & (t <= 112), dry, 0.0)
    full = full + np.where((r > 85) & (t >= 80) & (t <= 87), damp, 0.0)
    return units.celsius(np.where(simple >= _FULL_FROM_F, full, simple))


def wind_chill_c(temperature_c: Floats, wind_m_s: Floats) -> FloatArray:
    """Return the wind chill of the United States' weather service.

    Returns
    -------
    array
        NaN above 50 °F and below 3 mph, where it is not defined.

    References
    ----------
    nws_wind_chill.

    Examples
    --------
    >>> round(float(units.fahrenheit(wind_chill_c(-17.7778, 6.7056))))
    -19
    """
    t, mph = units.fahrenheit(_array(temperature_c)), units.miles_per_hour(_array(wind_m_s))
    power = np.maximum(mph, 0.0) ** 0.16
    chill = 35.74 + 0.6215 * t - 35.75 * power + 0.4275 * t * power
    told = (t <= _CHILL_BELOW_F) & (mph >= _CHILL_FROM_MPH - 1e-9)
    return np.where(told, units.celsius(chill), np.nan)
