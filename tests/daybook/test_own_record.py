"""Measurements against their horse's own record.

The limits are this project's own choice. That real horses keep inside is checked with the figures
that the comments name.
"""

from pathlib import Path
from statistics import median

import numpy as np
import pandas as pd
import pytest

from racecalc import daybook
from racecalc.daybook.own_record import check_own_record
from racecalc.daybook.schema import SCHEMA
from racecalc.daybook.table import Table
from tests.daybook.stable import TABLES, problems_of

HEADER = TABLES["measurements"].splitlines()[0]
PIP = "horse,name,foaled\nbrindle,Brindle,2022\n007,Seven,2021\npip,Pip,2025-04-20\n"


def rows(*lines: str) -> str:
    return "\n".join([HEADER, *lines]) + "\n"


def row(day: str, value: str, what: str = "weight", method: str = "scale", horse="brindle") -> str:
    return f'{day},{horse},{what},"{value}",,{method},,'


def found(folder: Path, *lines: str) -> list[str]:
    return problems_of(folder, measurements=rows(*lines), horses=PIP)


def places(problems: list[str]) -> list[tuple[int, str]]:
    return [
        (int(line.split(":")[1]), "warning" if ": warning: " in line else "error")
        for line in problems
    ]


def test_a_weight_that_doubles_in_a_week_is_an_error_that_names_the_other(tmp_path: Path) -> None:
    assert found(tmp_path, row("2026-10-21", "1,042 lb"), row("2026-10-28", "2,084 lb")) == [
        'measurements.csv:3:value: "2,084 lb" is twice the weight of 2026-10-21 ("1,042 lb" in '
        "row 2); correct it"
    ]
    book = daybook.read(tmp_path)
    assert book.tables["measurements"]["value"].tolist() == pytest.approx([472.643], abs=1e-3)


def test_of_two_that_are_both_likely_neither_is_used(tmp_path: Path) -> None:
    assert found(tmp_path, row("2026-10-21", "360 kg"), row("2026-10-28", "500 kg")) == [
        'measurements.csv:2:value: "360 kg" is 28 % below the weight of 2026-10-28 ("500 kg" in '
        "row 3); one of the two is wrong; correct it",
        'measurements.csv:3:value: "500 kg" is 39 % above the weight of 2026-10-21 ("360 kg" in '
        "row 2); one of the two is wrong; correct it",
    ]
    assert daybook.read(tmp_path).rows_refused["measurements"] == 2


def test_pounds_that_are_kilograms_are_named(tmp_path: Path) -> None:
    """Of a horse that is nearly too large for pounds to be noticed: 600 lb are 272 kg."""
    [line] = found(tmp_path, row("2026-10-21", "598 kg"), row("2026-10-28", "600 lb"))
    assert line.startswith('measurements.csv:3:value: "600 lb" is 54 % below the weight of')
    assert line.endswith("; if kilograms were meant, write 600 kg")


def test_with_three_the_median_tells_which_is_wrong(tmp_path: Path) -> None:
    days = [("2026-10-01", "16.2"), ("2026-10-15", "15.2"), ("2026-11-01", "16.2 1/4")]
    lines = [row(day, value, "height", "stick") for day, value in days]
    assert found(tmp_path, *lines) == [
        'measurements.csv:3:value: "15.2" is 4.0 in below the median of the 3 heights within 100 '
        "days (16.2); correct it"
    ]


def test_the_median_is_written_in_the_notation_of_the_cell(tmp_path: Path) -> None:
    values = ["1.88 m", "188 cm", "30 in", "74 in", "100 in"]
    lines = [row(f"2026-10-0{n}", value, "girth", "") for n, value in enumerate(values, 1)]
    told = found(tmp_path, *lines)
    assert "no grown horse has" in told[0]
    assert told[1].endswith(
        '"100 in" is 35 % above the median of the 4 girths within 60 days (74.0 in); correct it'
    )
    metric = [row(f"2026-10-0{n}", f"{v} m", "girth", "") for n, v in enumerate((1.9, 1.5, 1.9), 1)]
    assert "(1.900 m)" in found(tmp_path / "m", *metric)[0]


