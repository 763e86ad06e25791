"""Saved forecasts: added up for the days of the track, or refused with a word; nothing is lost."""

import copy
import json
import math
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from racecalc import daybook
from racecalc.daybook.read_gridpoint import (
    LARGEST_FILE_MB,
    MOST_VALUES,
    Gridpoint,
    read_gridpoint,
    read_interval,
)
from tests.daybook.sheets import write_workbook
from tests.daybook.stable import TABLES, with_row, write_book

FUZZ = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
CHANCE, AMOUNT = "probabilityOfPrecipitation", "quantitativePrecipitation"


def layer(unit: str, *pieces: tuple[str, object]) -> dict[str, Any]:
    """A layer as the service writes it, of (``29T06/PT6H`` in October 2026, UTC; value)."""
    values = []
    for when, value in pieces:
        start, _, length = when.partition("/")
        values.append({"validTime": f"2026-10-{start}:00:00+00:00/{length}", "value": value})
    return {"uom": f"wmoUnit:{unit}", "values": values}


# An invented square at the track main (40.5, -75.25), whose day is five hours behind UTC.
RING = [[-75.26, 40.49], [-75.26, 40.51], [-75.24, 40.51], [-75.24, 40.49], [-75.26, 40.49]]
FEATURE: dict[str, Any] = {
    "@context": ["https://geojson.org/geojson-ld/geojson-context.jsonld", {"@version": "1.1"}],
    "type": "Feature",
    "geometry": {"type": "Polygon", "coordinates": [RING]},
    "properties": {
        "updateTime": "2026-10-29T11:05:00+00:00",
        "validTimes": "2026-10-29T06:00:00+00:00/P1DT23H",
        "elevation": {"unitCode": "wmoUnit:m", "value": 61.0},
        "weather": {"values": [{"validTime": "2026-10-29T06:00:00+00:00/PT6H", "value": [{}]}]},
        "heatIndex": {"values": []},
        CHANCE: layer(
            "percent",
            ("29T06/PT6H", 10),
            ("29T12/PT12H", 40),
            ("30T00/PT6H", 60),
            ("30T06/PT18H", 20),
            ("31T00/P1DT6H", 0),
        ),
        AMOUNT: layer(
            "mm",
            ("29T06/PT6H", 0),
            ("29T12/PT6H", 1.2),
            ("29T18/PT6H", 3),
            ("30T00/PT6H", 6.0),
            ("30T06/PT6H", 0.5),
            ("30T12/PT6H", 0),
            ("30T18/PT6H", 0),
            ("31T00/PT6H", 0),
        ),
        "maxTemperature": layer("degC", ("29T12/PT13H", 16), ("30T12/PT13H", 14.5)),
        "minTemperature": layer("degC", ("30T00/PT14H", 5), ("31T00/PT14H", -3)),
        "temperature": layer(
            "degC", ("29T06/PT6H", 8.5), ("29T12/PT6H", 12), ("29T18/PT6H", 15), ("30T00/PT6H", 10)
        ),
        "windSpeed": layer(
            "km_h-1",
            ("29T06/PT6H", 7.2),
            ("29T12/PT12H", 14.4),
            ("30T00/PT6H", 18),
            ("30T06/PT18H", 3.6),
            ("31T00/PT5H", 36),
        ),
        "relativeHumidity": layer(
            "percent", ("29T06/PT6H", 90), ("29T12/PT12H", 55), ("30T00/P1D", 70)
        ),
    },
}
# By hand, in local hours. 29: chance of 1-7, 7-19, 19-1; water 0 + 1.2 + 3 + 5/6 of 6 = 9.2 by 0.6;
# the low of temperature, as no night ends on it; wind (6*2 + 12*4 + 5*5)/23. 30: water 1/6 of 6 +
# 0.5 = 1.5 by 0.6; wind (1*5 + 18*1 + 5*10)/24. 31: no chance, and of the rest but the night's low.
BY_HAND = {
    "rain_chance_pct": [60, 60, 0],
    "rain_mm": [9.2 / 0.6, 2.5, math.nan],
    "tmin_c": [8.5, 5, -3],
    "tmax_c": [16, 14.5, math.nan],
    "wind_m_s": [85 / 23, 73 / 24, math.nan],
    "rh_min_pct": [55, 70, math.nan],
    "rh_max_pct": [90, 70, math.nan],
}
OF_FILE = pd.to_datetime(["2026-10-29", "2026-10-30", "2026-10-31"]).to_list()


