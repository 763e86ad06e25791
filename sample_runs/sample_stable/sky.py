"""Weather, the surface log that follows from it, and the forecast that closes the sample."""

import math
from dataclasses import dataclass
from datetime import date, timedelta

from sample_stable.barn import MILE, TRACKS, TRAINING
from sample_stable.calendar import FIRST_DAY, chance, day, days
from sample_stable.writing import depth_text, fahrenheit_text, miles_per_hour_text, rain_text

__all__ = ["NO_WORK_STATES", "Weather", "forecast_rows", "states", "surface_rows", "weather_rows"]

NO_WORK_STATES = frozenset({"sloppy", "muddy", "heavy", "frozen"})

# Late summer and autumn 2026 by hand, in mm: fair, then the wet fortnight of 5 to 18 October.
_HAND_WRITTEN_FROM = day("2026-09-12")
_HAND_WRITTEN_RAIN_MM = {
    day(text): rain_mm
    for text, rain_mm in (
        ("2026-09-14", 4.6),
        ("2026-09-21", 8.9),
        ("2026-09-22", 2.3),
        ("2026-09-29", 1.0),
        ("2026-10-05", 9.4),
        ("2026-10-06", 14.2),
        ("2026-10-07", 3.1),
        ("2026-10-09", 11.7),
        ("2026-10-10", 6.1),
        ("2026-10-11", 0.8),
        ("2026-10-13", 12.9),
        ("2026-10-14", 18.3),
        ("2026-10-15", 5.3),
        ("2026-10-16", 2.0),
        ("2026-10-17", 7.9),
        ("2026-10-18", 1.3),
        ("2026-10-26", 1.5),
    )
}

# issued, rain chance in percent and rain in mm if it rains, from the next day on
_FORECASTS = (
    ("2026-10-30", (10, 25, 70, 60, 30, 15, 10), (1.0, 2.0, 8.0, 6.0, 3.0, 2.0, 2.0)),
    ("2026-10-31", (20, 75, 55, 20, 10, 10, 15), (1.5, 9.0, 5.0, 2.5, 2.0, 2.0, 2.5)),
)


@dataclass(frozen=True)
class Weather:
    """One day of it."""

    tmin_c: float
    tmax_c: float
    rain_mm: float
    wind_m_s: float
    rh_min_pct: float
    rh_max_pct: float
    sun_mj_m2: float


def _season(on: date) -> float:
    """Return -1 in mid January and 1 in mid July."""
    return -math.cos(2 * math.pi * (on.timetuple().tm_yday - 15) / 365.25)


def _weather() -> dict[date, Weather]:
    rng = chance("weather")
    found: dict[date, Weather] = {}
    drift, was_wet = 0.0, False
    for on in days():
        drift = 0.7 * drift + rng.gauss(0, 2.0)
        is_wet = rng.random() < (0.42 if was_wet else 0.22)
        rain_mm = max(0.3, rng.expovariate(1 / 7.0)) if is_wet else 0.0
        if on >= _HAND_WRITTEN_FROM:
            rain_mm = _HAND_WRITTEN_RAIN_MM.get(on, 0.0)
        was_wet = rain_mm > 0
        half_range = 3.5 if was_wet else 6.0 + rng.uniform(-0.8, 0.8)
        mean_c = 12.0 + 12.5 * _season(on) + drift
        rh_max_pct = min(99.0, rng.gauss(95 if was_wet else 86, 4))
        found[on] = Weather(
            tmin_c=mean_c - half_range,
            tmax_c=mean_c + half_range,
            rain_mm=rain_mm,
            wind_m_s=max(0.5, rng.gauss(3.2, 1.0)),
            rh_min_pct=rh_max_pct - (22 if was_wet else 40) + rng.uniform(-5, 5),
            rh_max_pct=rh_max_pct,
            sun_mj_m2=(16 + 8.5 * _season(on)) * (0.42 if was_wet else rng.uniform(0.8, 1.0)),
        )
    return found


