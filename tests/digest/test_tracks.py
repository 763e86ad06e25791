"""The log of a track in a month: readings of one method are joined, of two never."""

from tests.digest.small import month_of, numbers_of, rows

USED = rows("exercise", "2026-10-01,sieve,jog,1 mi,,main")


def logged(*lines: str) -> str:
    """Return a log of the main track, by day, state, moisture and method."""
    return rows("surface", *(f"2026-10-{line}" for line in lines), more=",moisture,moisture_method")


def moisture_of(*lines: str) -> list[dict[str, tuple[float, float]]]:
    """Return the range of each method in each run of days."""
    found = month_of(exercise=USED, surface=logged(*lines))
    [track] = found.tracks
    return [
        {method: (low.value, high.value) for method, (low, high) in run.moisture.items()}
        for run in track.footing
    ]


def test_volume_mass_and_not_said_are_three_methods():
    assert moisture_of(
        "01,main,fast,,9,mass",
        "02,main,fast,,21,volume",
        "03,main,fast,,12,",
        "04,main,fast,,11,mass",
        "05,main,fast,,24,volume",
        "06,main,fast,,10,",
    ) == [{"volume": (21, 24), "mass": (9, 11), "": (10, 12)}]


def test_a_method_that_does_not_occur_has_no_range():
    assert moisture_of(
        "01,main,fast,,9,mass",
        "02,main,muddy,,,volume",
        "03,main,good,,14,volume",
        "04,main,fast,,,",
    ) == [{"mass": (9, 9)}, {}, {"volume": (14, 14)}, {}]


def test_the_numbers_of_each_method_have_its_name():
    found = month_of(
        exercise=USED,
        surface=logged(
            "01,main,fast,,9,mass", "02,main,fast,,21,volume", "03,main,fast,,12,",
            "04,main,fast,,13,",
        ),
    )  # fmt: skip
    start = "surface.main.2026-10-01."
    moistures = {
        name.removeprefix(start): value
        for name, value in numbers_of(found).items()
        if name.startswith(f"{start}moisture")
    }
    assert moistures == {
        "moisture_volume.low": 21,
        "moisture_volume.high": 21,
        "moisture_mass.low": 9,
        "moisture_mass.high": 9,
        "moisture.low": 12,
        "moisture.high": 13,
    }
    behind = {number.name: number.n for number in found.numbers()}
    assert behind[f"{start}moisture.low"] == 2
    assert behind[f"{start}moisture_mass.low"] == 1


def test_a_log_without_the_column_is_as_before():
    surface = rows("surface", "2026-10-01,main,fast,,9 %", more=",moisture")
    found = month_of(exercise=USED, surface=surface)
    assert numbers_of(found)["surface.main.2026-10-01.moisture.low"] == 9
