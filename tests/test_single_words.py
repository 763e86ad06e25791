"""The sentences of work reviews and pole sheets."""

import re

import pytest

from racecalc import tables, words
from tests.digest.small import METRIC, rows
from tests.digest.test_review import review_of, six
from tests.test_course_figures import LINE, WORK, sheet_of
from tests.test_words import PRAISE, horses


def lead(review):
    [text] = words.review_summary(review).paragraphs
    return text


def orders(**how):
    """The large figures of a card, each as its words."""
    return [
        " | ".join((one.value, one.unit, one.label, one.compare))
        for one in tables.orders(sheet_of(**how)).items
    ]


class TestReview:
    def test_distance_time_and_pace_first(self):
        text = lead(six("1/2,:24 2/5", "1/4,:48 3/5"))
        assert text.startswith("Sieve worked six furlongs in 1:13: 12.17 seconds a furlong.")
        assert "She went evenly, as far as the watch can tell." in text

    def test_how_it_was_done_and_the_footing(self):
        review = review_of(
            works=rows("works", "a,2026-10-02,sieve,main,4 f,:49,handily,good,sharp",
                       more=",manner,state,effort"),
        )  # fmt: skip
        assert "in 49 seconds, sharp, handily on a good dirt track: 12.25 seconds" in lead(review)

    def test_no_clock_is_said(self):
        review = review_of(works=rows("works", "a,2026-10-02,sieve,main,6 f,"))
        assert lead(review) == "Sieve worked six furlongs; there was no clock."
        assert tables.review_figures(review) is None
        assert tables.review_sections(review) is None

    @pytest.mark.parametrize(
        ("clock", "says"),
        [
            ("1:09", "That is quicker than was to be expected of her, "),
            ("1:15", "That is within what was to be expected of her, "),
            ("1:25", "That is slower than was to be expected of her, "),
        ],
    )
    def test_how_it_stands_to_the_line(self, clock, says):
        review = review_of("z", works=rows("works", *LINE, f"z,2026-10-20,sieve,main,6 f,{clock}"))
        assert re.search(rf"{says}1:1\d\S* to 1:1\d\S*\.", lead(review))
        assert (
            "of her own 9 and 0 of the rest of the barn" in words.review_notes(review).paragraphs[1]
        )

    def test_how_it_finished_and_galloped_out(self):
        text = lead(six("1/2,:25 2/5", "1/4,:50", "+1/8,1:27", time="1:13 1/5"))
        assert re.search(r"She quickened: the last part was \d\.\d s a furlong quicker", text)
        assert "She galloped out seven furlongs in 1:27." in text

    def test_galloping_out_of_a_work_that_ends_before_the_finish(self):
        review = review_of(
            works=rows("works", "a,2026-10-02,sieve,main,5 f,1:02,7/8", more=",from_pole"),
            splits=rows("splits", "a,1/2,:37", "a,finish,1:29"),
        )
        assert "She galloped out seven furlongs in 1:29." in lead(review)

    def test_every_horse_has_its_pronoun_and_nobody_is_praised(self):
        for sex, they in (("gelding", "He"), ("", "It"), ("mare", "She")):
            review = review_of(horses=horses(sex), **WORK)
            text = lead(review)
            assert f"{they} " in text
            assert not PRAISE.search(text)

    def test_metric_barns_read_hundredths_and_kilometres(self):
        review = review_of(
            barn=METRIC, works=rows("works", "a,2026-10-02,sieve,gallop,1200 m,1:15.30")
        )
        assert "in 1:15.30: 12.55 seconds for 200 m" in lead(review)
        assert tables.review_figures(review).items[2].unit == "km/h"

    def test_leads_are_shown_as_noted_and_no_more(self):
        review = review_of(
            works=rows("works", "a,2026-10-02,sieve,main,3 f,:37"),
            splits=rows("splits", "a,1/4,:12 2/5,left", "a,1/8,:24 4/5,", more=",lead"),
        )
        table = tables.review_sections(review)
        assert [row[-1] for row in table.rows] == ["left", "–", "–"]

    def test_a_clock_to_which_no_section_leads_has_a_row_with_its_lead(self):
        review = review_of(
            works=rows("works", "a,2026-10-02,sieve,main,4 f,"),
            splits=rows("splits", "a,1/4,:24 3/5,", "a,+1/8,1:15,left", more=",lead"),
        )
        table = tables.review_sections(review)
        assert table.rows[-1] == ("at +⅛", "green", "1:15", "–", "–", "–", "left")

    def test_interpolated_furlongs_are_marked_and_explained(self):
        table = tables.furlongs(six("5/8,:12 2/5", "3/8,:36 3/5"))
        assert ["≈" in row[2] for row in table.rows] == [False, True, True, True, True, True]
        assert table.note.startswith("≈: a pole at one end was missed")
        assert (
            tables.furlongs(six("1/2,:24 2/5", "5/8,:12", "3/8,:36", "1/4,:48", "1/8,1:00")) is None
        )


