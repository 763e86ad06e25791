"""Exercise tests as reports tell of them, and works against what was asked and against a test."""

import math
import tempfile
from pathlib import Path

import pytest

from racecalc import digest, words
from tests.digest.small import METRIC, month_of, record_of, rows

STEPS = (7.0, 9.0, 11.0, 12.5, 14.3)


def fitness_of(*lines, until="2026-10-31", barn=METRIC, **tables):
    tested = {"fitness": rows("fitness", *lines)} if lines else {}
    with tempfile.TemporaryDirectory() as folder:
        return digest.build_fitness(record_of(Path(folder), barn, **tested, **tables), until)


def step_test(day, fitter=0.0, steps=STEPS, recovery=120, wobble=(1, -1, 1, -1, 1, -1)):
    """Steps on the group lines in print, moved by how much fitter the horse is."""
    lines = []
    for number, (speed, off) in enumerate(zip(steps, wobble, strict=False), 1):
        beats = 116.5 + 6.1 * (speed - fitter) + off
        lactate = 0.08 * math.exp(0.33 * (speed - fitter)) * (1 + 0.03 * off)
        lines.append(f"{day},sieve,{number},{speed} m/s,{beats:.1f},{lactate:.2f},")
    lines.append(f"{day},sieve,{len(steps)},{steps[-1]} m/s,{recovery},,1")
    return lines


def levelled_off():
    """A test to where the heart levels off, and a work too near to 4 mmol/l to tell."""
    lines = [
        f"2026-10-20,sieve,{number},{speed} m/s,{min(116.5 + 6.1 * speed, 214):.1f},"
        f"{0.08 * math.exp(0.33 * speed):.2f},"
        for number, speed in enumerate((7.0, 9.0, 11.0, 13.0, 17.0, 18.0), 1)
    ]
    work = rows(
        "works", "a,2026-10-25,sieve,main,1000 m,1:24.00", "b,2026-10-28,sieve,main,400 m,:24.00"
    )
    return fitness_of(*lines, works=work)


def test_a_test_reads_both_thresholds_with_their_intervals():
    (test,) = fitness_of(*step_test("2026-10-20")).tests
    assert test.v4.pace.value == pytest.approx(math.log(4 / 0.08) / 0.33, abs=0.15)
    assert test.v200.pace.value == pytest.approx((200 - 116.5) / 6.1, abs=0.15)
    for one in (test.v4, test.v200):
        assert one.low.value < one.pace.value < one.high.value
        assert one.change is None
    assert test.v_peak.why == "outside"
    assert test.recovery.value == 120


def test_the_highest_rate_is_read_where_the_heart_levels_off():
    found = levelled_off()
    assert found.newest.v_peak.pace.value == pytest.approx(15.984, abs=0.05)
    assert found.newest.v200.pace.value == pytest.approx(13.69, abs=0.05)
    assert len(found.newest.heart_line) == 3


def test_a_small_gain_is_within_error_and_a_large_one_beyond():
    found = fitness_of(*step_test("2026-07-01"), *step_test("2026-10-20", fitter=0.2))
    change = found.newest.v200.change
    # 0.2 m/s quicker at 13.7 m/s are 0.21 s a furlong; the limit is 5.5 % of 14.7 s at least.
    assert change.difference.value == pytest.approx(-0.21, abs=0.03)
    assert change.real is False
    assert change.limit.value >= 1.96 * math.sqrt(2) * 0.02 * 14.4
    assert found.newest.v4.change.real is None
    assert "has not changed by more than" in words.fitness_summary(found).paragraphs[0]
    large = fitness_of(*step_test("2026-07-01"), *step_test("2026-10-20", fitter=1.2))
    assert large.newest.v200.change.real is True
    assert (
        "more than tests of an unchanged horse differ by"
        in words.fitness_summary(large).paragraphs[0]
    )


def test_recovery_is_told_beside_the_test_before():
    found = fitness_of(
        *step_test("2026-07-01", recovery=131), *step_test("2026-10-20", recovery=118)
    )
    assert found.newest.recovery_change.value == -13


@pytest.mark.parametrize(
    ("lines", "v4", "v200"),
    [
        # A test with one step.
        (["2026-10-20,sieve,1,10 m/s,178,2.2,"], "few", "few"),
        # Two steps at one speed are no line.
        (
            ["2026-10-20,sieve,1,10 m/s,178,2.2,", "2026-10-20,sieve,2,10 m/s,180,2.4,"],
            "few",
            "few",
        ),
        # Lactate that falls with speed.
        (
            [
                f"2026-10-20,sieve,{n},{speed} m/s,,{lactate},"
                for n, (speed, lactate) in enumerate(((8, 6.0), (10, 5.0), (12, 3.0), (14, 2.0)), 1)
            ],
            "level",
            "few",
        ),
        # Four millimoles were never reached, nor 200 beats nearly.
        (step_test("2026-10-20", steps=(6.0, 7.0, 8.0, 9.0)), "outside", "outside"),
    ],
    ids=["one step", "one speed", "falling", "too slow"],
)
def test_what_cannot_be_read_says_why(lines, v4, v200):
    found = fitness_of(*lines)
    assert (found.newest.v4.pace, found.newest.v4.why) == (None, v4)
    assert (found.newest.v200.pace, found.newest.v200.why) == (None, v200)
    said = words.fitness_summary(found).paragraphs[0]
    assert "No speed could be read" in said
    missing = " ".join(words.fitness_missing(found).paragraphs)
    assert "The speed at 4 mmol/l was not read" in missing