def changed(change: Callable[[dict[str, Any]], object]) -> dict[str, Any]:
    """Return the feature with a change to its properties."""
    feature = copy.deepcopy(FEATURE)
    change(feature["properties"])
    return feature


def read(folder: Path, feature: object, hours_east: int = -5) -> Gridpoint:
    file = folder / "main.json"
    file.write_text(feature if isinstance(feature, str) else json.dumps(feature))
    return read_gridpoint(file, hours_east)


def stable(folder: Path, files: dict[str, object], **tables: str | bytes | None) -> Path:
    """Write the stable with files in its folder forecast."""
    write_book(folder, **tables)
    (folder / "forecast").mkdir(exist_ok=True)
    for name, feature in files.items():
        text = feature if isinstance(feature, bytes | str) else json.dumps(feature)
        (folder / "forecast" / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder


def said(book: daybook.Book) -> list[str]:
    return [str(problem) for problem in book.problems]


def of_files(book: daybook.Book) -> pd.DataFrame:
    frame = book.tables["forecast"]
    return frame[frame["row"] == 0].reset_index(drop=True)


def test_the_days_are_those_that_a_hand_adds_up(tmp_path: Path) -> None:
    found = read(tmp_path, FEATURE)
    assert (found.complaint, found.warnings) == (None, [])
    assert found.rows["date"].to_list() == OF_FILE
    assert found.rows["issued"].to_list() == [OF_FILE[0]] * 3
    for name, values in BY_HAND.items():
        assert found.rows[name].to_list() == pytest.approx(values, nan_ok=True, abs=1e-12), name
    assert found.place == pytest.approx((40.498, -75.252))


def test_rows_arrive_in_the_table_and_in_the_slice(tmp_path: Path) -> None:
    book = daybook.read(stable(tmp_path, {"MAIN.json": FEATURE}))
    assert said(book) == []
    rows = daybook.slice_for(book, "brindle").tables["forecast"]
    assert rows["track"].to_list() == ["main"] * 4
    assert rows["date"].to_list() == [pd.Timestamp("2026-11-01"), *OF_FILE]
    assert rows["row"].to_list() == [2, 0, 0, 0]
    assert (
        rows.dtypes.to_dict()
        == daybook.read(write_book(tmp_path / "plain")).tables["forecast"].dtypes.to_dict()
    )
    for name, values in BY_HAND.items():
        assert rows[name].to_list()[1:] == pytest.approx(values, nan_ok=True, abs=1e-12), name
    assert daybook.track_slice(book).tables["forecast"].equals(rows)
    assert book.rows_read["forecast"] == 4


def test_the_hash_of_a_slice_changes_with_the_file(tmp_path: Path) -> None:
    hashes = []
    warmer = changed(lambda p: p["maxTemperature"]["values"][0].update(value=16.5))
    for number, files in enumerate([{}, {"main.json": FEATURE}, {"main.json": warmer}]):
        book = daybook.read(stable(tmp_path / str(number), dict(files)))
        hashes.append(daybook.slice_for(book, "brindle").data_hash)
    assert len(set(hashes)) == 3
    with_other_layer = changed(lambda p: p.update(skyCover={"values": []}))
    book = daybook.read(stable(tmp_path / "2", {"main.json": warmer, "x.txt": with_other_layer}))
    assert daybook.slice_for(book, "brindle").data_hash == hashes[2]


def test_a_frozen_slice_holds_the_rows(tmp_path: Path) -> None:
    book = daybook.read(stable(tmp_path / "book", {"main.json": FEATURE}))
    cut = daybook.slice_for(book, "brindle")
    daybook.freeze(cut, tmp_path / "frozen")
    thawed = daybook.open_slice(tmp_path / "frozen", "brindle")
    assert thawed.tables["forecast"].equals(cut.tables["forecast"])


def test_without_a_table_the_files_are_the_table(tmp_path: Path) -> None:
    book = daybook.read(stable(tmp_path, {"main.json": FEATURE}, forecast=None))
    assert said(book) == []
    assert book.tables["forecast"]["date"].to_list() == OF_FILE


def test_beside_a_workbook_stands_its_folder(tmp_path: Path) -> None:
    stable(tmp_path / "parts", {"main.json": FEATURE})
    path = write_workbook(tmp_path / "book.xlsx")
    assert len(daybook.read(path).tables["forecast"]) == 1
    (tmp_path / "parts" / "forecast").rename(tmp_path / "forecast")
    assert len(daybook.read(path).tables["forecast"]) == 4


def test_a_plain_file_of_that_name_is_no_folder(tmp_path: Path) -> None:
    write_book(tmp_path)
    (tmp_path / "forecast").write_text("rain")
    assert said(daybook.read(tmp_path)) == []


@pytest.mark.parametrize("length", ["PT1H", "PT6H", "P1D", "P1DT6H", "PT90M", "P2DT3H4M5S", "PT5S"])
@pytest.mark.parametrize("zone", ["+00:00", "Z", "-05:00", "+0530"])
def test_an_interval_is_as_long_as_another_reader_says(length: str, zone: str) -> None:
    """pandas.Timestamp and pandas.Timedelta."""
    start = f"2026-10-31T22:30:15{zone}"
    epoch = pd.Timestamp(0, tz="UTC")
    begins = (pd.Timestamp(start) - epoch).total_seconds()
    ends = begins + pd.Timedelta(length).total_seconds()
    assert read_interval(f"{start}/{length}") == (begins, ends)


@given(st.integers(0, 30), st.integers(0, 23), st.integers(0, 59), st.integers(0, 59))
def test_what_another_writer_writes_is_read(days: int, hours: int, minutes: int, last: int) -> None:
    lasts = pd.Timedelta(days=days, hours=hours, minutes=minutes, seconds=last)
    found = read_interval(f"1970-01-01T00:00:00Z/{lasts.isoformat()}")
    assert found == ((0.0, lasts.total_seconds()) if lasts.total_seconds() else None)


def test_an_interval_may_be_written_with_its_end() -> None:
    assert read_interval("1970-01-01T00:00:00Z/1970-01-01T06:00:00+01:00") == (0.0, 18_000.0)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "now",
        "NOW/PT6H",
        "2026-10-30T06:00:00+00:00",
        "2026-10-30T06:00:00/PT6H",
        "2026-10-30T06:00:00Z/",
        "2026-10-30T06:00:00Z/P",
        "2026-10-30T06:00:00Z/PT0H",
        "2026-10-30T06:00:00Z/PT-6H",
        "2026-10-30T06:00:00Z/P1M",
        "2026-10-30T06:00:00Z/P1Y",
        "2026-10-30T06:00:00Z/P32D",
        "2026-10-30T06:00:00Z/PT9999999999999H",
        "2026-02-30T06:00:00Z/PT6H",
        "2026-10-30T25:00:00Z/PT6H",
        "2026-10-30T06:00:00+99:00/PT6H",
        "2026-10-30T06:00:00Z/2026-10-30T05:00:00Z",
        "2026-10-30T06:00:00Z/PT６H",
        "2026-10-30T06:00:00Z/PT6H\n",
        "9999-12-31T23:00:00-23:00/2026-10-30T05:00:00Z",
    ],
)
def test_what_is_no_interval_of_a_forecast_is_none(text: str) -> None:
    assert read_interval(text) is None


