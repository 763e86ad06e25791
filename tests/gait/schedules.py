"""Invented clips: schedules of footfalls, played, mirrored, filmed and spoilt."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from racecalc.gait import FEET, Clip, make_clip

Contacts = dict[str, list[tuple[float, float]]]

FINE_S = 1e-6
"""A frame step that leaves no error to speak of."""

MIRRORED = {"LH": "RH", "RH": "LH", "LF": "RF", "RF": "LF"}
NO_LEADS = (None, None)


@dataclass(frozen=True)
class Schedule:
    """A stride as shares of itself, and what is expected of it."""

    on: Mapping[str, float]
    duty: Mapping[str, float]
    gait: str
    beats: int
    even: bool
    support: Mapping[int, float]
    flights: tuple[tuple[float, float], ...] = ()
    lag: float | None = None
    leads: tuple[str | None, str | None] = NO_LEADS

    @property
    def mirrored(self) -> "Schedule":
        """The same stride of a horse seen in a mirror."""
        other = {"left": "right", "right": "left", None: None}
        return replace(
            self,
            on={MIRRORED[foot]: at for foot, at in self.on.items()},
            duty={MIRRORED[foot]: share for foot, share in self.duty.items()},
            leads=tuple(other[lead] for lead in self.leads),
        )


def _even(on: Sequence[float], duty: float, gait: str, **expected: object) -> Schedule:
    """Return a schedule by the landings of LH, LF, RH, RF and one duty factor."""
    return Schedule(dict(zip(FEET, on, strict=True)), dict.fromkeys(FEET, duty), gait, **expected)


def _coupled(
    on: Sequence[float], duty: Sequence[float], gait: str, beats: int, hind: str, fore: str, **more
) -> Schedule:
    """Return a schedule of couplets by the landings and duties of LH, LF, RH, RF."""
    return Schedule(
        dict(zip(FEET, on, strict=True)),
        dict(zip(FEET, duty, strict=True)),
        gait,
        beats,
        leads=(hind, fore),
        **more,
    )


_WALK, _TROT = (0.0, 0.25, 0.5, 0.75), (0.0, 0.5, 0.5, 0.0)
_CANTER = _coupled(
    (0.0, 0.25, 0.25, 0.45), (0.38, 0.38, 0.40, 0.35), "canter", 3, "right", "right", even=False,
    support={0: 0.20, 1: 0.40, 2: 0.09, 3: 0.31}, flights=((0.80, 1.0),),
)  # fmt: skip
_GALLOP = _coupled(
    (0.0, 0.35, 0.15, 0.52), (0.25, 0.22, 0.25, 0.22), "transverse gallop", 4, "right", "right",
    even=False, support={0: 0.26, 1: 0.54, 2: 0.20}, flights=((0.74, 1.0),),
)  # fmt: skip

GOLDEN = {
    "walk": _even(_WALK, 0.65, "walk", beats=4, even=True, lag=0.25, support={2: 0.40, 3: 0.60}),
    "walk ref": _even(_WALK, 0.75, "walk", beats=4, even=True, lag=0.25, support={3: 1.0}),
    "walk early fore": _even(
        (0.0, 0.20, 0.50, 0.70), 0.70, "walk", beats=4, even=True, lag=0.20,
        support={2: 0.20, 3: 0.80},
    ),
    "running walk": _even(
        _WALK, 0.55, "running walk", beats=4, even=True, lag=0.25, support={2: 0.80, 3: 0.20}
    ),
    "single-foot": _even(
        _WALK, 0.45, "single-foot", beats=4, even=True, lag=0.25, support={1: 0.20, 2: 0.80}
    ),
    "trot": _even(
        _TROT, 0.40, "trot", beats=2, even=True, lag=0.50, support={0: 0.20, 2: 0.80},
        flights=((0.40, 0.50), (0.90, 1.0)),
    ),
    "walking trot": _even(
        _TROT, 0.55, "walking trot", beats=2, even=True, lag=0.50, support={2: 0.90, 4: 0.10}
    ),
    "pace": _even(
        (0.0, 0.0, 0.5, 0.5), 0.40, "pace", beats=2, even=True, lag=0.0, support={0: 0.20, 2: 0.80},
        flights=((0.40, 0.50), (0.90, 1.0)),
    ),
    "stepping pace": _even(
        (0.0, 0.10, 0.50, 0.60), 0.40, "stepping pace", beats=4, even=False, lag=0.10,
        support={1: 0.40, 2: 0.60},
    ),
    "canter right": _CANTER,
    "canter left": _CANTER.mirrored,
    "gallop right": _GALLOP,
    "gallop left": _GALLOP.mirrored,
    "gallop rotary": replace(
        _GALLOP,
        on={"RH": 0.0, "LH": 0.15, "LF": 0.35, "RF": 0.52},
        gait="rotary gallop",
        leads=("left", "right"),
    ),
    "canter disunited": replace(
        _CANTER,
        on={"RH": 0.0, "LH": 0.25, "LF": 0.25, "RF": 0.45},
        duty={"RH": 0.38, "LH": 0.40, "LF": 0.38, "RF": 0.35},
        gait="disunited canter",
        leads=("left", "right"),
    ),
    "gallop 17 m/s": _coupled(
        (0.0, 188 / 420, 94 / 420, 265 / 420), (94 / 420, 77 / 420, 94 / 420, 77 / 420),
        "transverse gallop", 4, "right", "right", even=False,
        support={0: 78 / 420, 1: 342 / 420}, flights=((342 / 420, 1.0),),
    ),
}  # fmt: skip
"""Schedules of this project's own design, with values by exact arithmetic; not published ones."""


