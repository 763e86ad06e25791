"""The sample daybook: what its script makes, right in itself, and read without a complaint."""

import csv
import importlib
from collections import Counter, defaultdict
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest

from racecalc.daybook import read
from racecalc.notation import read_clock, read_distance, read_mass, read_pole, read_speed

Row = dict[str, str]

_ROOT = Path(__file__).resolve().parent.parent

# Metres per second, by common practice; two farms' pages put the gallop at 16 to 18 seconds a
# furlong (11.2 to 12.6), the top step of a step test at the two-minute lick (13.4).
_SPEED_LIMITS = {
    "walk": (1.6, 2.0),
    "jog": (3.6, 5.0),
    "canter": (7.0, 9.0),
    "gallop": (11.0, 13.5),
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


def _seconds(text: str) -> float:
    return float(read_clock(text, "fifths"))


def test_committed_sample_is_what_the_script_makes(
    sample_book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.syspath_prepend(str(_ROOT / "sample_runs"))
    importlib.import_module("make_sample").write(tmp_path)
    made = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    committed = {path.name: path.read_bytes() for path in sample_book.iterdir()}
    assert made.keys() == committed.keys()
    assert [name for name in made if made[name] != committed[name]] == []


def test_reader_finds_nothing_wrong(sample_book: Path, tables: dict[str, list[Row]]) -> None:
    book = read(sample_book)
    assert [str(problem) for problem in book.problems] == []
    assert {name: len(rows) for name, rows in tables.items()} == {
        name: len(frame) for name, frame in book.tables.items()
    }


def test_sample_stays_small(sample_book: Path) -> None:
    assert sum(path.stat().st_size for path in sample_book.iterdir()) < 1_500_000


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
    assert [row["fps"] for row in tables["footfalls"]] == ["240"] * len(tables["footfalls"])


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