def test_a_wrong_reading_between_two_days_far_apart_is_refused_alone(tmp_path: Path) -> None:
    """Each end sees only the wrong one; the middle sees both, so that it is known to be wrong."""
    days = ("2026-06-01", "2026-07-15", "2026-09-01")
    lines = [row(day, kg) for day, kg in zip(days, ("480 kg", "690 kg", "482 kg"), strict=True)]
    assert places(found(tmp_path, *lines)) == [(3, "error")]


def test_a_wrong_end_of_three_days_far_apart_is_refused_alone(tmp_path: Path) -> None:
    days = ("2026-06-01", "2026-07-15", "2026-09-01")
    lines = [row(day, kg) for day, kg in zip(days, ("480 kg", "484 kg", "690 kg"), strict=True)]
    [line] = found(tmp_path, *lines)
    assert places([line]) == [(4, "error")]
    assert line.endswith('("484 kg" in row 3); correct it')


def test_a_wrong_row_pasted_twice_does_not_outvote_a_right_one(tmp_path: Path) -> None:
    twice = [row("2026-10-28", "690 kg")] * 2
    told = found(tmp_path, row("2026-10-21", "480 kg"), *twice)
    assert places(told) == [(2, "error"), (3, "error"), (4, "error")]


def test_a_refused_row_is_no_record(tmp_path: Path) -> None:
    told = found(tmp_path, row("2026-10-21", "480 kg"), row("2026-10-28", "5,000 lb"))
    assert places(told) == [(3, "error")]


@pytest.mark.parametrize(
    ("what", "method", "values", "level"),
    [
        ("weight", "scale", ("500 kg", "550 kg"), None),
        ("weight", "scale", ("500 kg", "551 kg"), "warning"),
        ("weight", "scale", ("500 kg", "650 kg"), "warning"),
        ("weight", "scale", ("500 kg", "651 kg"), "error"),
        ("weight", "tape", ("500 kg", "650 kg"), None),
        ("weight", "tape", ("500 kg", "651 kg"), "error"),
        ("weight", "estimate", ("500 kg", "650 kg"), None),
        ("weight", "", ("500 kg", "651 kg"), "error"),
        ("height", "stick", ("160 cm", "164 cm"), None),
        ("height", "stick", ("160 cm", "164.1 cm"), "warning"),
        ("height", "laser", ("160 cm", "167.5 cm"), "warning"),
        ("height", "laser", ("160 cm", "167.6 cm"), "error"),
        ("girth", "", ("180 cm", "198 cm"), None),
        ("girth", "", ("180 cm", "198.1 cm"), "warning"),
        ("girth", "", ("180 cm", "216.1 cm"), "error"),
        ("length", "", ("150 cm", "165.1 cm"), "warning"),
        ("length", "", ("150 cm", "180.1 cm"), "error"),
        ("cannon", "", ("20 cm", "22 cm"), None),
        ("cannon", "", ("20 cm", "22.1 cm"), "warning"),
        ("cannon", "", ("20 cm", "24.1 cm"), "error"),
    ],
)
def test_the_limits(
    tmp_path: Path, what: str, method: str, values: tuple[str, str], level: str | None
) -> None:
    lines = [row(f"2026-10-0{n}", value, what, method) for n, value in enumerate(values, 1)]
    expected = [] if level is None else [(2, level), (3, level)]
    assert places(found(tmp_path, *lines)) == expected
    backwards = places(found(tmp_path / "backwards", *reversed(lines)))
    assert backwards == expected


@pytest.mark.parametrize(
    ("what", "day", "seen"),
    [
        ("weight", "2026-03-02", True),
        ("weight", "2026-03-03", False),
        ("height", "2026-04-11", True),
        ("height", "2026-04-12", False),
    ],
)
def test_only_readings_of_the_window_count(tmp_path: Path, what: str, day: str, seen: bool) -> None:
    """Sixty days from 2026-01-01 is 2026-03-02; a hundred is 2026-04-11."""
    values = ("360 kg", "500 kg") if what == "weight" else ("16.2", "15.2")
    lines = [row("2026-01-01", values[0], what), row(day, values[1], what)]
    assert bool(found(tmp_path, *lines)) is seen


