"""The water in a track from day to day, what its log says of it, and the check of the words."""

from datetime import date, timedelta

import numpy as np
import pandas as pd
import pytest

from racecalc import surface
from racecalc.surface import DRYING_ORDER
from racecalc.weather import SEALED_SHEDS, Layer, dry_day
from tests.surface import invented_sky

FIRST = date(2026, 3, 1)
LAYER = Layer(11.0, 5.0, 6.0, 4.0)
UNKNOWN = float("nan")


def sky(rain: list[float], **columns: list[float]) -> pd.DataFrame:
    """Return weather of one track, a day for each amount of rain."""
    count = len(rain)
    return pd.DataFrame(
        {
            "date": pd.date_range(FIRST, periods=count),
            "track": "main",
            "tmin_c": 8.0,
            "tmax_c": 20.0,
            "rain_mm": rain,
            "rh_min_pct": UNKNOWN,
            "rh_max_pct": UNKNOWN,
            "wind_m_s": UNKNOWN,
            "sun_mj_m2": UNKNOWN,
        }
        | columns
    )


def log_of(*entries: tuple[int, str | None, str | None]) -> pd.DataFrame:
    """Return a log: the day from the first on, the word, and the upkeep."""
    return pd.DataFrame(
        {
            "date": pd.to_datetime([FIRST + timedelta(days=day) for day, _, _ in entries]),
            "track": pd.Series(["main"] * len(entries), dtype=object),
            "state": pd.Series([state for _, state, _ in entries], dtype=object),
            "upkeep": pd.Series([upkeep for _, _, upkeep in entries], dtype=object),
        }
    )


def water(weather: pd.DataFrame, log: pd.DataFrame | None = None, **changed) -> pd.DataFrame:
    asked = {
        "track": "main",
        "layer": LAYER,
        "latitude_deg": 38.0,
        "first_day": FIRST,
        "last_day": FIRST + timedelta(days=len(weather) - 1),
    } | changed
    return surface.daily_water(weather, log_of() if log is None else log, **asked)


def test_each_day_begins_where_the_one_before_ended() -> None:
    rain = [0.0, 12.0, 0.0, 0.0, 3.0, 0.0, 0.0, 0.0]
    found = water(sky(rain))
    depletion = LAYER.total_mm / 2
    for fell, row in zip(rain, found.to_dict("records"), strict=True):
        depletion = float(dry_day(depletion, fell, row["et_mm"], LAYER)[1])
        assert row["depletion_mm"] == pytest.approx(depletion)
        assert row["rain_mm"] == fell


def test_it_is_settled_from_the_seventh_known_day_on() -> None:
    found = water(sky([0.0] * 10))
    assert found["settled"].tolist() == [False] * 6 + [True] * 4


@pytest.mark.parametrize("gap", ["rain", "temperature", "row"])
def test_after_a_gap_the_layer_begins_anew(gap: str) -> None:
    weather = sky([20.0] * 7 + [0.0] * 13)
    if gap == "rain":
        weather.loc[9, "rain_mm"] = UNKNOWN
    elif gap == "temperature":
        weather.loc[9, "tmax_c"] = UNKNOWN
    else:
        weather = weather.drop(index=9)
    found = water(weather, last_day=FIRST + timedelta(days=19))
    assert np.isnan(found["depletion_mm"][9])
    assert found["settled"].tolist() == [False] * 6 + [True] * 3 + [False] * 7 + [True] * 4
    # As on a first day, half dry: what the week before had left is forgotten.
    _, begun = dry_day(LAYER.total_mm / 2, 0.0, found["et_mm"][10], LAYER)
    assert found["depletion_mm"][10] == pytest.approx(float(begun))


def test_without_a_latitude_or_another_tracks_weather_nothing_is_known() -> None:
    nowhere = water(sky([0.0] * 9), latitude_deg=UNKNOWN)
    elsewhere = water(sky([0.0] * 9), track="hill")
    for found in (nowhere, elsewhere):
        assert found["depletion_mm"].isna().all()
        assert not found["settled"].any()
        assert surface.morning_index(found, LAYER).empty


