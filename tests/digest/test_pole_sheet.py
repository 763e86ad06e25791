"""The pole sheet: where a work begins, what the watch should show, and what is refused."""

import tempfile
from pathlib import Path

import pytest

from racecalc import digest
from racecalc.daybook import open_slice, read, track_slice
from racecalc.errors import NotationError, OutOfRangeError
from racecalc.units import FOOT_M, FURLONG_M
from tests.daybook.stable import write_book
from tests.digest.small import METRIC, record_of

TRACKS = """\
track,name,surface,lap,straight,finish_to_turn,width,hand,poles,chutes
main,Main Oval,dirt,1 mi,1320 ft,285 ft,80 ft,left,1/8 mi,6 1/2 f
mirror,Mirror Oval,dirt,1 mi,1320 ft,285 ft,80 ft,right,1/8 mi,
ring,Small Ring,dirt,5 f,,,,,1/8 mi,
metric,Long Gallop,turf,1600 m,400 m,90 m,20 m,left,200 m,
"""


def sheet(distance="6 f", asked="1:13 1/5", track="main", **more):
    with tempfile.TemporaryDirectory() as folder:
        record = record_of(Path(folder), tracks=TRACKS)
        return digest.build_pole_sheet(record, track, distance, asked, day="2026-10-28", **more)


def calls(found):
    return [(call.place.pole, round(call.watch.value, 6)) for call in found.calls]


def test_six_furlongs_at_an_even_pace():
    found = sheet()
    assert calls(found) == [
        ("5/8", 12.2), ("1/2", 24.4), ("3/8", 36.6), ("1/4", 48.8), ("1/8", 61.0), ("finish", 73.2),
    ]  # fmt: skip
    assert (found.start.pole, found.start.colour, found.start.part) == ("3/4", "red", "first turn")
    assert [call.place.colour for call in found.calls[:3]] == ["green", "red", "green"]
    assert found.pace.value == pytest.approx(12.2)


@pytest.mark.parametrize("asked", ["12.2 s/f", "1:13.20", "73 1/5"])
def test_a_time_or_a_pace_say_the_same(asked):
    assert calls(sheet(asked=asked)) == calls(sheet())


def test_the_tolerance_grows_with_every_furlong():
    found = sheet(tolerance=0.1)
    windows = [call.late.value - call.early.value for call in found.calls]
    assert windows == pytest.approx([0.2 * furlongs for furlongs in range(1, 7)])
    assert all(c.early.value < c.watch.value < c.late.value for c in found.calls)


def test_a_time_is_read_by_the_barns_own_clock():
    with tempfile.TemporaryDirectory() as folder:
        record = record_of(Path(folder), METRIC, tracks=TRACKS)
        found = digest.build_pole_sheet(record, "metric", "1200 m", "1:13.2", day="2026-10-28")
    assert found.time.value == pytest.approx(73.2)


def test_what_a_step_wider_costs_is_told_in_the_barns_units():
    with tempfile.TemporaryDirectory() as folder:
        record = record_of(Path(folder), METRIC, tracks=TRACKS)
        found = digest.build_pole_sheet(record, "metric", "1200 m", "1:14", day="2026-10-28")
    assert (found.wider.off_rail.value, found.wider.extra.value) == (1.0, pytest.approx(3.14159265))
    assert sheet().wider.extra.value / FOOT_M == pytest.approx(9.424778)


def test_a_start_where_no_pole_stands_has_no_colour():
    """5 1/2 f from home lies between the eighth poles, and 70 yd before the wire is no pole."""
    assert sheet("5 1/2 f", "1:07").start.colour is None
    found = sheet("1 mi 70 yd", "1:50")
    assert (found.start.colour, found.calls[0].place.colour) == (None, None)


def test_a_long_work_keeps_the_rows_that_a_card_has_room_for():
    found = sheet("2 mi", "3:40")
    assert len(found.calls) <= 8
    assert found.calls[-1].place.pole == "finish"


def test_a_work_that_ends_at_a_pole():
    found = sheet("3 f", ":37", start="1/2")
    assert [pole for pole, _ in calls(found)] == ["3/8", "1/4", "1/8"]
    assert found.back_up.pole == "5/8"


def test_a_work_over_the_finish_on_a_small_ring():
    found = sheet("6 f", "1:14", track="ring", start="1/8")
    assert found.plan.run.times_past_finish == 1
    assert calls(found)[0][0] == "5/8"
    assert found.start.part is None
    assert (found.leads, found.bank, found.wider) == ((), None, None)


