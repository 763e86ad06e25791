"""Leads on the page: the oval with letters and lines, the paragraph, the tables."""

import re
import tempfile
from datetime import date
from pathlib import Path

import pytest

from racecalc import daybook, digest, figures, tables, words
from racecalc.daybook import Barn
from racecalc.page import BLUE, MUTED, RUST
from racecalc.report.svg import draw
from tests.digest.small import record_of, rows
from tests.digest.test_leads import ONE_CHANGE, OTHER, SMALL, THREE_CHANGES, leads_of
from tests.test_words import PRAISE

BARN = Barn()
MIRRORED = tuple(
    f"{one.rpartition(',')[0]},{OTHER[one.rpartition(',')[2]]}" for one in THREE_CHANGES
)
LAP = ("7/8,:06,left", "5/8,:30,right", "1/4,1:09,left", "1/8,1:22,left", "+1/8,1:50,right")
# Each pole the other lead: more changes than a phone has room to say.
AT_EACH = (
    "5/8,:12,right", "1/2,:24,left", "3/8,:37,right", "1/4,:49,left", "1/8,1:02,right",
    "finish,1:14,left", "+1/8,1:28,right",
)  # fmt: skip
VERDICT = re.compile(
    r"\b(wrong|fault|should|correct|failed|refus\w+|lame\w*|sound|unsound|risk|late|early)\b"
)


def lap():
    return leads_of(*LAP, track="six", far="7 1/2 f", time="1:36")


def facts(leads):
    return words.leads_summary(leads, BARN).paragraphs[0]


def layers(spec, kind):
    return [layer for layer in spec["layer"] if layer["mark"]["type"] == kind]


def data(spec, layer):
    return spec["datasets"][layer["data"]["name"]]


def strokes(spec):
    """Return colour, width and dash of the lines of the work, in the order drawn."""
    marks = [layer["mark"] for layer in layers(spec, "line")]
    return [
        (mark["color"], mark["strokeWidth"], tuple(mark["strokeDash"]))
        for mark in marks
        if mark["strokeWidth"] > 1 and "strokeDash" in mark
    ]


def texts(spec):
    return [row["text"] for layer in layers(spec, "text") for row in data(spec, layer)]


class TestParagraph:
    def test_which_lead_where_and_between_which_poles_it_changed(self):
        assert facts(leads_of(*THREE_CHANGES)) == (
            "Noted at all 6 clocked poles: right at the ⅝ pole on the backstretch; left at the ⅜ "
            "and ¼ poles in the far turn; right at the ⅛ pole and the finish on the home straight; "
            "left at the +⅛ pole in the first turn, galloping out. At least 3 changes: between the "
            "⅝ and the ⅜ pole (backstretch, far turn), between the ¼ and the ⅛ pole (far turn, "
            "home straight) and between the finish and the +⅛ pole (home straight, first turn)."
        )

    def test_a_page_that_is_not_of_the_work_alone_says_of_which_it_is(self):
        leads = leads_of(*ONE_CHANGE)
        assert words.leads_summary(leads, BARN).title == "Leads, as noted at the poles"
        dated = words.leads_summary(leads, BARN, dated=True).title
        assert dated == "Leads, as noted at the poles on 2 October 2026 at Main Oval"

    def test_one_change_is_one(self):
        assert "At least 1 change: between the ⅝ and the ⅜ pole" in facts(leads_of(*ONE_CHANGE))

    def test_no_change_says_what_poles_would_not_show(self):
        text = facts(leads_of("3/8,:12,left", "1/8,:37,left", far="4 f", time=":50"))
        assert text == (
            "Noted at all 2 clocked poles: left at the ⅜ pole in the far turn and at the ⅛ pole on "
            "the home straight. No change shows; one there and back between two poles would not "
            "show at them."
        )

    def test_poles_without_a_lead_are_named(self):
        text = facts(leads_of("5/8,:13,right", "1/2,:25,", "3/8,:37,left", "1/4,:49,"))
        assert text.startswith("Noted at 2 of 4 clocked poles: ")
        assert text.endswith("No lead was noted at the ½ and ¼ poles.")

    def test_one_pole_tells_of_no_change(self):
        text = facts(leads_of("1/2,:25,right"))
        assert text == (
            "Noted at 1 of 1 clocked pole: right at the ½ pole on the backstretch. Of one pole "
            "alone no change can be told."
        )

    def test_where_the_turns_are_not_known_poles_are_named_alone(self):
        text = facts(leads_of("5/8,:12,right", "1/4,:49,left", track="ring"))
        assert text == (
            "Noted at all 2 clocked poles: right at the ⅝ pole; left at the ¼ pole. At least 1 "
            "change: between the ⅝ and the ¼ pole."
        )

    @pytest.mark.parametrize("splits", [ONE_CHANGE, THREE_CHANGES, AT_EACH])
    def test_it_is_fact_and_never_a_verdict(self, splits):
        leads = leads_of(*splits)
        said = f"{facts(leads)} {words.leads_picture_words(leads)}"
        assert not VERDICT.search(said)
        assert not PRAISE.search(said)

    def test_the_caution_stands_beside_it(self):
        caution = words.leads_summary(leads_of(*ONE_CHANGE), BARN).paragraphs[1]
        assert "many ordinary causes: the turn, habit, tiredness, balance" in caution
        assert "no finding of soundness; that is the vet’s" in caution

    def test_the_mirror_image_swaps_words_only(self):
        left, right = leads_of(*THREE_CHANGES), leads_of(*MIRRORED, track="mirror")

        def mirrored(text):
            text = text.replace("Mirror Oval", "Main Oval")
            return re.sub(r"\b(left|right)\b", lambda word: OTHER[word[0]], text)

        assert mirrored(facts(right)) == facts(left)
        assert mirrored(words.leads_picture_words(right)) == words.leads_picture_words(left)
        assert [row[:2] for row in tables.lead_poles(right).rows] == [
            row[:2] for row in tables.lead_poles(left).rows
        ]

    def test_nothing_noted_is_not_told(self):
        assert words.leads_summary(None, BARN) is None
        assert figures.leads(None) is None
        assert tables.lead_poles(None) is None
        assert tables.lead_parts((), BARN) is None


