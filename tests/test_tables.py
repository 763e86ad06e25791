"""Tables and key figures: every row and cell, as a reader finds them."""

import re

import pytest

from racecalc import tables
from racecalc.page import Cell
from racecalc.words import SPEED_NAMES
from tests.digest.small import METRIC, month_of, rows

EARLIER = [
    f"e{month},2026-0{month}-08,sieve,main,4 f,:5{3 + month % 3},handily,yes,fast,steady"
    for month in range(1, 9)
]
WORKS = {
    "works": rows(
        "works",
        *EARLIER,
        "a,2026-09-08,sieve,main,4 f,:54,handily,yes,fast,steady",
        "b,2026-10-08,sieve,main,4 f,:49,handily,yes,fast,steady",
        "c,2026-10-10,sieve,hill,3 f,,,,,",
        more=",manner,from_gate,state,effort",
    ),
    "splits": rows("splits", "b,1/4,:24 4/5", "b,1/8,:37", "b,+1/8,1:02"),
}


def texts(table):
    return [tuple(c.text if isinstance(c, Cell) else c for c in row) for row in table.rows]


def shape_is_whole(table):
    assert table.rows
    assert {len(row) for row in table.rows} == {len(table.columns)}


def test_works_one_row_each_with_those_outside_the_line_in_bold():
    table = tables.works(month_of(**WORKS))
    shape_is_whole(table)
    assert [column.head for column in table.columns] == [
        "day", "distance", "time", "expected", "a furlong", "mph", "how", "where, and the footing",
    ]  # fmt: skip
    first, second = texts(table)
    low, high = first[3].split("–")
    assert ":49" < low < ":54" < high
    # Half a mile in 49 s is 36.7 mph.
    assert (*first[:3], *first[4:]) == (
        "Thu 8", "4 f", ":49", "12.25", "36.7", "steady, handily, from the gate", "Main Oval, fast"
    )  # fmt: skip
    assert second == ("Sat 10", "3 f", "no clock", "–", "–", "–", "–", "Hill Ring")
    assert isinstance(table.rows[0][2], Cell)
    assert re.search(r"Bold: outside that, \d\.\d s quicker than expected on the 8th", table.note)
    assert table.title == "Her works"


def test_works_without_a_line_have_no_column_for_it():
    alone = rows("works", "b,2026-10-08,sieve,main,4 f,:49")
    table = tables.works(month_of(works=alone))
    assert "expected" not in [column.head for column in table.columns]
    assert "Expected" not in table.note
    assert not isinstance(table.rows[0][2], Cell)


def test_works_without_any_clock_have_no_word_on_clocks():
    untimed = rows("works", "c,2026-10-10,sieve,hill,3 f,")
    assert tables.works(month_of(works=untimed)).note is None


def test_metric_works_are_in_kilometres_an_hour_and_hundredths():
    works = rows("works", "a,2026-10-08,sieve,gallop,1200 m,1:15.30")
    table = tables.works(month_of(barn=METRIC, works=works))
    # 1200 m in 75.3 s is 57.4 km/h and 12.62 s for each 201.168 m.
    assert table.columns[4].head == "km/h"
    assert texts(table)[0][:5] == ("Thu 8", "1200 m", "1:15.30", "12.62", "57.4")


def test_splits_name_from_and_to_and_never_fill_a_pole_in():
    [table] = tables.splits(month_of(**WORKS)).elements
    shape_is_whole(table)
    assert table.title == "Four furlongs on 8 October"
    assert texts(table) == [
        ("start to ¼", "red", "24⅘", ":24⅘"),
        ("¼ to ⅛", "green", "12⅕", ":37"),
        ("⅛ to finish", "–", "12", ":49"),
        ("finish to +⅛, galloping out", "green", "13", "1:02"),
    ]


def test_ground_by_activity_and_by_speed_in_three_spans():
    table = tables.ground(
        month_of(
            exercise=rows(
                "exercise",
                "2026-09-30,sieve,jog,2 mi,,main",
                "2026-10-01,sieve,gallop,1 mi,1:50,main",
                "2026-10-02,sieve,gallop,1 mi,2:10,main",
                "2026-10-03,sieve,swim,60 metres,,",
            )
        )
    )
    shape_is_whole(table)
    assert [column.head for column in table.columns][1:] == [
        "October", "September", "30 days to 31 October",
    ]  # fmt: skip
    found = {row[0]: row[1:] for row in texts(table)}
    assert found["gallop"] == ("2.0 mi", "–", "1.0 mi")
    assert found["jog"] == ("–", "2.0 mi", "–")
    assert found["swim"] == ("66 yd", "–", "66 yd")
    # A mile in 1:50 is 14.6 m/s; in 2:10 it is 12.4 m/s.
    assert found[SPEED_NAMES["fast"]] == ("8 f", "none", "none")
    # Nobody timed the jog: it is slower by what is usual.
    assert found[SPEED_NAMES["slower"]] == ("1.0 mi", "2.0 mi", "1.0 mi")
    assert SPEED_NAMES["untimed"] not in found