@pytest.mark.parametrize(
    ("name", "unit", "values", "column", "expected"),
    [
        ("maxTemperature", "wmoUnit:degF", [50, 14], "tmax_c", [10, -10]),
        ("maxTemperature", "unit:degC", [50, 14], "tmax_c", [50, 14]),
        ("windSpeed", "wmoUnit:m_s-1", [2, 2, 2, 2, 2], "wind_m_s", [2, 2]),
        ("windSpeed", "km_h-1", [36, 36, 36, 36, 36], "wind_m_s", [10, 10]),
    ],
)
def test_each_unit_becomes_ours(
    tmp_path: Path, name: str, unit: str, values: list[float], column: str, expected: list[float]
) -> None:
    def change(properties: dict[str, Any]) -> None:
        properties[name]["uom"] = unit
        for piece, value in zip(properties[name]["values"], values, strict=True):
            piece["value"] = value

    rows = read(tmp_path, changed(change)).rows
    assert rows[column].to_list()[:2] == pytest.approx(expected)


def test_the_local_day_follows_the_longitude(tmp_path: Path) -> None:
    """At UTC the same rain lies on other days: 6-24 of the 29th holds 0 + 1.2 + 3."""
    rows = read(tmp_path, FEATURE, 0).rows
    assert rows["date"].to_list() == OF_FILE
    assert rows["rain_chance_pct"].to_list() == [40, 60, 0]
    assert rows["rain_mm"].to_list()[:2] == pytest.approx([4.2 / 0.4, 6.5 / 0.6])
    west = TABLES["tracks"].replace("40.5,-75.25", "40.5,0.5").replace("main,Main", "main,Zero")
    book = daybook.read(stable(tmp_path / "zero", {"main.json": FEATURE}, tracks=west))
    assert of_files(book)["rain_chance_pct"].to_list() == [40, 60, 0]


