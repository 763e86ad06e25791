"""Tracks: ovals that can be, their chutes, and the poles that works and splits name."""

import math
from pathlib import Path

import pytest

from racecalc import daybook
from tests.daybook.stable import problems_of, with_row, write_book


def track(
    lap: str, straight: str = "", turn: str = "", rail: str = "", poles: str = "", chutes: str = ""
) -> dict[str, str]:
    header = "track,name,surface,lap,straight,finish_to_turn,rail_offset,poles,chutes"
    known = "main,Main Oval,dirt,1 mi,1320 ft,285 ft,3 ft,1/16 mi,\nhill,Hill,dirt,6 f,,,,1/8 mi,"
    return {
        "tracks": f"{header}\n{known}\nx,X,dirt,{lap},{straight},{turn},{rail},{poles},{chutes}\n"
    }


@pytest.mark.parametrize(
    ("text", "column"),
    [
        (track("1 mi", "1/2 mi 1 yd"), "straight"),
        (track("1 mi", "1/2 mi"), "straight"),
        (track("1 mi", "1320 ft", "1321 ft"), "finish_to_turn"),
        # Turns of (1600 - 2 * 785) / (2 pi) = 4.77 m have no room for a rail 5 m inside.
        (track("1600 m", "785 m", "", "5 m"), "rail_offset"),
        (track("1 mi", "", "", "", "1/4 mi"), "poles"),
        (track("1 mi", "", "", "", "150 m"), "poles"),
    ],
)
def test_ovals_that_cannot_be_are_refused(
    tmp_path: Path, text: dict[str, str], column: str
) -> None:
    [problem] = problems_of(tmp_path, **text)
    assert problem.startswith(f"tracks.csv:4:{column}: ")


@pytest.mark.parametrize("poles", ["1/16 mi", "1/8 mi", "1 f", "200 m", "100 m", "0.2 km"])
def test_the_spacings_of_the_contract_are_read(tmp_path: Path, poles: str) -> None:
    assert problems_of(tmp_path, **track("1 mi", "1320 ft", "1320 ft", "", poles)) == []


def test_chutes_are_kept_in_the_trades_notation(tmp_path: Path) -> None:
    book = daybook.read(
        write_book(tmp_path, **track("1 mi", "1320 ft", "285 ft", chutes="6.5f ;10 f"))
    )
    assert book.problems == []
    assert book.tables["tracks"]["chutes"].tolist() == [None, None, "6 1/2 f; 1 1/4 mi"]


@pytest.mark.parametrize(
    ("straight", "turn", "says"),
    [
        ("1320 ft", "285 ft", "a start 4 f before the finish is on a straight"),
        ("1320 ft", "", "where the turns are is not known"),
    ],
)
def test_a_chute_that_is_none_is_a_warning_and_the_track_is_used(
    tmp_path: Path, straight: str, turn: str, says: str
) -> None:
    tracks = track("1 mi", straight, turn, chutes="4 f")
    [problem] = problems_of(tmp_path, **tracks)
    assert problem.startswith("tracks.csv:4:chutes: warning: ")
    assert says in problem


def test_a_chute_that_cannot_be_read_is_left_blank_and_the_track_is_used(tmp_path: Path) -> None:
    text = track("1 mi", "1320 ft", "285 ft", chutes='"6 1/2 f, 7"')
    book = daybook.read(write_book(tmp_path, **text))
    [problem] = map(str, book.problems)
    assert problem.startswith("tracks.csv:4:chutes: warning: ")
    assert "a semicolon parts one from the next" in problem
    assert book.tables["tracks"]["track"].tolist() == ["main", "hill", "x"]
    assert book.tables["tracks"]["chutes"].tolist()[-1] is None


def test_a_wrong_lead_loses_no_clock(tmp_path: Path) -> None:
    splits = with_row("splits", "w2,1/8,:25,inside")
    book = daybook.read(write_book(tmp_path, splits=splits))
    [problem] = map(str, book.problems)
    assert problem.startswith('splits.csv:8:lead: warning: "inside" is not known')
    assert "left blank; the row is used" in problem
    assert book.tables["splits"].iloc[-1][["clock_s", "lead"]].tolist() == [25.0, None]