class TestSheet:
    def test_the_orders_come_in_the_order_in_which_they_are_needed(self):
        assert orders() == [
            "⅞ | green | back up to, turn, gallop in | 1 f or more behind the start",
            "¾ | red | break off | in the first turn, left lead",
            "finish |  | the work ends | ",
            "1:14 |  | asked | 1:12⅘ to 1:15⅕ is as asked",
        ]

    def test_a_work_that_ends_at_a_pole(self):
        found = orders(far="3 f", asked=":37", start="1/2")
        assert found[2].startswith("⅛ | green | the work ends")

    def test_a_work_past_the_finish(self):
        found = orders(track="ring", far="6 f", asked="1:14", start="1/8")
        assert found[2] == "finish |  | the work ends | after passing the finish once"
        notes = " ".join(words.sheet_notes(sheet_of("ring", "6 f", "1:14", start="1/8")).paragraphs)
        assert "the first one here is ⅝" not in notes
        long = " ".join(words.sheet_notes(sheet_of("ring", "1 mi", "1:44")).paragraphs)
        assert "a pole is named by all that is left, whole laps as well" in long

    def test_a_work_that_ends_behind_the_finish_says_how_the_book_wants_it(self):
        notes = " ".join(words.sheet_notes(sheet_of(start="1/2")).paragraphs)
        assert "This work ends past the finish." in notes

    def test_from_the_chute(self):
        found = orders(far="6 1/2 f", asked="1:20", start="chute")
        assert found[0] == "chute |  | walk in, turn at its end | "
        assert found[1] == "chute |  | break off | at its start, right lead"

    def test_a_start_where_no_pole_stands_is_named_by_the_pole_before(self):
        """70 yd before the wire is 450 ft past the eighth pole, which is 660 ft before it."""
        assert orders(far="1 mi 70 yd", asked="1:50")[1].startswith(
            "450 ft past the ⅛ |  | break off"
        )

    def test_without_a_tolerance_the_pace_stands_there(self):
        assert orders(tolerance=0.0)[3] == "1:14 |  | asked | 12.33 s a furlong, 36.5 mph"

    def test_quarter_poles_stand_large_with_their_edges(self):
        found = [(one.value, one.label) for one in tables.quarters(sheet_of()).items]
        assert found == [(":24⅗", "at ½, red"), (":49⅕", "at ¼, red")]
        assert tables.quarters(sheet_of("metric", "1200 m", "1:14")) is None

    def test_the_bank_is_physics_and_no_defect(self):
        text = " ".join(words.sheet_notes(sheet_of()).paragraphs)
        assert re.search(r"a bank of \d+ %; real banks are far lower, and that is no defect", text)
        assert "every 3 ft further out adds 9 ft to each whole turn, 0.18" in text

    def test_a_path_off_the_rail_says_what_it_adds(self):
        inside = " ".join(words.sheet_notes(sheet_of(off_rail="0 ft")).paragraphs)
        assert re.search(r"the work is \d+ ft shorter than measured, .* that much less for", inside)
        text = " ".join(words.sheet_notes(sheet_of(off_rail="20 ft")).paragraphs)
        assert re.search(
            r"20 ft off the rail the work is \d+ ft longer than measured, .* that much more for",
            text,
        )

    def test_unknown_turns_are_said(self):
        text = " ".join(words.sheet_notes(sheet_of("ring", "4 f", ":50")).paragraphs)
        assert "does not tell where the turns of Small Ring are" in text

    def test_the_head_names_the_horse_and_the_day(self):
        head = words.sheet_masthead(sheet_of())
        assert (head.name, head.when) == ("Sieve", "Monday 2 November 2026")
        assert "left-handed" in head.subtitle

    def test_under_ten_seconds_the_watch_keeps_its_zero(self):
        [first, *_] = tables.calls(sheet_of(far="2 f", asked=":19 4/5")).rows
        assert first[:4] == ("⅛, green", ":09⅘", ":09⅗", ":10⅕")


def test_the_watch_is_rounded_down_as_it_is_read():
    """35 mph is 12.857 s a furlong: a watch in fifths shows :12 4/5."""
    [first, *_] = tables.calls(sheet_of(far="2 f", asked="35 mph")).rows
    assert first[1] == ":12⅘"


def test_barns_with_another_clock_read_hundredths():
    from racecalc.daybook import Barn
    from racecalc.digest import Number

    barn = Barn(clock="hundredths")
    assert words.written(Number("x", 12.857, "watch", "f", 0), barn) == ":12.86"
    assert words.written(Number("x", 73.456, "expected", "f", 0), barn) == "1:13.5"
