"""Rules about the day of a fast work: small objects, each of which judges a day and says why.

A rule either refuses a day or puts a cost on it, in days of waiting. The limits are the barn's own
settings, or limits that a body has published; which of them refuse is this project's choice. A
judgement is a proposal's reason, and the trainer's to overrule.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Protocol

from racecalc.weather import (
    COLD_FAST_C,
    HOT_AIR_C,
    HOT_SUM,
    HOT_WBGT_C,
    WARM_SUM,
    WARM_WBGT_C,
)

__all__ = [
    "BeforeRace",
    "Cold",
    "DayFacts",
    "FastGround",
    "Footing",
    "Heat",
    "InWork",
    "Judgement",
    "RestDays",
    "Rule",
    "Spacing",
    "Waiting",
]


@dataclass(frozen=True)
class DayFacts:
    """What is known of a day on which a horse might work.

    Attributes
    ----------
    day : date
        The day.
    since_fast : int, optional
        Days since the last fast work or race.
    to_race : int, optional
        Days to the race aimed at.
    fast_30d_m : float
        Fast ground in the 30 days that end with it, without the work.
    work_fast_m : float
        Fast ground that the work would add.
    bad_footing : float, optional
        The chance, 0 to 1, of footing on which the barn does not work.
    usual_bad_footing : float
        The same of a day of which nothing is known.
    morning_wbgt_c, morning_sum, noon_wbgt_c, noon_sum : float
        Heat in the coolest hour in shade, and in the hottest in the sun; NaN where unknown.
    tmin_c, tmax_c : float
        The lowest and highest temperature; NaN where unknown.
    frozen : bool
        Whether the track was frozen and has not had a thaw since.
    """

    day: date
    since_fast: int | None = None
    to_race: int | None = None
    fast_30d_m: float = 0.0
    work_fast_m: float = 0.0
    bad_footing: float | None = None
    usual_bad_footing: float = 0.0
    morning_wbgt_c: float = math.nan
    morning_sum: float = math.nan
    noon_wbgt_c: float = math.nan
    noon_sum: float = math.nan
    tmin_c: float = math.nan
    tmax_c: float = math.nan
    frozen: bool = False


@dataclass(frozen=True)
class Judgement:
    """What one rule says of a day.

    ``says`` is ``fine``, ``costs``, ``careful`` (allowed, with a caution), ``refused`` or
    ``unknown`` (the rule had nothing to go by); ``figures`` are what it looked at, by name.
    """

    rule: str
    says: str
    cost_days: float = 0.0
    figures: Mapping[str, float] = field(default_factory=dict)

    @property
    def refuses(self) -> bool:
        """Whether the rule speaks against the day altogether."""
        return self.says == "refused"


class Rule(Protocol):
    """Anything that judges a day."""

    def judge(self, facts: DayFacts) -> Judgement:
        """Return what the rule says of a day."""
        ...


@dataclass(frozen=True)
class Spacing:
    """No fast work sooner after the last than the barn has set."""

    least_days: int

    def judge(self, facts: DayFacts) -> Judgement:
        """Return what the rule says of a day."""
        if facts.since_fast is None:
            return Judgement("spacing", "unknown")
        says = "refused" if facts.since_fast < self.least_days else "fine"
        return Judgement(
            "spacing", says, figures={"days": facts.since_fast, "least": self.least_days}
        )


@dataclass(frozen=True)
class InWork:
    """No proposal for a horse that has not worked for so long: coming back needs other eyes."""

    most_days: int

    def judge(self, facts: DayFacts) -> Judgement:
        """Return what the rule says of a day."""
        out = facts.since_fast is None or facts.since_fast > self.most_days
        return Judgement("in_work", "refused" if out else "fine")


@dataclass(frozen=True)
class BeforeRace:
    """No fast work closer to a race than the barn has set; none on the day itself or after it."""

    least_days: int

    def judge(self, facts: DayFacts) -> Judgement:
        """Return what the rule says of a day."""
        if facts.to_race is None:
            return Judgement("before_race", "unknown")
        says = "refused" if facts.to_race < max(self.least_days, 1) else "fine"
        return Judgement(
            "before_race", says, figures={"days": facts.to_race, "least": self.least_days}
        )


@dataclass(frozen=True)
class FastGround:
    """Fast ground in 30 days, the work included, stays within what the barn has set."""

    limit_m: float

    def judge(self, facts: DayFacts) -> Judgement:
        """Return what the rule says of a day."""
        total = facts.fast_30d_m + facts.work_fast_m
        says = "refused" if total > self.limit_m else "fine"
        return Judgement("fast_ground", says, figures={"total_m": total, "limit_m": self.limit_m})


@dataclass(frozen=True)
class RestDays:
    """No work on the days of the week on which the barn rests; Monday is 0."""

    weekdays: tuple[int, ...]

    def judge(self, facts: DayFacts) -> Judgement:
        """Return what the rule says of a day."""
        rests = facts.day.weekday() in self.weekdays
        return Judgement("rest_day", "refused" if rests else "fine")


@dataclass(frozen=True)
class Waiting:
    """Each day away from the planned one costs a day, before it as after it."""

    planned: date

    def judge(self, facts: DayFacts) -> Judgement:
        """Return what the rule says of a day."""
        away = abs((facts.day - self.planned).days)
        return Judgement("waiting", "costs" if away else "fine", float(away), {"days": float(away)})


@dataclass(frozen=True)
class Footing:
    """A work on bad footing costs so many days of waiting, times its chance.

    A day on which bad footing is likelier than not is refused, whatever it costs. Of a day of which
    nothing is known the cost is that of the usual chance: what nobody knows is not better than what
    one does.
    """

    bad_costs_days: float
    most_chance: float = 0.5

    def judge(self, facts: DayFacts) -> Judgement:
        """Return what the rule says of a day."""
        if facts.bad_footing is None:
            return Judgement("footing", "unknown", self.bad_costs_days * facts.usual_bad_footing)
        cost, figures = self.bad_costs_days * facts.bad_footing, {"chance": facts.bad_footing}
        if facts.bad_footing > self.most_chance:
            return Judgement("footing", "refused", cost, figures)
        return Judgement("footing", "costs" if cost else "fine", cost, figures)


@dataclass(frozen=True)
class Heat:
    """Refuse a day whose coolest hour is too hot already; be careful of a hot noon.

    Sources: ``aaep_heat_sum``, ``racing_victoria_heat``, ``minnesota_heat_sum``,
    ``racing_nsw_heat`` (of the air alone, where nothing is known of its humidity).
    """

    def judge(self, facts: DayFacts) -> Judgement:
        """Return what the rule says of a day."""
        figures = {
            "morning_wbgt_c": facts.morning_wbgt_c,
            "morning_sum": facts.morning_sum,
            "noon_wbgt_c": facts.noon_wbgt_c,
            "noon_sum": facts.noon_sum,
            "tmin_c": facts.tmin_c,
            "tmax_c": facts.tmax_c,
        }
        if all(math.isnan(figure) for figure in figures.values()):
            return Judgement("heat", "unknown")
        if (
            facts.morning_wbgt_c >= HOT_WBGT_C
            or facts.morning_sum > HOT_SUM
            or facts.tmin_c >= HOT_AIR_C
        ):
            return Judgement("heat", "refused", figures=figures)
        warm = (
            facts.noon_wbgt_c >= WARM_WBGT_C
            or facts.noon_sum >= WARM_SUM
            or facts.tmax_c >= HOT_AIR_C
        )
        return Judgement("heat", "careful" if warm else "fine", figures=figures)


@dataclass(frozen=True)
class Cold:
    """Refuse a morning colder than barns work fast in, and a frozen track; be careful of a frost.

    The work is in the morning, near the coldest hour. The limit is common practice, no source.
    """

    def judge(self, facts: DayFacts) -> Judgement:
        """Return what the rule says of a day."""
        figures = {"tmin_c": facts.tmin_c, "tmax_c": facts.tmax_c}
        if facts.frozen or facts.tmin_c < COLD_FAST_C or facts.tmax_c < COLD_FAST_C:
            return Judgement("cold", "refused", figures=figures)
        if math.isnan(facts.tmin_c):
            return Judgement("cold", "unknown")
        return Judgement("cold", "careful" if facts.tmin_c < 0 else "fine", figures=figures)
