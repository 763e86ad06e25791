"""Measurements: height, weight, condition, temperature, and the growing colt's girth and bone."""

import math
from datetime import date
from random import Random

from sample_stable.calendar import between, chance, day, days
from sample_stable.story import Horse
from sample_stable.writing import fahrenheit_text, hands_text, inches_text, pounds_text

__all__ = ["measurement_rows"]

_MEASURER = "Tam Wattlebee"
_SCORER = "Nell Quinceworthy"

# One person with one stick: Lamas et al. 2007 (Vet Rec 160:691-694) print a spread of 1.06 cm.
_STICK_SD_IN = 0.15
_SHOE_IN = 0.4  # the allowance of the FEI pony rule, 1 cm
_SCALE_SD_LB = 3.5
_TAPE_SD = 0.018
_LENGTH_IN = 67.0

Row = tuple[str, ...]


def measurement_rows(horse: Horse) -> list[Row]:
    """Return everything measured on one horse, day by day."""
    rng = chance("measurements", horse.id)
    rows: list[Row] = []
    for on in days(horse.first_day, horse.last_day):
        rows += _weights(horse, on, rng)
        rows += _heights(horse, on, rng)
        rows += _scores(horse, on, rng)
        rows += _vital_signs(horse, on, rng)
        rows += _growth(horse, on, rng)
    return rows


def _row(
    horse: Horse,
    on: date,
    what: str,
    value: str,
    shod: str = "",
    method: str = "",
    by: str = _MEASURER,
    note: str = "",
) -> Row:
    return (on.isoformat(), horse.id, what, value, shod, method, by, note)


def _weights(horse: Horse, on: date, rng: Random) -> list[Row]:
    pounds = between(horse.pounds, on)
    if horse.weighed_by == "tape":
        if on.day != 6:
            return []
        taped = pounds * (1 + rng.gauss(0, _TAPE_SD))
        # Girth as the tape found it: weight = girth^2 x length / 330 in inches and pounds.
        girth = math.sqrt(taped * 330 / _LENGTH_IN)
        return [
            _row(horse, on, "weight", pounds_text(taped), method="tape"),
            _row(horse, on, "girth", inches_text(girth, 8), method="tape"),
            _row(horse, on, "length", inches_text(_LENGTH_IN), method="tape"),
        ]
    since = horse.weighed_twice_a_week_from
    is_second_day = bool(since) and on >= day(since) and on.weekday() == 5
    if on.weekday() != 2 and not is_second_day and on != horse.first_day:
        return []
    note = "before feed" if on.weekday() == 2 and on.day <= 7 else ""
    return [
        _row(
            horse,
            on,
            "weight",
            pounds_text(pounds + rng.gauss(0, _SCALE_SD_LB)),
            method="scale",
            note=note,
        )
    ]


def _heights(horse: Horse, on: date, rng: Random) -> list[Row]:
    """Height on the farrier's day: barefoot before the new shoes, shod after."""
    is_due = on.day == 8 and (horse.is_growing or on.month % 3 == 1)
    if not is_due and on != horse.first_day:
        return []
    barefoot = between(horse.barefoot_in, on) + rng.gauss(0, _STICK_SD_IN)
    rows = [_row(horse, on, "height", hands_text(barefoot), "no", "stick")]
    if horse.turn(on) in ("canter", "gallop", "work"):
        shod = barefoot + _SHOE_IN + rng.gauss(0, _STICK_SD_IN / 2)
        rows.append(_row(horse, on, "height", hands_text(shod), "yes", "stick"))
    return rows


def _scores(horse: Horse, on: date, rng: Random) -> list[Row]:
    if on.day != 15:
        return []
    score = round(2 * (between(horse.condition, on) + rng.gauss(0, 0.12))) / 2
    return [_row(horse, on, "condition", f"{score:g}", by=_SCORER)]


def _vital_signs(horse: Horse, on: date, rng: Random) -> list[Row]:
    if not horse.temperature_from or on < day(horse.temperature_from):
        return []
    usual_c = rng.gauss(37.75, 0.14)
    told_c = dict(horse.temperatures_c).get(on.isoformat(), usual_c)
    rows = [_row(horse, on, "temperature", fahrenheit_text(told_c, 1), by=_SCORER)]
    if on.weekday() == 6:
        rows.append(_row(horse, on, "pulse", f"{rng.gauss(34, 1.5):.0f}", by=_SCORER))
    return rows


def _growth(horse: Horse, on: date, rng: Random) -> list[Row]:
    if not horse.is_growing or on.day != 8:
        return []
    pounds = between(horse.pounds, on)
    girth = 71.0 * (pounds / 1000) ** (1 / 3) + rng.gauss(0, 0.15)
    cannon = 7.75 * (pounds / 1000) ** 0.25
    return [
        _row(horse, on, "girth", inches_text(girth), method="tape"),
        _row(horse, on, "cannon", inches_text(cannon, 8), method="tape"),
    ]