def test_a_night_counts_for_its_morning_also_where_the_local_day_is_off(tmp_path: Path) -> None:
    """The night's layer of 19 to 9 by the clock, in days two hours behind and before it."""
    for hours_east in (-7, -5, -3):
        rows = read(tmp_path, FEATURE, hours_east).rows.set_index("date")
        assert rows.loc["2026-10-30", "tmin_c"] == 5
        assert rows.loc["2026-10-30", "tmax_c"] == 14.5


def test_days_before_the_issue_are_left_out(tmp_path: Path) -> None:
    found = read(tmp_path, changed(lambda p: p.update(updateTime="2026-10-31T03:00:00+00:00")))
    assert found.rows["issued"].to_list() == [OF_FILE[1]] * 2  # it is 22:00 of the day before
    assert found.rows["date"].to_list() == OF_FILE[1:]


@pytest.mark.parametrize(("hours", "kept"), [(17, {}), (18, [31])])
def test_a_day_of_which_less_than_18_hours_are_covered_is_left_out(
    tmp_path: Path, hours: int, kept: object
) -> None:
    def change(properties: dict[str, Any]) -> None:
        properties["updateTime"] = "2026-10-31T05:00:00+00:00"
        properties[CHANCE]["values"][-1]["validTime"] = f"2026-10-31T05:00:00+00:00/PT{hours}H"

    found = read(tmp_path, changed(change))
    assert (found.rows["date"].dt.day.to_list() if kept else found.rows.to_dict("list")) == kept
    assert (found.complaint is None) == bool(kept)


def test_rain_is_at_least_what_a_gauge_can_measure(tmp_path: Path) -> None:
    dry = changed(lambda p: [piece.update(value=0) for piece in p[AMOUNT]["values"]])
    assert read(tmp_path, dry).rows["rain_mm"].to_list()[:2] == [0.254, 0.254]


def test_layers_that_are_missing_or_null_are_unknown(tmp_path: Path) -> None:
    def change(properties: dict[str, Any]) -> None:
        del properties["windSpeed"], properties["minTemperature"]
        properties["temperature"] = {"values": []}
        properties["relativeHumidity"]["values"][1]["value"] = None
        properties[AMOUNT]["values"][2]["value"] = None

    found = read(tmp_path, changed(change))
    assert found.complaint is None
    assert found.warnings == [
        "holds no windSpeed, temperature, so that what these tell is unknown",
        "values that are null: 1 of quantitativePrecipitation, 1 of relativeHumidity; what they "
        "were for is unknown",
    ]
    rows = found.rows
    assert rows["wind_m_s"].isna().all()
    assert rows["tmin_c"].isna().all()
    assert rows["tmax_c"].to_list()[:2] == [16, 14.5]
    assert rows["rh_min_pct"].isna().to_list() == [True, False, True]
    # 17 hours of the 29th are left.
    assert rows["rain_mm"].isna().to_list() == [True, False, True]


def test_without_a_chance_the_amount_if_it_rains_is_unknown(tmp_path: Path) -> None:
    found = read(tmp_path, changed(lambda p: p.pop(CHANCE)))
    assert found.warnings == [
        "holds no probabilityOfPrecipitation, so that what these tell is unknown"
    ]
    assert found.rows["date"].to_list() == OF_FILE[:2]
    assert found.rows[["rain_chance_pct", "rain_mm"]].isna().all(axis=None)


GOOD = json.dumps(FEATURE)
AGAIN = "save the file again"


