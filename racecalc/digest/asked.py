"""What was asked of works, and what they were: by speed, and by the thresholds of a test."""

from collections.abc import Iterable, Mapping

import numpy as np
import numpy.typing as npt

from racecalc import fitness, units
from racecalc.digest.fitness_model import Asked, FitnessTest, Over
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
    return tuple(_asked(work, edges_m_s, thresholds, one_s) for work in works if work.time)


def _asked(
    work: Work,
    edges_m_s: tuple[float, ...],
    thresholds: Mapping[str, fitness.Reading],
    one_s: float,
) -> Asked:
    metres, speed, error = _pieces(work, one_s)
    classes = np.searchsorted(np.asarray(edges_m_s), speed, side="right")
    quickest = int(classes.max()) if classes.size else None
    in_it = float(metres[classes == quickest].sum()) if classes.size else 0.0
    name = f"works.{work.id}"
    return Asked(
        work=work,
        quickest=quickest,
        in_it=Number(
            f"{name}.quickest", in_it, "section_ground", "racecalc.workload.by_class", metres.size
        )
        if classes.size
        else None,
        over={
            key: _over(f"{name}.{key}", metres, fitness.place(speed, error, threshold))
            for key, threshold in thresholds.items()
        },
    )


def _pieces(work: Work, one_s: float) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return metres, speeds and what these may be off: of its sections, or of the whole work."""
    timed = [section for section in work.sections if not section.gallop_out]
    if not timed and work.time:
        far, seconds = work.distance.value, work.time.value
        whole = far / seconds
        return np.array([far]), np.array([whole]), np.array([whole * one_s / seconds])
    metres = np.array([section.distance_m for section in timed])
    pace = np.array([section.pace_s for section in timed])
    off = np.array([section.pace_error_s for section in timed])
    speed = units.FURLONG_M / pace
    return metres, speed, speed * off / pace


def _over(name: str, metres: FloatArray, places: npt.NDArray[np.str_]) -> Over:
    def number(place: str) -> Number | None:
        far = float(metres[places == place].sum())
        if not far:
            return None
        made_by = "racecalc.fitness.place"
        rows = int((places == place).sum())
        return Number(f"{name}.{place}", far, "section_ground", made_by, rows)

    return Over(above=number("above"), at=number("at"))