def test_measurements_say_how_and_whether_the_change_is_real():
    table = tables.measurements(
        month_of(
            measurements=rows(
                "measurements",
                "2026-01-05,sieve,height,15.2,no,stick",
                "2026-10-05,sieve,height,16.0,no,stick",
                "2026-09-01,sieve,weight,1000 lb,,scale",
                "2026-10-20,sieve,weight,1010 lb,,scale",
            )
        )
    )
    assert texts(table) == [
        ("height", "barefoot, by stick", "16.0 hands", "5 October", "+2 in", "5 January",
         "yes, more than 1.1 in"),
        ("weight", "on the scale", "1,010 lb", "20 October", "+10 lb", "1 September",
         "no, within 18 lb"),
    ]  # fmt: skip
    alone = rows("measurements", "2025-10-05,sieve,height,15.2,,laser")
    [row] = texts(tables.measurements(month_of(measurements=alone)))
    assert row == (
        "height", "by laser", "15.2 hands", "5 October 2025", "–", "–",
        "nothing earlier to compare",
    )  # fmt: skip


def test_surface_shows_only_the_columns_that_the_log_fills():
    both = month_of(
        exercise=rows("exercise", "2026-10-01,sieve,jog,1 mi,,main"),
        surface=rows(
            "surface",
            "2026-10-01,main,fast,,9 %,,harrowed,",
            "2026-10-02,main,fast,,11 %,,none,",
            "2026-10-05,main,muddy,0.5 in,,,,dragged twice",
            more=",moisture,cushion,upkeep,note",
        ),
    )
    [table] = tables.surface(both).elements
    shape_is_whole(table)
    assert [column.head for column in table.columns] == ["October", "footing", "rain", "moisture"]
    assert texts(table) == [
        ("1 to 2", "fast", "–", "9 to 11 %"),
        ("5", "muddy", "0.50 in", "–"),
    ]
    assert "Rain in all: 0.50 in." in table.note
    assert "5 October: dragged twice." in table.note
    assert not table.half


NOT_COMPARABLE = (
    "Moisture by volume and by mass are different shares, and readings at different tracks are "
    "not comparable."
)


def test_surface_has_a_column_for_each_method_of_measuring_moisture():
    found = month_of(
        exercise=rows("exercise", "2026-10-01,sieve,jog,1 mi,,main"),
        surface=rows(
            "surface",
            "2026-10-01,main,fast,,9 %,mass",
            "2026-10-02,main,fast,,21 %,volume",
            "2026-10-03,main,fast,,24 %,volume",
            "2026-10-05,main,muddy,,13 %,",
            more=",moisture,moisture_method",
        ),
    )
    [table] = tables.surface(found).elements
    shape_is_whole(table)
    assert [column.head for column in table.columns] == [
        "October", "footing", "moisture, volume", "moisture, mass", "moisture",
    ]  # fmt: skip
    assert texts(table) == [
        ("1 to 3", "fast", "21 to 24 %", "9 %", "–"),
        ("5", "muddy", "–", "–", "13 %"),
    ]
    assert table.note.count(NOT_COMPARABLE) == 1


def test_what_moisture_compares_with_is_said_once_and_only_beside_moisture():
    def notes(*log):
        used = ["2026-10-01,sieve,jog,1 mi,,main", "2026-10-02,sieve,jog,1 mi,,gallop"]
        used += ["2026-10-03,sieve,jog,1 mi,,hill", "2026-10-04,sieve,jog,1 mi,,hill"]
        found = month_of(
            exercise=rows("exercise", *used),
            surface=rows("surface", *log, more=",moisture,moisture_method"),
        )
        return {
            element.title: NOT_COMPARABLE in element.note
            for element in tables.surface(found).elements
        }

    dry = ["2026-10-01,hill,fast,0,,", "2026-10-01,gallop,good,,20,volume"]
    both = [*dry, "2026-10-01,main,fast,,9,mass"]
    assert notes(*both) == {"Hill Ring": False, "Long Gallop": True, "Main Oval": False}
    assert notes(dry[0]) == {"Hill Ring": False}


