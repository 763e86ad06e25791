"""The barn's settings: what reports show, and the limits that trainer and vet have set."""

import math
import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from itertools import pairwise
from pathlib import Path
from typing import Any, Literal, cast

from racecalc.daybook.elsewhere import COUNTRIES
from racecalc.daybook.problems import Problem, listed, quoted
from racecalc.daybook.schema import STATES
from racecalc.errors import DaybookError, NotationError
from racecalc.notation import Clock, read_clock, read_distance, read_length, read_speed

__all__ = [
    "SETTINGS",
    "WEEKDAYS",
    "Barn",
    "barn_from",
    "barn_of",
    "settings_from_rows",
    "settings_from_toml",
]

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
"""The days of a week, the first of them 0 as Python counts."""

_LANGUAGE = re.compile(r"[A-Za-z]{2,3}(?:-[A-Za-z0-9]{2,8})*")
_MOST_SHOE_M = 0.03
_MOST_CLASSES = 4
_MOST_WAITED = 60
_CLASSES_EXAMPLE = '["14 m/s", "15.5 m/s", "16.7 m/s"]'
_WORDS = {word for states in STATES.values() for word in states}


@dataclass(frozen=True)
class Barn:
    """The settings of ``barn.toml``.

    The defaults of the limits are common practice, not published safe limits; the trainer and the
    vet set their own.

    Attributes
    ----------
    name, trainer : str
        What the masthead says.
    units : {"imperial", "metric"}
        How reports show values.
    clock : {"fifths", "hundredths"}
        How ``1:13.2`` is read and times are written.
    paper : {"letter", "a4"}
        The paper of the PDF.
    language : str
        Language tag of the reports.
    clock_error_s : float, optional
        How far one time taken by hand may lie from the true one, 95 times of 100, in seconds; None
        where the barn has not set it, and the published error of its clock stands.
    shoe_allowance_m : float, optional
        How much shoes add to a height, in metres; None where the barn has not set it, and the
        published allowance stands.
    fast_speed_m_s : float
        Ground at or above this speed counts as fast, in metres per second.
    fast_limit_30d_m : float
        Fast ground in 30 days that should make someone look, in metres.
    days_between_works, days_work_to_race : int
        The fewest days from a work to the next, and from a work to a race.
    days_after_race : int, optional
        The fewest days from a race to the next work; None where the barn has not set it, and the
        default stands.
    no_work_states : tuple of str
        States of the surface on which no horse works.
    rest_days : tuple of str
        Days of the week, in lower case, on which no horse works.
    bad_footing_days : float, optional
        How many days of waiting a work on bad footing costs, as the trainer sees it; None where the
        barn has not set it, and the default stands.
    states_map : mapping of str to str
        The barn's own words for states (in lower case), and the word each stands for.
    state_words : str, optional
        The country whose words for states the barn writes; None where it writes ours.
    speed_classes_m_s : tuple of float
        The speeds, rising, that part the barn's ground into classes, in metres per second; empty
        where the barn has not set them, and those of the reports stand.
    """

    name: str = ""
    trainer: str = ""
    units: Literal["imperial", "metric"] = "imperial"
    clock: Clock = "fifths"
    paper: Literal["letter", "a4"] = "letter"
    language: str = "en"
    clock_error_s: float | None = None
    shoe_allowance_m: float | None = None
    fast_speed_m_s: float = 14.0
    fast_limit_30d_m: float = 6000.0
    days_between_works: int = 5
    days_work_to_race: int = 4
    days_after_race: int | None = None
    no_work_states: tuple[str, ...] = ("sloppy", "muddy", "heavy", "frozen")
    rest_days: tuple[str, ...] = ()
    bad_footing_days: float | None = None
    states_map: Mapping[str, str] = field(default_factory=dict)
    state_words: str | None = None
    speed_classes_m_s: tuple[float, ...] = ()


def barn_of(settings: Mapping[str, Any]) -> Barn:
    """Return the barn whose fields went through JSON, which has no tuples."""
    held: dict[str, Any] = {}
    for name, value in settings.items():
        held[name] = tuple(value) if isinstance(value, list) else value
    return Barn(**held)


class _SettingError(ValueError):
    """A setting that cannot be used; its text says why."""


def _text(value: object) -> str:
    if not isinstance(value, str) or not value.strip():
        raise _SettingError(f"is {quoted(value)}; write a name")
    if not value.strip().isprintable():
        raise _SettingError(f"is {quoted(value)}; write it on one line, without control characters")
    return value.strip()


def _one_of(*allowed: str) -> Callable[[object], str]:
    def read(value: object) -> str:
        word = str(value).strip().casefold()
        if word not in allowed:
            raise _SettingError(f"is {quoted(value)}; write {' or '.join(allowed)}")
        return word

    return read


