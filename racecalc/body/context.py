"""Published swings of a horse's weight and height that are no change of the horse itself."""

from racecalc.errors import OutOfRangeError

__all__ = ["published_swing"]

_SWINGS = {
    # A racing Thoroughbred's mean loss in one race, in kg.
    "race_loss": (3.5, "chuckwagon_2002"),
    # Lowest and highest mean swing over a year, of fillies and of geldings, in kg.
    "season_low": (6.0, "japan_race_weights_2017"),
    "season_high": (8.0, "japan_race_weights_2017"),
    # Rise of the withers by a trot, gone within seven minutes, in metres.
    "trot_rise": (0.0175, "hodges_1986"),
    # Fall of the withers in twenty minutes of standing, in metres.
    "standing_fall": (0.0048, "curtis_2010"),
}


def published_swing(name: str) -> tuple[float, str]:
    """Return a published swing, in kilograms or metres, and the key of its source.

    Parameters
    ----------
    name : str
        ``race_loss``, ``season_low``, ``season_high`` (kg), ``trot_rise`` or ``standing_fall`` (m).

    Raises
    ------
    OutOfRangeError
        If it is none of these.

    References
    ----------
    chuckwagon_2002; japan_race_weights_2017; hodges_1986; curtis_2010.

    Examples
    --------
    >>> published_swing("race_loss")
    (3.5, 'chuckwagon_2002')
    """
    if name not in _SWINGS:
        raise OutOfRangeError(f"swing {name!r}: write one of {', '.join(_SWINGS)}")
    return _SWINGS[name]
