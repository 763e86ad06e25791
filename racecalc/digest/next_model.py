"""The next fast work as a report proposes it: days weighed, and works side by side."""

from dataclasses import dataclass
from datetime import date

from racecalc.daybook import Barn
from racecalc.digest.model import Horse, Target
from racecalc.digest.number import Number, numbers_in
from racecalc.digest.outlook_model import Outlook, OutlookDay

__all__ = ["NextWork", "PlanDay", "PlanWork", "PoleCall", "Reason"]


@dataclass(frozen=True)
class Reason:
    """What one rule says of a day; ``says`` as in `racecalc.planning.Judgement`."""

    rule: str
    says: str


@dataclass(frozen=True)
class PlanDay:
    """One day on which the horse might work.

    ``cost`` is in days of waiting, and missing of a day that a rule refuses.
    """

    day: date
    allowed: bool
    since: Number | None
    to_race: Number | None
    outlook: OutlookDay
    reasons: tuple[Reason, ...]
    cost: Number | None

    @property
    def refused_by(self) -> tuple[str, ...]:
        """Return the rules that refuse the day."""
        return tuple(reason.rule for reason in self.reasons if reason.says == "refused")


@dataclass(frozen=True)
class PoleCall:
    """A pole on the way, and the watch there at an even pace."""

    pole: str
    colour: str | None
    to_finish_m: float
    watch: Number


@dataclass(frozen=True)
class PlanWork:
    """One work that might be set.

    ``kind`` is ``shorter``, ``same``, ``longer``, ``easier`` (as far as the last) or ``threshold``
    (a gallop at the pace of the newest test). ``time`` is missing where there are too few works to
    expect one from; ``low`` and ``high`` hold 95 of 100 such works; ``pace`` is the mean speed.
    ``learned`` says whether earlier works tell what the word for the effort means, ``sharper``
    whether more is asked than of the last. ``fast`` is the fast ground that it adds, ``fast_30d``
    what the 30 days come to with it.
    """

    kind: str
    distance: Number
    effort: str
    learned: bool
    sharper: bool
    time: Number | None
    low: Number | None
    high: Number | None
    pace: Number | None
    fast: Number | None
    fast_30d: Number | None
    over_limit: bool
    calls: tuple[PoleCall, ...]


@dataclass(frozen=True)
class NextWork:
    """The next fast work of one horse, proposed from what is known on a day.

    ``since_what`` is ``work`` or ``race``. ``planned`` is the day on which the horse would work if
    footing and weather did not matter; ``gap`` is its usual number of days from work to work.
    ``cost_from`` says whose the cost of bad footing is: ``asked``, ``barn`` or ``default``.
    ``lean`` is ``low`` or ``high`` where middling chances of this track came true more or less
    often than stated. ``out_of_work``: too long since the last work or race for any proposal;
    ``least_days`` is the fewest days since it. ``best`` is missing where every day is refused.
    ``fast`` is the fast ground in the 30 days that end with the day proposed, a work like the last
    included; ``idle`` the days without a work or a race, where no day is proposed.
    """

    barn: Barn
    horse: Horse
    last: date
    track: str
    target: Target | None
    since_day: date | None
    since_what: str | None
    gap: Number | None
    planned: date | None
    asked_for: bool
    cost_from: str
    lean: str | None
    out_of_work: bool
    least_days: int
    bad_footing: Number
    fast: Number | None
    usual_fast: tuple[Number, Number] | None
    idle: Number | None
    fast_limit: Number | None
    outlook: Outlook | None
    days: tuple[PlanDay, ...]
    best: date | None
    fall_backs: tuple[date, ...]
    works: tuple[PlanWork, ...]
    threshold: Number | None
    threshold_day: date | None
    lacks: tuple[str, ...]
    left_out: tuple[str, ...]
    withheld_notes: int
    data_hash: str

    def day(self, day: date | None) -> PlanDay | None:
        """Return what is told of a day."""
        return next((one for one in self.days if one.day == day), None)

    def numbers(self) -> tuple[Number, ...]:
        """Return every number of the report, as `numbers_in` orders and names them."""
        return numbers_in(self)