def test_a_pole_that_the_track_has_not_is_a_warning(tmp_path: Path) -> None:
    """Poles of Hill Ring stand every eighth of a mile, of Main Oval every sixteenth."""
    works = with_row("works", "w9,2026-10-06,brindle,hill,2 1/2 f,,5/16,,,,,,,")
    splits = with_row("splits", "w9,3/16,:13,") + "w9,1/8,:20,\nw1,3/16,:43,\n"
    found = problems_of(tmp_path, works=works, splits=splits)
    says = "is no pole of hill, where they stand every 1 f; correct it, or the spacing"
    assert found == [
        f'works.csv:4:from_pole: warning: "5/16" {says} (poles in tracks)',
        f'splits.csv:8:pole: warning: "3/16" {says} (poles in tracks)',
    ]


def soil(soil: str = "", holds: str = "", gives: str = "", drains: str = "") -> dict[str, str]:
    """Return tracks of which the last tells of its top."""
    head = "track,name,surface,lap,soil,holds,gives,drains"
    known = "main,Main Oval,dirt,1 mi,,,,\nhill,Hill,dirt,6 f,,,,"
    return {"tracks": f"{head}\n{known}\nx,X,dirt,1 mi,{soil},{holds},{gives},{drains}\n"}


def last_track(folder: Path, **text: str) -> tuple[list[str], list[float]]:
    """Return the problems, and what the last track holds, gives and drains; it is always used."""
    book = daybook.read(write_book(folder, **text))
    tracks = book.tables["tracks"]
    assert tracks["track"].tolist() == ["main", "hill", "x"]
    found = tracks[["holds_mm", "gives_mm", "drains_mm"]].iloc[-1].tolist()
    return [str(problem) for problem in book.problems], found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (soil("sandy loam", "12 mm", "5 mm", "4 mm"), [12, 5, 4]),
        (soil("", "0.5 in", "0.2 in", "1 in"), [12.7, 5.08, 25.4]),
        (soil("", "1 mm", "0 mm", "0 mm"), [1, 0, 0]),
        (soil("", "100 mm", "99 mm", "500 mm"), [100, 99, 500]),
        (soil(" Clay "), [None, None, None]),
    ],
)
def test_the_top_of_a_track_is_read(
    tmp_path: Path, text: dict[str, str], found: list[float | None]
) -> None:
    problems, numbers = last_track(tmp_path, **text)
    assert problems == []
    for number, expected in zip(numbers, found, strict=True):
        assert number == pytest.approx(float("nan") if expected is None else expected, nan_ok=True)


@pytest.mark.parametrize(
    ("text", "column", "says"),
    [
        (soil("", "0 mm"), "holds", "a track's top holds 1 to 100 mm"),
        (soil("", "101 mm"), "holds", "a track's top holds 1 to 100 mm"),
        (soil("", "", "5 mm"), "gives", "it is a part of what the top holds; fill holds"),
        (soil("", "10 mm", "10 mm"), "gives", "fill holds, with more than that"),
        (soil("", "10 mm", "11 mm"), "gives", "fill holds, with more than that"),
        (soil("", "", "", "501 mm"), "drains", "a day drains at most 500 mm"),
    ],
)
def test_a_top_that_cannot_be_is_left_blank_and_the_track_is_used(
    tmp_path: Path, text: dict[str, str], column: str, says: str
) -> None:
    [problem], numbers = last_track(tmp_path, **text)
    assert problem.startswith(f"tracks.csv:4:{column}: warning: ")
    assert says in problem
    assert "(left blank)" in problem
    assert math.isnan(numbers[["holds", "gives", "drains"].index(column)])


def test_a_top_that_holds_nonsense_gives_nothing_either(tmp_path: Path) -> None:
    problems, numbers = last_track(tmp_path, **soil("", "300 mm", "5 mm", "3 mm"))
    assert [problem.split(":")[2] for problem in problems] == ["holds", "gives"]
    assert numbers == pytest.approx([float("nan"), float("nan"), 3], nan_ok=True)


@pytest.mark.parametrize(
    ("text", "column"),
    [
        (soil("mud pie"), "soil"),
        (soil("", "12"), "holds"),
        (soil("", "lots"), "holds"),
        (soil("", "12 mm", "-1 mm"), "gives"),
        (soil("", "", "", "4 gallons"), "drains"),
    ],
)
def test_a_top_that_cannot_be_read_loses_no_track(
    tmp_path: Path, text: dict[str, str], column: str
) -> None:
    [problem], _ = last_track(tmp_path, **text)
    assert problem.startswith(f"tracks.csv:4:{column}: warning: ")
