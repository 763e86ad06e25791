"""Waiting against working: what a forecast is worth to one who has to decide.

To act on a warning costs C, to be caught without acting L. Then it pays to act where the chance is
above C over L. Source: ``cost_loss``.
"""

from racecalc.errors import OutOfRangeError

__all__ = ["pays_to_wait", "relative_value"]


def pays_to_wait(chance: float, cost_of_waiting: float, cost_of_loss: float) -> bool:
    """Return whether waiting is the cheaper: the chance is above cost over loss.

    Raises
    ------
    OutOfRangeError
        If the chance is outside 0 to 1, or a cost is not above zero.

    References
    ----------
    cost_loss.

    Examples
    --------
    >>> [pays_to_wait(chance, 1, 4) for chance in (0.498, 0.390, 0.169)]
    [True, True, False]
    """
    _checked_chance(chance, "chance")
    if cost_of_waiting <= 0 or cost_of_loss <= 0:
        raise OutOfRangeError(
            f"costs {cost_of_waiting:g} and {cost_of_loss:g} found; give more than zero"
        )
    return chance > cost_of_waiting / cost_of_loss


def relative_value(hits: float, false_alarms: float, base_rate: float, ratio: float) -> float:
    """Return how much of what a perfect forecast saves this one saves: 1 all of it, 0 none.

    Parameters
    ----------
    hits, false_alarms : float
        The share of bad days that were warned of, and of good days.
    base_rate : float
        The share of days that are bad.
    ratio : float
        Cost over loss.

    Returns
    -------
    float
        Below 0 where it is better not to listen; NaN where a perfect forecast saves nothing.

    Raises
    ------
    OutOfRangeError
        If one of them is outside 0 to 1.

    References
    ----------
    cost_loss.

    Examples
    --------
    >>> round(relative_value(0.8, 0.15, 0.3, 0.3), 3)
    0.65
    """
    for name, value in (
        ("hits", hits),
        ("false alarms", false_alarms),
        ("base rate", base_rate),
        ("ratio", ratio),
    ):
        _checked_chance(value, name)
    climate = min(ratio, base_rate)
    perfect = base_rate * ratio
    forecast = false_alarms * ratio * (1 - base_rate) - hits * base_rate * (1 - ratio) + base_rate
    saved = climate - perfect
    return (climate - forecast) / saved if saved > 0 else float("nan")


def _checked_chance(value: float, name: str) -> None:
    if not 0 <= value <= 1:
        raise OutOfRangeError(f"{name}: {value:g} found; give 0 to 1")
