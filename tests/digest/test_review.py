"""One work looked at closely: furlongs, fractions, its shape, and the line behind it."""

import tempfile
from pathlib import Path

import pytest

from racecalc import digest
from racecalc.errors import OutOfRangeError
from tests.daybook.stable import BARN
from tests.digest.small import record_of, rows


def review_of(work="a", barn=BARN, **tables):
    with tempfile.TemporaryDirectory() as folder:
        return digest.build_review(record_of(Path(folder), barn, **tables), work)


def six(*splits, time="1:13"):
    return review_of(
        works=rows("works", f"a,2026-10-02,sieve,main,6 f,{time}"),
        splits=rows("splits", *(f"a,{split}" for split in splits)),
    )


def test_fractions_are_the_running_times_at_the_quarters():
    found = six("5/8,:12 2/5", "1/2,:24 4/5", "3/8,:37", "1/4,:49", "1/8,1:01")
    assert [number.value for number in found.fractions] == pytest.approx([24.8, 49.0, 73.0])
    assert found.furlongs == (), "every pole was clocked"


def test_a_missed_pole_makes_two_furlongs_of_which_no_more_is_known():
    found = six("5/8,:12 2/5", "3/8,:36 3/5", "1/4,:48 3/5", "1/8,1:00 4/5")
    by_pole = {furlong.pole: furlong for furlong in found.furlongs}
    assert [by_pole[pole].time.value for pole in ("1/2", "3/8")] == pytest.approx([12.1, 12.1])
    assert [pole for pole, one in by_pole.items() if one.interpolated] == ["1/2", "3/8"]
    assert by_pole["1/2"].time.kind == "interpolated"
    assert by_pole["1/2"].time.caveat == "interpolated at even pace"
    assert [number.value for number in found.fractions] == pytest.approx([48.6, 73.0])


def test_galloping_out_is_no_furlong_of_the_work():
    found = six("3/8,:36 3/5", "1/8,1:00 4/5", "+1/8,1:27")
    assert [one.pole for one in found.furlongs if one.gallop_out] == ["+1/8"]


def test_a_metric_work_is_told_by_200_m_and_never_by_furlongs():
    found = review_of(
        works=rows("works", "a,2026-10-02,sieve,gallop,1200 m,1:15"),
        splits=rows("splits", "a,800 m,:26", "a,400 m,:50"),
    )
    assert {one.distance_m for one in found.furlongs} == {200.0}
    assert [number.value for number in found.fractions] == pytest.approx([26.0, 50.0, 75.0])


def test_a_work_that_quickened_at_the_end():
    found = six("1/2,:25 2/5", "1/4,:50", time="1:13 1/5")
    assert found.shape.finish_verdict == "quickened"
    assert found.shape.finish.value < 0
    assert found.shape.even is False
    assert found.shape.spread.value == pytest.approx((25.4 - 23.2) / 2)
    assert found.shape.spread.sources == ("chicago_tribune_1989",)


def test_an_even_work_is_called_so_and_nothing_more():
    found = six("1/2,:24 2/5", "1/4,:48 3/5", time="1:13")
    assert (found.shape.even, found.shape.finish_verdict) == (True, None)


def test_a_work_without_splits_has_no_shape():
    found = review_of(works=rows("works", "a,2026-10-02,sieve,main,6 f,1:13"))
    assert (found.shape, found.fractions, found.furlongs, found.paces) == (None, (), (), ())


def test_a_work_without_a_clock_is_reviewed_as_far_as_it_goes():
    found = review_of(works=rows("works", "a,2026-10-02,sieve,main,6 f,"))
    assert (found.work.time, found.line, found.work.stand) == (None, (), None)


def test_the_line_ends_with_the_work_itself():
    works = [f"e{n},2026-0{n}-02,sieve,main,6 f,1:1{n % 3 + 3}" for n in range(1, 10)]
    later = "z,2026-10-20,sieve,main,6 f,1:05"
    found = review_of(works=rows("works", *works, "a,2026-10-02,sieve,main,6 f,1:13", later))
    assert found.line[-1].work == "a"
    assert found.work.stand.own.value == 9


def test_names_of_numbers_are_unique():
    found = six("5/8,:12 2/5", "3/8,:36 3/5", "1/8,1:00 4/5", "+1/8,1:27")
    names = [number.name for number in found.numbers()]
    assert len(set(names)) == len(names)


def test_a_work_that_is_not_there_is_refused_with_those_that_are():
    with pytest.raises(OutOfRangeError, match="no work of sieve has the id “b”; its newest are a"):
        review_of("b", works=rows("works", "a,2026-10-02,sieve,main,6 f,1:13"))


def test_what_a_footing_did_is_learned_for_the_track_and_not_assumed():
    """Wet is quicker here by two seconds in 74: the sign comes from the works alone."""
    works = []
    for number in range(24):
        state, clock = ("wet fast", "1:12") if number % 3 == 0 else ("fast", "1:14")
        day = f"2026-0{number % 8 + 1}-{number + 1:02}"
        works.append(f"e{number:02},{day},sieve,main,6 f,{clock},{state}")
    works.append("a,2026-10-02,sieve,main,6 f,1:13,fast")
    found = review_of(works=rows("works", *works, more=",state"))
    [effect] = found.footing
    assert (effect.state, effect.usual, effect.told) == ("wet fast", "fast", True)
    assert effect.works.value == 8
    assert effect.low.value < effect.effect.value < effect.high.value < 0
    assert effect.effect.value == pytest.approx(-2.7, abs=0.7)


def test_too_few_works_tell_nothing_of_a_footing():
    assert six("1/2,:24 2/5").footing == ()


def test_a_metric_work_has_its_pace_by_200_m():
    found = review_of(
        works=rows("works", "a,2026-10-02,sieve,gallop,1200 m,1:15"),
        splits=rows("splits", "a,400 m,:50"),
    )
    assert (found.pace.name, found.pace.unit) == ("works.a.seconds_per_200m", "s/200m")
    assert found.pace.value == pytest.approx(12.5)
    assert [pace.value for pace in found.paces] == pytest.approx([12.5, 12.5])
