"""Sentences: right for every horse and count, short, and claiming no more than the digest holds."""

import re
import statistics
from datetime import date

import pytest

from racecalc import words
from racecalc.words import brief_day, capital, count_of, day_of, listed, number_word, ordinal
from racecalc.words.grammar import pronouns
from tests.daybook.stable import BARN
from tests.digest.small import METRIC, month_of, rows

PRAISE = re.compile(
    r"\b(good|great|excellent|fine|superb|impressive|strong|brilliant|nice|solid|pleas\w+|happy|"
    r"sharp|easily|best ever|better than ever|wonderful|promising)\b",
    re.IGNORECASE,
)


def lead(**tables):
    [text] = words.summary(month_of(**tables)).paragraphs
    return text


def horses(sex="filly", **more):
    columns, values = "".join(f",{name}" for name in more), "".join(f",{v}" for v in more.values())
    return f"horse,name,sex{columns}\nsieve,Sieve,{sex}{values}\n"


def works(count, month="2026-10", far="3 f", clock=":37"):
    return [f"w{month}-{n},{month}-{n:02},sieve,main,{far},{clock}" for n in range(1, count + 1)]


EARLIER = [f"e{month},2026-0{month}-11,sieve,main,6 f,1:1{4 + month % 3}" for month in range(1, 9)]
FULL = {
    "works": rows(
        "works",
        *EARLIER,
        "a,2026-09-05,sieve,main,6 f,1:15",
        "b,2026-10-03,sieve,main,3 f,:37 1/5",
        "c,2026-10-24,sieve,main,6 f,1:09 2/5",
    ),
    "exercise": rows(
        "exercise",
        "2026-10-01,sieve,rest,,,",
        "2026-10-02,sieve,gallop,2 mi,3:50,main",
        "2026-10-29,sieve,race,6 f,1:11 2/5,main",
    ),
    "measurements": rows(
        "measurements",
        "2026-01-05,sieve,height,15.2,no,stick",
        "2026-10-05,sieve,height,16.0,no,stick",
        "2026-09-01,sieve,weight,1000 lb,,scale",
        "2026-10-20,sieve,weight,980 lb,,scale",
    ),
    "targets": rows("targets", "sieve,2026-11-20,6 f,main,maiden"),
}


@pytest.mark.parametrize(
    ("sex", "subject", "possessive"),
    [
        ("filly", "she", "her"),
        ("mare", "she", "her"),
        ("colt", "he", "his"),
        ("horse", "he", "his"),
        ("gelding", "he", "his"),
        ("ridgling", "he", "his"),
        ("", "it", "its"),
    ],
)
def test_every_sex_has_its_pronouns_everywhere(sex, subject, possessive):
    assert (pronouns(sex or None).subject, pronouns(sex).possessive) == (subject, possessive)
    found = month_of(horses=horses(sex), **FULL)
    text = " ".join(words.summary(found).paragraphs) + words.month_picture_words(found)
    wrong = {"she", "he", "it", "her", "his", "its"} - {subject, possessive, "it"}
    assert wrong & set(re.findall(r"[a-z]+", text.lower())) == set()
    assert f"{subject} weighs 980 lb" in text.lower()
    assert pronouns(sex).possessive == possessive
    assert f"quicker than expected of {pronouns(sex).object}" in text


def test_counts_have_words_to_twelve_and_figures_above():
    assert [number_word(n) for n in (0, 1, 2, 12, 13, 1234)] == [
        "no", "one", "two", "twelve", "13", "1,234",
    ]  # fmt: skip
    assert [count_of(n, "day") for n in (0, 1, 2, 13)] == [
        "no days", "one day", "two days", "13 days",
    ]  # fmt: skip
    assert count_of(1, "entry", "entries") == "one entry"
    assert count_of(2, "entry", "entries") == "two entries"


def test_ordinals_of_every_day():
    odd = {1: "1st", 2: "2nd", 3: "3rd", 21: "21st", 22: "22nd", 23: "23rd", 31: "31st"}
    assert [ordinal(n) for n in range(1, 32)] == [odd.get(n, f"{n}th") for n in range(1, 32)]
    assert [ordinal(n) for n in (101, 111, 112, 113, 121)] == [
        "101st", "111th", "112th", "113th", "121st",
    ]  # fmt: skip


