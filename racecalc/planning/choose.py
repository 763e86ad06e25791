"""Weighing the days: every rule judges every day, and the cheapest allowed one is proposed."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from racecalc.planning.rules import DayFacts, Judgement, Rule

__all__ = ["Weighed", "fall_backs", "propose", "weigh"]

_FALL_BACKS = 2


@dataclass(frozen=True)
class Weighed:
    """A day with what every rule said of it."""

    facts: DayFacts
    judgements: tuple[Judgement, ...]

    @property
    def day(self) -> date:
        """Return the day."""
        return self.facts.day

    @property
    def allowed(self) -> bool:
        """Return whether no rule speaks against it."""
        return not any(judgement.refuses for judgement in self.judgements)

    @property
    def cost_days(self) -> float:
        """Return all costs together, in days of waiting."""
        return sum(judgement.cost_days for judgement in self.judgements)


def weigh(days: Iterable[DayFacts], rules: Sequence[Rule]) -> tuple[Weighed, ...]:
    """Let every rule judge every day.

    Parameters
    ----------
    days : iterable of DayFacts
        The days.
    rules : sequence of Rule
        The rules.
    """
    return tuple(Weighed(facts, tuple(rule.judge(facts) for rule in rules)) for facts in days)


def propose(days: Sequence[Weighed]) -> date | None:
    """Propose the cheapest allowed day, the earlier of two alike; none where all are refused.

    Examples
    --------
    >>> from datetime import timedelta
    >>> from racecalc.planning.rules import Footing, Waiting
    >>> first, chances = date(2026, 11, 1), (0.4981, 0.3899, 0.1686, 0.0731, 0.0290)
    >>> days = [DayFacts(first + timedelta(n), bad_footing=p) for n, p in enumerate(chances)]
    >>> propose(weigh(days, (Waiting(first), Footing(12.0))))
    datetime.date(2026, 11, 4)
    """
    ranked = _ranked(days)
    return ranked[0].day if ranked else None


def fall_backs(days: Sequence[Weighed], best: date) -> tuple[date, ...]:
    """Return up to two days after the day proposed, in order of time: the cheapest allowed ones.

    They are for the morning on which that day falls through, so that ``days`` should be weighed by
    what is likely then: a track that is too wet on one day is often so on the next.
    """
    later = [day.day for day in _ranked(days) if day.day > best]
    return tuple(sorted(later[:_FALL_BACKS]))


def _ranked(days: Sequence[Weighed]) -> list[Weighed]:
    return sorted((day for day in days if day.allowed), key=lambda day: (day.cost_days, day.day))