def test_backing_up_goes_behind_the_start_by_the_run_up_at_least():
    assert sheet().back_up.pole == sheet(run_up="1 f").back_up.pole == "7/8"
    # 250 m behind the 3/4 pole is past the 7/8 pole; the next one there is the finish.
    assert sheet(run_up="250 m").back_up.to_finish_m in (0.0, pytest.approx(8 * FURLONG_M))
    assert sheet("1200 m", "1:14", track="metric").back_up.pole == "1400 m"


def test_metric_poles():
    found = sheet("1200 m", "1:14", track="metric")
    assert [pole for pole, _ in calls(found)][:2] == ["1000 m", "800 m"]
    assert {call.place.colour for call in found.calls} == {None}


def test_leads_change_where_turns_and_straights_begin():
    """Straights of 1320 ft, 285 ft from the finish to the turn: turns are half a mile apart."""
    found = sheet()
    assert [(change.part, change.lead, change.after) for change in found.leads] == [
        ("backstretch", "right", "3/4"),
        ("far turn", "left", "1/2"),
        ("home straight", "right", "1/4"),
    ]
    offsets = [change.offset.value / FOOT_M for change in found.leads]
    assert offsets == pytest.approx([285, 285, 285])
    assert found.start.lead == "left"


def test_the_other_hand_mirrors_the_leads_and_nothing_else():
    left, right = sheet(), sheet(track="mirror")
    other = {"left": "right", "right": "left"}
    assert [c.lead for c in right.leads] == [other[c.lead] for c in left.leads]
    assert calls(left) == calls(right)


def test_running_wide_of_the_line():
    """Two bends of a quarter and a half turn: (pi + a) times the distance out."""
    found = sheet(off_rail="23 ft")
    share = (6 * FURLONG_M - 3675 * FOOT_M) / (1320 * FOOT_M)
    assert found.wide.extra.value / FOOT_M == pytest.approx(20 * 3.14159265 * (1 + share), rel=1e-6)
    assert found.wide.takes.value == pytest.approx(found.wide.extra.value / found.speed.value)
    assert sheet(off_rail="3 ft").wide.extra.value == pytest.approx(0.0)
    assert sheet().wide is None


def test_from_the_chute():
    found = sheet("6 1/2 f", "1:19", start="chute")
    assert (found.start.part, found.start.colour, found.back_up) == ("chute", None, None)
    assert found.start.lead == "right"
    assert [change.part for change in found.leads] == ["far turn", "home straight"]
    assert found.calls[0].place.pole == "3/4"
    assert found.calls[0].place.part == "chute"


def test_a_sheet_for_no_horse(tmp_path):
    book = read(write_book(tmp_path))
    found = digest.build_pole_sheet(track_slice(book), "main", "5 f", "1:02", day="2026-10-28")
    assert found.horse is None
    assert found.calls[-1].place.pole == "finish"
    again = digest.build_pole_sheet(
        open_slice(tmp_path, ""), "main", "5 f", "1:02", day="2026-10-28"
    )
    assert again == found


def test_names_of_numbers_are_unique_also_where_a_pole_is_passed_twice():
    found = sheet("1 1/2 mi", "2:40", track="ring")
    names = [number.name for number in found.numbers()]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"track": "nowhere"}, "no track has the id “nowhere”; there are main, mirror"),
        ({"distance": "6"}, "6"),
        ({"distance": "4 mi"}, "give 100 m to 2 mi"),
        ({"asked": "soon"}, "neither a time nor a pace"),
        ({"asked": "0:50"}, "give 6 to 20.5 m/s"),
        ({"asked": "9:50"}, "give 6 to 20.5 m/s"),
        ({"start": "3/16"}, "no pole at 3/16; its nearest are 1/4 and 1/8"),
        ({"start": "chute"}, "has no chute for 6 f; it has 6 1/2 f"),
        ({"start": "somewhere"}, "somewhere"),
        ({"tolerance": -0.1}, "tolerance"),
        ({"tolerance": float("nan")}, "tolerance"),
        ({"run_up": "far"}, "far"),
        ({"run_up": "2 mi"}, "a lap of Main Oval is 1 mi; give less"),
        ({"distance": "1 yd"}, "give 100 m to 2 mi"),
        ({"off_rail": "90 ft"}, "is 24.4 m wide; give less"),
        ({"off_rail": "2 miles away"}, "2 miles away"),
        ({"track": "ring", "off_rail": "9 ft"}, "fill straight and finish_to_turn"),
    ],
)
def test_what_cannot_be_is_refused_in_plain_words(change, says):
    with pytest.raises((NotationError, OutOfRangeError), match=says):
        sheet(**change)


def test_a_day_that_is_none_is_refused(tmp_path):
    record = record_of(tmp_path, tracks=TRACKS)
    with pytest.raises(NotationError, match="write it as 2026-10-28"):
        digest.build_pole_sheet(record, "main", "6 f", "1:13", day="tomorrow")
