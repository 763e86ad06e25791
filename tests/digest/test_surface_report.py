"""The report on a track: its log, its water, its words, and the days to come, in small books."""

import tempfile
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from racecalc import daybook, digest, surface, weather
from racecalc.errors import OutOfRangeError
from tests.daybook.stable import BARN, write_book
from tests.digest import sky
from tests.digest.sky import LAST, forecast, forecast_rows, log, table
from tests.digest.small import METRIC, record_of


def report_of(track: str = "main", until: str = LAST.isoformat(), barn: str = BARN, **tables: str):
    """Return the report of a track whose book holds these tables."""
    book = {
        "tracks": sky.TRACKS,
        "surface": log(150),
        "weather": sky.weather(160),
        "forecast": forecast(*[30] * 7),
    } | tables
    with tempfile.TemporaryDirectory() as folder:
        return digest.build_surface(record_of(Path(folder), barn, **book), track, until)


def numbers_of(found) -> dict[str, float]:
    numbers = found.numbers()
    named = {number.name: number.value for number in numbers}
    assert len(named) == len(numbers), "two numbers have one name"
    assert all(number.kind in digest.KIND_UNITS for number in numbers)
    assert all(np.isfinite(number.value) for number in numbers)
    return named


def test_sixty_days_are_told_with_the_word_of_each_morning() -> None:
    found = report_of()
    assert (found.first, found.last) == (LAST - timedelta(days=59), LAST)
    assert [day.day for day in found.water] == sky.days_until(LAST, 60)
    assert all(day.index is not None for day in found.water)
    for day in found.water:
        assert day.rain.value == (15 if sky.rained(day.day) else 0)
        assert day.state == ("sloppy" if sky.rained(day.day - timedelta(days=1)) else "fast")
    wet = [day.index.value for day in found.water if day.state == "sloppy"]
    dry = [day.index.value for day in found.water if day.state == "fast"]
    assert max(wet) < min(dry), "the rain of the day before is in the morning's index"
    assert found.recorded
    assert found.tracks[0].track == "main"
    numbers_of(found)


def test_of_two_entries_of_a_day_the_morning_is_shown_and_learned_from() -> None:
    twice = log(150) + "".join(f"{day},main,heavy,,\n" for day in sky.days_until(LAST, 150))
    found, usual = report_of(surface=twice), report_of()
    assert [day.state for day in found.water] == [day.state for day in usual.water]
    edges = {edge.word: edge.learned.value for edge in found.edges}
    assert {edge.word: edges[edge.word] for edge in usual.edges} == {
        edge.word: edge.learned.value for edge in usual.edges
    }
    assert found.learned.value == usual.learned.value


def test_words_are_learned_and_stand_beside_the_default() -> None:
    found = report_of()
    # Weather begins ten days before the log, and seven days settle the layer.
    assert found.learned.value == 150
    words = surface.DRYING_ORDER["dirt"][1:]
    # Of words that the log has not, nothing is shown.
    assert [(edge.word, edge.entries.value) for edge in found.edges] == [("sloppy", 30)]
    default = dict(zip(words, surface.default_curves("dirt").cuts, strict=True))
    assert found.edges[0].default.value == default["sloppy"]
    assert found.edges[0].learned.value > default["sloppy"]


def test_words_are_checked_on_months_that_were_not_learned_from() -> None:
    found = report_of().checked
    assert found.days.value == sum(row.days.value for row in found.rows)
    # The log begins on 4 June: of the last six months, July on have thirty entries before them,
    # but July only 27.
    assert found.days.value == (LAST - date(2026, 8, 1)).days + 1
    assert found.likeliest.value >= 0.85 * found.days.value
    assert found.brier.value < found.brier_of_base_rate.value / 2
    assert found.brier_of_base_rate.value == pytest.approx(0.16, abs=0.01)
    assert 50 < found.value.value <= 100