class TestPractice:
    def test_it_is_of_the_hand_of_the_track_and_says_that_studies_disagree(self):
        text = words.lead_practice(leads_of(*ONE_CHANGE).course)
        assert text == (
            "On a left-handed track horses usually take the left lead in the turns and the right "
            "one on the straights: common practice, and horses differ. Studies of whether they "
            "prefer one disagree: in one about nine in ten preferred the right lead, in another "
            "five in ten left the starting stalls on it."
        )
        assert "the right lead in the turns and the left one" in words.lead_practice(lap().course)

    def test_nothing_is_said_where_the_turns_are_not_known(self):
        ring = leads_of("5/8,:12,right", track="ring").course
        assert words.lead_practice(ring) == ""
        assert words.lead_sources(ring) == ()

    def test_a_review_lists_its_sources_only_with_leads(self):
        with tempfile.TemporaryDirectory() as folder:
            works = rows(
                "works", "a,2026-10-02,sieve,main,6 f,1:14", "b,2026-10-09,sieve,main,4 f,:50"
            )
            splits = rows("splits", *(f"a,{one}" for one in ONE_CHANGE), "b,1/4,:25,", more=",lead")
            record = record_of(Path(folder), tracks=SMALL, works=works, splits=splits)
            told, plain = (digest.build_review(record, work) for work in "ab")
        assert "Cully and others (2018)" in words.sources(told).paragraphs[0]
        assert "common practice of the trade" in words.sources(told).paragraphs[0]
        assert "On a left-handed track" in " ".join(words.review_notes(told).paragraphs)
        assert plain.leads is None
        assert "Cully" not in words.sources(plain).paragraphs[0]
        assert "left-handed" not in " ".join(words.review_notes(plain).paragraphs)


