"""What a size and an age come to: growth, weight by tape, the energy that a weight needs."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import pandas as pd

from racecalc import body
from racecalc.daybook import HorseBook
from racecalc.digest.body_model import Measure
from racecalc.digest.number import Number

__all__ = ["Energy", "Growth", "TapeWeight", "energy", "growth", "tape_weights"]

_GROWN_MONTHS = 60.0
_FEWEST_LEFT_OUT = 3
_LEAST_MONTHS = 3.0
_WEIGHT_SOURCES = ("brown_douglas_growth", "nrc_growth_check", "pagan_2015")
_HEIGHT_SOURCES = (
    "brown_douglas_growth",
    "extension_cannon",
    "extension_height",
    "green_heights",
    "pagan_2015",
)
# Half the width of nearly all heights by stick around the true one, by any of several people.
_STICK_M = body.SPREADS["height", "stick", False].error
# Rules for grown horses say nothing of a younger one; older measures nothing of today.
_ADULT_MONTHS = 36.0
_FRESH = timedelta(days=92)


@dataclass(frozen=True)
class Growth:
    """How far a horse of an age has grown, on average, and what height that promises.

    ``weight`` and ``height`` are percent of the mature; ``departs`` how much less and how much more
    than that weight Thoroughbreds of that age were found to weigh, where it is published;
    ``mature`` the low end, the middle and the high end of the mature height; ``left_out`` how far,
    in the middle, one height of this horse lies from what the curve makes of its others.
    """

    age: Number
    weight: Number
    departs: tuple[Number, Number] | None
    height: tuple[Number, Number]
    mature: tuple[Number, Number, Number] | None
    left_out: Number | None


@dataclass(frozen=True)
class TapeWeight:
    """Weight from girth and length by one published formula, with the ends of its interval."""

    key: str
    day: date
    weight: Number
    low: Number | None
    high: Number | None


@dataclass(frozen=True)
class Energy:
    """Digestible energy a day that a weight needs: at rest, and by class of work."""

    day: date
    by_scale: bool
    needs: dict[str, Number]


def growth(record: HorseBook, last: date, heights: Sequence[body.Series]) -> Growth | None:
    """Return how far a growing horse is; ``None`` where it is grown or its day of foaling unknown.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook.
    last : date
        The day of the report.
    heights : sequence of body.Series
        Its heights on one basis, the newest first.
    """
    foaled = record.tables["horses"].iloc[0]["foaled"]
    if pd.isna(foaled):
        return None
    born = foaled.date()
    months = body.months_between(born, max(last, born))
    if not _LEAST_MONTHS <= months < _GROWN_MONTHS:
        return None
    low, high = (float(share) for share in body.mature_height_fraction(months))
    key = "racecalc.body.mature_height_fraction"
    newest = next((one for one in heights if one.last.day > born), None)
    return Growth(
        age=Number("growth.age", months, "months", "racecalc.body.months_between", 1),
        weight=Number(
            "growth.weight",
            100 * float(body.mature_weight_fraction(months)),
            "percent",
            "racecalc.body.mature_weight_fraction",
            1,
            _WEIGHT_SOURCES,
        ),
        departs=_departs(months),
        height=(
            Number("growth.height.low", 100 * low, "percent", key, 1, _HEIGHT_SOURCES),
            Number("growth.height.high", 100 * high, "percent", key, 1, _HEIGHT_SOURCES),
        ),
        mature=_mature(newest, born) if newest else None,
        left_out=_left_out(newest, born) if newest else None,
    )


def _departs(months: float) -> tuple[Number, Number] | None:
    """Return by how much Thoroughbreds of an age were found lighter and heavier than the curve."""
    whole = int(months)
    for one in body.DEPARTURES:
        if one.from_month <= whole <= one.to_month:
            return _departure("less", -one.least_kg), _departure("more", one.most_kg)
    return None


def _departure(side: str, weight_kg: float) -> Number:
    name = f"growth.departs.{side}"
    return Number(
        name, weight_kg, "weight_noise", "racecalc.body.mature_weight_fraction", 0, _WEIGHT_SOURCES
    )


def _mature(heights: body.Series, born: date) -> tuple[Number, Number, Number] | None:
    """Foretell from the newest height; ``None`` where that was taken too young."""
    newest = heights.last
    months = body.months_between(born, newest.day)
    if months < _LEAST_MONTHS:
        return None
    error_m = math.hypot(_STICK_M, body.SHOE_ERROR_M) if newest.adjusted else _STICK_M
    found = body.predicted_mature_height(newest.value, months, error_m)
    made_by, keys = "racecalc.body.predicted_mature_height", _HEIGHT_SOURCES

    def number(end: str, value: float) -> Number:
        return Number(f"growth.mature_height.{end}", value, "height", made_by, newest.n, keys)

    return (
        # No horse ends lower than it stands.
        number("low", max(found.low_m, newest.value)),
        number("middle", found.middle_m),
        number("high", found.high_m),
    )


def _left_out(heights: body.Series, born: date) -> Number | None:
    known = [
        (months, reading.value)
        for reading in heights.readings
        if reading.day > born
        and (months := body.months_between(born, reading.day)) >= _LEAST_MONTHS
    ]
    if len(known) < _FEWEST_LEFT_OUT:
        return None
    ages, values = zip(*known, strict=True)
    errors = np.abs(body.leave_one_out(ages, values))
    return Number(
        "growth.left_out",
        float(np.median(errors)),
        "height_noise",
        "racecalc.body.leave_one_out",
        len(ages),
    )


def tape_weights(record: HorseBook, last: date) -> tuple[TapeWeight, ...]:
    """Return the newest weight by tape, by each formula that the daybook's measures serve.

    None where girth and length were not taken on one day of the last three months, the length looks
    like one from the elbow, or the horse is under three years: the formulas are for grown ones.
    """
    if _is_young(record, last):
        return ()
    measurements = record.tables["measurements"]
    fresh = (pd.Timestamp(last - _FRESH), pd.Timestamp(last))
    until = measurements[measurements["date"].between(*fresh)]
    taken = until[until["what"].isin(["girth", "length"])]
    days = taken.pivot_table(index="date", columns="what", values="value", aggfunc="median")
    if not {"girth", "length"} <= set(days.columns):
        return ()
    both = days.dropna(subset=["girth", "length"])
    if both.empty:
        return ()
    day, girth_m, length_m = (
        both.index[-1].date(),
        float(both["girth"].iloc[-1]),
        float(both["length"].iloc[-1]),
    )
    if body.is_elbow_length(girth_m, length_m):
        return ()
    found = {
        "carroll_huntington": float(body.carroll_huntington(girth_m, length_m)),
        "imperial_rule": float(body.imperial_rule(girth_m, length_m)),
        "marcenac_aublet": float(body.marcenac_aublet(girth_m)),
    }
    return tuple(_tape_weight(key, day, kg) for key, kg in found.items() if not np.isnan(kg))


def _tape_weight(key: str, day: date, weight_kg: float) -> TapeWeight:
    formula = body.FORMULAS[key]

    def number(part: str, value: float) -> Number:
        made_by = "girth_length_error" if part else key
        sources = ("ellis_hollands_1998",) if part else (formula.source_key,)
        name = f"tape_weight.{key}{part}"
        return Number(name, value, "weight", f"racecalc.body.{made_by}", 2, sources)

    ends = body.girth_length_error(weight_kg) if formula.length else None
    return TapeWeight(
        key=key,
        day=day,
        weight=number("", weight_kg),
        low=number(".low", float(ends[0])) if ends else None,
        high=number(".high", float(ends[1])) if ends else None,
    )


def _is_young(record: HorseBook, last: date) -> bool:
    """Tell whether a horse is known to be under three years, or to turn three this year."""
    row = record.tables["horses"].iloc[0]
    if pd.notna(row["foaled"]):
        born = row["foaled"].date()
        return bool(body.months_between(born, max(last, born)) < _ADULT_MONTHS)
    return bool(
        pd.notna(row["foaled_year"]) and last.year - row["foaled_year"] <= _ADULT_MONTHS / 12
    )


def energy(record: HorseBook, weighed: Measure | None, last: date) -> Energy | None:
    """Return what a weight needs by published rules for grown horses.

    ``None`` where there is no weight of the last three months, by scale or tape, or the horse is
    under three years. The highest class is left to `racecalc.body`: its rule was not read at a
    source.
    """
    if weighed is None or weighed.method not in ("scale", "tape"):
        return None
    if weighed.day < last - _FRESH or _is_young(record, last):
        return None
    needs = {
        need: Number(
            f"energy.{need}",
            float(body.digestible_energy_mcal(weighed.latest.value, need)),
            "energy",
            "racecalc.body.digestible_energy_mcal",
            1,
            body.NEEDS[need].source_keys,
        )
        for need in body.NEEDS
        if need != "very heavy"
    }
    return Energy(weighed.day, weighed.method == "scale", needs)