def _language(value: object) -> str:
    if not isinstance(value, str) or not _LANGUAGE.fullmatch(value.strip()):
        raise _SettingError(f"is {quoted(value)}; write a language tag, such as en or en-GB")
    return value.strip()


def _speed(value: object) -> float:
    speed = _measured(value, read_speed, "14 m/s")
    if not 5.0 <= speed <= 20.5:
        raise _SettingError(f"is {quoted(value)}; write a speed of a gallop, 5 to 20.5 m/s")
    return speed


def _speed_classes(value: object) -> tuple[float, ...]:
    texts = [text for text in value.split(",") if text.strip()] if isinstance(value, str) else value
    if not isinstance(texts, list) or not 1 <= len(texts) <= _MOST_CLASSES:
        raise _SettingError(
            f"is {quoted(value)}; write one to four speeds, such as {_CLASSES_EXAMPLE}"
        )
    speeds = tuple(_speed(text) for text in texts)
    if any(later <= earlier for earlier, later in pairwise(speeds)):
        raise _SettingError(
            f"is {quoted(value)}; write the speeds from the slowest to the quickest, each once, "
            f"such as {_CLASSES_EXAMPLE}"
        )
    return speeds


def _distance(value: object) -> float:
    distance = _measured(value, read_distance, "6 km")
    if not 0.0 < distance <= 1e6:
        raise _SettingError(f"is {quoted(value)}; write a distance of more than zero, to 1000 km")
    return distance


def _measured(value: object, read: Callable[[str], Any], example: str) -> float:
    if not isinstance(value, str):
        raise _SettingError(f'is {quoted(value)}; write it with its unit, such as "{example}"')
    try:
        return float(read(value))
    except NotationError as error:
        raise _SettingError(str(error)) from None


def _clock_error(value: object) -> float:
    # One digit after the point is a tenth here, and counts fifths on some clocks: the unit says it.
    if isinstance(value, str) and not any(letter.isalpha() for letter in value):
        raise _SettingError(f'is {quoted(value)} and has no unit; write it as in "0.2 s"')
    seconds = _measured(value, lambda text: read_clock(text, "hundredths"), "0.2 s")
    if not 0.0 < seconds <= 2.0:
        raise _SettingError(f"is {quoted(value)}; write a time of more than zero, to 2 s")
    return seconds


def _shoe_allowance(value: object) -> float:
    height = _measured(value, read_length, "1 cm")
    if height > _MOST_SHOE_M:
        raise _SettingError(f"is {quoted(value)}; write what shoes add to a height, 0 to 3 cm")
    return height


def _days(value: object) -> int:
    whole = int(value) if isinstance(value, str) and re.fullmatch("[0-9]{1,3}", value) else value
    if isinstance(whole, bool) or not isinstance(whole, int) or not 0 <= whole <= 60:
        raise _SettingError(f"is {quoted(value)}; write a whole number of days, 0 to 60")
    return whole


def _weekdays(value: object) -> tuple[str, ...]:
    words = value.split(",") if isinstance(value, str) else value
    if not isinstance(words, list):
        raise _SettingError(f'is {quoted(value)}; write a list of days, such as ["sunday"]')
    days = tuple(str(word).strip().casefold() for word in words if str(word).strip())
    if unknown := [day for day in days if day not in WEEKDAYS]:
        raise _SettingError(
            f"holds {listed(map(quoted, unknown))}; write days of the week: {listed(WEEKDAYS)}"
        )
    if len(set(days)) == len(WEEKDAYS):
        raise _SettingError("holds every day of the week; leave out those on which horses work")
    return days


def _waited(value: object) -> float:
    try:
        days = float(value) if isinstance(value, int | float | str) else math.nan
    except ValueError:
        days = math.nan
    if isinstance(value, bool) or not 0 <= days <= _MOST_WAITED:
        raise _SettingError(f"is {quoted(value)}; write a number of days, 0 to {_MOST_WAITED}")
    return days


def _states(value: object) -> tuple[str, ...]:
    words = value.split(",") if isinstance(value, str) else value
    if not isinstance(words, list):
        raise _SettingError(f"is {quoted(value)}; write a list of states")
    states = tuple(str(word).strip().casefold() for word in words if str(word).strip())
    if unknown := [word for word in states if word not in _WORDS]:
        raise _SettingError(
            f"holds {listed(map(quoted, unknown))}; write states of a surface: "
            f"{listed(sorted(_WORDS), 30)}"
        )
    return states


