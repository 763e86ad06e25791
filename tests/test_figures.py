"""Charts: what is on their axes, that their words are true, and that they look alike anywhere."""

import json
import os
import re
import subprocess
import sys

import altair
import pytest

from racecalc import figures, page, words
from racecalc.report.svg import draw
from tests.conftest import ROOT
from tests.digest.small import METRIC, month_of, rows

FURLONG = 201.168
WORK = words.GROUP_NAMES["work"]
MONTH = {
    "exercise": rows(
        "exercise",
        "2026-10-01,sieve,rest,,,",
        "2026-10-02,sieve,walk,1 f,,",
        "2026-10-03,sieve,jog,1 mi,,main",
        "2026-10-04,sieve,gallop,1 1/2 mi,,main",
        "2026-10-20,sieve,race,6 f,1:11,main",
    ),
    "works": rows(
        "works",
        "a,2026-10-08,sieve,main,4 f,:49",
        "b,2026-10-10,sieve,main,4 f,",
        "c,2026-10-24,sieve,main,5 f,1:01 2/5",
    ),
    "splits": rows("splits", "c,1/2,:12 2/5", "c,1/4,:37", "c,+1/8,1:15"),
    "surface": rows(
        "surface",
        "2026-10-03,main,fast,0",
        "2026-10-04,main,muddy,0.5 in",
        "2026-10-05,main,muddy,",
        "2026-10-18,main,sloppy,1 in",
    ),
    "measurements": rows(
        "measurements",
        "2026-01-31,sieve,height,15.2 1/2,no,stick",
        "2026-05-01,sieve,height,15.3,yes,stick",
        "2026-10-05,sieve,height,15.3,no,stick",
        "2026-08-31,sieve,weight,1000 lb,,scale",
        "2026-09-30,sieve,weight,1040 lb,,tape",
        "2026-10-31,sieve,weight,1025 lb,,scale",
    ),
}


@pytest.fixture(scope="module")
def digest():
    return month_of(**MONTH)


@pytest.fixture(scope="module")
def pictures(digest):
    return {
        name: getattr(figures, name)(digest) for name in ("month", "sections", "height", "weight")
    }


def data_of(spec, *columns):
    """Return the rows that hold all these columns, without doubles, as tuples."""
    found = [row for data in spec["datasets"].values() for row in data]
    picked = [tuple(row[c] for c in columns) for row in found if set(columns) <= set(row)]
    return list(dict.fromkeys(picked))


def inside(value, key):
    """Yield every value under a key, wherever it stands in a specification."""
    if isinstance(value, dict):
        if key in value:
            yield value[key]
        for part in value.values():
            yield from inside(part, key)
    elif isinstance(value, list):
        for part in value:
            yield from inside(part, key)


def test_every_chart_is_a_valid_specification(pictures):
    for picture in pictures.values():
        for spec in filter(None, (picture.spec, picture.narrow)):
            altair.Chart.from_dict(spec, validate=True)
            assert '"url":' not in json.dumps(spec)


def test_the_bars_of_the_month_are_the_ground_of_its_days(digest, pictures):
    bars = data_of(pictures["month"].spec, "day", "group", "ground")
    assert {(day, group): round(ground, 6) for day, group, ground in bars} == {
        (3, "jog or canter"): 8,
        (4, "gallop"): 12,
        (8, WORK): 4,
        (10, WORK): 4,
        (20, WORK): 6,
        (24, WORK): 6,  # five furlongs and one galloped out
    }
    metric = figures.month(month_of(barn=METRIC, **MONTH))
    kilometres = {ground for _, group, ground in data_of(metric.spec, "day", "group", "ground")}
    assert max(kilometres) == pytest.approx(12 * FURLONG / 1000)


def test_works_races_days_off_rain_and_footing_are_labelled(pictures):
    spec = pictures["month"].spec
    labels = {day: label for day, label in data_of(spec, "day", "label") if label}
    assert {
        8: "4 f :49",
        10: "4 f",
        20: "race",
        24: "5 f 1:01⅖",
        1: "off",
    }.items() <= labels.items()
    assert (labels[4], labels[18]) == ("muddy", "sloppy")
    assert 5 not in labels, "a run of one footing has one label"
    rain = data_of(spec, "day", "rain")
    assert rain == [(4, 12.7), (18, 25.4)]