def test_works_lie_below_at_or_above_a_threshold():
    found = levelled_off()
    slow, quick = found.asked
    # 1000 m in 1:24 is 11.9 m/s, where lactate is 4 mmol/l; 400 m in 24 s is 16.7 m/s.
    assert (
        "one went quicker than both paces throughout" in words.fitness_summary(found).paragraphs[0]
    )
    assert (slow.over["v4"].above, slow.over["v4"].at.value) == (None, 1000.0)
    assert (slow.over["v200"].above, slow.over["v200"].at) == (None, None)
    assert quick.over["v4"].above.value == 400.0
    assert quick.over["v200"].above.value == 400.0


def test_a_work_that_was_partly_slower_is_not_called_quicker_throughout():
    lines = step_test("2026-10-20")
    found = fitness_of(
        *lines,
        works=rows("works", "a,2026-10-25,sieve,main,2 f,:31.00"),
        splits=rows("splits", "a,1/8,:19.00"),
    )
    (one,) = found.asked
    assert one.over["v4"].above.value == pytest.approx(201.168)
    assert "none went quicker" in words.fitness_summary(found).paragraphs[0]


def test_recovery_alone_is_a_test_that_read_no_speed():
    found = fitness_of("2026-10-20,sieve,1,12 m/s,118,,1", "2026-10-20,sieve,1,12 m/s,84,,5")
    assert found.recorded
    assert found.newest.recovery.value == 118
    assert [one.minutes for one in found.newest.recovered] == [1.0, 5.0]
    assert "recovery after exercise" in words.fitness_summary(found).paragraphs[0]


def test_recovery_after_a_slower_step_is_none_after_the_fastest():
    lines = step_test("2026-10-20")[:-1]
    found = fitness_of(*lines, "2026-10-20,sieve,1,7 m/s,80,,1")
    assert (found.newest.recovery, found.newest.recovered) == (None, ())


def test_gallops_stand_beside_the_works():
    gallop = rows(
        "exercise",
        "2026-10-22,sieve,gallop,2 km,2:50.00,main",
        "2026-10-23,sieve,jog,1 km,4:00.00,main",
    )
    found = fitness_of(*step_test("2026-10-20"), exercise=gallop)
    assert [(one.name, round(one.value, 2)) for one in found.gallops] == [
        ("gallops.2026-10-22", 11.76)
    ]


def test_works_without_a_clock_leave_no_class_untold():
    found = fitness_of(
        *step_test("2026-10-20"), works=rows("works", "a,2026-10-25,sieve,main,400 m,")
    )
    assert (found.asked, found.classes) == ((), ())


def test_an_old_test_is_told_but_no_work_is_held_against_it():
    work = rows("works", "a,2026-10-25,sieve,main,400 m,:24.00")
    found = fitness_of(*step_test("2026-03-01"), works=work)
    assert (found.fresh, found.asked[0].over) == (False, {})
    assert "older than half a year" in " ".join(words.fitness_missing(found).paragraphs)


def test_without_a_test_nothing_is_recorded():
    assert fitness_of().recorded is False
    assert fitness_of(*step_test("2026-10-20"), until="2026-10-19").recorded is False


def test_the_order_of_rows_changes_nothing():
    lines = [*step_test("2026-07-01"), *step_test("2026-10-20", fitter=0.3)]
    one, two = fitness_of(*lines), fitness_of(*reversed(lines))
    assert [(n.name, n.value) for n in one.numbers()] == [(n.name, n.value) for n in two.numbers()]


def test_the_month_holds_the_newest_test_in_short():
    gallop = rows("exercise", "2026-10-02,sieve,gallop,1 mi,1:50.00,main")
    tested = rows("fitness", *step_test("2026-09-20"))
    found = month_of(barn=METRIC, exercise=gallop, fitness=tested)
    assert found.test.day.month == 9
    assert (found.test.steps, found.test.heart_line) == ((), ())
    assert found.test_days == ()
    assert month_of(barn=METRIC, fitness=tested).test is None, "nothing was recorded that month"
    late = month_of(barn=METRIC, fitness=rows("fitness", *step_test("2026-11-20")))
    assert late.test is None


def asked_of(time, efforts, asked):
    """A work over half a mile after twelve others whose words the barn has used."""
    lines = [
        f"w{n},2026-0{1 + n // 4}-{7 * (n % 4) + 1:02d},sieve,main,4 f,{seconds},{effort}"
        for n, (effort, seconds) in enumerate(efforts)
    ]
    lines.append(f"new,2026-10-20,sieve,main,4 f,{time},{asked}")
    found = month_of(works=rows("works", *lines, more=",effort"))
    return found.asked[0]


EFFORTS = [
    *(("easy", f":5{n} 1/5") for n in (1, 2, 1, 2, 1, 2)),
    *(("sharp", f":4{n} 1/5") for n in (7, 8, 7, 8, 7, 8)),
]


def test_a_work_far_from_what_was_asked_is_like_another_word():
    one = asked_of(":47 2/5", EFFORTS, "easy")
    assert (one.verdict, one.nearest) == ("quicker", "sharp")


def test_a_work_as_asked_is_as_asked():
    one = asked_of(":51 4/5", EFFORTS, "easy")
    assert (one.verdict, one.nearest) == ("as expected", "easy")


def test_one_word_tells_nothing_of_another():
    one = asked_of(":51 4/5", [row for row in EFFORTS if row[0] == "easy"] * 2, "easy")
    assert one.nearest is None
