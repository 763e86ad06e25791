"""What a film of a horse's feet tells: its strides, its gait, its leads, and how sure that is."""

from dataclasses import dataclass
from datetime import date

from racecalc import gait
from racecalc.digest.number import Number

__all__ = ["ClipStride", "Contact", "FootDown", "GaitClip", "GaitInShort", "Sized"]


@dataclass(frozen=True)
class Sized:
    """A number with the error that the frames of the film leave."""

    value: Number
    error: Number


@dataclass(frozen=True)
class FootDown:
    """How long a foot was down: a share of the stride, and the force that this comes to.

    ``force`` is the model's peak in times the horse's weight; it is missing where the frames do not
    allow it.
    """

    foot: str
    duty: Number
    stance: Number
    force: Number | None


@dataclass(frozen=True)
class Contact:
    """A foot on the ground as it is drawn: from, to (missing where not noted), in which stride.

    Times are in seconds from the first landing of the clip.
    """

    foot: str
    on_s: float
    off_s: float | None
    stride: int


@dataclass(frozen=True)
class ClipStride:
    """One stride: which leads, how long it took, and for how much of it each foot was down.

    What the frames do not allow to be said of a single stride is missing.
    """

    number: int
    hind: str | None
    fore: str | None
    time: Number | None
    duty: dict[str, Number]


@dataclass(frozen=True)
class GaitClip:
    """One clip.

    ``frames`` are its frames a second, missing where times were written in seconds; ``step`` is the
    time between two frames, or what the writing of the seconds shows of it. ``speed`` is missing
    where none, or more than one, was noted. ``strides`` counts those that were begun, ``averaged``
    the ones on the leads that most of them had, of which ``feet``, ``support`` (by the number of
    feet down), ``flight`` and ``lag`` are means. ``lag`` (by side) is told of gaits whose pairs
    land half a stride apart. ``fore_share`` is the share of its weight that the horse carries on
    its fore feet, of which the forces are made. ``each`` are the first strides, as far as a page
    has room. ``unsure`` names what the frames did not allow: ``stride``, ``lag``, ``duty``,
    ``force``, ``support``. ``down`` are the contacts, ``count`` the feet down over time, both as
    drawn, in seconds from the first landing.
    """

    day: date
    label: str
    reading: gait.ClipReading
    frames: Number | None
    step: Number | None
    speed: Number | None
    several_speeds: bool
    strides: Number
    averaged: Number | None
    beats: Number | None
    even: bool | None
    time: Sized | None
    rate: Sized | None
    usual_rate: Number | None
    length: Number | None
    feet: tuple[FootDown, ...]
    duty_error: Number | None
    fore_share: Number | None
    force_error: Number | None
    support: dict[int, Number]
    support_error: Number | None
    flight: Sized | None
    lag: dict[str, Number]
    lag_error: Number | None
    each: tuple[ClipStride, ...]
    unsure: tuple[str, ...]
    down: tuple[Contact, ...]
    count: tuple[tuple[float, float, int], ...]

    @property
    def gait(self) -> gait.Gait:
        """The name of the gait, or why it has none."""
        return self.reading.gait


@dataclass(frozen=True)
class GaitInShort:
    """One clip as a paragraph tells of it."""

    day: date
    reading: gait.ClipReading
    strides: Number
    speed: Number | None
    rate: Number | None
    length: Number | None
