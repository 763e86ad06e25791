"""Leads noted at poles: where each was, between which poles it changed, and what is not known."""

import tempfile
from datetime import date
from pathlib import Path

import pytest

from racecalc import digest
from tests.digest.small import record_of, rows
from tests.digest.test_pole_sheet import TRACKS

SMALL = TRACKS + "six,Six Furlongs,dirt,6 f,900 ft,200 ft,50 ft,right,1/8 mi,\n"
OTHER = {"left": "right", "right": "left"}


def record(works, splits, folder):
    return record_of(
        Path(folder),
        tracks=SMALL,
        works=rows("works", *works, more=",from_pole"),
        splits=rows("splits", *splits, more=",lead"),
    )


def leads_of(*splits, track="main", far="6 f", time="1:14", start=""):
    """Return the leads of one work, from its poles, clocks and leads."""
    with tempfile.TemporaryDirectory() as folder:
        works = [f"a,2026-10-02,sieve,{track},{far},{time},{start}"]
        book = record(works, [f"a,{one}" for one in splits], folder)
        return digest.build_review(book, "a").leads


ONE_CHANGE = ("5/8,:13,right", "3/8,:37,left", "1/4,:49,left")
THREE_CHANGES = (*ONE_CHANGE, "1/8,1:02,right", "finish,1:14,right", "+1/8,1:28,left")


def places(leads):
    return [(note.pole, note.part, note.lead) for note in leads.notes]


def test_each_pole_has_its_place_on_the_course():
    leads = leads_of(*THREE_CHANGES)
    assert places(leads) == [
        ("5/8", "backstretch", "right"),
        ("3/8", "far turn", "left"),
        ("1/4", "far turn", "left"),
        ("1/8", "home straight", "right"),
        ("finish", "home straight", "right"),
        ("+1/8", "first turn", "left"),
    ]
    assert [note.colour for note in leads.notes[:3]] == ["green", "green", "red"]
    assert [note.gallop_out for note in leads.notes] == [False] * 5 + [True]


def test_a_change_lies_between_two_neighbouring_poles_and_no_nearer():
    leads = leads_of(*ONE_CHANGE)
    [change] = leads.changed
    assert (change.begin.pole, change.end.pole) == ("5/8", "3/8")
    assert change.parts == ("backstretch", "far turn")
    assert leads.changes.value == 1
    assert [stretch.lead for stretch in leads.stretches] == [None, "left"]


def test_without_a_change_no_number_of_changes_is_told():
    leads = leads_of("3/8,:12,left", "1/8,:37,left", far="4 f", time=":50")
    assert leads.changes is None
    assert leads.changed == ()
    assert (leads.noted.value, leads.poles.value) == (2, 2)


def test_a_pole_without_a_lead_is_unknown_and_nothing_is_set_for_it():
    leads = leads_of("5/8,:13,right", "1/2,:25,", "3/8,:37,right", "1/4,:49,left", "1/8,1:02,")
    assert leads.without == ("1/2", "1/8")
    assert (leads.noted.value, leads.poles.value, leads.noted.n) == (3, 5, 5)
    [same, changed] = leads.stretches
    assert (same.begin.pole, same.end.pole, same.lead) == ("5/8", "3/8", "right")
    assert changed.lead is None


def test_one_noted_pole_tells_of_no_change():
    leads = leads_of("1/2,:25,right", "1/4,:49,")
    assert leads.stretches == ()
    assert leads.changes is None


def test_a_work_without_leads_has_none():
    assert leads_of("1/2,:25,", "1/4,:49,") is None


def test_leads_in_a_chute_lie_in_it_and_the_straight_follows():
    splits = ("3/4,:06,right", "5/8,:18,left", "3/8,:43,left")
    leads = leads_of(*splits, far="6 1/2 f", time="1:20")
    assert leads.start_in.part == "backstretch"
    assert places(leads)[:2] == [("3/4", "chute", "right"), ("5/8", "backstretch", "left")]
    assert leads.notes[0].colour is None, "no pole stands in a chute"
    assert leads.stretches[0].parts == ("chute", "backstretch")
    assert leads.stretches[1].parts == ("backstretch", "far turn")


def test_two_poles_in_one_chute_cover_nothing_but_it():
    leads = leads_of("25/32 mi,:03,right", "3/4,:06,left", far="6 1/2 f", time="1:20")
    assert leads.stretches[0].parts == ("chute",)