@dataclass(frozen=True)
class _Footing:
    """What the track superintendent finds in the morning."""

    rain_mm: float
    wet_mm: float
    is_frozen: bool
    is_hot: bool

    def state(self, surface: str) -> str:
        if surface == "synthetic":
            return self._synthetic_state()
        if self.is_frozen:
            return "frozen"
        if self.rain_mm >= 8:
            return "sloppy"
        if self.wet_mm >= 7:
            return "muddy"
        if self.rain_mm >= 1 and self.wet_mm < 3:
            return "wet fast"
        return "good" if self.wet_mm >= 2 else "fast"

    def _synthetic_state(self) -> str:
        if self.is_hot:
            return "slow"
        if self.rain_mm >= 6:
            return "wet"
        return "good" if self.rain_mm >= 1 else "fast"

    def upkeep(self, surface: str) -> str:
        if self.is_frozen:
            return "none"
        if self.rain_mm >= 1:
            return "sealed" if surface == "dirt" else "harrowed"
        return "watered" if self.is_hot and surface == "dirt" else "harrowed"


def _footing(weather: dict[date, Weather]) -> dict[date, _Footing]:
    """Follow the water in the cushion: yesterday's rain in, drainage and evaporation out."""
    found: dict[date, _Footing] = {}
    wet_mm = 0.0
    for on in days():
        before = weather.get(on - timedelta(days=1))
        rain_mm = before.rain_mm if before else 0.0
        wet_mm = min(wet_mm + 0.8 * rain_mm, 14.0)
        today = weather[on]
        frozen = today.tmin_c < -5 and today.tmax_c < 5
        found[on] = _Footing(rain_mm, wet_mm, frozen, today.tmax_c > 32)
        wet_mm = max(0.0, wet_mm - 1.5 - today.sun_mj_m2 / 6)
    return found


def states() -> dict[tuple[str, date], str]:
    """Return the state of each track on each morning."""
    footing = _footing(_weather())
    return {(track.id, on): footing[on].state(track.surface) for track in TRACKS for on in days()}


def weather_rows() -> list[tuple[str, ...]]:
    """Return the weather of each day at each track; both stand within a mile of one station."""
    return [
        (
            on.isoformat(),
            track.id,
            fahrenheit_text(found.tmin_c),
            fahrenheit_text(found.tmax_c),
            rain_text(found.rain_mm),
            miles_per_hour_text(found.wind_m_s),
            f"{found.rh_min_pct:.0f}",
            f"{found.rh_max_pct:.0f}",
            f"{found.sun_mj_m2:.1f}",
        )
        for on, found in _weather().items()
        for track in (MILE, TRAINING)
    ]


def surface_rows() -> list[tuple[str, ...]]:
    """Return the surface log: a row per track and morning."""
    rng = chance("surface")
    rows = []
    for on, found in _footing(_weather()).items():
        for track in TRACKS:
            is_dirt = track is MILE
            moisture_pct = 9.0 + 0.85 * found.wet_mm + rng.uniform(-0.6, 0.6)
            depth_in = (3.25 + 0.03 * found.wet_mm) if is_dirt else 4.0
            rows.append(
                (
                    on.isoformat(),
                    track.id,
                    found.state(track.surface),
                    f"{moisture_pct:.1f}" if is_dirt else "",
                    "volume" if is_dirt else "",
                    depth_text(depth_in + rng.uniform(-0.12, 0.12)),
                    found.upkeep(track.surface),
                    "" if on == FIRST_DAY else rain_text(found.rain_mm),
                    _surface_note(on) if is_dirt else "",
                )
            )
    return rows


def _surface_note(on: date) -> str:
    return {
        day("2026-10-06"): "sealed before the evening rain; water standing near the rail",
        day("2026-10-10"): "closed for fast work",
        day("2026-10-14"): "closed for fast work",
        day("2026-10-15"): "closed for fast work",
        day("2026-10-20"): "opened up and harrowed twice",
    }.get(on, "")


def forecast_rows() -> list[tuple[str, ...]]:
    """Return the last two forecasts, a week each."""
    rows = []
    for issued_text, chances_pct, rains_mm in _FORECASTS:
        issued = day(issued_text)
        for ahead, (chance_pct, rain_mm) in enumerate(zip(chances_pct, rains_mm, strict=True), 1):
            is_wet = chance_pct >= 50
            for track in TRACKS:
                rows.append(
                    (
                        issued_text,
                        (issued + timedelta(days=ahead)).isoformat(),
                        track.id,
                        str(chance_pct),
                        rain_text(rain_mm),
                        fahrenheit_text(6.5 if is_wet else 3.0 + 0.3 * ahead),
                        fahrenheit_text(12.0 if is_wet else 14.0 + 0.3 * ahead),
                        miles_per_hour_text(4.5 if is_wet else 3.0),
                        "68" if is_wet else "48",
                        "96" if is_wet else "88",
                    )
                )
    return rows
