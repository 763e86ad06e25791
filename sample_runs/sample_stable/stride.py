"""Footfalls read off films, most of 240 frames a second: first frame down, first frame up.

Stance and swing at the gallop lie on the straight lines between the means that Witte et al. 2006
(J Exp Biol 209:4389) print for 9 and 17 m/s. Trot and walk follow the usual order of footfalls,
with durations of common practice.
"""

from dataclasses import dataclass

from sample_stable.calendar import chance
from sample_stable.writing import miles_per_hour_text

__all__ = ["footfall_rows"]

_FRAMES_PER_SECOND = 240
# One telephone films no faster than this.
_TELEPHONE = 60

# Contacts as shares of a stride: order LH RH LF RF on the right lead, mirrored on the left.
_RIGHT_LEAD = {"LH": 0.0, "RH": 0.22, "LF": 0.45, "RF": 0.63}
_LEFT_LEAD = {"RH": 0.0, "LH": 0.22, "RF": 0.45, "LF": 0.63}
_TROT = {"LH": 0.0, "RF": 0.0, "RH": 0.5, "LF": 0.5}
_WALK = {"LH": 0.0, "LF": 0.23, "RH": 0.5, "RF": 0.73}


@dataclass(frozen=True)
class _Film:
    """A clip: one horse, so many whole strides; ``then`` are those from a change of lead on."""

    date: str
    horse: str
    clip: str
    contacts: dict[str, float]
    speed_m_s: float
    strides: int = 6
    stride_s: float = 0.0
    stance_share: float = 0.0
    frames_per_second: int = _FRAMES_PER_SECOND
    then: tuple[int, dict[str, float]] | None = None


_FILMS = (
    _Film("2026-06-27", "larder-drizzle", "LD-260627-stretch", _RIGHT_LEAD, 16.0),
    _Film("2026-09-26", "larder-drizzle", "LD-260926-stretch", _RIGHT_LEAD, 16.2),
    _Film("2026-10-28", "larder-drizzle", "LD-261028-turn", _LEFT_LEAD, 16.7),
    _Film("2026-10-28", "larder-drizzle", "LD-261028-stretch", _RIGHT_LEAD, 16.6),
    _Film(
        "2026-10-24",
        "colander-fog",
        "CF-261024-change",
        _LEFT_LEAD,
        15.2,
        9,
        frames_per_second=_TELEPHONE,
        then=(5, _RIGHT_LEAD),
    ),
    _Film("2026-10-31", "colander-fog", "CF-261031-stretch", _RIGHT_LEAD, 15.7),
    _Film("2026-10-15", "colander-fog", "CF-261015-trot", _TROT, 4.2, 5, 0.62, 0.40),
    _Film("2026-10-20", "spokeshave-sleet", "SS-261020-trot", _TROT, 4.1, 5, 0.63, 0.41),
    _Film("2026-10-06", "spokeshave-sleet", "SS-261006-walk", _WALK, 1.7, 4, 1.08, 0.65),
)


def _line(speed_m_s: float, at_9: float, at_17: float) -> float:
    return at_9 + (at_17 - at_9) * (speed_m_s - 9) / 8


def _stance_s(film: _Film, foot: str, stride_s: float) -> float:
    if film.stance_share:
        return film.stance_share * stride_s
    if foot in ("LF", "RF"):
        return _line(film.speed_m_s, 0.131, 0.077)
    return _line(film.speed_m_s, 0.143, 0.094)


def _contacts(film: _Film, stride: int) -> dict[str, float]:
    """Return where feet land in a stride, counted from one."""
    if film.then is None or stride < film.then[0]:
        return film.contacts
    return film.then[1]


def footfall_rows() -> list[tuple[str, ...]]:
    """Return the films, stride by stride, in frames."""
    rows = []
    for film in _FILMS:
        rng = chance("film", film.clip)
        usual_s = film.stride_s or _line(film.speed_m_s, 0.495, 0.419)
        start_s = 0.1
        for number in range(1, film.strides + 1):
            stride_s = usual_s * (1 + rng.gauss(0, 0.01))
            for foot, share in _contacts(film, number).items():
                on_s = start_s + share * stride_s + rng.gauss(0, 0.002)
                off_s = on_s + _stance_s(film, foot, stride_s) * (1 + rng.gauss(0, 0.015))
                rows.append(
                    (
                        film.date,
                        film.horse,
                        film.clip,
                        foot,
                        str(round(on_s * film.frames_per_second)),
                        str(round(off_s * film.frames_per_second)),
                        str(film.frames_per_second),
                        miles_per_hour_text(film.speed_m_s),
                    )
                )
            start_s += stride_s
    return rows