def test_a_week_of_weather_makes_the_first_guess_forgotten() -> None:
    """From soaked and from dry: where it rains, or dries, a week later nothing is left of it."""
    for rain in ([0.0] * 8, [0, 0, 25.0, 0, 0, 0, 0, 0], [6.0] * 8):
        ends = []
        for start in (-LAYER.above_mm, LAYER.total_mm):
            depletion = start
            for fell in rain:
                depletion = float(dry_day(depletion, fell, 4.0, LAYER)[1])
            ends.append(depletion)
        assert abs(ends[0] - ends[1]) < 0.05 * LAYER.total_mm


def test_a_sealed_track_sheds_rain_on_that_day_alone() -> None:
    weather = sky([0.0] * 7 + [8.0, 8.0])
    opened, sealed = water(weather), water(weather, log_of((7, "good", "sealed")))
    assert sealed["depletion_mm"][7] > opened["depletion_mm"][7]
    before = opened["depletion_mm"][6]
    wet, _ = dry_day(before, 8.0 * (1 - SEALED_SHEDS), 0.0, LAYER)
    expected = dry_day(before, 8.0, opened["et_mm"][7], LAYER, sealed=True)
    assert sealed["depletion_mm"][7] == pytest.approx(float(expected[1]))
    assert float(expected[0]) == pytest.approx(float(wet))
    # Other upkeep, and another track's seal, change nothing.
    other = log_of((7, "good", "sealed")).assign(track="hill")
    for log in (other, log_of((7, "good", "harrowed"))):
        pd.testing.assert_frame_equal(water(weather, log), opened)


def test_a_morning_knows_the_evening_before_and_nothing_of_its_own_day() -> None:
    weather = sky([0.0] * 9 + [0.0])
    found = water(weather)
    index = surface.morning_index(found, LAYER)
    assert index.index[0] == pd.Timestamp(FIRST + timedelta(days=7))
    assert index.index[-1] == pd.Timestamp(FIRST + timedelta(days=10))
    evening = found["depletion_mm"].iloc[6] / LAYER.total_mm
    assert index.iloc[0] == pytest.approx(evening)
    soaked = surface.morning_index(water(sky([0.0] * 9 + [40.0])), LAYER)
    pd.testing.assert_series_equal(soaked.iloc[:-1], index.iloc[:-1])
    assert soaked.iloc[-1] < index.iloc[-1]


def test_a_morning_after_rain_knows_the_rain_of_its_own_day_as_well() -> None:
    rain = [0.0] * 7 + [6.0, 0.0, 3.0]
    found = water(sky(rain))
    index, wet = surface.morning_index(found, LAYER), surface.after_rain(found, LAYER)
    pd.testing.assert_index_equal(wet.index, index.index)
    for at, fell in zip(range(7, 10), rain[7:], strict=True):
        evening = found["depletion_mm"][at - 1]
        expected = float(dry_day(evening, fell, 0.0, LAYER)[0]) / LAYER.total_mm
        moment = pd.Timestamp(FIRST + timedelta(days=at))
        assert wet[moment] == pytest.approx(expected)
        assert (wet[moment] < index[moment]) == (fell > 0)
    # Of the day after the last one no rain is known: nothing is added.
    assert wet.iloc[-1] == index.iloc[-1]
    gap = sky(rain)
    gap.loc[8, "rain_mm"] = UNKNOWN
    unknown = water(gap)
    morning = pd.Timestamp(FIRST + timedelta(days=8))
    assert (
        surface.after_rain(unknown, LAYER)[morning]
        == surface.morning_index(unknown, LAYER)[morning]
    )


def test_a_sealed_track_sheds_rain_before_the_morning_too() -> None:
    weather = sky([0.0] * 7 + [8.0, 0.0])
    sealed = surface.after_rain(water(weather, log_of((7, "good", "sealed"))), LAYER)
    less = surface.after_rain(water(sky([0.0] * 7 + [8.0 * (1 - SEALED_SHEDS), 0.0])), LAYER)
    assert sealed.iloc[0] == pytest.approx(less.iloc[0])
    assert sealed.iloc[0] > surface.after_rain(water(weather), LAYER).iloc[0]