_READERS: dict[str, dict[str, tuple[str, Callable[[object], object]]]] = {
    "barn": {
        "name": ("name", _text),
        "trainer": ("trainer", _text),
        "units": ("units", _one_of("imperial", "metric")),
        "clock": ("clock", _one_of("fifths", "hundredths")),
        "paper": ("paper", _one_of("letter", "a4")),
        "language": ("language", _language),
        "clock_error": ("clock_error_s", _clock_error),
        "shoe_allowance": ("shoe_allowance_m", _shoe_allowance),
        "state_words": ("state_words", _one_of(*COUNTRIES)),
    },
    "care": {
        "fast_speed": ("fast_speed_m_s", _speed),
        "speed_classes": ("speed_classes_m_s", _speed_classes),
        "fast_limit_30d": ("fast_limit_30d_m", _distance),
        "days_between_works": ("days_between_works", _days),
        "days_work_to_race": ("days_work_to_race", _days),
        "days_after_race": ("days_after_race", _days),
        "no_work_states": ("no_work_states", _states),
        "rest_days": ("rest_days", _weekdays),
        "bad_footing_days": ("bad_footing_days", _waited),
    },
}

SETTINGS = frozenset(name for section in _READERS.values() for name in section)
"""The names of all settings, as ``barn.toml`` writes them."""


def settings_from_toml(path: Path) -> dict[str, object]:
    """Read ``barn.toml``.

    Raises
    ------
    DaybookError
        If it cannot be read as TOML in UTF-8.
    """
    try:
        return tomllib.loads(path.read_bytes().decode("utf-8-sig"))
    except OSError as error:
        raise DaybookError(f"{path.name}: cannot be read ({error.strerror})") from error
    except UnicodeDecodeError as error:
        raise DaybookError(f"{path.name}: is not UTF-8 text; save it as UTF-8") from error
    except (ValueError, RecursionError) as error:
        raise DaybookError(
            f"{path.name}: is no valid TOML ({str(error)[:80]}); write lines such as "
            'name = "Our stable", with text in quotation marks'
        ) from error


def settings_from_rows(rows: list[tuple[int, str, str]]) -> dict[str, object]:
    """Sort the keys of the sheet ``barn`` into the sections of ``barn.toml``.

    A barn's own word for a state has the key ``states.WORD``.
    """
    sections: dict[str, dict[str, object]] = {"barn": {}, "care": {}, "states": {}}
    for _row, key, value in rows:
        name = key.strip().casefold()
        if name in ("key", "") or not value:
            continue
        if name.startswith("states."):
            sections["states"][key.strip()[len("states.") :]] = value
        else:
            sections["care" if name in _READERS["care"] else "barn"][name] = value
    return cast(dict[str, object], sections)


def barn_from(settings: Mapping[str, object], file: str) -> tuple[Barn, list[Problem]]:
    """Check the settings; a wrong one is an error and its default stands.

    Parameters
    ----------
    settings : mapping
        The sections ``barn``, ``care`` and ``states``.
    file : str
        What to call the file in problems.

    Returns
    -------
    tuple of Barn and list of Problem
        A problem's ``column`` is the key of the setting.
    """
    values: dict[str, Any] = {}
    problems: list[Problem] = []

    def say(key: str, message: str, level: str = "error") -> None:
        problems.append(Problem(file, None, key, message, level, "barn", None))

    for section, found in settings.items():
        if section not in ("barn", "care", "states"):
            say(str(section), "is no setting; see the list of settings", "warning")
        elif not isinstance(found, Mapping):
            say(str(section), f"must be a section; write [{section}] and its settings below it")
        elif section == "states":
            values["states_map"] = _states_map(found, say)
        else:
            values |= _section(section, found, say)
    barn_section = settings.get("barn")
    for key in ("name", "trainer"):
        if not (isinstance(barn_section, Mapping) and key in barn_section):
            say(key, "is missing; the masthead of every report needs it")
    known = {entry.name for entry in fields(Barn)}
    return Barn(**{key: value for key, value in values.items() if key in known}), problems


def _section(
    section: str, found: Mapping[str, object], say: Callable[..., None]
) -> dict[str, object]:
    values: dict[str, object] = {}
    for key, value in found.items():
        if key not in _READERS[section]:
            allowed = listed(_READERS[section])
            say(key, f"is no setting of [{section}]; there are {allowed}", "warning")
            continue
        name, read = _READERS[section][key]
        try:
            values[name] = read(value)
        except _SettingError as error:
            say(key, str(error))
    return values


def _states_map(found: Mapping[str, object], say: Callable[..., None]) -> dict[str, str]:
    states: dict[str, str] = {}
    for own, meant in found.items():
        word = str(meant).strip().casefold()
        if word in _WORDS:
            states[" ".join(str(own).casefold().split())] = word
        else:
            allowed = listed(sorted(_WORDS), 30)
            say(f"states.{own}", f"stands for {quoted(meant)}, no state; write one of {allowed}")
    return states
