"""The report on a body: what is compared, followed, judged, and what is left unsaid."""

import tempfile
from datetime import date, timedelta
from pathlib import Path

import pytest

from racecalc import body, digest
from racecalc.errors import OutOfRangeError
from tests.digest.small import METRIC, record_of, rows

FIRST = date(2026, 1, 7)


def report(*lines, until="", barn=METRIC, more="", **tables):
    measured = {"measurements": rows("measurements", *lines, more=more)} if lines else {}
    with tempfile.TemporaryDirectory() as folder:
        return digest.build_body(record_of(Path(folder), barn, **measured, **tables), until)


def line(day, what, value, method="", shod=""):
    return f"{day.isoformat()},sieve,{what},{value},{shod},{method}"


def weekly(values, what="weight", unit=" kg", method="scale"):
    days = [FIRST + timedelta(days=7 * week) for week in range(len(values))]
    return [line(day, what, f"{v:g}{unit}", method) for day, v in zip(days, values, strict=True)]


def spans(found, what):
    return {name: against.since for name, against in found.of(what).spans}


def test_it_ends_on_the_day_of_the_newest_measurement_or_where_it_is_told_to():
    lines = weekly([500.0, 501.0, 502.0])
    assert report(*lines).last == date(2026, 1, 21)
    early = report(*lines, until="2026-01-15")
    assert (early.last, early.of("weight").measure.latest.value) == (date(2026, 1, 15), 501)
    with pytest.raises(OutOfRangeError, match="no day"):
        report(*lines, until="January")


def test_without_a_measurement_nothing_is_recorded():
    found = report()
    assert (found.recorded, found.lines, found.vitals, found.growth) == (False, (), (), None)
    assert report(*weekly([500.0]), until="2025-12-31").recorded is False


def test_the_newest_reading_is_compared_with_a_month_three_months_and_a_year_before():
    found = report(*weekly([480 + 0.5 * week for week in range(60)]))
    newest = found.of("weight").measure.day
    since = {name: (newest - day).days for name, day in spans(found, "weight").items()}
    assert since == {"30d": 35, "90d": 91, "1y": 371}


def test_a_span_that_the_readings_do_not_fill_is_not_told():
    assert spans(report(*weekly([480.0, 481.0, 482.0])), "weight") == {}
    assert set(spans(report(*weekly([480.0] * 8)), "weight")) == {"30d"}
    # One reading long ago stands for a year, not for a month as well.
    far = [line(date(2025, 1, 1), "weight", "470 kg", "scale"), *weekly([480.0])]
    assert list(spans(report(*far), "weight")) == ["30d"]


def test_the_rate_of_a_trend_is_a_month_of_weight_and_a_year_of_height():
    lines = weekly([480 + 0.7 * week for week in range(13)])
    lines += [
        line(date(2025, 10, 1) + timedelta(days=30 * month), "height", f"{158 + 0.3 * month} cm",
             "stick", "no")
        for month in range(8)
    ]  # fmt: skip
    found = report(*lines)
    weight, height = (found.of(what).measure.trend for what in ("weight", "height"))
    assert (weight.rate.value, weight.by_year) == (pytest.approx(0.1 * 30), False)
    assert (height.rate.value, height.by_year) == (pytest.approx(0.003 / 30 * 365), True)


def test_what_shoes_added_is_told_with_the_allowance():
    lines = [
        line(FIRST, "height", "160 cm", "stick", "no"),
        line(FIRST, "height", "161.2 cm", "stick", "yes"),
    ]
    shoes = report(*lines).shoes
    assert (shoes.allowance.value, shoes.error.value) == (0.010, 0.004)
    assert (shoes.own.value, shoes.pairs.value) == (pytest.approx(0.012), 1)
    own = report(*lines, barn=METRIC + 'shoe_allowance = "0.8 cm"\n').shoes.allowance
    assert (own.value, own.sources, own.caveat) == (0.008, (), "as the barn set it")


FOAL = "horse,name,foaled,sex\nsieve,Sieve,{},filly\n"


def grown(foaled, *lines, until="2026-03-31"):
    return report(*lines, until=until, horses=FOAL.format(foaled)).growth


def test_growth_needs_the_day_of_foaling_and_ends_at_five_years():
    tall = line(FIRST, "height", "158 cm", "stick", "no")
    assert grown("2024", tall) is None
    assert grown("2021-03-01", tall) is None
    assert grown("2024-04-01", tall).mature is not None
    assert grown("2024-04-01", line(FIRST, "weight", "480 kg", "scale")).mature is None
    assert grown("2026-03-20", line(date(2026, 3, 25), "weight", "60 kg", "scale")) is None