def put(*path: str | int, value: object) -> str:
    """Return the feature as text with another value at a place in its properties."""

    def change(properties: Any) -> None:
        for step in path[:-1]:
            properties = properties[step]
        properties[path[-1]] = value

    return json.dumps(changed(change))


@pytest.mark.parametrize(
    ("data", "complaint"),
    [
        (b"", "the file is empty; save it again"),
        (b" \n", "the file is empty; save it again"),
        (b"\x89PNG\r\n", "is not UTF-8 text; save it again"),
        (b"<html></html>", "is not JSON (Expecting value: line 1, column 1); save it again"),
        (GOOD[:-3], "is not JSON ("),
        ("[]", "is no forecast of api.weather.gov/gridpoints (an object with properties); save"),
        ("{}", "is no forecast of api.weather.gov/gridpoints (an object with properties); save"),
        ('{"properties": 3}', "is no forecast of api.weather.gov/gridpoints"),
        (
            '{"type": "https://api.weather.gov/problems/NotFound", "title": "Not Found"}',
            'holds no forecast but the answer "Not Found"; check the address, and save it again',
        ),
        (
            put("periods", value=[]),
            "is the forecast in words; leave /forecast or /forecast/hourly off the address",
        ),
        ("[" * 100_000, "is nested deeper than any forecast; save it again"),
        ('{"a":' * 100_000, "is nested deeper than any forecast; save it again"),
        (
            put(CHANCE, "values", 0, "value", value=math.nan),
            "holds NaN, which is no number of JSON; save it again",
        ),
        (put("other", value=-math.inf), "holds -Infinity, which is no number of JSON; save it"),
        (
            GOOD.replace('"value": 16', '"value": 1e999'),
            f'maxTemperature: value 1 is "inf", no number of weather; {AGAIN}',
        ),
        (
            GOOD.replace('"value": 16', f'"value": {"9" * 5000}'),
            f'maxTemperature: value 1 is "inf", no number of weather; {AGAIN}',
        ),
        (
            GOOD.replace('"updateTime"', '"updateTime": "2026-10-28T11:05:00+00:00", "updateTime"'),
            'names "updateTime" twice in one place; save it again',
        ),
        (
            put("updateTime", value=["2026-10-28T11:05:00Z", "2026-10-29T11:05:00Z"]),
            "updateTime is a list, no time of 1980 to 2099 such as 2026-10-30T11:05:00+00:00; save",
        ),
        (put("updateTime", value=None), "updateTime is blank, no time"),
        (put("updateTime", value=True), "updateTime is true, no time"),
        (put("updateTime", value=20261029), 'updateTime is "20261029.0", no time'),
        (put("updateTime", value="yesterday\n"), 'updateTime is "yesterday\\n", no time'),
        (put("updateTime", value="2026-10-29T11:05:00"), "updateTime is "),
        (put("updateTime", value="1926-10-29T11:05:00Z"), "updateTime is "),
        (put("updateTime", value="2026-02-30T11:05:00Z"), "updateTime is "),
        (
            put("updateTime", value="2027-10-29T11:05:00Z"),
            "covers the rain of no whole day from its issue on; save a newer one",
        ),
        (put(CHANCE, value=[]), f"{CHANCE}: holds no list of values; {AGAIN}"),
        (put(CHANCE, value={"uom": "wmoUnit:percent"}), f"{CHANCE}: holds no list of values"),
        (put("temperature", "values", value="warm"), "temperature: holds no list of values"),
        (
            put(CHANCE, "values", 1, value=4),
            f"{CHANCE}: value 2 has no validTime and value; {AGAIN}",
        ),
        (put(CHANCE, "values", 1, value={"value": 4}), f"{CHANCE}: value 2 has no validTime"),
        (
            put(CHANCE, "values", 2, "validTime", value="2026-10-30T00:00:00+00:00/P1M"),
            f'{CHANCE}: value 3 is for "2026-10-30T00:00:00+00:00/P1M", no interval such as ',
        ),
        (put(CHANCE, "values", 2, "validTime", value=7), f'{CHANCE}: value 3 is for "7.0", no'),
        (put(CHANCE, "values", 2, "value", value="60"), f'{CHANCE}: value 3 is "60", no number'),
        (put(CHANCE, "values", 2, "value", value=True), f"{CHANCE}: value 3 is true, no number"),
        (put(CHANCE, "values", 2, "value", value={}), f"{CHANCE}: value 3 is an object, no number"),
        (put(CHANCE, "values", 2, "value", value=1e300), f'{CHANCE}: value 3 is "1e+300", no'),
        (
            put("windSpeed", "uom", value="wmoUnit:furlong"),
            'windSpeed: the unit (uom) is "wmoUnit:furlong", and must be wmoUnit:km_h-1 or '
            "wmoUnit:m_s-1; save the file again",
        ),
        (
            put(AMOUNT, "uom", value="wmoUnit:percent"),
            f'{AMOUNT}: the unit (uom) is "wmoUnit:percent", and must be wmoUnit:mm; {AGAIN}',
        ),
        (put("minTemperature", "uom", value=None), "minTemperature: the unit (uom) is blank, and"),
        (
            put(AMOUNT, "values", 1, "validTime", value="2026-10-29T12:00:00+00:00/PT7H"),
            f"{AMOUNT}: intervals overlap; {AGAIN}",
        ),
        (
            put("temperature", "values", value=[{}] * (MOST_VALUES + 1)),
            f"temperature: holds more than 10,000 values; {AGAIN}",
        ),
    ],
)
def test_a_file_that_cannot_be_used_is_refused_alone(
    tmp_path: Path, data: str | bytes, complaint: str
) -> None:
    tracks = with_row("tracks", "far,Far Oval,dirt,1 mi,,,,,left,,40.5,-75,")
    files = {"main.json": data, "far.json": FEATURE}
    book = daybook.read(stable(tmp_path, files, tracks=tracks))
    [problem] = said(book)
    assert problem.startswith(f"forecast/main.json: {complaint}")
    assert "\n" not in problem
    assert len(problem) < 220
    assert [(p.level, p.table, p.horse) for p in book.problems] == [("error", "forecast", None)]
    assert of_files(book)["track"].to_list() == ["far"] * 3
    assert daybook.slice_for(book, "brindle").left_out == []


