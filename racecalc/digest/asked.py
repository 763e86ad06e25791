"""What was asked of works, and what they were: by speed, and by the thresholds of a test."""

from collections.abc import Iterable, Mapping

import numpy as np
import numpy.typing as npt

from racecalc import fitness, units
from racecalc.digest.fitness_model import Asked, FitnessTest, Over, Piece
from racecalc.digest.number import Number
from racecalc.digest.work_model import Work

__all__ = ["asked_of", "thresholds_of"]

FloatArray = npt.NDArray[np.float64]


def thresholds_of(test: FitnessTest | None) -> dict[str, fitness.Reading]:
    """Return what a test could read of 4 mmol/l and of 200 beats, by its name."""
    found = {} if test is None else {"v4": test.v4.reading, "v200": test.v200.reading}
    return {name: one for name, one in found.items() if one.speed_m_s is not None}


def asked_of(
    works: Iterable[Work],
    edges_m_s: tuple[float, ...],
    thresholds: Mapping[str, fitness.Reading],
    one_s: float,
) -> tuple[Asked, ...]:
    """Return what was asked of timed works and what they were; an untimed one is left out.

    Parameters
    ----------
    works : iterable of Work
        The works.
    edges_m_s : tuple of float
        The speeds that part one class from the next.
    thresholds : mapping
        As `thresholds_of` returns them.
    one_s : float
        How far one hand-taken time may lie from the true one, in seconds.
    """
    return tuple(
        _asked(work, work.time, edges_m_s, thresholds, one_s) for work in works if work.time
    )


def _asked(
    work: Work,
    time: Number,
    edges_m_s: tuple[float, ...],
    thresholds: Mapping[str, fitness.Reading],
    one_s: float,
) -> Asked:
    metres, pieces = _pieces(work, time, one_s)
    pace = np.array([piece.pace_s for piece in pieces])
    speed = units.FURLONG_M / pace
    error = speed * np.array([piece.pace_error_s for piece in pieces]) / pace
    classes = np.searchsorted(np.asarray(edges_m_s), speed, side="right")
    quickest = int(classes.max())
    in_it = float(metres[classes == quickest].sum())
    name, made_by = f"works.{work.id}", "racecalc.digest.asked.asked_of"
    return Asked(
        day=work.day,
        distance=work.distance,
        time=time,
        effort=work.effort,
        verdict=work.stand.verdict if work.stand else None,
        nearest=work.stand.nearest if work.stand else None,
        pieces=pieces,
        quickest=quickest,
        in_it=Number(f"{name}.quickest", in_it, "section_ground", made_by, metres.size),
        over={
            key: _over(f"{name}.{key}", metres, fitness.place(speed, error, threshold))
            for key, threshold in thresholds.items()
        },
    )


def _pieces(work: Work, time: Number, one_s: float) -> tuple[FloatArray, tuple[Piece, ...]]:
    """Return the metres, paces and times of a work's sections, or of the whole work."""
    timed = [section for section in work.sections if not section.gallop_out]
    if not timed:
        furlongs = work.distance.value / units.FURLONG_M
        whole = Piece(time.value / furlongs, one_s / furlongs, time)
        return np.array([work.distance.value]), (whole,)
    return np.array([section.distance_m for section in timed]), tuple(
        Piece(section.pace_s, section.pace_error_s, section.time) for section in timed
    )


def _over(name: str, metres: FloatArray, places: npt.NDArray[np.str_]) -> Over:
    def number(place: str) -> Number | None:
        far = float(metres[places == place].sum())
        if not far:
            return None
        made_by = "racecalc.fitness.place"
        rows = int((places == place).sum())
        return Number(f"{name}.{place}", far, "section_ground", made_by, rows)

    return Over(above=number("above"), at=number("at"))
