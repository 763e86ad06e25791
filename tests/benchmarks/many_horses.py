"""A large invented barn: the horses of the sample stable over and over, no two of them alike.

Each copy has lost about one row in twelve, by chance, so that no two reports, and no two of their
pictures, are the same.
"""

import csv
import random
import shutil
from collections.abc import Iterator
from pathlib import Path

from tests.conftest import ROOT

__all__ = ["write_barn"]

SAMPLE = ROOT / "sample_runs" / "daybook"
_LOST = 1 / 12
_OF_HORSES = (
    "horses", "shares", "exercise", "works", "splits", "measurements", "fitness", "footfalls",
    "targets",
)  # fmt: skip
# A clip or a test without one of its rows would be another matter.
_WHOLE = ("horses", "shares", "splits", "fitness", "footfalls", "targets")


def write_barn(folder: Path, horses: int) -> Path:
    """Write a daybook with so many horses, the same for the same number."""
    folder.mkdir(parents=True)
    for path in SAMPLE.iterdir():
        if path.is_dir():
            continue
        if path.stem in _OF_HORSES:
            _write(path, folder / path.name, horses)
        else:
            shutil.copyfile(path, folder / path.name)
    return folder


def _write(source: Path, target: Path, horses: int) -> None:
    with source.open(newline="", encoding="utf-8") as file:
        head, *rows = csv.reader(file)
    with target.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(head)
        for number, kept in _copies(horses):
            writer.writerows(_rows(source.stem, head, rows, number, kept))


def _copies(horses: int) -> Iterator[tuple[int, set[str]]]:
    """Yield the number of each copy of the stable, and which of its horses are in it."""
    with (SAMPLE / "horses.csv").open(newline="", encoding="utf-8") as file:
        ids = [row["horse"] for row in csv.DictReader(file)]
    for number in range(-(-horses // len(ids))):
        yield number, set(ids[: horses - number * len(ids)])


def _rows(
    table: str, head: list[str], rows: list[list[str]], number: int, kept: set[str]
) -> Iterator[list[str]]:
    lost = _lost_works(number)
    chance = random.Random(f"{table} {number}")
    for row in rows:
        cells = dict(zip(head, row, strict=True))
        if cells.get("work") in lost or ("horse" in cells and cells["horse"] not in kept):
            continue
        if table == "splits" and _HORSE_OF[cells["work"]] not in kept:
            continue
        if table not in (*_WHOLE, "works") and chance.random() < _LOST:
            continue
        for name in ("horse", "work"):
            if name in cells:
                cells[name] = f"{cells[name]}-{number}"
        if table == "horses":
            cells["name"] = f"{cells['name']} {number}"
        yield list(cells.values())


def _lost_works(number: int) -> set[str]:
    chance = random.Random(f"works {number}")
    return {work for work in _HORSE_OF if chance.random() < _LOST}


def _horses_of_works() -> dict[str, str]:
    with (SAMPLE / "works.csv").open(newline="", encoding="utf-8") as file:
        return {row["work"]: row["horse"] for row in csv.DictReader(file)}


_HORSE_OF = _horses_of_works()