def test_the_sun_on_record_is_used() -> None:
    dull, bright = (
        surface.evapotranspiration(sky([0.0], sun_mj_m2=[sun]), 38.0)[0] for sun in (4.0, 22.0)
    )
    assert bright > dull > 0
    without = sky([0.0]).drop(columns="sun_mj_m2")
    assert surface.evapotranspiration(without, 38.0) == surface.evapotranspiration(sky([0.0]), 38.0)


def test_words_are_learned_up_to_a_day_from_the_first_entry_of_each() -> None:
    index = pd.Series([0.9] * 40, index=pd.date_range(FIRST, periods=40))
    dry = [(day, "fast", None) for day in range(0, 40)]
    log = log_of(*dry, (3, "sloppy", None), (5, "frozen", None), (6, None, None))
    last = FIRST + timedelta(days=19)
    found = surface.learn(log, "main", "dirt", index, last)
    assert found.entries == 20
    assert found == surface.learn_curves("dirt", [0.9] * 20, [0] * 20)
    # What came later, on another track or without an index is not learned from.
    later = log_of(*dry[:20], *((day, "sloppy", None) for day in range(20, 40)))
    assert surface.learn(later, "main", "dirt", index, last) == found
    assert surface.learn(log, "hill", "dirt", index, last).entries == 0
    assert surface.learn(log, "main", "dirt", index.iloc[:5], last).entries == 5


REFUSED = tuple(word in ("sloppy", "muddy", "heavy") for word in DRYING_ORDER["dirt"])


def months(words: dict[bool, str], last_words: dict[bool, str], days: int = 120):
    """Return an index that is dry or wet in turn, and a log with other words in its last month."""
    dates = pd.date_range("2026-01-01", periods=days)
    wet = np.arange(days) % 3 == 0
    index = pd.Series(np.where(wet, -0.3, 0.9), index=dates)
    last = dates.to_period("M") == dates[-1].to_period("M")
    states = [
        (last_words if now else words)[bool(is_wet)] for is_wet, now in zip(wet, last, strict=True)
    ]
    log = pd.DataFrame({"date": dates, "track": "main", "state": states, "upkeep": None})
    return index, log


def test_no_month_is_foretold_from_itself() -> None:
    """A trap: in the last month wet means fast and dry sloppy; who knew would not err so."""
    usual = {True: "sloppy", False: "fast"}
    index, honest = months(usual, usual)
    _, trap = months(usual, {True: "fast", False: "sloppy"})
    right, wrong = (
        surface.checked(log, "main", "dirt", index, REFUSED, months=1) for log in (honest, trap)
    )
    np.testing.assert_array_equal(right.stated, wrong.stated)
    np.testing.assert_array_equal(right.came, ~wrong.came)
    assert right.likeliest == right.days == 30
    assert wrong.likeliest == 0
    assert right.brier < 0.02 < 0.9 < wrong.brier


def test_a_month_is_learned_from_once_it_is_over() -> None:
    usual, odd = {True: "sloppy", False: "fast"}, {True: "fast", False: "sloppy"}
    index, log = months(usual, odd)
    both = surface.checked(log, "main", "dirt", index, REFUSED, months=2)
    # March was foretold from two months, April from three: neither knew what April would be.
    assert both.days == 61
    assert both.likeliest == 31


def test_words_are_not_checked_on_too_few_entries() -> None:
    usual = {True: "sloppy", False: "fast"}
    index, log = months(usual, usual, days=60)
    assert surface.checked(log, "main", "dirt", index, REFUSED).days == 29
    # March has one day; 30 entries must precede it.
    short = log[log["date"] >= "2026-01-31"]
    assert surface.checked(short, "main", "dirt", index, REFUSED) is None
    assert surface.checked(log.iloc[:0], "main", "dirt", index, REFUSED) is None


