"""The settings: read, defaulted, refused by key."""

from pathlib import Path

import pytest

from racecalc import daybook
from racecalc.daybook.barn import barn_from
from tests.daybook.stable import BARN, write_book

CARE = """
[care]
fast_speed = "30 mph"
fast_limit_30d = "4 mi"
days_between_works = 6
days_work_to_race = 3
no_work_states = ["Sloppy", "wet fast"]
speed_classes = ["15 s/f", "14 m/s", "37 mph"]

[states]
"off" = "good"
"""


def test_settings_are_read_in_si_units(tmp_path: Path) -> None:
    book = daybook.read(write_book(tmp_path, barn=BARN + CARE))
    assert book.problems == []
    barn = book.barn
    assert (barn.name, barn.trainer, barn.units) == ("Lower Paddock", "A. Trainer", "imperial")
    assert barn.fast_speed_m_s == pytest.approx(13.4112, abs=1e-12)
    assert barn.fast_limit_30d_m == pytest.approx(6437.376, abs=1e-9)
    assert (barn.days_between_works, barn.days_work_to_race) == (6, 3)
    assert barn.no_work_states == ("sloppy", "wet fast")
    assert barn.states_map == {"off": "good"}
    assert barn.speed_classes_m_s == pytest.approx((13.4112, 14.0, 16.54048), abs=1e-12)


def test_defaults_are_those_of_the_contract() -> None:
    barn, problems = barn_from({"barn": {"name": "x", "trainer": "y"}}, "barn.toml")
    assert problems == []
    assert barn == daybook.Barn(
        name="x",
        trainer="y",
        units="imperial",
        clock="fifths",
        paper="letter",
        language="en",
        clock_error_s=None,
        shoe_allowance_m=None,
        fast_speed_m_s=14.0,
        fast_limit_30d_m=6000.0,
        days_between_works=5,
        days_work_to_race=4,
        no_work_states=("sloppy", "muddy", "heavy", "frozen"),
        rest_days=(),
        bad_footing_days=None,
        states_map={},
        state_words=None,
        speed_classes_m_s=(),
    )


