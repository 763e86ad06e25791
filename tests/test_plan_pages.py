"""The pages of the next work and of a track, from small books: what they say, and what not."""

from dataclasses import replace
from datetime import timedelta

import pytest

from racecalc import digest, figures, page, tables, words
from tests.digest.sky import LAST, LOG, forecast, table
from tests.digest.small import METRIC, month_of, rows
from tests.digest.test_next_work import habit, plan_of
from tests.digest.test_surface_report import report_of

TARGET = "horse,date,distance,track,what"


def said(element: page.Prose | None) -> str:
    return " ".join(element.paragraphs) if element else ""


def cells(found: page.Table) -> list[tuple[str, ...]]:
    return [tuple(c if isinstance(c, str) else c.text for c in row) for row in found.rows]


def heads(found: page.Table) -> list[str]:
    return [column.head for column in found.columns]


def aim(days: int) -> str:
    return table(TARGET, [f"sieve,{LAST + timedelta(days=days)},6 f,main,"])


class TestTheLead:
    def test_a_day_is_proposed_with_what_comes_before_and_after_it(self):
        text = said(words.next_summary(plan_of(targets=aim(12))))
        assert "2 November" in text
        assert "seven days after the last work" in text
        assert "before the race over 6 f at Main Oval" in text
        assert text.endswith("The trainer decides on the morning.")

    def test_the_chance_of_a_wet_track_and_the_days_after_are_told(self):
        text = said(words.next_summary(plan_of()))
        assert "By the forecast, the chance that Main Oval is too wet for a fast work" in text
        assert "If that morning falls through, " in text

    def test_no_day_before_a_race_is_said_in_a_sentence_and_not_as_a_fault(self):
        text = said(words.next_summary(plan_of(targets=aim(4))))
        assert "is aimed at the race over 6 f at Main Oval on 4 November" in text
        assert "no fast work fits between" in text
        assert "proposed" not in text

    def test_limits_that_refuse_every_day_are_named(self):
        plan = plan_of(barn=METRIC + '[care]\nfast_limit_30d = "100 m"\n', works=habit(LAST))
        text = said(words.next_summary(plan))
        assert "No day up to " in text
        assert "more fast ground than the barn wants" in text
        assert text.endswith("The trainer decides.")

    def test_limits_that_refuse_every_day_stand_in_one_sentence(self):
        plan = plan_of(
            barn=METRIC + '[care]\nfast_limit_30d = "100 m"\n',
            works=habit(LAST - timedelta(days=1)),
            forecast=forecast(*[0] * 9, air="0 mm,35 C,44 C,3 m/s,60,90"),
        )
        text = said(words.next_summary(plan))
        assert ": too soon after the last, more fast ground than the barn wants or too hot." in text

    def test_a_horse_that_leaves_tomorrow_is_told_of_without_days(self):
        horses = f"horse,name,foaled,sex,left\nsieve,Sieve,2022,filly,{LAST + timedelta(days=1)}\n"
        text = said(words.next_summary(plan_of(horses=horses)))
        assert text == "Sieve leaves the barn on 1 November, so no day is proposed here."

    def test_a_horse_long_out_of_work_is_left_to_trainer_and_vet(self):
        plan = plan_of(works=habit(LAST - timedelta(days=60)))
        text = said(words.next_summary(plan))
        assert "has not worked or raced for 60 days, so no day is proposed here" in text
        assert "the trainer and the vet" in text
        for made in (
            tables.next_figures(plan), tables.plan_days(plan), tables.plan_works(plan),
            tables.plan_calls(plan), figures.plan_days(plan), words.next_notes(plan),
            words.published_cautions(plan),
        ):  # fmt: skip
            assert made is None

    def test_every_lead_is_short_and_without_a_percent_of_risk(self):
        for plan in (plan_of(), plan_of(targets=aim(4)), plan_of(forecast=None, weather=None)):
            text = said(words.next_summary(plan))
            assert len(text.split()) < 90
            assert "risk" not in text
            assert "nan" not in text
            assert "None" not in text


