"""Lengths beside girths: from the shoulder to the buttock a length is 0.85 to 0.95 of the girth."""

from pathlib import Path

import pytest

from racecalc import daybook
from tests.daybook.stable import TABLES, problems_of

HEADER = TABLES["measurements"].splitlines()[0]


def found(folder: Path, *lines: tuple[str, str, str]) -> list[str]:
    table = [HEADER, *(f"{day},brindle,{what},{value},,,," for day, what, value in lines)]
    return problems_of(folder, measurements="\n".join(table) + "\n")


def test_a_length_from_the_elbow_is_a_warning_that_names_both_and_is_used(tmp_path: Path) -> None:
    lines = ("2026-10-01", "girth", "74 in"), ("2026-10-01", "length", "54 in")
    assert found(tmp_path, *lines) == [
        'measurements.csv:3:value: warning: "54 in" is 0.73 of the girth of 2026-10-01 ("74 in" in '
        "row 2), as if taken from the elbow: length is from the point of the shoulder to the point "
        "of the buttock, and a weight by a formula for that would come out about 30 % too low; "
        "check both, they are used as they are"
    ]
    assert daybook.read(tmp_path).rows_refused["measurements"] == 0


def test_what_the_warning_says_of_the_weight() -> None:
    """Divisors printed for the length from the elbow (Milner and Hewitt 1969: 228.1) and from the
    shoulder (University of Minnesota: 330), both for inches and pounds: 0.69."""
    assert pytest.approx(0.30, abs=0.02) == 1 - 228.1 / 330


# Girth and length of worked examples of the formula for shoulder to buttock: University of
# Minnesota (76, 67 in), and three pages of practices (71, 64; 70, 65; 75, 69.5 in).
@pytest.mark.parametrize(("girth", "length"), [(76, 67), (71, 64), (70, 65), (75, 69.5)])
def test_published_examples_are_not_spoken_of(tmp_path: Path, girth: int, length: float) -> None:
    lines = ("2026-10-01", "girth", f"{girth} in"), ("2026-10-01", "length", f"{length} in")
    assert found(tmp_path, *lines) == []


@pytest.mark.parametrize(
    ("length", "says"),
    [
        ("149.9 cm", "0.75 of the girth"),
        ("150 cm", None),
        ("2.3 m", None),
        ("2.301 m", "1.15 of the girth"),
    ],
)
def test_the_limits(tmp_path: Path, length: str, says: str | None) -> None:
    told = found(tmp_path, ("2026-10-01", "girth", "2 m"), ("2026-10-01", "length", length))
    told = [line for line in told if "girth" in line]
    assert len(told) == (says is not None)
    assert says is None or says in told[0]


def test_the_nearest_girth_within_31_days_counts(tmp_path: Path) -> None:
    length = ("2026-10-01", "length", "130 cm")
    assert found(tmp_path / "a", length, ("2026-08-31", "girth", "185 cm"))
    assert found(tmp_path / "b", length, ("2026-11-01", "girth", "185 cm"))
    assert found(tmp_path / "c", length, ("2026-08-30", "girth", "185 cm")) == []
    assert found(tmp_path / "d", length) == []
    near = ("2026-10-03", "girth", "172 cm"), ("2026-09-20", "girth", "185 cm")
    assert found(tmp_path / "e", length, *near) == []


def test_of_several_girths_of_a_day_the_middle_one_counts(tmp_path: Path) -> None:
    girths = [("2026-10-01", "girth", f"{cm} cm") for cm in (186, 178, 170)]
    length = ("2026-10-01", "length", "131 cm")
    for order in (girths, girths[::-1]):
        [line] = found(tmp_path, length, *order)
        assert '("178 cm" in row 4)' in line


def test_a_refused_girth_is_not_compared_with(tmp_path: Path) -> None:
    lines = ("2026-10-01", "girth", "74 cm"), ("2026-10-01", "length", "160 cm")
    [line] = found(tmp_path, *lines)
    assert "if inches were meant, write 74 in" in line