def test_a_file_larger_than_the_limit_is_not_read(tmp_path: Path) -> None:
    file = stable(tmp_path, {"main.json": GOOD}) / "forecast" / "main.json"
    with file.open("r+b") as open_file:
        open_file.truncate(LARGEST_FILE_MB * 1_000_000 + 1)
    assert said(daybook.read(tmp_path)) == [
        "forecast/main.json: is larger than 20 MB; save the forecast alone"
    ]


def test_a_file_at_the_limit_is_read_in_seconds(tmp_path: Path) -> None:
    filler = [[{"a": [1, 2, "b"]}] * 10] * 80_000
    text = put("other", value=filler)
    assert 15e6 < len(text) < LARGEST_FILE_MB * 1e6
    began = time.perf_counter()
    assert read(tmp_path, text).complaint is None
    assert time.perf_counter() - began < 20


def test_what_is_no_file_is_refused_without_being_opened(tmp_path: Path) -> None:
    folder = stable(tmp_path, {}) / "forecast"
    (folder / "main.json").mkdir()
    (folder / "hill.json").symlink_to(tmp_path / "nowhere")
    tracks = TABLES["tracks"].replace("1/8 mi,,,", "1/8 mi,40.5,-75,")
    message = "is a folder or a device, not a file; put the file there"
    book = daybook.read(write_book(tmp_path, tracks=tracks))
    assert said(book) == [f"forecast/{name}.json: {message}" for name in ("hill", "main")]


def test_files_of_no_track_are_named_and_others_left_alone(tmp_path: Path) -> None:
    files = {"moor.json": GOOD, "notes.txt": "x", "._main.json": "a Mac's shadow of a file"}
    book = daybook.read(stable(tmp_path, files))
    assert said(book) == [
        'forecast/moor.json: warning: tracks has no "moor", so this file is not used; name it '
        "after the track's id"
    ]
    assert of_files(book).empty


def test_names_that_differ_only_in_capitals_are_said_so(tmp_path: Path) -> None:
    folder = stable(tmp_path, {"main.json": GOOD, "MAIN.json": GOOD})
    if len(list((folder / "forecast").iterdir())) == 1:
        pytest.skip("this disk takes the two names for one")
    book = daybook.read(folder)
    message = "names that differ only in capitals: MAIN.json, main.json; keep one"
    assert said(book) == [f"forecast/{name}.json: {message}" for name in ("MAIN", "main")]
    assert of_files(book).empty