def test_labels_that_stand_close_have_rows_of_their_own():
    lines = [f"w{day},2026-10-{day:02},sieve,main,3 f,:37" for day in (1, 2, 3, 3, 20)]
    lines[3] = lines[3].replace("w3", "x3")
    found = figures.month(month_of(works=rows("works", *lines)))
    placed = data_of(found.spec, "day", "ground", "label")
    heights = sorted({(day, round(height, 3)) for day, height, _ in placed})
    lowest = heights[0][1]
    assert [day for day, _ in heights] == [1, 2, 3, 3, 20]
    assert len({height for day, height in heights if day < 4}) == 4
    assert heights[-1] == (20, lowest)
    [roof] = {scale["domain"][1] for scale in scales(found.spec, "y") if scale["domain"][0] == 0}
    assert roof > max(height for _, height in heights)


def scales(spec, channel):
    found = [encoding[channel] for encoding in inside(spec, "encoding") if channel in encoding]
    return [axis["scale"] for axis in found if "domain" in (axis.get("scale") or {})]


def test_both_halves_of_the_narrow_month_share_scales_and_hold_every_day(pictures):
    first, second = pictures["month"].narrow["vconcat"]

    def ends(half, field):
        encodings = (e for found in inside(half, "encoding") for e in [found.get("y", {})])
        return {tuple(e["scale"]["domain"]) for e in encodings if e.get("field", "") == field}

    assert ends(first, "ground") == ends(second, "ground") != set()
    rain = data_of(pictures["month"].narrow, "rain", "top", "bottom")
    assert len({round((bottom - top) / deep) for deep, top, bottom in rain}) == 1
    assert len(rain) == 2
    days = [scales(half, "x")[0]["domain"] for half in (first, second)]
    assert days[0] + days[1] == list(range(1, 32))
    colours = data_of(pictures["month"].narrow, "group", "fill", "edge")
    keyed = data_of(pictures["month"].narrow, "label", "fill", "edge")
    assert set(colours) == set(keyed), "the key tells of each colour, once for both halves"
    assert len(keyed) == len({group for group, *_ in colours})


def test_sections_show_each_pace_with_its_error(digest, pictures):
    """5 f with poles at 1/2, 1/4 and the finish: 12.4, 12.3 and 12.2 s a furlong."""
    points = data_of(pictures["sections"].spec, "pole", "pace", "low", "high")
    assert [(pole, round(pace, 3)) for pole, pace, _, _ in points] == [
        ("start–½", 12.4), ("½–¼", 12.3), ("¼–end", 12.2),
    ]  # fmt: skip
    # Both ends of a section are read within 0.19 s; over two furlongs that is half for each.
    error = 0.19 * 2**0.5
    for (_, pace, low, high), furlongs in zip(points, (1, 2, 2), strict=True):
        assert (pace - low, high - pace) == pytest.approx((error / furlongs,) * 2)


def test_height_and_weight_are_drawn_at_their_day_and_value(pictures):
    heights = data_of(pictures["height"].spec, "day", "value", "how", "newest")
    assert [(day[:10], round(value, 6), how, new) for day, value, how, new in heights] == [
        ("2026-01-31", 62.5, "barefoot, by stick", False),
        ("2026-05-01", 62.606299, "shod, less shoes, by stick", False),
        ("2026-10-05", 63.0, "barefoot, by stick", True),
    ]
    weights = data_of(pictures["weight"].spec, "day", "value", "how")
    assert [(day[:10], round(value, 6), how) for day, value, how in weights] == [
        ("2026-08-31", 1000, "on the scale"),
        ("2026-09-30", 1040, "by tape"),
        ("2026-10-31", 1025, "on the scale"),
    ]
    metric = month_of(barn=METRIC, **MONTH)
    centimetres = data_of(figures.height(metric).spec, "value")
    assert centimetres[0][0] == pytest.approx(62.5 * 2.54)


def test_the_band_reaches_from_the_reading_compared_with_to_the_newest(pictures):
    ends = data_of(pictures["weight"].spec, "day", "value", "low", "high")
    assert [day[:10] for day, *_ in ends] == ["2026-08-31", "2026-10-31"]
    # 1.96 times the square root of two times 0.63 % of the larger weight, about the earlier one.
    limit = 1.96 * 2**0.5 * 0.0063 * 1025
    for _, value, low, high in ends:
        assert (value, value - low, high - value) == pytest.approx((1000, limit, limit))


def test_axes_have_round_values_around_every_mark_and_no_date_twice(pictures):
    for name in ("height", "weight"):
        spec = pictures[name].spec
        values = sorted(at for at, _ in data_of(spec, "at", "label"))
        marks = [end for pair in data_of(spec, "low", "high") for end in pair]
        assert values[0] <= min(marks)
        assert values[-1] >= max(marks)
        assert 2 <= len(values) <= 7
    close = [f"2026-10-{day:02},sieve,height,15.2,no,laser" for day in (1, 2, 4)]
    found = figures.height(month_of(measurements=rows("measurements", *close)))
    svg = draw(found.spec, found.alt, "p").svg
    dates = re.findall(r">(\d+ Oct)<", svg)
    assert dates
    assert len(set(dates)) == len(dates)
    assert "15.2" in re.findall(r">(\d+\.\d)<", svg)


