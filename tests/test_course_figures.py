"""The course drawn to scale, works on it, and the horse's own line."""

import math
import tempfile
from pathlib import Path

import pytest

from racecalc import digest, figures
from racecalc.figures.course import drawn_of
from racecalc.page import POLES, RUST
from racecalc.report.svg import draw
from tests.digest.small import month_of, record_of, rows
from tests.digest.test_pole_sheet import TRACKS

WORK = {
    "tracks": TRACKS,
    "works": rows("works", "a,2026-10-02,sieve,main,6 f,1:14,breezing", more=",manner"),
    "splits": rows("splits", "a,5/8,:13 2/5", "a,3/8,:37 2/5", "a,1/8,1:02", "a,+1/8,1:28"),
}
LINE = [f"e{month},2026-0{month}-11,sieve,main,6 f,1:1{4 + month % 3}" for month in range(1, 10)]


def review_of(work="a", **tables):
    with tempfile.TemporaryDirectory() as folder:
        return digest.build_review(record_of(Path(folder), **tables), work)


def sheet_of(track="main", far="6 f", asked="1:14", **how):
    with tempfile.TemporaryDirectory() as folder:
        record = record_of(Path(folder), tracks=TRACKS)
        return digest.build_pole_sheet(record, track, far, asked, day="2026-11-02", **how)


def layers(picture, narrow=False):
    return (picture.narrow if narrow else picture.spec)["layer"]


def data_of(picture, layer):
    return picture.spec["datasets"][layer["data"]["name"]]


def texts(picture):
    return [
        row["text"]
        for layer in layers(picture)
        if layer["mark"]["type"] == "text"
        for row in data_of(picture, layer)
    ]


def test_both_axes_have_one_scale():
    for picture in (figures.ran(review_of(**WORK)), figures.asked(sheet_of())):
        for spec in (picture.spec, picture.narrow):
            x, y = (spec["layer"][0]["encoding"][axis]["scale"]["domain"] for axis in "xy")
            across, up = (x[1] - x[0]) / spec["width"], (y[1] - y[0]) / spec["height"]
            assert across == pytest.approx(up, rel=0.01)


def test_the_rails_are_as_far_apart_as_the_track_is_wide():
    drawn = drawn_of(review_of(**WORK).work.course, 640)
    [inner], [outer] = drawn.at([500.0], -0.9144), drawn.at([500.0], drawn.track_m)
    apart = math.hypot(*(outer[axis] - inner[axis] for axis in "xy"))
    # Places are written in centimetres.
    assert apart == pytest.approx(80 * 0.3048, abs=0.02)


def test_poles_wear_their_colour_and_a_name():
    picture = figures.ran(review_of(**WORK))
    dots = next(one for one in layers(picture) if one["mark"]["type"] == "point")
    found = {row["words"]: row["colour"] for row in data_of(picture, dots)}
    assert found["¼ pole, red"] == POLES["red"]
    assert found["⅛ pole, green"] == POLES["green"]
    assert {"¼", "⅛", "⅜", "½", "finish"} <= set(texts(picture))


def test_sections_are_told_apart_by_colour_and_by_width():
    picture = figures.ran(review_of(**WORK))
    widths = {
        layer["mark"]["color"]: layer["mark"]["strokeWidth"]
        for layer in layers(picture)
        if layer["mark"]["type"] == "line" and layer["mark"]["strokeWidth"] > 2
    }
    # 13.4 s a furlong, then 12, 12.3 and 12: slow at first, then quicker than the mean of 12.33.
    assert widths[RUST] == max(widths.values())
    assert len(set(widths.values())) == len(widths) == 3
    assert "Thick: quicker than the work’s mean" in picture.caption
    assert "Thin: slower" in picture.caption
    assert "slower than the work’s mean to the ⅝ pole" in picture.alt


def test_running_times_stand_at_the_clocked_poles():
    assert {":13⅖", ":37⅖", "1:02", "1:14", "→"} <= set(texts(figures.ran(review_of(**WORK))))


def test_every_mark_that_tells_something_shows_it_on_hovering():
    picture = figures.ran(review_of(**WORK))
    svg = draw(picture.spec, picture.alt, "p").svg
    for words in ("¼ pole, red", "At ⅝: :13⅖; section 13⅖", "start of the work"):
        assert f">{words}</title>" in svg