class TestTheDays:
    def test_a_row_for_each_day_the_first_choice_stands_out(self):
        plan = plan_of()
        found = tables.plan_days(plan)
        assert len(found.rows) == len(plan.days)
        strong = [row for row in found.rows if not isinstance(row[0], str)]
        assert [row[0].text for row in strong] == ["Mon 2, 1st choice"]

    def test_a_refused_day_has_no_cost_and_says_why(self):
        found = tables.plan_days(plan_of(works=habit(LAST - timedelta(days=2))))
        first = dict(zip(heads(found), cells(found)[0], strict=True))
        assert first["days lost"] == words.NO_VALUE
        assert "too soon after the last" in first["against it"]

    def test_a_day_that_is_refused_for_its_footing_says_so_and_no_more(self):
        plan = plan_of(forecast=forecast(*[100] * 9, air="40 mm,8 C,19 C,3 m/s,50,92"))
        wet = [day for day in plan.days if day.refused_by == ("footing",)]
        assert wet
        assert [words.objections(day, plan) for day in wet] == [
            "more likely than not too wet"
        ] * len(wet)
        assert figures.plan_days(plan) is not None
        assert tables.plan_days(plan) is not None

    def test_every_rule_that_refuses_has_words(self):
        """A rule without words would stop the page on the day that it first refuses."""
        day = plan_of().days[0]
        for rule in {reason.rule for reason in day.reasons} - {"waiting"}:
            refused = replace(day, allowed=False, reasons=(digest.Reason(rule, "refused"),))
            assert words.refusals(refused)

    def test_what_is_not_known_has_no_column(self):
        found = tables.plan_days(plan_of(forecast=None, weather=None, surface=None))
        assert heads(found) == ["day", "since work", "days lost", "against it"]

    def test_the_note_prints_what_bad_footing_costs_and_who_says_so(self):
        asked = tables.plan_days(plan_of(asked={"bad_footing": "8"})).note
        assert "8 (as asked for)" in asked
        assert "4 (our default, as the barn has set none)" in tables.plan_days(plan_of()).note
        own = plan_of(barn=METRIC + "[care]\nbad_footing_days = 2\n")
        assert "2 (as the barn has set it)" in tables.plan_days(own).note

    def test_the_picture_tells_each_day_and_no_day_twice(self):
        plan = plan_of(forecast=forecast(10, 80, 60, 30, 10, 10, 10, 10, 10))
        picture = figures.plan_days(plan)
        assert "first choice is" in picture.alt
        marks = [
            value["words"]
            for name, data in picture.spec["datasets"].items()
            for value in data
            if "words" in value and name
        ]
        assert any("rain 80 %" in text for text in marks)
        assert picture.narrow is not None

    def test_a_refused_day_is_marked_in_the_picture_and_the_caption(self):
        picture = figures.plan_days(plan_of(works=habit(LAST - timedelta(days=2))))
        assert "Marked “no”: refused" in picture.caption
        marks = [v.get("choice") for rows in picture.spec["datasets"].values() for v in rows]
        assert "no" in marks
        free = figures.plan_days(plan_of(works=habit(LAST - timedelta(days=6))))
        assert "refused" not in free.caption

    def test_a_day_with_nothing_against_it_says_so(self):
        plan = plan_of()
        best = next(row for row in cells(tables.plan_days(plan)) if "1st choice" in row[0])
        assert best[-1] == words.NO_VALUE

    def test_without_a_forecast_the_caption_does_not_tell_of_one(self):
        caption = figures.plan_days(plan_of(forecast=None)).caption
        assert "Above" not in caption
        assert "pale" not in caption
        assert "how often it was in the last 90 days" in caption

    def test_nothing_known_of_rain_and_footing_makes_no_picture(self):
        assert figures.plan_days(plan_of(forecast=None, weather=None, surface=None)) is None


class TestTheWorks:
    def test_works_stand_side_by_side_and_their_poles_end_in_their_times(self):
        plan = plan_of()
        found = tables.plan_works(plan)
        assert "as the last" in [row[0] for row in cells(found)]
        calls = tables.plan_calls(plan)
        times = [row[3] for row in cells(found)]
        assert list(cells(calls)[-1][2:]) == times

    def test_a_pace_is_that_of_the_barns_units(self):
        metric = plan_of(barn=METRIC)
        assert "200 m" in heads(tables.plan_works(metric))
        assert "a furlong" in heads(tables.plan_works(plan_of()))


