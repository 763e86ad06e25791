"""The sample daybook: what its script makes, right in itself, and read without a complaint."""

import csv
import importlib
from collections import Counter, defaultdict
from datetime import date
from itertools import pairwise
from pathlib import Path

import numpy as np
import pandas as pd
import pyproj
import pytest

from racecalc.daybook import Book, read
from racecalc.notation import read_clock, read_distance, read_mass, read_pole, read_speed
from racecalc.track import along, oval, positions

Row = dict[str, str]

_ROOT = Path(__file__).resolve().parent.parent

# Metres per second, by common practice; two farms' pages put the gallop at 16 to 18 seconds a
# furlong (11.2 to 12.6); the top step of a step test is quicker, to bring the heart to 200 (14.3).
_SPEED_LIMITS = {
    "walk": (1.6, 2.0),
    "jog": (3.6, 5.0),
    "canter": (7.0, 9.0),
    "gallop": (11.0, 14.5),
    "race": (15.5, 17.6),
}


@pytest.fixture(scope="module")
def tables(sample_book: Path) -> dict[str, list[Row]]:
    """Every table of the sample as written, cell by cell."""
    found = {}
    for path in sorted(sample_book.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            found[path.stem] = list(csv.DictReader(file))
    return found


def _of(rows: list[Row], **wanted: str) -> list[Row]:
    return [row for row in rows if all(row[name] == value for name, value in wanted.items())]


def _files(folder: Path) -> dict[str, bytes]:
    paths = [path for path in folder.rglob("*") if path.is_file()]
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in paths}


def _seconds(text: str) -> float:
    return float(read_clock(text, "fifths"))