def test_weeks_of_unknown_ground_show_their_days():
    told = month_of(exercise=rows("exercise", "2026-10-05,sieve,gallop,,,,"))
    picture = figures.weeks(told)
    assert picture is not None
    assert "5 October: a gallop" in draw(picture.spec, picture.alt, "p").svg


def test_no_chart_where_there_is_nothing_to_show():
    empty = month_of()
    assert figures.month(empty) is None
    assert figures.sections(empty) is None
    assert figures.height(empty) is None
    walked = month_of(exercise=rows("exercise", "2026-10-02,sieve,walk,1 mi,,"))
    assert figures.month(walked) is None
    twice = [f"2026-10-{day:02},sieve,weight,1000 lb,,scale" for day in (1, 2)]
    assert figures.weight(month_of(measurements=rows("measurements", *twice))) is None
    ways = [f"2026-10-01,sieve,weight,1000 lb,,{how}" for how in ("scale", "tape", "estimate")]
    assert figures.weight(month_of(measurements=rows("measurements", *ways))) is None
    poles = {
        "works": rows("works", "c,2026-10-24,sieve,main,5 f,1:01 2/5"),
        "splits": rows("splits", "c,1/2,:12 2/5", "c,+1/8,1:15"),
    }
    assert figures.sections(month_of(**poles)) is None


def test_words_for_the_blind_say_what_the_finding_and_the_range(pictures):
    assert pictures["month"].alt == (
        f"Bars for each day of October 2026 show the ground covered: {WORK}, gallop and jog or "
        "canter. She was out on seven days. Three works, "
        "on the 8th, the 10th and the 24th. Rain on two days hangs below the line."
    )
    what = "Points for three sections of the work of 24 October, five furlongs, in seconds for each"
    assert pictures["sections"].alt == f"{what} furlong: all alike within the error of the watch."
    slower = {"splits": MONTH["splits"].replace(":12 2/5", ":13")}
    assert figures.sections(month_of(**MONTH | slower)).alt == (
        f"{what} furlong: quickest to the ¼ pole, slowest to the ½ pole."
    )
    for name, low, high, newest in (
        ("height", "15.2½ hands", "15.3 hands", "15.3 hands"),
        ("weight", "1,000 lb", "1,040 lb", "1,025 lb"),
    ):
        assert f"between {low} and {high}; the newest is {newest}." in pictures[name].alt
    for picture in pictures.values():
        assert picture.spec["description"] == picture.alt


def test_two_works_of_one_day_are_named_once():
    lines = ["a,2026-10-08,sieve,main,3 f,:37", "b,2026-10-08,sieve,main,3 f,:38"]
    found = words.month_picture_words(month_of(works=rows("works", *lines)))
    assert "Two works, on the 8th." in found


PALETTE = {
    page.INK, page.MUTED, page.RULE, page.RUST, page.OCHRE, page.SAGE, page.SAGE_PALE, page.BLUE,
}  # fmt: skip


def test_only_colours_of_the_palette_are_drawn(pictures):
    for name, picture in pictures.items():
        for spec in filter(None, (picture.spec, picture.narrow)):
            svg = draw(spec, picture.alt, name).svg
            used = set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg)) - {"none", "transparent"}
            assert used <= PALETTE, name
            hues = used & {page.RUST, page.OCHRE, page.SAGE, page.BLUE}
            assert len(hues) <= 4


DRAW = """
import hashlib, sys
from tests.test_figures import MONTH, figures, month_of
from racecalc.report.svg import draw
digest = month_of(**MONTH)
for name in ("month", "sections", "height", "weight"):
    picture = getattr(figures, name)(digest)
    print(name, hashlib.sha256(draw(picture.spec, picture.alt, name).svg.encode()).hexdigest())
"""


@pytest.mark.slow
def test_a_chart_is_the_same_in_every_time_zone():
    drawn = set()
    for zone in ("Pacific/Auckland", "America/Los_Angeles", "UTC"):
        done = subprocess.run(
            [sys.executable, "-c", DRAW],
            env=os.environ | {"TZ": zone},
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
        )
        drawn.add(done.stdout)
    assert len(drawn) == 1
    assert drawn.pop().count("\n") == 4
