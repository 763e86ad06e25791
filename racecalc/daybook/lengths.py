"""Lengths of the body of the wrong kind, by the girth of the same horse.

``length`` is from the point of the shoulder to the point of the buttock. Others measure from the
elbow, or tape round the body; a formula for weight is for one of these only. The limits are this
project's own choice: in the worked examples of the formulas a length from the shoulder is 0.88 to
0.93 of the girth; one from the elbow would be 0.61 to 0.64, by the divisors printed for each.
"""

import numpy as np
import pandas as pd

from racecalc.daybook.table import Table

__all__ = ["check_lengths"]

_SHORTEST, _LONGEST = 0.75, 1.15
_NEAR = pd.Timedelta(days=31)


def check_lengths(table: Table) -> None:
    """Warn of lengths that are short or long beside the horse's girth; they are used as they are.

    A length is compared with the girth of its day, else with the nearest within 31 days. Where a
    day has several girths it is the middle one, of two the smaller.

    Parameters
    ----------
    table : Table
        The measurements; refused rows are passed over.
    """
    pairs = _beside(table)
    share = np.full(len(table), np.nan)
    girth = np.zeros(len(table), dtype=np.int64)
    share[pairs["place"]] = pairs["value"] / pairs["value_girth"]
    girth[pairs["place"]] = pairs["place_girth"]

    def says(i: int, what: str) -> str:
        beside = int(girth[i])
        day = table.dates("date")[beside].astype("datetime64[D]")
        return (
            f"{table.cell(i, 'value')} is {share[i]:.2f} of the girth of {day} "
            f"({table.cell(beside, 'value')} in row {table.row(beside)}){what}; check both, they "
            "are used as they are"
        )

    # The divisors printed for the two lengths, 228.1 and 330 (inches and pounds), differ by 31 %.
    elbow = (
        ", as if taken from the elbow: length is from the point of the shoulder to the point of "
        "the buttock, and a weight by a formula for that would come out about 30 % too low"
    )
    other = ", longer than from the point of the shoulder to the point of the buttock"
    table.flag(share < _SHORTEST, "value", lambda i: says(i, elbow), "warning")
    table.flag(share > _LONGEST, "value", lambda i: says(i, other), "warning")


def _beside(table: Table) -> pd.DataFrame:
    """Return each length with a girth near it, by their positions in the table."""
    frame = table.frame[["horse", "date", "what", "value"]].assign(place=np.arange(len(table)))
    frame = frame[~table.refused & frame.notna().all(axis=1)]
    lengths = frame[frame["what"] == "length"].sort_values("date", kind="stable")
    girths = frame[frame["what"] == "girth"].sort_values("value", kind="stable")
    days = girths.groupby(["horse", "date"])
    middle = (days["value"].transform("size") - 1) // 2
    girths = girths[days.cumcount() == middle].sort_values("date", kind="stable")
    return pd.merge_asof(
        lengths,
        girths[["horse", "date", "value", "place"]],
        on="date",
        by="horse",
        suffixes=("", "_girth"),
        tolerance=_NEAR,
        direction="nearest",
    ).dropna(subset="value_girth")