@pytest.mark.parametrize(
    ("section", "key", "value", "says"),
    [
        ("barn", "name", "", "write a name"),
        ("barn", "name", 7, "write a name"),
        ("barn", "trainer", "two\nlines", "on one line"),
        ("barn", "units", "feet", "imperial or metric"),
        ("barn", "clock", "tenths", "fifths or hundredths"),
        ("barn", "paper", "legal", "letter or a4"),
        ("barn", "language", "English!", "language tag"),
        ("barn", "clock_error", 0.2, "with its unit"),
        ("barn", "clock_error", "0.2", "has no unit"),
        ("barn", "clock_error", "0 s", "more than zero, to 2 s"),
        ("barn", "clock_error", "2.01 s", "more than zero, to 2 s"),
        ("barn", "clock_error", "-0.2 s", "negative"),
        ("barn", "clock_error", "a blink", "cannot be read"),
        ("barn", "shoe_allowance", 1, "with its unit"),
        ("barn", "shoe_allowance", "1", "has no unit"),
        ("barn", "shoe_allowance", "3.1 cm", "0 to 3 cm"),
        ("barn", "shoe_allowance", "1 in 1 cm", "metric"),
        ("barn", "shoe_allowance", "-1 cm", "negative"),
        ("barn", "shoe_allowance", "thick", "cannot be read"),
        ("barn", "state_words", "mars", "britain or ireland or australia or france or japan"),
        ("barn", "state_words", ["britain"], "britain or ireland"),
        ("care", "fast_speed", 14, "with its unit"),
        ("care", "fast_speed", "14", "has no unit"),
        ("care", "fast_speed", "2 m/s", "speed of a gallop"),
        ("care", "fast_limit_30d", "6", "has no unit"),
        ("care", "fast_limit_30d", "0 km", "more than zero"),
        ("care", "days_between_works", "soon", "whole number of days"),
        ("care", "days_between_works", True, "whole number of days"),
        ("care", "days_work_to_race", -1, "whole number of days"),
        ("care", "no_work_states", ["wettish"], '"wettish"'),
        ("care", "no_work_states", 3, "list of states"),
        ("care", "speed_classes", [], "one to four speeds"),
        ("care", "speed_classes", 14, "one to four speeds"),
        ("care", "speed_classes", {"a": "14 m/s"}, "one to four speeds"),
        ("care", "speed_classes", [f"{n} m/s" for n in range(12, 17)], "one to four speeds"),
        ("care", "speed_classes", [14, 15.5], "with its unit"),
        ("care", "speed_classes", ["14 m/s", "15.5"], '"15.5" has no unit'),
        ("care", "speed_classes", "14 m/s; 15 m/s", "cannot be read"),
        ("care", "speed_classes", " , ", "one to four speeds"),
        ("care", "speed_classes", [""], "nothing is written"),
        ("care", "speed_classes", ["14 m/s", "2 m/s"], "speed of a gallop"),
        ("care", "speed_classes", ["14 m/s", "21 m/s"], "speed of a gallop"),
        ("care", "speed_classes", ["15.5 m/s", "14 m/s"], "from the slowest to the quickest"),
        ("care", "speed_classes", ["14 m/s", "14 m/s"], "each once"),
        ("care", "rest_days", 7, "list of days"),
        ("care", "rest_days", ["sunday", "washday"], 'holds "washday"; write days of the week'),
        ("care", "rest_days", ["6"], "monday, tuesday"),
        ("care", "rest_days", [True], "days of the week"),
        ("care", "rest_days", list(daybook.WEEKDAYS), "holds every day of the week"),
        ("care", "rest_days", ", ".join(daybook.WEEKDAYS), "holds every day of the week"),
        ("care", "bad_footing_days", "a week", "number of days, 0 to 60"),
        ("care", "bad_footing_days", -1, "number of days, 0 to 60"),
        ("care", "bad_footing_days", 60.5, "number of days, 0 to 60"),
        ("care", "bad_footing_days", True, "number of days, 0 to 60"),
        ("care", "bad_footing_days", float("nan"), "number of days, 0 to 60"),
        ("care", "bad_footing_days", float("inf"), "number of days, 0 to 60"),
        ("care", "bad_footing_days", [4], "number of days, 0 to 60"),
        ("care", "bad_footing_days", "", "number of days, 0 to 60"),
        # A pace that falls is a speed that rises.
        ("care", "speed_classes", ["12 s/f", "13 s/f"], "from the slowest to the quickest"),
        ("states", "off", "offish", "no state"),
    ],
)
def test_a_wrong_setting_is_an_error_and_its_default_stands(
    section: str, key: str, value: object, says: str
) -> None:
    settings = {"barn": {"name": "x", "trainer": "y"}}
    settings.setdefault(section, {})[key] = value  # type: ignore[assignment]
    barn, problems = barn_from(settings, "barn.toml")
    [problem] = problems
    assert str(problem).startswith(f"barn.toml:{'states.' * (section == 'states')}{key}: ")
    assert says in str(problem)
    assert problem.level == "error"
    default = {"name": "", "trainer": ""}.get(key)
    names = {
        "clock_error": "clock_error_s",
        "shoe_allowance": "shoe_allowance_m",
        "fast_speed": "fast_speed_m_s",
        "fast_limit_30d": "fast_limit_30d_m",
        "speed_classes": "speed_classes_m_s",
    }
    if section != "states":
        found = getattr(barn, names.get(key, key))
        assert found == (
            default if default is not None else getattr(daybook.Barn(), names.get(key, key))
        )


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("0.2 s", 0.2), ("0.15 s", 0.15), ("1/5 s", 0.2), ("2 s", 2.0), (" 0.3 sec ", 0.3)],
)
@pytest.mark.parametrize("clock", ["fifths", "hundredths"])
def test_the_barn_sets_the_error_of_its_watch(clock: str, text: str, seconds: float) -> None:
    """A tenth is a tenth here, whatever one digit after the point means on the barn's clock."""
    settings = {"barn": {"name": "x", "trainer": "y", "clock": clock, "clock_error": text}}
    barn, problems = barn_from(settings, "barn.toml")
    assert problems == []
    assert barn.clock_error_s == seconds


