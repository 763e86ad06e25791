"""Sentences, tables and pictures of what was measured: what a reader finds on the page."""

import re
from datetime import date, timedelta

import altair
import pytest

from racecalc import figures, tables, words
from racecalc.page import Cell
from tests.digest.small import METRIC, month_of, rows
from tests.digest.test_body_report import FOAL, line, report, taped, temperatures, weekly
from tests.test_figures import data_of, inside

FIRST = date(2026, 1, 7)
PREDICTIONS = re.compile(r"\b(dose|dosage|fever|ill|disease|colic|infection|risk)\b")


def lead(found):
    [text] = words.body_summary(found).paragraphs
    assert text
    return text


def texts(table):
    return [tuple(c.text if isinstance(c, Cell) else c for c in row) for row in table.rows]


def sample(sex="filly"):
    """A horse of which everything was measured."""
    lines = weekly([480 + 0.9 * week for week in range(30)])
    lines += [
        line(FIRST + timedelta(days=30 * month), "height", f"{155 + 0.5 * month} cm", "stick", shod)
        for month, shod in enumerate(("no", "no", "yes", "no", "no", "no", "no"))
    ]
    lines += [
        line(FIRST + timedelta(days=30 * month), "condition", f"{5 + month // 3 / 2:g}")
        for month in range(7)
    ]
    lines += taped("185 cm", "165 cm") + temperatures(
        [37.5, 37.6, 37.4] * 5 + [38.6], date(2026, 7, 20)
    )
    horse = FOAL.format("2024-04-01").replace("filly", sex)
    return report(*lines, horses=horse, until="2026-08-05")


PAGES = {
    "everything": sample,
    "one weighing": lambda: report(*weekly([500.0])),
    "nothing": report,
    "by eye": lambda: report(*weekly([500.0, 520.0], method="estimate")),
    "temperature alone": lambda: report(*temperatures([37.5] * 3)),
    "condition alone": lambda: report(line(FIRST, "condition", "4.5")),
    "foal": lambda: report(
        line(date(2026, 2, 1), "height", "105 cm", "stick", "no"),
        horses=FOAL.format("2026-01-05"),
        until="2026-06-10",
    ),
    "all alike": lambda: report(*weekly([500.0] * 20)),
}


def elements(found):
    made = [
        words.body_masthead(found), words.body_summary(found), tables.body_figures(found),
        tables.changes(found), words.body_context(found), tables.trends(found),
        tables.vitals(found), tables.off_days(found), tables.growth(found), tables.energy(found),
        tables.tape_weights(found), words.body_protocol(found), words.body_notes(found),
        words.body_missing(found), words.sources(found), words.cautions(found),
    ]  # fmt: skip
    made += figures.body_pictures(found).elements
    made += figures.vitals(found).elements
    return [element for element in made if element]


@pytest.mark.parametrize("name", PAGES)
def test_every_page_is_whole_and_says_nothing_that_is_not_there(name):
    for element in elements(PAGES[name]()):
        text = str({name: v for name, v in element.block().items() if v and name != "spec"})
        assert not re.search(r"\bnan\b|[’\w ] None\b|\binf\b", text), text
        assert not PREDICTIONS.search(text), text
        for table in [element] if hasattr(element, "rows") else []:
            assert {len(row) for row in table.rows} == {len(table.columns)}


@pytest.mark.parametrize("name", sorted(set(PAGES) - {"nothing"}))
def test_every_page_has_a_message(name):
    assert lead(PAGES[name]())


@pytest.mark.parametrize("name", PAGES)
def test_every_picture_is_valid_and_has_words(name):
    found = PAGES[name]()
    for picture in (*figures.body_pictures(found).elements, *figures.vitals(found).elements):
        altair.Chart.from_dict(picture.spec, validate=True)
        assert re.search(r"\d", picture.alt)
        assert picture.title


def test_without_a_measurement_it_says_so():
    assert lead(report()) == "No measurement of Sieve is on record."


def test_the_message_has_growth_weight_and_the_pronouns_of_the_horse():
    text = lead(sample())
    assert re.search(r"She stands 158\.0 cm.*(grown|taller)", text)
    assert "weight has gone up little by little" in text
    assert "her temperature" in text.casefold()
    gelding = lead(sample("gelding"))
    assert re.search(r"\bHe\b", gelding)
    assert not re.search(r"\b([Ss]he|[Hh]er)\b", gelding)


def test_a_height_that_reads_less_is_doubted_not_told_as_shrinking():
    lines = [
        line(FIRST, "height", "162 cm", "stick", "no"),
        line(FIRST + timedelta(days=200), "height", "159 cm", "stick", "no"),
    ]
    assert "less than in January; a horse does not shrink" in lead(report(*lines))


def test_a_grown_horse_does_not_grow():
    lines = [
        line(FIRST, "height", "159 cm", "stick", "no"),
        line(FIRST + timedelta(days=200), "height", "162 cm", "stick", "no"),
    ]
    text = lead(report(*lines, horses=FOAL.format("2015-04-01")))
    assert "wants repeating" in text
    assert "growth" not in text


