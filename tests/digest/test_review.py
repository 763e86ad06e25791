"""One work looked at closely: furlongs, fractions, its shape, and the line behind it."""

import tempfile
from pathlib import Path

import pytest

from racecalc import digest
from racecalc.errors import OutOfRangeError
from tests.daybook.stable import BARN
from tests.digest.small import record_of, rows
from tests.digest.test_pole_sheet import TRACKS


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
    assert (found.shape.spread.sources, found.shape.spread.n) == ((), 3)


def test_an_even_work_is_called_so_and_nothing_more():
    found = six("1/2,:24 2/5", "1/4,:48 3/5", time="1:13")
    assert (found.shape.even, found.shape.finish_verdict) == (True, None)


def test_from_the_gate_the_standing_start_is_no_pace():
    """The first furlong from the gate is slow; the rest is even, and nothing more is said."""
    found = review_of(
        works=rows("works", "a,2026-10-02,sieve,main,5 f,1:02,yes", more=",from_gate"),
        splits=rows("splits", "a,1/2,:13 2/5", "a,3/8,:25 3/5", "a,1/4,:37 4/5", "a,1/8,:49 4/5"),
    )
    assert (found.shape.even, found.shape.finish_verdict) == (True, None)


def test_pieces_and_colours_are_those_of_the_track():
    """Six furlongs on a metric track are told by its 200 m poles, a short piece with its length."""
    found = review_of(
        tracks=TRACKS,
        works=rows("works", "a,2026-10-02,sieve,metric,6 f,1:14"),
        splits=rows("splits", "a,800 m,:25 3/5"),
    )
    assert [one.pole for one in found.furlongs] == [
        "1200 m", "1000 m", "800 m", "600 m", "400 m", "200 m", "finish",
    ]  # fmt: skip
    assert found.furlongs[0].length.value == pytest.approx(7.008)
    assert {one.colour for one in found.furlongs} == {None}


def test_clocks_behind_an_end_without_a_time_are_kept():
    found = review_of(
        works=rows("works", "a,2026-10-02,sieve,main,4 f,"),
        splits=rows("splits", "a,1/4,:24 3/5", "a,+1/8,1:15"),
    )
    assert [(one.pole, one.clock.value) for one in found.work.loose] == [("+1/8", 75.0)]
    assert found.shape is None


def test_a_work_from_the_gate_at_the_distance_of_a_chute_began_in_it():
    works = rows("works", "a,2026-10-02,sieve,main,6 1/2 f,1:19,yes", more=",from_gate")
    found = review_of(tracks=TRACKS, works=works)
    assert found.work.start_in.part == "backstretch"
    walked = works.replace(",yes", ",no")
    assert review_of(tracks=TRACKS, works=walked).work.start_in is not None, "no pole stands there"


def test_more_asked_and_the_quickest_are_said_of_works_alike():
    works = [f"e{n},2026-0{n}-02,sieve,main,6 f,1:1{n % 3 + 3},steady" for n in range(1, 10)]
    newest = "a,2026-10-02,sieve,main,6 f,1:11,sharp"
    found = review_of(works=rows("works", *works, newest, more=",effort"))
    assert found.asked_more
    assert found.quickest_of.value == 10
    slow = review_of(works=rows("works", *works, newest.replace("1:11", "1:14"), more=",effort"))
    assert slow.quickest_of is None


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