@pytest.mark.parametrize("longitude", ["", "190"])
def test_a_track_without_a_longitude_is_asked_for_it(tmp_path: Path, longitude: str) -> None:
    tracks = TABLES["tracks"].replace("-75.25", longitude)
    book = daybook.read(stable(tmp_path, {"main.json": GOOD}, tracks=tracks))
    assert said(book)[-1] == (
        "forecast/main.json: the local day follows from the longitude in row 2 of tracks, and "
        "there is none; fill longitude"
    )
    assert of_files(book).empty


def test_a_refused_track_loses_its_forecast(tmp_path: Path) -> None:
    tracks = TABLES["tracks"].replace("Main Oval,dirt", "Main Oval,sand")
    book = daybook.read(stable(tmp_path, {"main.json": GOOD}, tracks=tracks))
    assert said(book)[-1] == (
        "forecast/main.json: warning: row 2 of tracks is refused, and its forecast with it; mend "
        "that row"
    )
    # One that only the checks refuse.
    tracks = TABLES["tracks"].replace("dirt,1 mi", "dirt,1 f")
    book = daybook.read(
        stable(tmp_path / "late", {"main.json": GOOD}, tracks=tracks, forecast=None)
    )
    assert [text for text in said(book) if text.startswith("forecast")] == [
        'forecast/main.json:track: for 2026-10-29, "main" cannot be used, for row 2 of tracks is '
        "refused; mend that row (3 rows are left out)"
    ]
    assert book.tables["forecast"].empty


def test_a_row_of_the_table_stands_before_the_file(tmp_path: Path) -> None:
    own = with_row("forecast", "2026-10-29,2026-10-30,MAIN,5,1 mm,,,,,")
    own += "2026-10-28,2026-10-30,main,5,1 mm,,,,,\n"
    own = own.replace("MAIN", "main")
    book = daybook.read(stable(tmp_path, {"main.json": GOOD}, forecast=own))
    assert said(book) == [
        "forecast/main.json: warning: the table has rows of 2026-10-29 for 2026-10-30, and they "
        "stand; delete them there to use the file's"
    ]
    rows = book.tables["forecast"].set_index(["issued", "date"])["rain_chance_pct"]
    assert rows["2026-10-29", "2026-10-30"] == 5
    assert rows["2026-10-29", "2026-10-31"] == 0
    assert len(rows) == 5


@pytest.mark.parametrize(
    ("path", "value", "problem"),
    [
        (
            ("maxTemperature", "values", 0, "value"),
            75,
            ':tmax: for 2026-10-29, "75 C" is impossible: air is between -60 and 60 °C; correct it',
        ),
        (
            ("minTemperature", "values", 0, "value"),
            20.5,
            ':tmax: for 2026-10-30, "14.5 C" is below tmin ("20.5 C"); correct one of them',
        ),
        (
            (AMOUNT, "values", 1, "value"),
            -100,
            ':rain: for 2026-10-29, "-92 mm" is impossible: rain is 0 to 1000 mm; correct it',
        ),
        (
            (CHANCE, "values", 0, "value"),
            101,
            ':rain_chance: for 2026-10-29, "101 %" is impossible: a percentage is 0 to 100; '
            "correct it",
        ),
    ],
)
def test_the_checks_of_the_table_apply_and_name_file_and_day(
    tmp_path: Path, path: tuple[str | int, ...], value: float, problem: str
) -> None:
    book = daybook.read(stable(tmp_path, {"main.json": put(*path, value=value)}))
    assert said(book) == [f"forecast/main.json{problem}"]
    assert len(of_files(book)) == 2
    assert book.rows_refused["forecast"] == 1


def test_an_unlikely_day_is_a_warning_and_the_rows_of_the_table_keep_their_numbers(
    tmp_path: Path,
) -> None:
    wet = put(AMOUNT, "values", 1, "value", value=142)
    own = with_row("forecast", "2026-10-31,2026-11-02,main,130,,,,,,")
    book = daybook.read(stable(tmp_path, {"main.json": wet}, forecast=own))
    assert said(book) == [
        'forecast/main.json:rain: warning: for 2026-10-29, "250 mm" is unlikely: more than 200 mm '
        "is rare; check it",
        'forecast.csv:3:rain_chance: "130" is impossible: a percentage is 0 to 100; correct it',
    ]
    assert len(of_files(book)) == 3


