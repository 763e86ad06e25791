"""Days of the month, what the track was on them, and what comes after."""

from datetime import date

from tests.digest.small import month_of, numbers_of, rows


def records(found):
    return {day.day.day: day.record for day in found.days if day.record != "blank"}


def test_a_day_is_out_off_or_blank():
    found = month_of(
        "2026-02",
        exercise=rows(
            "exercise",
            "2026-02-01,sieve,rest,,,",
            "2026-02-02,sieve,turnout,,,",
            "2026-02-03,sieve,walk,,40:00,",
            "2026-02-04,sieve,turnout,,,",
            "2026-02-04,sieve,jog,1 mi,,main",
            "2026-02-05,sieve,rest,,,",
            "2026-02-05,sieve,turnout,,,",
            "2026-02-06,sieve,rest,,,",
            "2026-02-06,sieve,swim,200 m,,",
        ),
        works=rows("works", "a,2026-02-07,sieve,main,3 f,", "b,2026-02-01,sieve,main,3 f,"),
        measurements=rows("measurements", "2026-02-09,sieve,weight,1000 lb,,scale"),
    )
    assert records(found) == {
        1: "out", 2: "off", 3: "out", 4: "out", 5: "off", 6: "out", 7: "out",
    }  # fmt: skip
    # The book goes on to the 9th, when the horse was weighed: the 8th and 9th have no entry.
    assert [found.days_out.value, found.days_off.value, found.days_blank.value] == [5, 2, 2]


def test_days_count_while_the_horse_is_in_the_barn_and_the_book_goes_on():
    def counted(**tables):
        found = month_of(exercise=walked, **tables)
        return [found.days_out.value, found.days_off.value, found.days_blank.value]

    walked = rows("exercise", *(f"2026-10-{day},sieve,walk,1 mi,," for day in (10, 11, 14)))
    assert counted() == [3, 0, 11]
    assert counted(surface=rows("surface", "2026-11-02,main,fast,0")) == [3, 0, 28]
    stay = "horse,name,arrived,left\nsieve,Sieve,2026-10-10,2026-10-15\n"
    assert counted(horses=stay, surface=rows("surface", "2026-11-02,main,fast,0")) == [3, 0, 3]


def test_the_picture_has_three_kinds_of_ground_and_no_walking():
    found = month_of(
        exercise=rows(
            "exercise",
            "2026-10-05,sieve,walk,2 f,,",
            "2026-10-05,sieve,jog,1 mi,,main",
            "2026-10-05,sieve,canter,2 f,,main",
            "2026-10-05,sieve,gallop,3 f,,main",
            "2026-10-05,sieve,race,6 f,1:11,main",
            "2026-10-06,sieve,walk,2 f,,",
        )
    )
    fifth, sixth = found.days[4], found.days[5]
    furlongs = {group: round(number.value / 201.168, 6) for group, number in fifth.ground.items()}
    assert furlongs == {"jog": 10, "gallop": 3, "work": 6}
    assert (sixth.record, sixth.ground) == ("out", {})


def test_footing_and_rain_are_those_of_the_track_used_most():
    found = month_of(
        exercise=rows(
            "exercise",
            "2026-10-01,sieve,jog,1 mi,,hill",
            "2026-10-02,sieve,jog,1 mi,,main",
            "2026-10-03,sieve,jog,1 mi,,main",
        ),
        surface=rows(
            "surface",
            "2026-09-30,main,muddy,1 in",
            "2026-10-01,main,fast,0.2 in",
            "2026-10-02,hill,fast,9 mm",
            "2026-10-03,main,good,",
            "2026-10-05,main,good,0",
        ),
    )
    assert found.home_track == "Main Oval"
    assert [(day.day.day, day.state) for day in found.days if day.state] == [
        (1, "fast"), (3, "good"), (5, "good"),
    ]  # fmt: skip
    rain = {day.day.day: round(day.rain.value, 3) for day in found.days if day.rain}
    assert rain == {1: 5.08, 5: 0.0}
    main, hill = found.tracks
    assert (main.name, hill.name) == ("Main Oval", "Hill Ring")
    assert round(main.rain.value, 3) == 5.08
    assert [(f.first.day, f.last.day, f.state, f.entries.value) for f in main.footing] == [
        (1, 1, "fast", 1), (3, 5, "good", 2),
    ]  # fmt: skip
    assert {state: number.value for state, number in main.states.items()} == {"good": 2, "fast": 1}


def test_two_states_of_one_day_are_two_runs_with_names_of_their_own():
    found = month_of(
        exercise=rows("exercise", "2026-10-01,sieve,jog,1 mi,,main"),
        surface=rows("surface", "2026-10-01,main,fast,0", "2026-10-01,main,muddy,1 in"),
    )
    assert [footing.state for footing in found.tracks[0].footing] == ["fast", "muddy"]
    assert found.days[0].state == "muddy"
    numbers_of(found)


def test_a_track_without_a_log_is_said_to_be_missing():
    found = month_of(exercise=rows("exercise", "2026-10-01,sieve,jog,1 mi,,hill"))
    assert found.tracks == ()
    assert [gap.name for gap in found.missing if gap.what == "footing"] == ["Hill Ring"]


def test_only_races_after_the_month_lie_ahead_the_next_one_first():
    found = month_of(
        targets=rows(
            "targets",
            "sieve,2026-12-05,1 mi,main,second",
            "sieve,2026-10-31,6 f,main,today",
            "sieve,2026-11-01,6 f,hill,first",
            "sieve,2026-09-01,6 f,main,past",
            "sieve,2026-12-05,6 f,,other",
            "sieve,2026-12-30,6 f,main,the sixtieth day",
            "sieve,2026-12-31,6 f,main,too far ahead",
        )
    )
    assert [(target.day, target.what) for target in found.targets] == [
        (date(2026, 11, 1), "first"),
        (date(2026, 12, 5), "other"),
        (date(2026, 12, 5), "second"),
        (date(2026, 12, 30), "the sixtieth day"),
    ]
    assert found.targets[0].track == "Hill Ring"
    assert found.targets[1].track is None
    numbers_of(found)


def test_remarks_are_those_of_the_month_by_day_and_each_once():
    found = month_of(
        exercise=rows(
            "exercise",
            "2026-10-09,sieve,jog,1 mi,,main,fresh",
            "2026-10-09,sieve,walk,1 mi,,,fresh",
            "2026-11-01,sieve,walk,1 mi,,,later",
            more=",note",
        ),
        works=rows("works", "a,2026-10-02,sieve,main,3 f,:37,=1+1", more=",note"),
    )
    assert found.remarks == ((date(2026, 10, 2), "=1+1"), (date(2026, 10, 9), "fresh"))


def test_ids_of_works_that_look_like_other_names_keep_names_apart():
    found = month_of(
        works=rows(
            "works",
            "month,2026-10-01,sieve,main,3 f,:37",
            "last_month,2026-10-02,sieve,main,3 f,:37",
        )
    )
    assert numbers_of(found)["month.works.count"] == 2


def test_horses_that_differ_only_by_the_year_of_foaling_are_told_so():
    horses = "horse,name,foaled,sex,arrived,left\nsieve,Sieve,2022-03-04,,2024-05-01,2026-10-02\n"
    horse = month_of(horses=horses).horse
    assert (horse.foaled_year, horse.sex) == (2022, None)
    assert (horse.arrived, horse.left) == (date(2024, 5, 1), date(2026, 10, 2))
    assert month_of(horses="horse,name\nsieve,Sieve\n").horse.foaled_year is None