@pytest.mark.parametrize(
    ("text", "metres"),
    [("1 cm", 0.01), ("10 mm", 0.01), ("3/8 in", 0.009525), ("0 cm", 0.0), ("3 cm", 0.03)],
)
def test_the_barn_sets_what_shoes_add_to_a_height(text: str, metres: float) -> None:
    settings = {"barn": {"name": "x", "trainer": "y", "shoe_allowance": text}}
    barn, problems = barn_from(settings, "barn.toml")
    assert problems == []
    assert barn.shoe_allowance_m == metres


@pytest.mark.parametrize(
    ("value", "speeds"),
    [
        (["14 m/s", "15.5 m/s", "16.7 m/s"], (14.0, 15.5, 16.7)),
        ("14 m/s, 15.5 m/s,16.7 m/s", (14.0, 15.5, 16.7)),
        (["13 m/s", "14 m/s", "15 m/s", "16 m/s"], (13.0, 14.0, 15.0, 16.0)),
        ("50.4 km/h", (14.0,)),
    ],
)
def test_the_barn_sets_the_speeds_that_part_its_ground(
    value: object, speeds: tuple[float, ...]
) -> None:
    settings = {"barn": {"name": "x", "trainer": "y"}, "care": {"speed_classes": value}}
    barn, problems = barn_from(settings, "barn.toml")
    assert problems == []
    assert barn.speed_classes_m_s == pytest.approx(speeds, abs=1e-12)


@pytest.mark.parametrize(
    ("value", "days"),
    [
        (["sunday"], ("sunday",)),
        ([" Monday", "THURSDAY "], ("monday", "thursday")),
        ("sunday, wednesday", ("sunday", "wednesday")),
        ([], ()),
        ("", ()),
        (["sunday", "sunday"], ("sunday", "sunday")),
        (list(daybook.WEEKDAYS[:6]), daybook.WEEKDAYS[:6]),
    ],
)
def test_the_barn_sets_its_days_of_rest(value: object, days: tuple[str, ...]) -> None:
    settings = {"barn": {"name": "x", "trainer": "y"}, "care": {"rest_days": value}}
    barn, problems = barn_from(settings, "barn.toml")
    assert problems == []
    assert barn.rest_days == days


@pytest.mark.parametrize(
    ("value", "days"), [(4, 4.0), (0, 0.0), (2.5, 2.5), (60, 60.0), ("3.5", 3.5)]
)
def test_the_barn_sets_what_bad_footing_costs(value: object, days: float) -> None:
    settings = {"barn": {"name": "x", "trainer": "y"}, "care": {"bad_footing_days": value}}
    barn, problems = barn_from(settings, "barn.toml")
    assert problems == []
    assert barn.bad_footing_days == days


def test_unknown_settings_are_warnings() -> None:
    settings = {"barn": {"name": "x", "trainer": "y", "colour": "red"}, "extra": {}}
    _, problems = barn_from(settings, "barn.toml")
    assert [problem.level for problem in problems] == ["warning", "warning"]


def test_a_masthead_needs_its_names() -> None:
    _, problems = barn_from({}, "barn.toml")
    assert [problem.column for problem in problems] == ["name", "trainer"]


def test_a_section_must_be_one() -> None:
    _, problems = barn_from({"barn": "x"}, "barn.toml")
    assert "must be a section" in str(problems[0])