def test_a_forecast_of_somewhere_else_is_used_but_questioned(tmp_path: Path) -> None:
    feature = copy.deepcopy(FEATURE)
    feature["geometry"]["coordinates"] = [[[-75.25, 43.5]]]
    book = daybook.read(stable(tmp_path, {"main.json": feature}))
    assert said(book) == [
        "forecast/main.json: warning: is for a place 334 km from the track; check the numbers in "
        "its address"
    ]
    assert len(of_files(book)) == 3


@pytest.mark.parametrize("geometry", [None, 3, {}, {"coordinates": []}, {"coordinates": [["x"]]}])
def test_a_forecast_that_does_not_say_where_it_is_for_is_used(
    tmp_path: Path, geometry: object
) -> None:
    book = daybook.read(stable(tmp_path, {"main.json": {**FEATURE, "geometry": geometry}}))
    assert said(book) == []
    assert len(of_files(book)) == 3


WATCHED = """
import sys
from racecalc import daybook
seen = []
sys.addaudithook(lambda name, details: seen.append(name))
book = daybook.read(sys.argv[1])
assert len(book.tables["forecast"]) == 4, book.problems
assert not [name for name in seen if name.startswith(("socket", "urllib", "http", "ftplib"))], seen
"""


def test_no_network_is_touched(tmp_path: Path) -> None:
    path = stable(tmp_path, {"main.json": FEATURE})
    done = subprocess.run([sys.executable, "-c", WATCHED, path], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


TREES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(
                ["properties", "updateTime", "values", "uom", "value", CHANCE, "title"]
            ),
            inner,
            max_size=4,
        )
    ),
    max_leaves=12,
)
PLACES = [
    (),
    ("geometry",),
    ("geometry", "coordinates"),
    ("geometry", "coordinates", 0, 1),
    ("properties",),
    ("properties", "updateTime"),
    *(("properties", name) for name in (CHANCE, "windSpeed", "minTemperature")),
    *(("properties", AMOUNT, key) for key in ("uom", "values")),
    ("properties", AMOUNT, "values", 2),
    ("properties", CHANCE, "values", 2, "validTime"),
    ("properties", CHANCE, "values", 2, "value"),
    ("properties", "temperature", "values", 0, "value"),
]


@FUZZ
@given(place=st.sampled_from(PLACES), tree=TREES)
def test_no_tree_in_any_place_is_more_than_a_problem(
    tmp_path: Path, place: tuple[str | int, ...], tree: object
) -> None:
    feature: Any = {"whole": copy.deepcopy(FEATURE)}
    at = feature
    *steps, last = ("whole", *place)
    for step in steps:
        at = at[step]
    at[last] = tree
    book = daybook.read(stable(tmp_path, {"main.json": json.dumps(feature["whole"])}))
    assert len(book.tables["forecast"]) >= 1
    for problem in book.problems:
        assert problem.file == "forecast/main.json"
        assert "\n" not in str(problem)


@FUZZ
@given(cut=st.integers(0, len(GOOD)), data=st.binary(max_size=6))
def test_no_bytes_are_more_than_a_problem(tmp_path: Path, cut: int, data: bytes) -> None:
    text, file = GOOD.encode(), tmp_path / "main.json"
    file.write_bytes(text[:cut] + data + text[cut + len(data) :])
    found = read_gridpoint(file, -5)
    assert len(found.rows) if found.complaint is None else found.rows.empty


@FUZZ
@given(values=st.lists(st.floats(0, 100), min_size=5, max_size=5), hours=st.integers(-12, 12))
def test_what_holds_of_every_forecast(tmp_path: Path, values: list[float], hours: int) -> None:
    """The chance is that of a piece; what is expected is no more than what falls if it rains."""

    def change(properties: dict[str, Any]) -> None:
        for piece, value in zip(properties[CHANCE]["values"], values, strict=True):
            piece["value"] = value

    rows = read(tmp_path, changed(change), hours).rows
    assert set(rows["rain_chance_pct"].dropna()) <= set(values)
    assert (rows["date"] >= rows["issued"]).all()
    assert (rows["rain_mm"].dropna() >= 0.254).all()
    assert (rows["rh_min_pct"].dropna() <= rows["rh_max_pct"].dropna()).all()