def test_a_work_of_more_than_a_lap_passes_a_pole_twice():
    splits = ("7/8,:06,left", "5/8,:30,right", "1/4,1:09,left", "1/8,1:22,left", "+1/8,1:50,right")
    leads = leads_of(*splits, track="six", far="7 1/2 f", time="1:36")
    assert [note.part for note in leads.notes] == [
        "home straight", "first turn", "far turn", "home straight", "first turn",
    ]  # fmt: skip
    assert leads.stretches[0].parts == ("home straight", "first turn")
    assert leads.stretches[1].parts == ("first turn", "backstretch", "far turn")
    assert leads.stretches[3].parts == ("home straight", "first turn")
    assert leads.notes[0].to_finish_m % leads.course.lap_m == pytest.approx(
        leads.notes[3].to_finish_m
    )


def test_a_stretch_of_more_than_a_lap_names_each_part_once():
    leads = leads_of("7/8,:06,left", "+1/8,1:50,right", track="six", far="7 1/2 f", time="1:36")
    assert leads.stretches[0].parts == (
        "home straight", "first turn", "backstretch", "far turn",
    )  # fmt: skip


def test_a_work_that_ends_at_a_pole_gallops_out_before_the_finish():
    leads = leads_of("5/8,:25,right", "3/8,:50,left", far="3 f", time=":37 1/5", start="7/8")
    assert [note.gallop_out for note in leads.notes] == [False, True]


def test_where_the_turns_are_not_known_there_is_the_list_by_pole_only():
    leads = leads_of("5/8,:12,right", "1/4,:49,left", track="ring")
    assert places(leads) == [("5/8", None, "right"), ("1/4", None, "left")]
    assert leads.stretches[0].parts == ()
    assert leads.changes.value == 1


def test_a_clock_behind_an_end_without_a_time_keeps_its_lead():
    leads = leads_of("1/4,:24 3/5,left", "+1/8,1:15,right", far="4 f", time="")
    assert [note.lead for note in leads.notes] == ["left", "right"]


def test_the_mirror_image_has_the_other_leads_at_the_same_places():
    left = leads_of(*THREE_CHANGES)
    mirrored = (
        f"{one.rpartition(',')[0]},{OTHER[one.rpartition(',')[2]]}" for one in THREE_CHANGES
    )
    right = leads_of(*mirrored, track="mirror")
    assert [note.part for note in right.notes] == [note.part for note in left.notes]
    assert [note.lead for note in right.notes] == [OTHER[note.lead] for note in left.notes]
    assert [one.parts for one in right.stretches] == [one.parts for one in left.stretches]
    assert right.changes.value == left.changes.value == 3


class TestYear:
    WORKS = (
        "a,2025-10-02,sieve,main,6 f,1:14,",
        "b,2025-10-03,sieve,main,6 f,1:14,",
        "c,2026-05-02,sieve,main,6 f,1:14,",
        "d,2026-06-02,sieve,ring,4 f,:50,",
        "e,2026-10-02,sieve,main,4 f,:50,",
        "f,2026-10-03,sieve,main,4 f,:50,",
    )

    def told(self, what, last):
        splits = [
            *(f"a,{one}" for one in THREE_CHANGES),
            *(f"b,{one}" for one in THREE_CHANGES),
            *(f"c,{one}" for one in ONE_CHANGE),
            "d,1/4,:25,left",
            "e,1/4,:25,",
            "f,1/4,:25,right",
        ]
        with tempfile.TemporaryDirectory() as folder:
            return what(record(self.WORKS, splits, folder), last)

    def test_poles_are_counted_by_part_and_lead(self):
        main, ring = self.told(digest.leads_until, date(2026, 10, 2))
        counted = {
            one.part: (one.left.value, one.right.value, one.works.value) for one in main.parts
        }
        assert counted == {
            "home straight": (0, 2, 1),
            "first turn": (1, 0, 1),
            "backstretch": (0, 2, 2),
            "far turn": (4, 0, 2),
        }
        assert (main.left.value, main.right.value, main.works.value) == (5, 4, 2)
        assert main.first == date(2025, 10, 3), "the work of the day before is a year old"
        assert (ring.parts, ring.left.value, ring.works.value) == ((), 1, 1)

    def test_the_names_are_of_the_track_and_its_part(self):
        main, _ = self.told(digest.leads_until, date(2026, 10, 2))
        assert main.parts[0].left.name == "leads.main.home straight.left"
        assert (main.works.name, main.left.n) == ("leads.main.works", 9)

    def test_the_newest_is_that_with_leads_up_to_the_day(self):
        assert self.told(digest.newest_leads, date(2026, 10, 2)).work == "d"
        assert self.told(digest.newest_leads, date(2026, 10, 3)).work == "f"

    def test_nothing_where_nothing_was_noted(self):
        assert self.told(digest.leads_until, date(2025, 1, 1)) == ()
        assert self.told(digest.newest_leads, date(2025, 1, 1)) is None
