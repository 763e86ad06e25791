"""Charts joined into one: laid on one another, or put below one another.

Altair makes each mark with its rows; they are joined here as what it made of them. As objects they
would be copied at each level, with all that their parts leave unsaid, which takes longer than all
else in a report.
"""

import math
from collections.abc import Sequence
from typing import Any

import altair as alt
import numpy as np
import pandas as pd
from altair.utils import schemapi

__all__ = ["Joined", "below", "drawn_from", "layer", "named_once", "plain", "sized"]

Joined = dict[str, Any]
"""A specification as Vega-Lite has it, its rows where they are drawn; without a look."""

Rows = pd.DataFrame | Sequence[dict[str, Any]]

_OF_THE_WHOLE = ("$schema", "config")
_PARTS = ("layer", "vconcat")
_TYPES = {"N": "nominal", "O": "ordinal", "Q": "quantitative", "T": "temporal"}


def drawn_from(rows: Rows) -> alt.Chart:
    """Return a chart of rows that have no mark yet; a number that is none is blank.

    They hold numbers, texts, yes and no: what JSON can hold. Altair would look for more.
    """
    if isinstance(rows, pd.DataFrame):
        columns = [column.tolist() for _, column in rows.items()]
        names = [str(name) for name in rows]
        rows = [dict(zip(names, row, strict=True)) for row in zip(*columns, strict=True)]
    values = [{name: _blank_if_none(value) for name, value in row.items()} for row in rows]
    return alt.Chart(alt.InlineData(values=values))


def _number(value: Any) -> Any:
    """Return a number of numpy's as one that JSON can hold."""
    return value.item() if isinstance(value, np.generic) else value


def _blank_if_none(value: Any) -> Any:
    value = _number(value)
    return None if isinstance(value, float) and not math.isfinite(value) else value


def plain(chart: "alt.Chart | Joined") -> Joined:
    """Return a chart as a specification.

    Altair's own `to_dict` takes ten times as long over what charts here are made of. It is used
    where charts are compared with the schema, so that both ways are compared with one another.
    """
    if isinstance(chart, dict):
        return chart
    made: Joined
    if not schemapi.DEBUG_MODE:
        made = _bare(chart)
        return made
    made = chart.to_dict(validate=False)
    rows = made.pop("datasets", {})
    if "data" in made:
        made["data"] = {"values": rows[made["data"]["name"]]}
    return {key: value for key, value in made.items() if key not in _OF_THE_WHOLE}


def _bare(value: Any) -> Any:
    """Return an object of Altair as plain data, without what it leaves unsaid."""
    if isinstance(value, schemapi.SchemaBase):
        return _bare(value._args[0]) if value._args else _spoken(value._kwds)
    if isinstance(value, dict):
        return {key: _bare(held) for key, held in value.items() if held is not alt.Undefined}
    if isinstance(value, (list, tuple)):
        return [_bare(held) for held in value]
    return _number(value)


def _spoken(held: dict[str, Any]) -> Joined:
    """Return properties as plain data; ``day:O`` is a field and its type."""
    said: Joined = {}
    if isinstance(held.get("shorthand"), str):
        said["field"], _, kind = held["shorthand"].partition(":")
        # A second place on an axis has no type of its own.
        said |= {"type": _TYPES[kind]} if "type" in held else {}
    for key, value in held.items():
        if key == "values":
            said[key] = value
        elif key == "mark" and isinstance(value, str):
            said[key] = {"type": value}
        elif key != "shorthand" and value is not alt.Undefined:
            said[key] = _bare(value)
    return said


def layer(*charts: "alt.Chart | Joined", **size: int) -> Joined:
    """Lay charts on one another, the first lowest."""
    return _joined("layer", charts) | size


def below(*charts: "alt.Chart | Joined", spacing: int) -> Joined:
    """Put charts below one another, so many pixels apart."""
    return _joined("vconcat", charts) | {"spacing": spacing}


def sized(chart: "alt.Chart | Joined", width: int, height: int) -> Joined:
    """Give a chart its size in pixels."""
    return plain(chart) | {"width": width, "height": height}


def named_once(whole: Joined) -> Joined:
    """Return a specification whose rows stand once under ``datasets``, however often drawn."""
    known: list[Any] = []

    def named(part: Any) -> Any:
        if not isinstance(part, dict):
            return part
        part = {
            key: [named(one) for one in held] if key in _PARTS else held
            for key, held in part.items()
        }
        if "data" in part:
            rows = part["data"]["values"]
            if rows not in known:
                known.append(rows)
            part["data"] = {"name": _name(known.index(rows))}
        return part

    found: Joined = named(whole)
    return found | {"datasets": {_name(place): rows for place, rows in enumerate(known)}}


def _name(place: int) -> str:
    return f"rows-{place + 1}"


def _joined(how: str, charts: "tuple[alt.Chart | Joined, ...]") -> Joined:
    parts = [plain(chart) for chart in charts]
    common = parts[0].get("data")
    if common is None or any(part.get("data") != common for part in parts):
        return {how: parts}
    # Rows that all of them draw are those of the whole.
    bare = [{key: value for key, value in part.items() if key != "data"} for part in parts]
    return {"data": common, how: bare}