def test_a_trend_is_told_where_two_readings_do_not_differ():
    text = lead(report(*weekly([500 - 0.8 * week for week in range(13)])))
    assert "has gone down little by little, by about" in text


def test_days_off_normal_send_to_the_vet_and_name_no_illness():
    found = report(*temperatures([37.5, 37.6, 37.4, 37.5] * 3 + [38.7]))
    assert "on 19 January (38.7 °C). A reading off normal is a reason to call" in lead(found)
    table = tables.off_days(found)
    [row] = texts(table)
    assert row == (
        "19 January", "temperature", "38.7 °C",
        "above the horse’s own normal and the published range",
    )  # fmt: skip
    assert "to call the veterinarian" in table.note
    assert "What it means is the veterinarian’s to say" in table.note


def test_a_month_tells_of_days_off_normal_as_well():
    lines = [
        line(date(2026, 9, 20) + timedelta(days=n), "temperature", f"{t} C")
        for n, t in enumerate([37.5, 37.6, 37.4, 37.5] * 3 + [38.7])
    ]
    month = month_of("2026-10", METRIC, measurements=rows("measurements", *lines))
    [text] = words.summary(month).paragraphs
    assert "was off her normal on 2 October (38.7 °C). A reading off normal is a reason" in text
    assert len(tables.off_days(month).rows) == 1
    assert texts(tables.vitals(month))[0][-1] == "1"


def test_changes_give_the_limit_beside_the_verdict():
    found = report(*weekly([500.0] * 6 + [520.0]))
    [row] = texts(tables.changes(found))
    assert row[0] == "weight"
    # Seven weighings tell too little of their own error: 0.63 % of 520 kg, times 2.77, is 9 kg.
    assert row[2:] == ("+20 kg", "9 kg", "yes")


def test_a_coarse_way_of_measuring_has_no_verdict():
    found = report(*weekly([500.0] * 6 + [520.0], method="estimate"))
    assert texts(tables.changes(found))[0][-2:] == ("–", "too coarse")


def test_weights_by_tape_carry_their_authors_interval_and_warning():
    table = tables.tape_weights(report(*taped("185 cm", "165 cm")))
    first = texts(table)[0]
    assert first[0] == "Carroll, Huntington 1988"
    assert first[1:3] == ("475 kg", "392 to 680 kg")
    assert "shoulder to buttock" in first[3]
    assert "Never for dosing." in table.note


def test_growth_gives_an_interval_and_energy_defers_to_others():
    found = sample()
    growth = dict(texts(tables.growth(found)))
    assert growth["age"] == "28 months"
    assert re.fullmatch(r"\d+\.\d to \d+\.\d cm", growth[next(k for k in growth if "may end" in k)])
    note = tables.energy(report(*weekly([500.0]))).note
    assert "nutritionist or the veterinarian" in note
    assert tables.energy(found) is None, "she is under three"


def test_how_to_measure_is_printed_with_the_allowance_for_shoes():
    text = " ".join(words.body_protocol(report(*weekly([500.0]))).paragraphs)
    for said in ("level ground", "20 minutes", "the median", "1.0 cm, give or take 0.4 cm"):
        assert said in text


def test_where_the_error_is_from_is_said():
    few = words.body_notes(report(*weekly([500.0] * 4))).paragraphs
    assert "For weight it is a published error." in " ".join(few)
    many = words.body_notes(report(*weekly([500.0, 502.0] * 13))).paragraphs
    assert "learned from her 26 readings of weight" in " ".join(many)


def test_the_picture_of_weight_bears_works_and_races():
    lines = weekly([500.0, 501.0, 502.0, 503.0])
    found = report(*lines, exercise=rows("exercise", "2026-01-12,sieve,race,6 f,1:12,main"))
    [picture] = figures.body_pictures(found).elements
    [(day, low, top)] = data_of(picture.spec, "day", "value", "top")
    assert day.startswith("2026-01-12")
    assert top > low
    assert "tall: races" in picture.caption


def test_a_real_trend_is_drawn_and_another_is_not():
    def dashed(values):
        [picture] = figures.body_pictures(report(*weekly(values))).elements
        return [mark for mark in inside(picture.spec, "strokeDash") if mark]

    assert dashed([500 - 1.5 * week for week in range(13)])
    assert not dashed([500.0, 502.0, 500.0] * 5)


def test_a_body_in_pounds_hands_and_fahrenheit():
    barn = METRIC.replace('"metric"', '"imperial"')
    lines = weekly([500.0, 501.0, 502.0]) + temperatures([37.5] * 10)
    found = report(*lines, line(FIRST, "height", "160 cm", "stick", "no"), barn=barn)
    tiles = {tile.label: (tile.value, tile.unit) for tile in tables.body_figures(found).items}
    assert ("15.3", "hands") in tiles.values()
    assert ("1,107", "lb") in tiles.values()
    assert ("99.5", "°F") in tiles.values()
