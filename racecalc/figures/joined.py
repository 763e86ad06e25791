"""Charts joined into one: laid on one another, or put below one another.

Altair makes each mark with its rows; they are joined here as what it made of them. As objects they
would be copied at each level, with all that their parts leave unsaid, which takes longer than all
else in a report.
"""

import math
from typing import Any

import altair as alt
import pandas as pd

__all__ = ["Joined", "below", "drawn_from", "layer", "plain", "sized"]

Joined = dict[str, Any]
"""A specification as Vega-Lite has it, its rows under ``datasets``; without a look."""

_OF_THE_WHOLE = ("$schema", "config")


def drawn_from(rows: pd.DataFrame) -> alt.Chart:
    """Return a chart of rows that have no mark yet; a number that is none is blank.

    Its columns hold numbers, texts, yes and no: what JSON can hold. Altair would look for more.
    """
    columns = {str(name): _values(column) for name, column in rows.items()}
    values = [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]
    return alt.Chart(alt.InlineData(values=values))


def _values(column: "pd.Series[Any]") -> list[Any]:
    return [
        None if isinstance(value, float) and not math.isfinite(value) else value
        for value in column.tolist()
    ]


def plain(chart: "alt.Chart | Joined") -> Joined:
    """Return a chart as a specification."""
    if isinstance(chart, dict):
        return chart
    made: Joined = chart.to_dict(validate=False)
    return {key: value for key, value in made.items() if key not in _OF_THE_WHOLE}


def layer(*charts: "alt.Chart | Joined", **size: int) -> Joined:
    """Lay charts on one another, the first lowest."""
    return _joined("layer", charts) | size


def below(*charts: "alt.Chart | Joined", spacing: int, share: tuple[str, ...] = ()) -> Joined:
    """Put charts below one another, so many pixels apart; scales of channels may be shared."""
    whole = _joined("vconcat", charts) | {"spacing": spacing}
    return whole | ({"resolve": {"scale": dict.fromkeys(share, "shared")}} if share else {})


def sized(chart: "alt.Chart | Joined", width: int, height: int) -> Joined:
    """Give a chart its size in pixels."""
    return plain(chart) | {"width": width, "height": height}


def _joined(how: str, charts: "tuple[alt.Chart | Joined, ...]") -> Joined:
    rows: dict[str, Any] = {}
    parts = []
    for chart in charts:
        part = dict(plain(chart))
        rows |= part.pop("datasets", {})
        parts.append(part)
    common = parts[0].get("data")
    if common is None or any(part.get("data") != common for part in parts):
        return {how: parts, "datasets": rows}
    # Rows that all of them draw are those of the whole.
    bare = [{key: value for key, value in part.items() if key != "data"} for part in parts]
    return {"data": common, how: bare, "datasets": rows}