def test_what_waiting_costs_decides_what_the_chances_are_worth() -> None:
    assert report_of(barn=BARN + "[care]\nbad_footing_days = 1\n").checked.value is None
    assert report_of(barn=BARN + "[care]\nbad_footing_days = 0\n").checked.value is None
    assert report_of(barn=BARN + "[care]\nbad_footing_days = 12\n").bad_footing.value == 12
    dry = report_of(surface=log(150, words="fast fast"))
    assert dry.checked.value is None, "where it never was bad nothing can be saved"
    assert dry.checked.brier_of_base_rate.value == 0


def test_too_few_entries_are_not_checked() -> None:
    found = report_of(surface=log(25))
    assert found.checked is None
    assert found.learned.value == 25
    numbers_of(found)


def test_without_weather_nothing_dries_and_the_log_is_told() -> None:
    found = report_of(weather=table(sky.WEATHER, []))
    assert all(day.index is None and day.rain is None for day in found.water)
    assert all(day.state for day in found.water)
    assert found.learned.value == 0
    assert found.checked is None
    assert {"weather", "learned"} <= set(found.outlook.lacks)
    assert found.outlook.begins == "word"
    assert [edge.learned.value for edge in found.edges] == [
        edge.default.value for edge in found.edges
    ]
    numbers_of(found)


def test_without_a_log_the_water_is_told() -> None:
    found = report_of(surface=table(sky.LOG, []))
    assert not found.recorded
    assert found.tracks == ()
    assert all(day.index is not None and day.state is None for day in found.water)
    assert found.outlook.begins == "weather"
    assert [sum(day.words.values()) for day in found.outlook.days] == pytest.approx([1] * 7)
    numbers_of(found)


def test_with_nothing_but_a_track_nothing_is_made_up() -> None:
    empty = {
        "surface": table(sky.LOG, []),
        "weather": table(sky.WEATHER, []),
        "forecast": table(sky.FORECAST, []),
    }
    found = report_of(**empty)
    assert {day.basis for day in found.outlook.days} == {"none"}
    assert all(day.bad is None and day.words == {} for day in found.outlook.days)
    assert all(day.words == {} for day in found.ahead)
    assert set(found.outlook.lacks) == {"forecast", "weather", "learned"}
    numbers_of(found)
    with tempfile.TemporaryDirectory() as folder:
        bare = record_of(Path(folder), tracks=sky.TRACKS)
        assert digest.build_surface(bare, "main").last == date(1900, 1, 1)


def test_a_missing_day_leaves_a_gap_of_a_week() -> None:
    gone = LAST - timedelta(days=20)
    lines = [line for line in sky.weather(160).splitlines() if not line.startswith(str(gone))]
    found = report_of(weather="\n".join(lines) + "\n")
    blank = [day.day for day in found.water if day.index is None]
    # The morning after the missing day, and of the days until seven evenings are known again.
    assert blank == [gone + timedelta(days=ahead) for ahead in range(1, 8)]


def test_a_day_in_the_past_knows_nothing_of_what_came_later() -> None:
    def after(days: int) -> list[date]:
        return [LAST + timedelta(days=ahead) for ahead in range(1, days)]

    book = {
        "surface": log(150),
        "weather": sky.weather(160),
        "forecast": forecast(*[60] * 7, air=",8 C,19 C,3 m/s,50,92"),
    }
    known = report_of(**book)
    later = report_of(
        surface=book["surface"] + "".join(f"{day},main,heavy,sealed,2 in\n" for day in after(60)),
        weather=book["weather"]
        + "".join(f"{day},main,1 C,2 C,90 mm,0 m/s,99,100\n" for day in after(60)),
        forecast=book["forecast"]
        + "\n".join(forecast_rows([100] * 7, issued=LAST + timedelta(days=1)))
        + "\n",
    )
    for name in vars(known):
        if name not in {"data_hash", "barn"}:
            assert repr(getattr(later, name)) == repr(getattr(known, name)), name


