"""A GPS file in a review: pole times beside the watch, pictures, words, files of little use."""

import pytest

from racecalc import daybook, digest, figures, tables, words
from racecalc.report.svg import draw


@pytest.fixture(scope="module")
def book(sample_book):
    return daybook.read(sample_book)


@pytest.fixture(scope="module")
def whole(book):
    """The sample's newest recorded work: clocked, and seen by a receiver once a second."""
    return digest.build_review(daybook.slice_for(book, "larder-drizzle"), "LD-261028")


@pytest.fixture(scope="module")
def gapped(book):
    """Another, whose receiver fell silent for nine seconds."""
    return digest.build_review(daybook.slice_for(book, "colander-fog"), "CF-261022")


def test_pole_times_agree_with_the_watch_within_their_errors(whole):
    compared = [pole for pole in whole.trace.poles if pole.against_watch]
    assert {pole.pole for pole in compared} >= {"5/8", "3/8", "1/4", "1/8", "finish"}
    assert not any(pole.differs for pole in compared)
    for pole in compared:
        assert abs(pole.against_watch.value) < 0.5
        assert 0 < pole.error.value < 1.5


def test_poles_come_in_the_order_run_with_rising_clocks(whole):
    places = [pole.to_finish_m for pole in whole.trace.poles]
    clocks = [pole.clock.value for pole in whole.trace.poles]
    assert places == sorted(places, reverse=True)
    assert clocks == sorted(clocks)


def test_path_and_speed_are_those_of_a_horse_on_the_track(whole):
    trace = whole.trace
    assert abs(trace.out.value) < 5
    assert 15 < trace.top_speed.value < 19
    assert trace.interval.value == pytest.approx(1.0)
    assert trace.findings == ()


def test_a_pole_in_a_gap_has_no_time_and_the_gap_is_said(gapped):
    [finding] = gapped.trace.findings
    assert "a gap of 9.0 s" in finding
    told = {pole.pole for pole in gapped.trace.poles}
    passed = {section.pole for section in gapped.work.sections if not section.gallop_out}
    assert "finish" in told
    assert passed - told, "the pole that was passed in the gap"


def test_a_work_without_a_file_has_no_trace_and_a_track_without_a_place_says_so(book):
    record = daybook.slice_for(book, "larder-drizzle")
    review = digest.build_review(record, "LD-261019")
    assert review.trace is None
    assert figures.trace(review) is tables.trace(review) is words.trace_notes(review) is None
    tracks = record.tables["tracks"].assign(latitude_deg=float("nan"))
    nowhere = daybook.HorseBook(
        record.horse, record.barn, record.tables | {"tracks": tracks}, [], 0, ""
    )
    lost = digest.build_review(nowhere, "LD-261028").trace
    assert lost.poles == ()
    assert "is not laid on Thimble Marsh Park: fill straight" in lost.findings[0]


def test_a_file_of_another_day_says_so_and_tells_no_time(book):
    record = daybook.slice_for(book, "larder-drizzle")
    late = record.tables["gps"].assign(time=lambda gps: gps["time"] + days(9))
    other = daybook.HorseBook(record.horse, record.barn, record.tables | {"gps": late}, [], 0, "")
    review = digest.build_review(other, "LD-261028")
    assert review.trace.poles == ()
    [finding] = review.trace.findings
    assert "check which work the file belongs to" in finding
    assert figures.trace(review) is None
    assert words.trace_notes(review).paragraphs == (finding,)


def days(count):
    import pandas as pd

    return pd.Timedelta(days=count)


def test_both_pictures_are_drawn_with_words(whole):
    speed, path = figures.trace(whole).elements
    assert "the highest is 3" in speed.alt
    assert "outside the measuring line" in path.alt
    for picture in (speed, path):
        assert "<svg" in draw(picture.spec, picture.alt, "p").svg


def test_the_table_sets_gps_beside_the_watch(whole):
    table = tables.trace(whole)
    assert [column.head for column in table.columns] == [
        "pole", "by GPS", "give or take", "less the watch",
    ]  # fmt: skip
    rows = {row[0]: row for row in table.rows}
    assert rows["½"][3] == "–", "the half-mile pole was not clocked"
    assert rows["finish"][1].startswith("1:1")