def test_committed_sample_is_what_the_script_makes(
    sample_book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.syspath_prepend(str(_ROOT / "sample_runs"))
    importlib.import_module("make_sample").write(tmp_path)
    made, committed = _files(tmp_path), _files(sample_book)
    assert made.keys() == committed.keys()
    assert [name for name in made if made[name] != committed[name]] == []


def test_reader_finds_nothing_wrong(sample_book: Path, tables: dict[str, list[Row]]) -> None:
    book = read(sample_book)
    assert [str(problem) for problem in book.problems] == []
    assert {name: len(rows) for name, rows in tables.items()} == {
        name: len(frame) for name, frame in book.tables.items()
    }


def test_sample_stays_small(sample_book: Path) -> None:
    assert sum(len(data) for data in _files(sample_book).values()) < 1_500_000


@pytest.mark.parametrize(("table", "key"), [("horses", "horse"), ("owners", "owner")])
def test_names_and_ids_are_unique(tables: dict[str, list[Row]], table: str, key: str) -> None:
    for column in (key, "name"):
        values = [row[column].casefold() for row in tables[table]]
        assert len(values) == len(set(values))


def test_horse_names_fit_a_registered_name(tables: dict[str, list[Row]]) -> None:
    # Common practice, from memory: 18 characters, blanks included.
    assert max(len(row["name"]) for row in tables["horses"]) <= 18


def test_one_note_alone_names_another_horse_and_none_an_owner(
    tables: dict[str, list[Row]],
) -> None:
    owners = [row["name"] for row in tables["owners"]]
    horses = [row["name"] for row in tables["horses"]]
    notes = [row["note"] for rows in tables.values() for row in rows if row.get("note")]
    assert [note for note in notes if any(name in note for name in owners)] == []
    assert len([note for note in notes if any(name in note for name in horses)]) == 1


@pytest.mark.parametrize("activity", sorted(_SPEED_LIMITS))
def test_exercise_is_done_at_the_speed_of_its_name(
    tables: dict[str, list[Row]], activity: str
) -> None:
    low, high = _SPEED_LIMITS[activity]
    timed = [row for row in _of(tables["exercise"], activity=activity) if row["time"]]
    speeds = [float(read_distance(row["distance"])) / _seconds(row["time"]) for row in timed]
    assert speeds
    assert low <= min(speeds)
    assert max(speeds) <= high


def test_split_clocks_fit_their_work(tables: dict[str, list[Row]]) -> None:
    splits = defaultdict(list)
    for row in tables["splits"]:
        splits[row["work"]].append((read_pole(row["pole"]), _seconds(row["clock"])))
    works = {row["work"]: row for row in tables["works"]}
    assert splits.keys() <= works.keys()
    for work, clocked in splits.items():
        distance_m = read_distance(works[work]["distance"])
        assert all(
            near < far and early < late for (far, early), (near, late) in pairwise(clocked)
        ), work
        assert clocked[0][0] < distance_m, work
        assert dict(clocked)[0] == _seconds(works[work]["time"]), work


def test_split_poles_stand_on_their_track(tables: dict[str, list[Row]]) -> None:
    spacing = {row["track"]: read_distance(row["poles"]) for row in tables["tracks"]}
    lap = {row["track"]: read_distance(row["lap"]) for row in tables["tracks"]}
    track = {row["work"]: row["track"] for row in tables["works"]}
    for row in tables["splits"]:
        to_finish_m = read_pole(row["pole"])
        assert to_finish_m % spacing[track[row["work"]]] == 0
        assert abs(to_finish_m) < lap[track[row["work"]]]


def test_works_start_at_a_pole_as_far_out_as_they_are_long(tables: dict[str, list[Row]]) -> None:
    for row in tables["works"]:
        assert read_pole(row["from_pole"]) == read_distance(row["distance"])


def test_work_states_are_those_of_the_surface_log(tables: dict[str, list[Row]]) -> None:
    log = {(row["date"], row["track"]): row["state"] for row in tables["surface"]}
    assert {row["work"]: row["state"] for row in tables["works"]} == {
        row["work"]: log[row["date"], row["track"]] for row in tables["works"]
    }


def test_company_works_beside_company_under_another_rider(tables: dict[str, list[Row]]) -> None:
    works = {(row["date"], row["horse"]): row for row in tables["works"]}
    together = [row for row in tables["works"] if row["company"]]
    assert together
    for row in together:
        other = works[row["date"], row["company"]]
        assert (other["company"], other["track"], other["distance"]) == (
            row["horse"],
            row["track"],
            row["distance"],
        )
        assert abs(_seconds(row["time"]) - _seconds(other["time"])) < 1
        assert row["rider"] != other["rider"]


def test_rows_lie_within_a_horses_time_in_the_barn(tables: dict[str, list[Row]]) -> None:
    stay = {row["horse"]: (row["arrived"], row["left"] or "9999") for row in tables["horses"]}
    for table in ("exercise", "works", "measurements", "fitness", "footfalls"):
        for row in tables[table]:
            arrived, left = stay[row["horse"]]
            assert arrived <= row["date"] <= left


def test_filly_improves_by_more_than_a_second_over_six_furlongs(
    tables: dict[str, list[Row]],
) -> None:
    six = _of(tables["works"], horse="larder-drizzle", distance="6 f", state="fast")
    *before, last = [_seconds(row["time"]) for row in six]
    assert six[-1]["date"] == "2026-10-28"
    assert min(before) - last > 1


def test_gelding_loses_weight_in_the_wet_fortnight_and_regains_it(
    tables: dict[str, list[Row]],
) -> None:
    weighed = {
        row["date"]: float(read_mass(row["value"]))
        for row in _of(tables["measurements"], horse="mallet-puddle", what="weight")
    }
    before, lowest, after = (weighed[f"2026-10-{on}"] for on in ("03", "17", "28"))
    # 1.75 percent: the smallest change that a day-to-day SD of 0.63 percent lets one see.
    assert (before - lowest) / before > 0.0175
    assert abs(after - before) / before < 0.01


def test_wet_fortnight_closes_the_dirt(tables: dict[str, list[Row]]) -> None:
    closed = [
        row["date"]
        for row in _of(tables["surface"], track="thimble-marsh")
        if row["date"].startswith("2026-10") and row["state"] in ("sloppy", "muddy")
    ]
    assert len(closed) >= 14
    assert (date.fromisoformat(closed[-1]) - date.fromisoformat(closed[0])).days == len(closed) - 1


def test_cast_holds_the_cases_it_is_for(tables: dict[str, list[Row]]) -> None:
    works = Counter(row["horse"] for row in tables["works"])
    october = Counter(
        row["horse"] for row in tables["exercise"] if row["date"].startswith("2026-10")
    )
    owners_of = Counter(row["horse"] for row in tables["shares"] if not row["until"])
    horses_of = Counter(row["owner"] for row in tables["shares"] if not row["until"])
    assert works["trowel-meringue"] == 2
    assert october["hoarfrost-ladle"] == 0
    assert max(owners_of.values()) == 4
    assert horses_of["barrowmead"] == 3
    assert len(_of(tables["shares"], horse="sump-and-thistle")) == 2
    assert _of(tables["works"], horse="spokeshave-sleet")[-1]["date"] < "2026-06"
    assert {row["fps"] for row in tables["footfalls"]} == {"60", "240"}


def test_step_tests_rise_step_by_step(tables: dict[str, list[Row]]) -> None:
    tests = defaultdict(list)
    for row in _of(tables["fitness"], minutes_after=""):
        tests[row["date"], row["horse"]].append(
            (read_speed(row["speed"]), float(row["heart_rate"]), float(row["lactate"]))
        )
    assert len(tests) == 7
    for steps in tests.values():
        assert len(steps) == 5
        assert all(a < b for low, high in pairwise(steps) for a, b in zip(low, high, strict=True))
        # 4 mmol/L has to lie between two steps for a speed to be read there.
        assert steps[0][2] < 4 < steps[-1][2]


def _on_the_track(book: Book, work: str) -> pd.DataFrame:
    """Lay a recorded work on its oval by geodesics of PROJ, which the sample's script does not use.

    Returns seconds since the first point, what is left to the finish without the jumps from lap
    to lap, and metres outside the measuring line.
    """
    works = book.tables["works"].set_index("work")
    track = book.tables["tracks"].set_index("track").loc[works.loc[work, "track"]]
    course = oval(
        track["lap_m"],
        track["straight_m"],
        track["finish_to_turn_m"],
        rail_offset=track["rail_offset_m"],
    )
    points = book.gps.iloc[book.gps_by_work[work]]
    heading, _, away = pyproj.Geod(ellps="WGS84").inv(
        np.full(len(points), track["longitude_deg"]),
        np.full(len(points), track["latitude_deg"]),
        points["longitude_deg"],
        points["latitude_deg"],
    )
    turned = np.radians(np.asarray(heading) - track["bearing_deg"])
    finish = positions(course, 0.0, track["width_m"] / 2 - track["rail_offset_m"]).iloc[0]
    left, out = along(
        course, finish["x_m"] + away * np.cos(turned), finish["y_m"] - away * np.sin(turned)
    )
    since = (points["time"] - points["time"].iloc[0]).dt.total_seconds().to_numpy()
    unbroken = np.unwrap(left, period=course.lap_m)
    return pd.DataFrame({"time_s": since, "to_finish_m": unbroken, "out_m": out})


@pytest.mark.parametrize(("work", "longest_s"), [("LD-261028", 1), ("CF-261022", 9)])
def test_recorded_works_pass_the_poles_when_the_clocker_says(
    sample_book: Path, work: str, longest_s: float
) -> None:
    book = read(sample_book)
    laid = _on_the_track(book, work)
    assert np.diff(laid["time_s"]).max() == longest_s
    splits = book.tables["splits"].query("work == @work")
    lap_m = 1609.344
    # The jog the wrong way is over after 500 s; the walk ends three quarters of a lap past the
    # finish.
    late = laid[laid["time_s"] > 500]
    at_finish = round(late["to_finish_m"].min() / lap_m + 0.75) * lap_m
    left = late["to_finish_m"].to_numpy() - at_finish
    passed_s = np.interp(-splits["to_finish_m"], -left, late["time_s"])
    # Scatter of 1.5 m along the way at 16 m/s is a tenth of a second; a fifth is rounded down.
    begins = passed_s - splits["clock_s"].to_numpy()
    assert np.ptp(begins) < 0.7
    in_work = laid[laid["time_s"].between(begins.mean(), passed_s[-3])]
    assert in_work["out_m"].mean() == pytest.approx(1, abs=0.6)
    assert in_work["out_m"].std() == pytest.approx(1.5, abs=0.4)


@pytest.mark.parametrize("work", ["LD-261028", "CF-261022"])
def test_recorded_works_begin_with_a_jog_the_wrong_way_and_end_at_a_walk(
    sample_book: Path, work: str
) -> None:
    laid = _on_the_track(read(sample_book), work)
    jog, walk = laid[laid["time_s"] < 400], laid[laid["time_s"] > laid["time_s"].max() - 120]

    def speed_m_s(part: pd.DataFrame) -> float:
        ends = part.iloc[[0, -1]]
        return float(-np.diff(ends["to_finish_m"])[0] / np.diff(ends["time_s"])[0])

    assert -4 < speed_m_s(jog) < -3
    assert jog["out_m"].mean() > 15
    assert 1.5 < speed_m_s(walk) < 2