def test_blank_it_ends_with_the_newest_day_of_the_logs() -> None:
    assert report_of(until="").last == LAST
    weather_later = sky.weather(160, last=LAST + timedelta(days=2))
    assert report_of(until="", weather=weather_later).last == LAST + timedelta(days=2)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (
            {"track": "moon"},
            "no track has the id “moon”, or its row was refused (racecalc check tells)",
        ),
        ({"track": ""}, "no track has the id “”, or its row was refused"),
        ({"until": "2026-02-30"}, "“2026-02-30” is no day"),
        ({"until": "9999-12-31"}, "write a day of the years 1700 to 2200"),
    ],
)
def test_what_cannot_be_told_of_is_refused(asked: dict[str, str], says: str) -> None:
    with pytest.raises(OutOfRangeError) as refused:
        report_of(**asked)
    assert says in str(refused.value)


@pytest.mark.parametrize(
    ("track", "words"), [("gallop", "good heavy"), ("hill", "fast wet"), ("main", "good muddy")]
)
def test_every_surface_has_its_own_words_and_top(track: str, words: str) -> None:
    found = report_of(
        track=track,
        surface=log(150, track=track, words=words),
        weather=sky.weather(160, track=track),
        forecast=forecast(*[30] * 7, track=track),
    )
    base = weather.SURFACE_LAYERS[found.surface]
    assert found.holds.value == base.total_mm
    assert found.gives.value == base.ready_mm
    assert found.stands.value == base.above_mm
    assert found.drains.value == base.drains_mm
    assert not found.own_soil
    # The barn has set no word of a synthetic track on which it does not work.
    assert (found.checked is None) == (found.surface == "synthetic")
    assert set(found.outlook.days[0].words) == set(surface.DRYING_ORDER[found.surface])
    numbers_of(found)


def test_a_track_with_numbers_of_its_own_dries_by_them() -> None:
    own = sky.TRACKS.replace("longitude\n", "longitude,soil,holds,gives,drains\n")
    tracks = own.replace("38.05,-84.5\nhill", "38.05,-84.5,clay,20 mm,,1 mm\nhill")
    found = report_of(tracks=tracks)
    assert found.own_soil
    assert (found.holds.value, found.drains.value) == (20, 1)
    # Clay loses 10 mm of 25.5 mm readily; of 20 mm the same share.
    assert found.gives.value == pytest.approx(20 * 10 / 25.5)
    usual = report_of()
    assert [day.index.value for day in found.water] != [day.index.value for day in usual.water]
    other = report_of(track="hill", tracks=tracks, surface=log(150, track="hill", words="fast wet"))
    assert not other.own_soil


def test_the_days_to_come_show_words_of_some_weight() -> None:
    found = report_of()
    assert [day.day for day in found.ahead] == [LAST + timedelta(days=n) for n in range(1, 8)]
    for day, told in zip(found.ahead, found.outlook.days, strict=True):
        assert 0 < len(day.words) < 7
        for word, number in day.words.items():
            assert number.value == pytest.approx(100 * told.words[word])
        assert sum(number.value for number in day.words.values()) > 80


def test_a_metric_barn_and_a_horses_own_slice_are_told_the_same() -> None:
    imperial, metric = report_of(), report_of(barn=METRIC)
    assert numbers_of(metric) == numbers_of(imperial)
    with tempfile.TemporaryDirectory() as folder:
        book = {
            "tracks": sky.TRACKS, "surface": log(150), "weather": sky.weather(160),
            "forecast": forecast(*[30] * 7), "works": None, "splits": None, "exercise": None,
        }  # fmt: skip
        read = daybook.read(write_book(Path(folder), **book))
        of_none = digest.build_surface(daybook.track_slice(read), "main", LAST.isoformat())
    assert numbers_of(of_none) == numbers_of(imperial)
    assert of_none.horse is None