class TestPicture:
    def test_a_letter_stands_at_each_pole_and_says_its_value_on_hovering(self):
        picture = figures.leads(leads_of(*THREE_CHANGES))
        for spec in (picture.spec, picture.narrow):
            assert sorted(text for text in texts(spec) if text in "LR") == list("LLLRRR")
            svg = draw(spec, picture.alt, "p").svg
            for said in (
                "At the ⅝ pole on the backstretch: right lead",
                "At the finish on the home straight: right lead",
                "At the +⅛ pole in the first turn, galloping out: left lead",
                "changed between the ⅝ and the ⅜ pole",
            ):
                assert f">{said}</title>" in svg

    def test_leads_are_told_apart_by_colour_and_by_dash_and_changes_are_thin(self):
        found = strokes(figures.leads(leads_of(*THREE_CHANGES)).spec)
        left, right = (RUST, 5.0, (1, 0)), (BLUE, 5.0, (7, 4))
        changed, unknown = (MUTED, 2.0, (1, 0)), (MUTED, 1.2, (2, 3))
        assert found == [unknown, changed, left, changed, right, changed]

    def test_the_mirror_swaps_the_strokes(self):
        found = strokes(figures.leads(leads_of(*MIRRORED, track="mirror")).spec)
        assert [colour for colour, _, _ in found] == [MUTED, MUTED, BLUE, MUTED, RUST, MUTED]

    def test_where_it_changed_is_said_in_words(self):
        picture = figures.leads(leads_of(*THREE_CHANGES))
        assert texts(picture.spec).count("changed here") == 3
        assert texts(picture.narrow).count("changed here") == 3
        assert "Changed between the ⅝ and the ⅜ pole, between" in picture.alt

    def test_words_never_lie_on_one_another(self):
        """With six changes a phone has room for the shorter word only, and not for all."""
        picture = figures.leads(leads_of(*AT_EACH))
        assert texts(picture.spec).count("changed here") == 6
        assert 4 <= texts(picture.narrow).count("changed") <= 6
        for spec in (picture.spec, picture.narrow):
            boxes = [box for layer in layers(spec, "text") for box in boxes_of(spec, layer)]
            apart = [a for n, a in enumerate(boxes) for b in boxes[:n] if meet(a, b)]
            assert apart == []

    def test_ground_before_the_first_pole_and_behind_the_last_is_not_noted(self):
        found = strokes(figures.leads(leads_of("1/2,:25,right", "1/4,:49,")).spec)
        assert found == [(MUTED, 1.2, (2, 3))] * 2

    def test_a_pole_without_a_lead_bears_no_letter(self):
        picture = figures.leads(leads_of("5/8,:13,left", "1/2,:25,", "3/8,:37,left"))
        assert [text for text in texts(picture.spec) if text in "LR"] == ["L", "L"]
        assert "No lead was noted at the ½ pole." in picture.alt

    def test_a_pole_passed_twice_bears_both_letters_and_two_lines(self):
        noted = lap()
        picture = figures.leads(noted)
        assert {"L / L", "R / R"} <= set(texts(picture.spec))
        marks = data(picture.spec, layers(picture.spec, "point")[-1])
        first, last = marks[0], marks[3]
        apart_m = noted.notes[0].to_finish_m - noted.notes[3].to_finish_m
        assert apart_m == pytest.approx(1207.008), "a lap"
        assert abs(first["y"] - last["y"]) > 3, "the second lap is drawn beside the first"

    def test_a_start_in_the_chute_is_drawn_there(self):
        leads = leads_of("3/4,:06,right", "3/8,:43,left", far="6 1/2 f", time="1:20")
        picture = figures.leads(leads)
        assert "from the chute to the finish" in picture.alt
        assert "right at the ¾ pole in the chute" in picture.alt

    def test_the_caption_explains_what_is_drawn_and_nothing_else(self):
        both = figures.leads(leads_of(*THREE_CHANGES)).caption
        assert both == (
            "Run left-handed. L, R: the lead noted at a pole. Solid: left at both ends. Dashed: "
            "right at both ends. Thin: changed somewhere on it. Dotted: not noted."
        )
        one = figures.leads(leads_of("3/8,:12,left", "finish,:50,left", far="4 f", time=":50"))
        assert "Dashed" not in one.caption
        assert "Thin" not in one.caption

    def test_an_oval_that_is_not_known_is_not_drawn(self):
        assert figures.leads(leads_of("5/8,:12,right", "1/4,:49,left", track="ring")) is None


def boxes_of(spec, layer):
    """Return about where the texts of one layer stand, in pixels, poles and arrow left aside."""
    low, high = layer["encoding"]["x"]["scale"]["domain"]
    pixel_m = (high - low) / spec["width"]
    align = layer["mark"].get("align", "center")
    for row in data(spec, layer):
        if row["text"] not in ("L", "R", "changed", "changed here"):
            continue
        wide = 5.5 * len(row["text"])
        left = row["x"] / pixel_m - {"left": 0, "center": wide / 2, "right": wide}[align]
        yield left, left + wide, row["y"] / pixel_m - 5, row["y"] / pixel_m + 5


def meet(one, other):
    return one[0] < other[1] and other[0] < one[1] and one[2] < other[3] and other[2] < one[3]


class TestTables:
    def test_by_pole(self):
        table = tables.lead_poles(leads_of(*THREE_CHANGES))
        assert table.rows[0] == ("⅝", "backstretch", "right", "–")
        assert table.rows[2] == ("¼", "far turn", "left", "the same")
        assert table.rows[-1] == ("+⅛, galloping out", "first turn", "left", "changed")
        ring = tables.lead_poles(leads_of("5/8,:12,right", "1/4,:49,left", track="ring"))
        assert [row[1] for row in ring.rows] == ["–", "–"]

    def test_by_part(self, sample_book):
        record = daybook.slice_for(daybook.read(sample_book), "larder-drizzle")
        tracks = digest.leads_until(record, date(2026, 10, 31))
        table, *_ = tables.lead_parts(tracks, record.barn).elements
        assert [row[0] for row in table.rows][-1] == "in all"
        for column in (1, 2):
            *parts, whole = (int(row[column]) for row in table.rows)
            assert sum(parts) == whole
        assert "from Saturday 1 November 2025 to Saturday 31 October 2026" in table.note
        assert "Run left-handed." in table.note
