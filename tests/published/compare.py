"""Comparison with printed values, and the small tables that hold them."""

import csv
from pathlib import Path

TABLES = Path(__file__).parent / "tables"


def assert_published(actual: float, printed: str, *, error: float | None = None) -> None:
    """Fail unless ``actual`` agrees with a printed number.

    ``printed`` is the number as the source prints it; the tolerance is half its last digit, unless
    the source states its own ``error``.
    """
    text = printed.replace(",", "").strip()
    decimals = len(text.partition(".")[2])
    tolerance = 0.5 * 10.0**-decimals if error is None else error
    difference = abs(float(actual) - float(text))
    assert difference <= tolerance * (1 + 1e-9), (
        f"computed {float(actual)!r}, printed {printed}, differs by {difference:g} > {tolerance:g}"
    )


def published_table(name: str) -> list[dict[str, str]]:
    """Read a table of printed values; lines that begin with ``#`` give its citation."""
    lines = (TABLES / name).read_text(encoding="utf-8").splitlines()
    assert any(line.startswith("# source:") for line in lines), f"{name} names no source"
    assert any(line.startswith("# read:") for line in lines), f"{name} does not say how it was read"
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))