def test_ways_of_weighing_horses_and_kinds_are_kept_apart(tmp_path: Path) -> None:
    lines = [
        row("2026-10-01", "500 kg"),
        row("2026-10-01", "690 kg", method="tape"),
        row("2026-10-01", "360 kg", method="estimate"),
        row("2026-10-01", "690 kg", horse="007"),
        row("2026-10-01", "190 cm", "girth", ""),
        row("2026-10-01", "160 cm", "length", ""),
    ]
    assert found(tmp_path, *lines) == []


def test_a_height_is_compared_whatever_its_method_and_shoes(tmp_path: Path) -> None:
    lines = ["2026-10-01,brindle,height,16.2,no,stick,,", "2026-10-02,brindle,height,15.2,yes,,,"]
    assert places(found(tmp_path, *lines)) == [(2, "error"), (3, "error")]


# What real horses do within the windows, with where it was read (research notes of the project):
# a race costs 0.7 % and a day of races 1.0 % (40 Thoroughbreds, Equine Vet J Suppl 2002); without
# food for a day 3.5 %; a race with furosemide 3.55 % (Standardbreds, 2002); transport over 600 km
# 3 %; in a season 6 to 8 kg (BMC Vet Res 2017). A trot raises the withers by 1.75 cm (Hodges 1986),
# 20 minutes of standing lower them by 0.48 cm (Curtis 2010), shoes add 1.0 cm (pony rule).
REAL = {
    "a race": ("weight", ["480 kg", "476.6 kg", "480 kg"]),
    "a day of races": ("weight", ["480 kg", "475.2 kg"]),
    "without food": ("weight", ["480 kg", "463.2 kg"]),
    "race with furosemide": ("weight", ["480 kg", "463.0 kg", "475.7 kg"]),
    "transport": ("weight", ["480 kg", "465.6 kg"]),
    "all of these at once": ("weight", ["488 kg", "453 kg"]),
    "after a trot and shod": ("height", ["160 cm", "162.75 cm", "159.52 cm"]),
}


@pytest.mark.parametrize("name", REAL)
def test_what_a_real_horse_does_is_not_spoken_of(tmp_path: Path, name: str) -> None:
    what, values = REAL[name]
    lines = [row(f"2026-10-0{n}", value, what) for n, value in enumerate(values, 1)]
    assert found(tmp_path, *lines) == []


def test_a_growing_yearling_is_not_spoken_of(tmp_path: Path) -> None:
    """Foaled on 20 April: eight months old on New Year's Day.

    Height is 0.82 of the grown one at 6 months, 0.89 at 12, 0.95 at 18, 0.97 at 24 (extension.org);
    weight 0.43 at 6 months and 0.61 at 12 (Brown-Douglas), 0.85 at 24 (Pagan); straight lines
    between, of a horse that will be 165 cm and 500 kg.
    """
    days = pd.date_range("2026-01-01", "2026-12-31", freq="7D")
    months = (days - pd.Timestamp("2025-04-20")).days / 30.44
    heights = 165 * np.interp(months, [6, 12, 18, 24], [0.82, 0.89, 0.95, 0.97])
    weights = 500 * np.interp(months, [6, 12, 24], [0.43, 0.61, 0.85])
    for step in (1, 4, 6, 9, 14):
        lines = []
        for day, height, weight in list(zip(days, heights, weights, strict=True))[::step]:
            lines.append(row(f"{day.date()}", f"{height:.1f} cm", "height", "stick", "pip"))
            lines.append(row(f"{day.date()}", f"{weight:.1f} kg", "weight", "scale", "pip"))
        assert found(tmp_path / f"{step}", *lines) == []


def test_a_yearling_is_held_to_its_record_and_a_foal_is_not(tmp_path: Path) -> None:
    def twice(year: int) -> list[tuple[int, str]]:
        days = (f"{year}-12-01", f"{year}-12-05")
        kilograms = ("160 kg", "320 kg")
        pairs = zip(days, kilograms, strict=True)
        return places(found(tmp_path / f"{year}", *(row(d, v, horse="pip") for d, v in pairs)))

    assert twice(2025) == []
    assert twice(2026) == [(2, "error"), (3, "error")]