def test_a_reliability_table_counts_every_day_once() -> None:
    stated = np.array([0.0, 0.05, 0.1, 0.29, 0.3, 0.5, 0.69, 0.7, 0.9, 1.0])
    came = np.array([0, 0, 1, 0, 0, 1, 0, 1, 1, 1], dtype=bool)
    found = surface.Reliability(stated, came, 4)
    table = found.table()
    assert table["low"].tolist() == [0.0, 0.1, 0.3, 0.5, 0.7, 0.9]
    assert table["high"].tolist() == [0.1, 0.3, 0.5, 0.7, 0.9, 1.0]
    assert table["days"].tolist() == [2, 2, 1, 2, 1, 2]
    assert table["days"].sum() == found.days == 10
    assert table["stated"].tolist() == pytest.approx([0.025, 0.195, 0.3, 0.595, 0.7, 0.95])
    assert table["came"].tolist() == [0.0, 0.5, 0.0, 0.5, 1.0, 1.0]
    assert found.brier == pytest.approx(np.mean((stated - came) ** 2))
    assert found.brier_of_base_rate == pytest.approx(0.25)


def test_middling_chances_are_those_from_a_tenth_to_seven_tenths() -> None:
    stated = np.array([0.0, 0.0999, 0.1, 0.4, 0.6999, 0.7, 1.0])
    came = np.array([1, 0, 1, 0, 1, 0, 1], dtype=bool)
    found = surface.Reliability(stated, came, 4).middling()
    assert found.stated.tolist() == [0.1, 0.4, 0.6999]
    assert found.came.tolist() == [True, False, True]
    assert found.days == 3


@pytest.mark.parametrize(
    ("stated", "came", "lean"),
    [
        # A hundred days of 0.3: 30 are due, give or take 1.96 times the root of 21, 8.98.
        (0.3, 38, None), (0.3, 39, "low"), (0.3, 22, None), (0.3, 21, "high"),
        (0.0, 0, None), (0.0, 1, "low"), (1.0, 100, None), (1.0, 99, "high"),
    ],
)  # fmt: skip
def test_chances_lean_where_they_are_off_beyond_chance(
    stated: float, came: int, lean: str | None
) -> None:
    days = np.arange(100) < came
    assert surface.Reliability(np.full(100, stated), days, 0).lean == lean


def test_chances_of_no_day_lean_nowhere() -> None:
    none = surface.Reliability(np.array([]), np.array([], dtype=bool), 0)
    assert none.lean is None
    assert none.middling().days == 0


def test_an_empty_class_has_no_row_and_a_perfect_forecaster_no_error() -> None:
    came = np.array([True, False, False])
    found = surface.Reliability(came.astype(float), came, 3)
    assert found.table()["low"].tolist() == [0.0, 0.9]
    assert found.brier == 0
    assert found.brier_of_base_rate == pytest.approx(2 / 9)


def test_a_track_that_was_kept_for_two_years_teaches_its_words() -> None:
    """From weather and log alone: what was stated beats stating how often it came."""
    days = invented_sky.days_of(invented_sky.Sky(), 730, seed=3)
    last = days.weather["date"].iloc[-1].date()
    found = surface.daily_water(
        days.weather, days.log, "main", invented_sky.SAND, invented_sky.LATITUDE,
        invented_sky.FIRST, last,
    )  # fmt: skip
    settled = found[found["settled"]]
    np.testing.assert_allclose(
        settled["depletion_mm"], days.evening_mm[settled.index.to_numpy()], atol=0.3
    )
    index = surface.morning_index(found, invented_sky.SAND)
    wet = surface.after_rain(found, invented_sky.SAND)
    told, blind = (
        surface.checked(days.log, "main", "dirt", index, invented_sky.REFUSED, 18, wet=known)
        for known in (wet, None)
    )
    assert told.days > 500
    assert told.brier < 0.9 * told.brier_of_base_rate
    assert told.middling().lean is None
    # What is known of the rain of the day itself makes the chances better.
    assert told.brier < 0.9 * blind.brier
    assert told.likeliest > blind.likeliest