def contacts(
    schedule: Schedule, strides: int = 4, stride_s: float = 1.0, begin_s: float = 0.0
) -> Contacts:
    """Return the contacts of so many strides, all alike."""
    return {
        foot: [
            (begin_s + stride_s * (n + at), begin_s + stride_s * (n + at + schedule.duty[foot]))
            for n in range(strides)
        ]
        for foot, at in schedule.on.items()
    }


def clip_of(schedule: Schedule, strides: int = 4, stride_s: float = 1.0) -> Clip:
    """Return a clip of so many strides, known exactly."""
    return make_clip(contacts(schedule, strides, stride_s), FINE_S)


def joined(*schedules: tuple[Schedule, int, float]) -> Contacts:
    """Return strides of one schedule after those of another: schedule, how many, how long each."""
    found: Contacts = {foot: [] for foot in FEET}
    begin = 0.0
    for schedule, strides, stride_s in schedules:
        for foot, pairs in contacts(schedule, strides, stride_s, begin).items():
            found[foot] += pairs
        begin += strides * stride_s
    for foot, pairs in found.items():
        # A foot lifts before it lands again, as one does that takes its last step of a gait.
        nexts = [on for on, _ in pairs[1:]] + [np.inf]
        found[foot] = [
            (on, min(off, on + 0.9 * (after - on)))
            for (on, off), after in zip(pairs, nexts, strict=True)
        ]
    return found


@dataclass
class Horse:
    """A horse that is no machine: strides differ in length, landings and stances (shares, SD)."""

    schedule: Schedule
    stride_s: float
    rng: np.random.Generator
    scatter: float = 0.015
    begin_s: float = field(default=0.0)

    def runs(self, strides: int) -> Contacts:
        """Return the contacts of so many strides."""
        times = self.stride_s * (1 + self.scatter * self.rng.standard_normal(strides))
        starts = self.begin_s + np.concatenate([[0.0], np.cumsum(times)[:-1]])
        found = {}
        for foot, at in self.schedule.on.items():
            # A landing wanders by less than a whole stride does: the feet keep time.
            away = self.scatter / 2 * self.rng.standard_normal(strides)
            on = starts + times * (at + away)
            stance = times * self.schedule.duty[foot]
            off = on + stance * (1 + self.scatter * self.rng.standard_normal(strides))
            found[foot] = list(zip(on.tolist(), off.tolist(), strict=True))
        return found


def filmed(true: Contacts, frames_hz: float, begin_s: float = 0.0, late_s: float = 0.0) -> Contacts:
    """Return contacts as marked on a film: the first frame that shows a foot down, and up.

    ``begin_s`` is when a frame was taken, ``late_s`` how late the person sees a foot lift.
    """

    def frame(time: float) -> float:
        return float(np.ceil((time - begin_s) * frames_hz) / frames_hz)

    return {
        foot: [(frame(on), frame(off + late_s)) for on, off in pairs]
        for foot, pairs in true.items()
    }


def renamed(true: Contacts, names: Mapping[str, str]) -> Contacts:
    """Return contacts with feet under other names; feet not named keep theirs."""
    return {names.get(foot, foot): pairs for foot, pairs in true.items()}


def without(true: Contacts, rng: np.random.Generator, share: float) -> Contacts:
    """Return contacts of which a share was not noted."""
    return {foot: [pair for pair in pairs if rng.random() >= share] for foot, pairs in true.items()}


def blank_lifts(true: Contacts, rng: np.random.Generator, share: float = 1.0) -> Contacts:
    """Return contacts of which a share of the lifts was not noted."""
    return {
        foot: [(on, np.nan if rng.random() < share else off) for on, off in pairs]
        for foot, pairs in true.items()
    }


def subsets() -> Iterator[tuple[str, ...]]:
    """Yield every choice of feet, none and all included."""
    for chosen in range(2 ** len(FEET)):
        yield tuple(foot for place, foot in enumerate(FEET) if chosen >> place & 1)