def test_lists_dates_and_capitals():
    assert [listed(x) for x in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == [
        "", "a", "a and b", "a, b and c",
    ]  # fmt: skip
    day = date(2025, 3, 4)
    assert (day_of(day), day_of(day, day)) == ("4 March", "4 March")
    assert day_of(day, date(2026, 1, 1)) == "4 March 2025"
    assert brief_day(day, date(2026, 1, 1)) == "4 Mar 2025"
    assert capital("éclair McQuill") == "Éclair McQuill"
    assert capital("") == ""


@pytest.mark.parametrize(
    ("count", "before", "said"),
    [
        (0, 1, "no exercise on record in October"),
        (1, 0, "The work, on the 1st, took 37 seconds."),
        (2, 13, "6 furlongs"),
        (2, 1, "The latest work, three furlongs on the 2nd, took 37 seconds."),
        (13, 2, "13 "),
    ],
)
def test_none_one_two_and_thirteen_works(count, before, said):
    lines = [*works(count), *works(before, "2026-09")]
    weighed = rows("measurements", "2026-10-05,sieve,weight,1000 lb,,scale")
    text = lead(works=rows("works", *lines), measurements=weighed)
    assert said in text
    assert not re.search(r"\b(one works|1 works|one days|1 furlongs|one furlongs)\b", text)
    assert not re.search(r"\b(no work|one work)s\b", text)


def test_a_work_without_a_clock_is_not_against_the_watch():
    text = lead(works=rows("works", *works(1, clock="")))
    assert "watch" not in text
    assert "The work, on the 1st, had no clock." in text
    text = lead(works=rows("works", *works(2, clock="")))
    assert "None of the works was timed." in text
    text = lead(works=rows("works", *works(2, clock=""), "z,2026-10-09,sieve,main,4 f,:49"))
    assert "The one work with a clock, four furlongs on the 9th, took 49 seconds." in text
    text = lead(works=rows("works", *works(2), "z,2026-10-09,sieve,main,4 f,"))
    assert "The latest work with a clock, three furlongs on the 2nd, took" in text


@pytest.mark.parametrize(
    ("far", "said"),
    [
        ("6 f", "six furlongs"),
        ("5 1/2 f", "five and a half furlongs"),
        ("1 mi", "a mile"),
        ("1 1/16 mi", "1 1⁄16 miles"),
        ("1 mi 70 yd", "1 mi 70 yd"),
        ("1200 m", "1200 m"),
    ],
)
def test_distances_are_said_as_people_say_them(far, said):
    aim = rows("targets", f"sieve,2026-11-20,{far},,")
    found = month_of(targets=aim)
    assert words.distance_in_words(found.targets[0].distance, found.barn) == said


def test_days_off_are_told_where_they_are_one_in_four_or_more():
    def exercise(*days):
        return rows("exercise", *(f"2026-02-{day:02},sieve,{what},,," for day, what in days))

    def said(*days):
        [text] = words.summary(month_of("2026-02", exercise=exercise(*days))).paragraphs
        return text

    full = [(day, "walk") for day in range(1, 29)]
    rest = [(day, "rest") for day in range(1, 29)]
    assert "off" not in said(*full)
    assert "off" not in said(*rest[:6], *full[6:])
    assert "She had seven days off." in said(*rest[:7], *full[7:])
    assert "She had 28 days off." in said(*rest)


def test_no_change_is_claimed_unless_it_is_real():
    def said(*lines):
        return lead(measurements=rows("measurements", *lines))

    # 1.75 % of 1,020 lb is 17.8 lb: 17 lb is no change of a weight, 20 lb is one.
    before = "2026-09-01,sieve,weight,1000 lb,,scale"
    text = said(before, "2026-10-20,sieve,weight,1017 lb,,scale")
    assert re.search(r"weight .*\b(no|not|within)\b", text)
    assert not re.search(r"gained|lost| 17 lb", text)
    text = said(before, "2026-10-20,sieve,weight,1020 lb,,scale")
    assert "weighs 1,020 lb and has gained 20 lb since 1 September" in text
    text = said(before, "2026-10-20,sieve,weight,980 lb,,scale")
    assert "weighs 980 lb and has lost 20 lb since 1 September" in text
    text = said("2026-01-01,sieve,height,15.2,no,laser", "2026-10-20,sieve,height,16.2,no,laser")
    assert "taller" not in text
    assert "so no change is called" in text


def test_a_reading_of_an_earlier_month_is_no_news():
    weighed = rows(
        "measurements",
        "2026-03-01,sieve,weight,1000 lb,,scale",
        "2026-05-01,sieve,weight,1100 lb,,scale",
    )
    text = lead(measurements=weighed, works=rows("works", *works(1)))
    assert "weigh" not in text


def test_the_newest_work_says_how_it_stands_to_what_was_expected():
    said = "The latest work, six furlongs on the 24th, took"
    assert f"{said} 1:09⅖, quicker than expected of her." in lead(**FULL)
    slow = FULL["works"].replace("1:09 2/5", "1:23")
    assert f"{said} 1:23, slower than expected of her." in lead(**FULL | {"works": slow})
    usual = FULL["works"].replace("1:09 2/5", "1:15")
    assert f"{said} 1:15, as expected of her." in lead(**FULL | {"works": usual})


def test_other_works_outside_come_after_it_with_what_was_asked():
    more = FULL["works"].replace("time\n", "time,effort\n") + "d,2026-10-30,sieve,main,6 f,1:15,\n"
    text = lead(**FULL | {"works": more.replace("6 f,1:09 2/5", "6 f,1:09 2/5,easy")})
    assert "took 1:15, as expected of her." in text
    assert "Six furlongs on the 24th (asked easy) went quicker than expected." in text


def test_a_change_that_came_and_went_is_told_with_its_days():
    weighed = rows(
        "measurements",
        "2026-09-30,sieve,weight,1000 lb,,scale",
        "2026-10-15,sieve,weight,975 lb,,scale",
        "2026-10-29,sieve,weight,995 lb,,scale",
    )
    text = lead(measurements=weighed)
    assert re.search(r"Her weight fell by 25 lb to the 15th; by the 29th it was back", text)


def variety():
    """Leads of horses that differ in name, sex, units and in what was written down."""
    for barn in (BARN, METRIC):
        for number, sex in enumerate(("filly", "gelding", "")):
            for left_out in (None, *FULL):
                tables = {name: text for name, text in FULL.items() if name != left_out}
                horse = horses(sex).replace("Sieve", f"Colander Number {number}")
                yield words.summary(month_of(barn=barn, horses=horse, **tables)).paragraphs[0]


def test_the_lead_is_short_plain_and_without_praise():
    for text in variety():
        sentences = re.split(r"(?<=[.;])\s+", text)
        lengths = [len(sentence.split()) for sentence in text.removesuffix(".").split(". ")]
        assert statistics.mean(lengths) <= 22, text
        assert max(lengths) <= 34, text
        assert all(sentence[:1].isalnum() for sentence in sentences), text
        assert not PRAISE.search(text), text
        assert not re.search(r"!|\bnan\b|None|  |\.\.| ,|^\s|\s$", text), text


def test_a_month_with_nothing_says_so_and_why():
    worked = rows("works", *works(1, "2026-08"))
    assert lead(works=worked) == (
        "Nothing was recorded for Sieve in October 2026. The last entry before is of 1 August."
    )
    assert lead() == "Nothing was recorded for Sieve in October 2026."
    left = horses("", left="2026-10-02")
    assert lead(horses=left).endswith("It left the barn on 2 October.")
    coming = horses("colt", arrived="2027-02-03")
    assert lead(horses=coming).endswith("He came to the barn on 3 February 2027.")


def test_a_race_is_not_called_a_month_without_a_gallop():
    text = lead(exercise=rows("exercise", "2026-10-29,sieve,race,6 f,1:11 2/5,main"))
    assert "gallop" not in text
    assert "She raced on the 29th over six furlongs at Main Oval in 1:11⅖." in text


def test_rows_left_out_are_named_once_each_and_not_without_end():
    from dataclasses import replace

    digest = month_of(**FULL)
    one = replace(digest, left_out=("works, row 14, column time", "works, row 14, column date"))
    [text] = [t for t in words.missing(one).paragraphs if "could not be used" in t]
    assert text == "One entry of the daybook could not be used: works, row 14."
    many = replace(digest, left_out=tuple(f"works, row {n}, column time" for n in range(2, 22)))
    [text] = [t for t in words.missing(many).paragraphs if "could not be used" in t]
    assert text.startswith("20 entries of the daybook could not be used: works, row 2, ")
    assert text.endswith("and twelve more.")