class TestCautions:
    def test_every_subject_stands_with_its_bodies_and_the_tracks_rules_first(self):
        text = said(words.published_cautions(plan_of()))
        for word in ("Heat.", "Cold.", "Air.", "Lightning.", "HISA", "Texas", "Racing Victoria"):
            assert word in text
        assert text.endswith("The track’s own rules, the vet and local law come first.")

    def test_each_step_that_a_body_sets_stands_with_what_begins_there(self):
        text = said(words.published_cautions(plan_of()))
        assert "82 °F (28 °C), measures against heat; 90 °F (32 °C), consider a delay." in text
        assert "index 150 to 174, jog only, or jog and gallop; 175 and more, no racing" in text

    def test_heat_is_told_on_warm_days_only(self):
        cold = tables.air(plan_of(forecast=forecast(10, 10, 10)))
        assert "heat index" not in heads(cold)

    def test_what_is_lacking_is_said(self):
        text = said(words.next_missing(plan_of(forecast=None, weather=None)))
        assert "There is no forecast for this track" in text
        assert "No race of the next two months is written down as an aim." in text

    def test_the_forecast_is_not_said_to_end_where_it_has_a_gap_or_is_none(self):
        gap = said(words.next_summary(plan_of(forecast=forecast("", *[10] * 8))))
        assert "The footing of that day could not be told from the forecast; over" in gap
        none = said(words.next_summary(plan_of(forecast=None)))
        assert "There is no forecast of these days; over the 90 days before" in none
        short = said(words.next_summary(plan_of(forecast=forecast(10))))
        assert "The forecast does not reach that day; over the 90 days before" in short


class TestTrack:
    def test_one_day_without_rain_is_told_in_the_singular(self):
        alone = table(LOG, [f"{LAST},main,fast,,0"])
        text = said(words.surface_summary(report_of("main", surface=alone)))
        assert "On the one day with an entry since 2 September Main Oval was fast." in text
        assert "No rain was logged." in text

    def test_a_track_says_what_it_was_and_what_is_to_come(self):
        report = report_of("main")
        text = said(words.surface_summary(report))
        assert "Main Oval was" in text
        assert "The last word for it" in text
        assert figures.water(report).alt.startswith("The drying index of Main Oval")

    def test_a_track_without_a_log_says_so(self):
        report = report_of("main", surface=None, weather=None, forecast=None)
        assert "No footing of Main Oval is on record" in said(words.surface_summary(report))
        assert tables.checks(report) is None
        assert tables.edges(report) is None
        assert tables.air(report) is None
        assert figures.water(report) is None

    def test_no_chance_is_printed_where_the_barn_has_set_no_word(self):
        ahead = forecast(10, 60, 60, track="hill")
        found = tables.outlook(report_of("hill", forecast=ahead))
        assert "too wet" not in heads(found)
        assert "no footing of a synthetic track that keeps it from fast work" in found.note
        assert tables.outlook(report_of("gallop")) is None


class TestMonth:
    WORKED = rows(
        "works",
        "a,2026-10-03,sieve,main,4 f,:50,fast",
        "b,2026-10-12,sieve,main,4 f,:50,fast",
        "c,2026-10-24,sieve,main,5 f,1:03,good",
        more=",state",
    )
    LOG = rows(
        "surface", "2026-10-05,main,muddy,", "2026-10-06,main,sloppy,", "2026-10-24,main,good,"
    )

    def test_it_tells_what_the_horse_worked_on_and_when_the_barn_would_not_have(self):
        found = tables.surface(month_of(works=self.WORKED, surface=self.LOG))
        note = found.elements[0].note
        assert "Of her three works two came on fast and one came on good." in note
        assert (
            "On two days of the log Main Oval was not fit for a fast work, by the barn’s rule."
            in note
        )

    def test_the_next_work_comes_before_the_race(self):
        ahead = rows("targets", "sieve,2026-11-20,6 f,main,")
        month = month_of(works=self.WORKED, surface=self.LOG, targets=ahead)
        found = tables.what_next(month)
        assert [row[1].partition(":")[0] for row in cells(found)] == [
            "next fast work, as proposed", "race aimed at",
        ]  # fmt: skip
        assert "Next, if the track allows, is a fast work on " in said(words.summary(month))

    def test_an_old_month_proposes_nothing(self):
        later = self.WORKED + "d,2026-11-05,sieve,main,4 f,:50,fast\n"
        assert tables.what_next(month_of(works=later, surface=self.LOG)) is None

    @pytest.mark.parametrize("month", ["2026-09", "2026-11"])
    def test_an_empty_month_proposes_nothing(self, month):
        assert tables.what_next(month_of(month, works=self.WORKED, surface=self.LOG)) is None
