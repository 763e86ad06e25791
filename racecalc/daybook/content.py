"""The hash of a slice: what it says, whatever the order and the numbers of its rows."""

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

import numpy as np
import pandas as pd

from racecalc.daybook.barn import Barn
from racecalc.daybook.gps import GPS

__all__ = ["data_hash", "table_hash"]

_ROW_NUMBER = re.compile(r", row \d+")
_ENCODE = json.JSONEncoder().encode
# A whole column is written at once: to begin anew for each row costs more than its cells. Within a
# cell JSON never writes this character.
_BETWEEN = "\n"
_COLUMN = json.JSONEncoder(separators=(_BETWEEN, ": ")).encode


def data_hash(
    horse: str,
    barn: Barn,
    tables: Mapping[str, pd.DataFrame],
    left_out: list[str],
    withheld: int,
    known: Mapping[str, str] | None = None,
) -> str:
    """Return the SHA-256 of a slice's content in canonical form, in hexadecimal.

    The order of rows and their numbers in the file do not enter, but for entries of one track and
    day in the surface log. ``known`` holds the hashes of tables that were hashed before.
    """
    known = known or {}
    reasons = sorted(_ROW_NUMBER.sub("", text) for text in left_out)
    # What the barn has not set is no content: a setting that is new changes no old book's hash.
    settings = {key: value for key, value in asdict(barn).items() if value is not None}
    for name in ("speed_classes_m_s", "rest_days"):
        if not settings[name]:
            del settings[name]
    hashes = {name: known.get(name) or table_hash(name, tables[name]) for name in sorted(tables)}
    head = {"horse": horse, "barn": settings, "left_out": reasons, "withheld": withheld}
    return hashlib.sha256(json.dumps([head, hashes], sort_keys=True).encode()).hexdigest()


def table_hash(name: str, frame: pd.DataFrame) -> str:
    """Return the SHA-256 of one table's content, in hexadecimal."""
    digest = hashlib.sha256()
    if name == GPS:
        for work, points in frame.groupby("work") if len(frame) else ():
            digest.update(_ENCODE([work, len(points)]).encode() + _point_bytes(points))
        return digest.hexdigest()
    columns = {column: _cells(values) for column, values in frame.items() if column != "row"}
    if name == "surface":
        # Of two entries of one day the later one counts, so that their order is content.
        columns["order"] = _cells(frame.groupby(["date", "track"]).cumcount())
    digest.update(_ENCODE([*columns]).encode())
    lines = sorted([f"[{', '.join(row)}]" for row in zip(*columns.values(), strict=True)])
    digest.update("\n".join(lines).encode())
    return digest.hexdigest()


def _point_bytes(points: pd.DataFrame) -> bytes:
    """Return the points of a work as numbers in a row: thousands of them are hashed at once."""
    numbers = points[["latitude_deg", "longitude_deg"]].to_numpy(dtype="<f8") + 0.0
    times = points["time"].to_numpy(dtype="datetime64[ns]").astype("<i8")
    order = np.argsort(times, kind="stable")
    return times[order].tobytes() + numbers[order].tobytes()


def _cells(column: "pd.Series[Any]") -> list[str]:
    """Return what JSON writes for each cell."""
    values = column.to_numpy()
    cells: list[Any]
    if values.dtype.kind == "M":
        cells = np.datetime_as_string(values.astype("datetime64[D]")).tolist()
    elif values.dtype.kind == "f":
        cells = [None if value != value else value for value in (values + 0.0).tolist()]
    else:
        cells = values.tolist()
    return _COLUMN(cells)[1:-1].split(_BETWEEN) if cells else []