def test_a_right_handed_course_is_the_mirror_image():
    left, right = (
        drawn_of(sheet_of(track).plan.course, 640).path(1200.0, 0.0, 3.0)
        for track in ("main", "mirror")
    )
    assert [place["x"] for place in left] == pytest.approx([-place["x"] for place in right])
    assert [place["y"] for place in left] == pytest.approx([place["y"] for place in right])


def test_a_course_without_its_turns_is_not_drawn_and_the_page_says_so():
    from racecalc import words

    review = review_of(
        tracks=TRACKS, works=rows("works", "a,2026-10-02,sieve,ring,4 f,:50"), splits=None
    )
    assert figures.ran(review) is None
    assert "is not drawn on its oval" in " ".join(words.review_notes(review).paragraphs)
    assert figures.asked(sheet_of("ring", "4 f", ":50")) is None


def test_the_month_draws_its_newest_work_that_can_be_drawn():
    works = rows("works", "a,2026-10-02,sieve,main,4 f,:50", "b,2026-10-09,sieve,ring,4 f,:50")
    picture = figures.newest(month_of(tracks=TRACKS, works=works))
    assert picture.title == "Four furlongs on 2 October"
    assert picture.half
    assert figures.newest(month_of(works=rows("works", "b,2026-10-09,sieve,main,4 f,:50"))) is None


def test_a_sheet_draws_the_watch_at_each_pole_and_the_way_of_backing_up():
    picture = figures.asked(sheet_of())
    assert {":12⅕", ":24⅗", ":37", ":49⅕", "1:01⅗", "1:14"} <= set(texts(picture))
    dashed = [
        layer for layer in layers(picture)
        if layer["mark"]["type"] == "line" and layer["mark"].get("strokeDash") == [2, 3]
    ]  # fmt: skip
    assert len(dashed) == 1
    assert "the watch there shows 1:14" in picture.alt


def test_a_start_in_the_chute_is_drawn_outside_the_oval():
    sheet = sheet_of(far="6 1/2 f", asked="1:20", start="chute")
    drawn = drawn_of(sheet.plan.course, 640, sheet.plan.chute)
    [start] = drawn.at([sheet.plan.chute.start_m], 0.0)
    far_m = 1320 * 0.3048 / 2 + sheet.plan.chute.length_m
    assert start["x"] == pytest.approx(far_m, abs=0.01)
    assert drawn.low[0] < start["x"] < drawn.high[0]


def test_a_pole_that_is_passed_twice_bears_both_times():
    """A metric lap of 1600 m: of 2000 m the finish is passed after 400 m and again at the end."""
    written = texts(figures.asked(sheet_of("metric", "2000 m", "2:10")))
    assert ":26 / 2:10" in written


def test_the_arrow_points_the_way_of_running():
    assert "→" in texts(figures.asked(sheet_of()))
    assert "←" in texts(figures.asked(sheet_of("mirror")))


def test_ground_without_a_clock_at_the_end_is_drawn_as_well():
    works = rows("works", "a,2026-10-02,sieve,main,6 f,")
    review = review_of(tracks=TRACKS, works=works, splits=WORK["splits"])
    picture = figures.ran(review)
    lines = [
        layer for layer in layers(picture)
        if layer["mark"]["type"] == "line" and layer["mark"]["strokeWidth"] > 2
    ]  # fmt: skip
    drawn = drawn_of(review.work.course, 640)
    [finish] = drawn.at([0.0], drawn.track_m / 2)
    assert finish in [data_of(picture, layer)[-1] for layer in lines]


def test_the_line_shows_each_work_with_what_was_expected():
    found = month_of(works=rows("works", *LINE, "z,2026-10-20,sieve,main,6 f,1:09"))
    picture = figures.own_line(found)
    points = picture.spec["layer"][-1]
    drawn = data_of(picture, points)
    assert [row["work"] for row in drawn][-1] == "z"
    assert drawn[-1]["shape"] == "triangle-up"
    assert drawn[-1]["colour"] == RUST
    assert drawn[0]["low"] is None
    assert points["encoding"]["y"]["scale"]["reverse"]
    assert "pointing up, quicker than expected" in picture.caption
    assert "the newest took 1:09" in picture.alt
    assert ">20 October 2026: 1:09; expected" in draw(picture.spec, picture.alt, "p").svg


def test_too_few_works_make_no_line():
    assert figures.own_line(month_of(works=rows("works", *LINE[:2]))) is None
    nine = rows("works", *LINE[:3], "z,2026-10-20,sieve,main,6 f,1:14")
    assert figures.own_line(month_of(works=nine)) is None
