"""Races that a horse is aimed at."""

from datetime import date

import pandas as pd

from racecalc.daybook import HorseBook
from racecalc.digest.model import Target
from racecalc.digest.number import Number
from racecalc.digest.rows import in_order, rows_of
from racecalc.digest.settings import horse_of

__all__ = ["targets_after"]

# A race further away than this is not "what comes next".
_AHEAD = pd.Timedelta(days=60)


def targets_after(record: HorseBook, last: date) -> tuple[Target, ...]:
    """Return the races within two months after a day, the next first; none of a horse that left.

    Parameters
    ----------
    record : HorseBook
        The horse's slice of the daybook.
    last : date
        The day.
    """
    horse, table = horse_of(record), record.tables["targets"]
    if horse.left and horse.left <= last:
        return ()
    moment = pd.Timestamp(last)
    ahead = table[table["date"].between(moment, moment + _AHEAD, inclusive="right")]
    if ahead.empty:
        return ()
    tracks = record.tables["tracks"]
    names = dict(zip(tracks["track"], tracks["name"], strict=True))
    return tuple(
        Target(
            day=row["date"].date(),
            distance=Number(
                f"targets.{row['date'].date().isoformat()}.distance",
                float(row["distance_m"]),
                "distance",
                "racecalc.daybook.read",
                1,
            ),
            track=names.get(row["track"], row["track"]),
            what=row["what"],
            note=row["note"],
        )
        for row in in_order(rows_of(ahead), "date", "distance_m", "track", "what")
    )
