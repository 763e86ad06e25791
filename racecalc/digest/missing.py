"""What the record does not hold, so that a report can say what it cannot show."""

import pandas as pd

from racecalc import workload
from racecalc.digest.body_model import Measure
from racecalc.digest.model import Missing, Month, TrackLog
from racecalc.digest.work_model import Work

__all__ = ["missing"]

_MISSED = ("height", "weight")


def missing(
    book: dict[str, pd.DataFrame],
    ledger: pd.DataFrame,
    works: tuple[Work, ...],
    measured: dict[str, Measure | None],
    used: list[str],
    logs: tuple[TrackLog, ...],
    month: Month,
) -> tuple[Missing, ...]:
    """Return everything that the report of a month cannot show.

    Parameters
    ----------
    book : dict
        The horse's tables of the daybook.
    ledger : DataFrame
        As `racecalc.workload.ledger` returns it.
    works, logs : tuple
        The month's works and track logs.
    measured : dict
        Measurements as the report shows them; of these it misses height and weight.
    used : list of str
        The tracks that the horse used.
    """
    found = [Missing(what) for what in _MISSED if measured[what] is None]
    if workload.between_days(book["exercise"], month.first, month.last).empty:
        found.append(Missing("exercise"))
    counts = {
        "distance": sum(workload.unmeasured(ledger, month.first, month.last).values()),
        "clock": sum(work.time is None for work in works),
        "splits": sum(work.time is not None and not work.sections for work in works),
    }
    found += [Missing(what, count) for what, count in counts.items() if count]
    names = dict(zip(book["tracks"]["track"], book["tracks"]["name"], strict=True))
    logged = {log.track for log in logs}
    found += [Missing("footing", name=names[track]) for track in used if track not in logged]
    return tuple(found)
