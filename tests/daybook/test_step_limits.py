"""What a row of an exercise test can hold.

The limits are the project's own choice; `racecalc.daybook.step_limits` says what they lie around.
"""

from pathlib import Path

import pytest

from racecalc import daybook
from tests.daybook.stable import TABLES, problems_of

HEADER = TABLES["fitness"].splitlines()[0]
# Two sound steps, so that a line can be drawn whatever the row under test holds.
SOUND = ["2026-10-06,brindle,a,5 m/s,150,0.9,", "2026-10-06,brindle,b,8 m/s,170,1.5,"]
ROW = 4


def found(folder: Path, *rows: str) -> list[str]:
    return problems_of(folder, fitness="\n".join([HEADER, *SOUND, *rows]) + "\n")


def step(heart: str = "", lactate: str = "", minutes: str = "", speed: str = "14 m/s") -> str:
    return f"2026-10-06,brindle,c,{speed},{heart},{lactate},{minutes}"


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (
            step("400"),
            'heart_rate: "400" is impossible: a heart beats 15 to 260 times a minute; correct it',
        ),
        (
            step("261", "6"),
            'heart_rate: "261" is impossible: a heart beats 15 to 260 times a minute; correct it',
        ),
        (
            step("14", "6", "5"),
            'heart_rate: "14" is impossible: a heart beats 15 to 260 times a minute; correct it',
        ),
        (
            step("4.2"),
            'heart_rate: "4.2" is impossible: a heart beats 15 to 260 times a minute; if it is '
            "lactate, write it under lactate",
        ),
        (
            step("4.2", "168"),
            'heart_rate: "4.2" and the lactate "168" stand in each other\'s columns; exchange them',
        ),
        (
            step("22", "205"),
            'heart_rate: "22" and the lactate "205" stand in each other\'s columns; exchange them',
        ),
        (
            step("1.1", "44", "30"),
            'heart_rate: "1.1" and the lactate "44" stand in each other\'s columns; exchange them',
        ),
        (
            step("", "168"),
            'lactate: "168" is impossible: lactate is more than 0 and at most 60 mmol/L; if it is '
            "a heart rate, write it under heart_rate",
        ),
        (
            step("190", "72.1"),
            'lactate: "72.1" is impossible: lactate is more than 0 and at most 60 mmol/L; if mg/dL '
            "were meant, write 8.0",
        ),
        (
            step("190", "0"),
            'lactate: "0" is impossible: lactate is more than 0 and at most 60 mmol/L; leave the '
            "cell blank where the meter showed no figure",
        ),
        (
            step("190", "5000"),
            'lactate: "5000" is impossible: lactate is more than 0 and at most 60 mmol/L; correct '
            "it",
        ),
        (
            step("90", "", "-1"),
            'minutes_after: "-1" is impossible: a recovery is read within a day; correct it',
        ),
        (
            step("90", "", "1800"),
            'minutes_after: "1800" is impossible: a recovery is read within a day; if seconds were '
            "meant, write 30",
        ),
        (
            step("190", speed="47 mph"),
            'speed: "47 mph" is impossible: no horse exceeds 20.5 m/s; correct it',
        ),
    ],
)
def test_what_no_horse_has_is_an_error(tmp_path: Path, row: str, says: str) -> None:
    assert found(tmp_path, row) == [f"fitness.csv:{ROW}:{says}"]
    assert daybook.read(tmp_path).rows_refused["fitness"] == 1


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (
            step("242"),
            'heart_rate: warning: "242" is unlikely: few hearts beat outside 20 to 241 times a '
            "minute; check it",
        ),
        (
            step("19", "", "60"),
            'heart_rate: warning: "19" is unlikely: few hearts beat outside 20 to 241 times a '
            "minute; check it",
        ),
        (
            step("59", speed="3 m/s"),
            'heart_rate: warning: "59" is unlikely during a step: a heart beats 60 to 241 times a '
            "minute then; check it, or fill in minutes_after if it was read later",
        ),
        (
            step("", "36"),
            'lactate: warning: "36" is unlikely: lactate is seldom outside 0.3 to 35 mmol/L; '
            "check it",
        ),
        (
            step("150", "0.29", speed="3 m/s"),
            'lactate: warning: "0.29" is unlikely: lactate is seldom outside 0.3 to 35 mmol/L; '
            "check it",
        ),
        (
            step("70", "", "300"),
            'minutes_after: warning: "300" is unlikely: a recovery is read within 180 minutes; if '
            "seconds were meant, write 5",
        ),
        (
            step("70", "", "200"),
            'minutes_after: warning: "200" is unlikely: a recovery is read within 180 minutes; if '
            "seconds were meant, write 3.33",
        ),
        (
            step("100", speed="2.4 m/s"),
            'speed: warning: "2.4 m/s" is unlikely: a step is trotted, cantered or galloped, 2.5 '
            "to 18 m/s; check it",
        ),
        (
            step("220", speed="11.1 s/f"),
            'speed: warning: "11.1 s/f" is unlikely: a step is trotted, cantered or galloped, 2.5 '
            "to 18 m/s; check it",
        ),
        (
            step(),
            "heart_rate: warning: neither heart_rate nor lactate is filled in: the row tells "
            "nothing; fill in one",
        ),
    ],
)
def test_what_few_horses_have_is_a_warning_and_used(tmp_path: Path, row: str, says: str) -> None:
    told = [line for line in found(tmp_path, row) if "below the" not in line]
    assert told == [f"fitness.csv:{ROW}:{says}"]
    assert daybook.read(tmp_path).tables["fitness"]["row"].tolist() == [2, 3, ROW]


@pytest.mark.parametrize(
    "row",
    [
        # The ends of the limits.
        step("241", "35"),
        step("60", "0.6", speed="2.5 m/s"),
        step("20", "", "180"),
        step("", "0.3", speed="3 m/s"),
        step("200", speed="18 m/s"),
        # Printed of Thoroughbreds: 22.5 mmol/L after a race, 125 beats a minute after one minute
        # with a standard deviation of 16, 140 beats at 13.8 km/h, 214 at 57.4 km/h.
        step("213", "22.5"),
        step("125.3", "", "1"),
        step("140", speed="13.8 km/h"),
        step("214", speed="57.4 km/h"),
        # A resting heart and lactate an hour later; a reading at the very end of the step.
        step("32", "0.9", "60"),
        step("195", "", "0"),
        # Both stand where they belong, though each could be the other.
        step("36", "34", "60"),
    ],
)
def test_what_horses_have_is_not_spoken_of(tmp_path: Path, row: str) -> None:
    assert found(tmp_path, row) == []


def test_the_printed_middles_of_lactate_leave_35_rare() -> None:
    """23.0 mmol/L with a standard error of 1.2 in 23 horses (Eaton and others, 1995): a horse two
    standard deviations up has 34.5."""
    two_up = 23.0 + 2 * 1.2 * 23**0.5
    assert two_up == pytest.approx(34.5, abs=0.05)


def test_what_mg_dl_is_in_mmol_l(tmp_path: Path) -> None:
    """C3H6O3, by the standard atomic weights of 2021 (abridged): 90.08 g a mole."""
    molar_mass = 3 * 12.011 + 6 * 1.008 + 3 * 15.999
    [line] = found(tmp_path, step("190", "100"))
    assert line.endswith(f"write {100 * 10 / molar_mass:.1f}")