KINDS = {"weight": (480.0, 60, 0.3, 0.1), "height": (1.62, 100, 0.075, 0.04),
         "girth": (1.85, 60, 0.2, 0.1)}  # fmt: skip


def invented(seed: int) -> pd.DataFrame:
    """Readings of two horses with many wrong ones; windows are of all sizes."""
    chance = np.random.default_rng(seed)
    count = int(chance.integers(2, 40))
    what = chance.choice(list(KINDS), count)
    factor = chance.choice(
        [1.0, 1.01, 1.03, 1.12, 1.25, 1.45], count, p=[0.4, 0.2, 0.1, 0.1, 0.1, 0.1]
    )
    days = chance.integers(0, 600, count)
    return pd.DataFrame(
        {
            "date": pd.Timestamp("2025-01-01") + pd.to_timedelta(days, "D"),
            "horse": chance.choice(["a", "b"], count),
            "what": what,
            "value": [KINDS[w][0] * f for w, f in zip(what, factor, strict=True)],
            "method": chance.choice(["scale", "tape"], count),
        }
    ).astype({"what": object, "horse": object, "method": object})


def told(frame: pd.DataFrame) -> dict[int, str]:
    """Return the level of what is said of each row."""
    table = Table(SCHEMA["measurements"], "m", frame, np.zeros(len(frame), dtype=bool))
    check_own_record(table, np.full(len(frame), np.nan))
    assert len({problem.row for problem in table.problems}) == len(table.problems)
    return {problem.row: problem.level for problem in table.problems}


def by_hand(frame: pd.DataFrame) -> dict[int, str]:
    """The same with loops: each reading beside the list of those of its window."""
    unlikely = {"weight": (350, 700), "height": (1.42, 1.83), "girth": (1.5, 2.2)}
    readings = {}
    for line in frame.itertuples():
        way = line.method if line.what == "weight" else ""
        key = (line.horse, line.what, way, line.date, line.value)
        readings.setdefault(key, []).append(line.row)

    def window(key):
        days = KINDS[key[1]][1]
        return [k for k in readings if k[:3] == key[:3] and abs((k[3] - key[3]).days) <= days]

    def away(key, number):
        what, value, near = key[1], key[4], window(key)
        limit = KINDS[what][number]
        if what == "weight" and number == 3 and key[2] != "scale":
            return False
        others = [k[4] for k in near if k != key]
        if len(others) == 1:
            base = min(value, others[0])
            against = others[0]
        else:
            against = base = median(k[4] for k in near)
        return abs(value - against) > limit * (1 if what == "height" else base) * (1 + 1e-9)

    def odd(key):
        low, high = unlikely[key[1]]
        return not low <= key[4] <= high

    def wrong(key, number):
        near = window(key)
        if not away(key, number) or len(near) != 2:
            return away(key, number)
        [other] = [k for k in near if k != key]
        if len(window(other)) == 2:
            return not (odd(other) and not odd(key))
        return not away(other, number)

    return {
        number: "error" if wrong(key, 2) else "warning"
        for key, numbers in readings.items()
        for number in numbers
        if wrong(key, 2) or wrong(key, 3)
    }


@pytest.mark.parametrize("seed", range(60))
def test_the_same_is_said_as_by_hand_in_whatever_order_the_rows_stand(seed: int) -> None:
    frame = invented(seed).assign(row=lambda table: np.arange(len(table)) + 2)
    expected = by_hand(frame)
    assert told(frame) == expected
    mixed = frame.sample(frac=1, random_state=seed).reset_index(drop=True)
    assert told(mixed) == expected


def test_the_invented_readings_hold_every_case() -> None:
    levels = [
        level
        for seed in range(60)
        for level in by_hand(
            invented(seed).assign(row=lambda table: np.arange(len(table)) + 2)
        ).values()
    ]
    assert min(levels.count("error"), levels.count("warning")) > 20


def test_a_table_without_anything_to_compare_is_passed_over(tmp_path: Path) -> None:
    pulse = [row(f"2026-10-0{n}", str(30 * n), "pulse", "") for n in (1, 2)]
    assert found(tmp_path / "a", *pulse) == []
    assert found(tmp_path / "b") == []