def test_growth_is_that_of_the_published_curves():
    found = grown("2024-04-01", line(FIRST, "height", "158 cm", "stick", "no"))
    age = found.age.value
    assert age == pytest.approx(24, abs=0.1)
    assert found.weight.value == pytest.approx(100 * body.mature_weight_fraction(age))
    then = body.months_between(date(2024, 4, 1), FIRST)
    expected = body.predicted_mature_height(1.58, then, 0.0189)
    assert [end.value for end in found.mature] == [
        max(expected.low_m, 1.58), expected.middle_m, expected.high_m,
    ]  # fmt: skip
    assert found.left_out is None, "one height foretells nothing of itself"


def taped(girth, length, day=FIRST):
    return [line(day, "girth", girth, "tape"), line(day, "length", length, "tape")]


def test_weight_by_tape_takes_girth_and_length_of_one_day():
    found = {one.key: one for one in report(*taped("185 cm", "165 cm")).tape_weights}
    assert found["carroll_huntington"].weight.value == pytest.approx(474.548, abs=1e-3)
    low, high = body.girth_length_error(474.548)
    one = found["carroll_huntington"]
    assert (one.low.value, one.high.value) == (pytest.approx(low), pytest.approx(high))
    assert found["marcenac_aublet"].low is None, "no scatter is published for girth alone"
    apart = [taped("185 cm", "165 cm")[0], taped("185 cm", "165 cm", FIRST + timedelta(1))[1]]
    assert report(*apart).tape_weights == ()


def test_a_length_from_the_elbow_makes_no_weight():
    assert report(*taped("185 cm", "115 cm")).tape_weights == ()


def test_energy_is_of_the_newest_weight_and_not_of_a_guess():
    found = report(*weekly([500.0])).energy
    assert found.needs["average"].value == pytest.approx(16.65)
    assert "very heavy" not in found.needs, "its rule was not read at a source"
    assert found.by_scale is True
    assert report(*weekly([500.0], method="tape")).energy.by_scale is False
    assert report(*weekly([500.0], method="estimate")).energy is None
    assert report(*weekly([500.0]), until="2026-06-01").energy is None, "too long ago"


def test_what_holds_for_grown_horses_is_not_told_of_young_ones():
    young = FOAL.format("2024-04-01")
    found = report(*weekly([400.0]), *taped("180 cm", "160 cm"), horses=young)
    assert (found.energy, found.tape_weights) == (None, ())


def test_a_height_of_a_foal_under_three_months_foretells_nothing():
    early = line(date(2026, 2, 1), "height", "105 cm", "stick", "no")
    found = grown("2026-01-05", early, until="2026-06-10")
    assert found.mature is None
    assert found.left_out is None


def test_condition_is_told_for_each_scorer():
    lines = [
        f"2026-01-{day:02},sieve,condition,{score},,,{who}"
        for day, score, who in ((7, 5, "A"), (7, 7, "B"), (14, 5, "A"))
    ]
    measure = report(*lines, more=",by").of("condition").measure
    assert (measure.latest.value, measure.scorer) == (5, "person 1")
    assert [(one.scorer, one.number.value) for one in measure.readings] == [
        ("person 1", 5), ("person 2", 7), ("person 1", 5),
    ]  # fmt: skip


def temperatures(values, first=FIRST):
    days = [first + timedelta(days=n) for n in range(len(values))]
    return [line(day, "temperature", f"{v:.1f} C") for day, v in zip(days, values, strict=True)]


def test_a_temperature_is_judged_by_the_days_before_it():
    usual = [37.5, 37.6, 37.4, 37.5, 37.5, 37.6, 37.4, 37.5, 37.5, 37.6]
    (vital,) = report(*temperatures([*usual, 38.4, 37.5])).vitals
    assert [(one.day, one.side, one.own, one.published) for one in vital.off] == [
        (FIRST + timedelta(days=10), "above", True, False)
    ]
    assert vital.usual.value == pytest.approx(37.5)
    assert len(vital.readings) == 12


def test_few_temperatures_are_judged_by_the_published_range_alone():
    (vital,) = report(*temperatures([37.5, 39.0])).vitals
    assert (vital.low, vital.high) == (None, None)
    assert [(one.own, one.published) for one in vital.off] == [(False, True)]


def test_works_and_races_are_marks_and_a_race_near_the_weighing_is_told():
    lines = weekly([500.0, 497.0])
    raced = rows("exercise", "2026-01-12,sieve,race,6 f,1:12,main")
    worked = rows("works", "a,2026-01-08,sieve,main,4 f,:50")
    found = report(*lines, exercise=raced, works=worked)
    assert [(event.day.day, event.what) for event in found.events] == [(8, "work"), (12, "race")]
    assert found.after_race.value == 2
    assert found.context["race_loss"].value == 3.5
    later = report(*lines, line(date(2026, 1, 16), "weight", "500 kg", "scale"), exercise=raced)
    assert (later.after_race, "race_loss" in later.context) == (None, False)


def test_published_swings_are_told_of_what_was_measured_only():
    assert set(report(*weekly([500.0])).context) == {"season_low", "season_high"}
    tall = line(FIRST, "height", "158 cm", "stick", "no")
    assert set(report(tall).context) == {"trot_rise", "standing_fall"}