@pytest.mark.parametrize(
    ("before", "after", "value", "unit", "label", "compare"),
    [
        (0, 1, "1", "work", "3 f against the watch", "no works in September"),
        (1, 2, "2", "works", "6 f against the watch", "one work in September, 3 f"),
        (13, 0, "0", "works", "none against the watch", "13 works in September, 39 f"),
    ],
)
def test_the_first_key_figure_counts_the_works(before, after, value, unit, label, compare):
    lines = [f"s{n},2026-09-{n:02},sieve,main,3 f,:37" for n in range(1, before + 1)]
    lines += [f"o{n},2026-10-{n:02},sieve,main,3 f,:37" for n in range(1, after + 1)]
    walked = rows("exercise", "2026-10-20,sieve,walk,1 mi,,")
    figure = tables.key_figures(month_of(works=rows("works", *lines), exercise=walked)).items[0]
    assert (figure.value, figure.unit, figure.label, figure.compare) == (
        value, unit, label, compare,
    )  # fmt: skip


def figure_named(found, label):
    [figure] = [item for item in tables.key_figures(found).items if item.label == label]
    return figure


def test_fast_ground_is_set_against_its_usual_range():
    def compare(now, *miles_by_month):
        lines = [
            f"2026-{month:02}-20,sieve,gallop,{miles} mi,{miles * 5 // 3}:{miles * 40 % 60:02},main"
            for month, miles in [*miles_by_month, (10, now)]
        ]
        found = month_of(exercise=rows("exercise", *lines))
        return figure_named(found, "fast ground in 30 days").compare

    months = [(7, 2), (8, 3), (9, 2)]
    assert compare(1, *months) == "below her usual 16 to 24"
    assert compare(2, *months) == "within her usual 16 to 24"
    assert compare(4, *months) == "above her usual 16 to 24"
    assert compare(2, (7, 2), (8, 2), (9, 2)) == "her usual: 16 f"
    assert compare(4, (8, 3), (9, 2)) == "too few months to compare"


def test_days_off_are_none_not_no():
    walks = [f"2026-02-{day:02},sieve,walk,1 mi,," for day in range(1, 29)]
    found = month_of("2026-02", exercise=rows("exercise", *walks))
    figure = figure_named(found, "out of the stall to exercise")
    assert (figure.value, figure.unit, figure.compare) == ("28", "days", "none off")


def test_nothing_to_show_makes_no_table():
    empty = month_of()
    for make in (
        tables.key_figures, tables.works, tables.ground, tables.measurements, tables.what_next,
    ):  # fmt: skip
        assert make(empty) is None, make.__name__
    assert tables.surface(empty).elements == tables.splits(empty).elements == ()
    before = month_of(exercise=rows("exercise", "2026-09-20,sieve,gallop,2 mi,,main"))
    assert tables.ground(before) is None, "nothing was recorded in the month itself"
    about = tables.numbers(empty).block()
    assert (about["recorded"], about["horse"], about["month"]) == (False, "sieve", "2026-10")


def test_numbers_carry_value_unit_text_maker_and_sources():
    found = {row["name"]: row for row in tables.numbers(month_of(**WORKS)).numbers}
    row = found["works.b.split.1/8"]
    assert row == {
        "name": "works.b.split.1/8", "value": pytest.approx(12.2), "unit": "s", "text": "12⅕",
        "from": "racecalc.pace.sections", "sources": [], "n": 2, "caveat": None,
    }  # fmt: skip
    assert found["works.b.margin"]["sources"] == ["lange_1989", "bates_lme4"]
    assert found["works.b.expected.low"]["n"] == 9
    assert found["works.b.seconds_per_furlong"]["unit"] == "s/furlong"


def test_races_ahead_are_an_aim_with_day_distance_track_and_name():
    ahead = rows("targets", "sieve,2026-12-02,1 1/16 mi,hill,allowance", "sieve,2026-11-03,6 f,,")
    table = tables.what_next(month_of(targets=ahead))
    assert texts(table) == [
        ("3 November", "race aimed at: 6 f"),
        ("2 December", "race aimed at: 1 1⁄16 mi, Hill Ring, allowance"),
    ]
