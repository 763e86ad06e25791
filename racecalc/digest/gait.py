"""The films of a horse's feet, read: each number with the error that the frames leave, or none."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
import pandas as pd

from racecalc import gait, workload
from racecalc.digest.gait_model import ClipStride, Contact, FootDown, GaitClip, GaitInShort, Sized
from racecalc.digest.number import Number

__all__ = ["clips_in_short", "clips_until", "in_a_row"]

_READ = "racecalc.daybook.read"
_WITTE = ("witte_2006",)

# Speeds noted of one clip further apart than this are not one speed.
_SAME_M_S = 0.1 + 1e-9
# With an error from here on, the last place of a number would be made up.
_ROUGH_S, _ROUGH_HZ = 0.005, 0.05
# Stride rates of the gallop are published for these speeds (witte_2006).
_PUBLISHED_M_S = (9.0, 17.0)

# A share of a stride below this is printed as nothing.
_NOTHING = 0.005
# A page has room for so many strides of one clip.
_SHOWN_STRIDES = 24

# By which error of the model a gait's forces are told: other gaits have none, and of a gallop none
# was found, so that it takes that of a canter.
_FORCE_AS = {
    "walk": "walk",
    "trot": "trot",
    "canter": "canter",
    "transverse gallop": "canter",
    "rotary gallop": "canter",
    "gallop": "canter",
}


@dataclass(frozen=True)
class _Read:
    """A clip that was read, and how its numbers are named.

    ``errors`` are shares of a stride, by the keys of `gait.LIMITS`; one is missing where the clip
    does not tell of such a thing at all.
    """

    name: str
    rows: int
    frames: float | None
    speed_m_s: float | None
    reading: gait.ClipReading
    stride_s: float
    errors: Mapping[str, float]

    def number(self, key: str, value: float, kind: str, by: str, *sources: str) -> Number:
        """Return a number of this clip; ``by`` is what computed it, or blank for the book."""
        made_by = f"racecalc.gait.{by}" if by else _READ
        return Number(f"{self.name}.{key}", value, kind, made_by, self.rows, sources)

    def sure(self, kind: str) -> bool:
        """Whether the frames allow such a number to be told."""
        return kind in self.errors and gait.printable(kind, self.errors[kind])


def clips_until(
    table: pd.DataFrame, last: date, fore_share: float = gait.FORE_SHARE
) -> tuple[GaitClip, ...]:
    """Return the clips up to a day, the oldest first; those of one day as the book has them.

    Parameters
    ----------
    table : DataFrame
        The daybook's table ``footfalls`` of one horse.
    last : date
        The last day.
    fore_share : float
        The share of its weight that the horse carries on its fore feet, for the forces.

    Raises
    ------
    OutOfRangeError
        If the share is not between zero and one.
    """
    inside = table[table["date"] <= pd.Timestamp(last)].sort_values("row")
    found = []
    for day, of_day in inside.groupby(inside["date"].dt.date, sort=True):
        for number, (_, rows) in enumerate(
            of_day.groupby(of_day["clip"].str.casefold(), sort=False), start=1
        ):
            read = _read(f"gait.{day.isoformat()}.{number}", rows)
            found.append(_told(read, day, str(rows["clip"].iloc[0]), rows, fore_share))
    return tuple(found)


def in_a_row(clip: GaitClip) -> GaitClip:
    """Return a clip with those of its numbers that a row of a table has room for."""
    return replace(
        clip,
        step=None,
        averaged=None,
        beats=None,
        rate=None,
        usual_rate=None,
        feet=(),
        duty_error=None,
        force_error=None,
        fore_share=None,
        support={},
        support_error=None,
        lag={},
        lag_error=None,
        each=(),
    )


def clips_in_short(table: pd.DataFrame, first: date, last: date) -> tuple[GaitInShort, ...]:
    """Return the clips of some days with what a paragraph tells of each, the newest last."""
    clips = clips_until(workload.between_days(table, first, last), last)
    return tuple(
        GaitInShort(
            day=clip.day,
            reading=clip.reading,
            strides=clip.strides,
            speed=clip.speed,
            rate=clip.rate.value if clip.rate else None,
            length=clip.length,
        )
        for clip in clips
    )


def _read(name: str, rows: pd.DataFrame) -> _Read:
    frames = rows["fps"].iloc[0]
    times = rows[["on", "off"]].to_numpy(dtype=np.float64)
    if pd.isna(frames):
        step_s = gait.written_step_s(times[~np.isnan(times)])
    else:
        times, step_s = times / frames, 1 / frames
    feet = rows["foot"].to_numpy()
    clip = gait.make_clip({foot: times[feet == foot] for foot in gait.FEET}, step_s)
    reading = gait.read_clip(clip)
    speeds = rows["speed_m_s"].dropna()
    one = not speeds.empty and float(speeds.max() - speeds.min()) <= _SAME_M_S
    return _Read(
        name=name,
        rows=len(rows),
        frames=None if pd.isna(frames) else float(frames),
        speed_m_s=float(speeds.median()) if one else None,
        reading=reading,
        stride_s=reading.stride.mean_s if reading.stride else float("nan"),
        errors=_errors(reading),
    )


def _errors(reading: gait.ClipReading) -> dict[str, float]:
    """Return the error of each kind of number, as a share of a stride."""
    stride, cycle, step_s = reading.stride, reading.cycle, reading.clip.step_s
    if stride is None or cycle is None or not stride.agree:
        return {}
    if reading.gait.why == "gait-changes":
        # A mean of two gaits is of neither.
        return {}
    found = {"stride": gait.stride_time_error_s(step_s, stride.feet, stride.strides)}
    fewest = min((count for count in cycle.counts.values() if count), default=0)
    if fewest:
        found["duty"] = gait.stance_error_s(step_s, fewest)
        if cycle.whole:
            found["support"] = found["duty"]
    if reading.leads == (None, None) and gait.fore_lag(cycle):
        found["lag"] = gait.landing_error_s(step_s, max(reading.averaged, 1))
    return {kind: error / stride.mean_s for kind, error in found.items()}


def _told(read: _Read, day: date, label: str, rows: pd.DataFrame, fore_share: float) -> GaitClip:
    reading, stride_s = read.reading, read.stride_s
    heard = _heard(read)
    time = _time(read)
    feet = _feet(read, fore_share)
    return GaitClip(
        day=day,
        label=label,
        reading=reading,
        frames=None if read.frames is None else read.number("frames", read.frames, "count", ""),
        step=read.number("step", reading.clip.step_s, "frame_step", "make_clip"),
        speed=None if read.speed_m_s is None else read.number("speed", read.speed_m_s, "speed", ""),
        several_speeds=read.speed_m_s is None and bool(rows["speed_m_s"].notna().any()),
        strides=read.number("strides", len(reading.strides), "count", "read_clip"),
        averaged=_averaged(read, feet),
        beats=None if heard is None else read.number("beats", heard[0], "count", "beats"),
        even=None if heard is None else heard[1],
        time=time,
        rate=_rate(read),
        usual_rate=_usual_rate(read) if time else None,
        length=_length(read),
        feet=feet,
        duty_error=_share_error(read, "duty") if feet else None,
        fore_share=_fore_share(read, feet, fore_share),
        force_error=_force_error(read, feet),
        support=_support(read),
        support_error=_share_error(read, "support"),
        flight=_flight(read),
        lag=_lag(read),
        lag_error=_share_error(read, "lag"),
        each=tuple(
            _each(read, n, one) for n, one in enumerate(reading.strides[:_SHOWN_STRIDES], start=1)
        ),
        unsure=_unsure(read, feet),
        down=_down(reading),
        count=tuple(_from_the_first(reading.clip, stride_s)) if read.sure("support") else (),
    )


def _heard(read: _Read) -> tuple[int, bool] | None:
    """Return the beats of a stride, and whether they are even."""
    reading = read.reading
    # Between two names, of a canter and a gallop or so, it is open whether two feet land as one.
    if reading.cycle is None or not read.errors or reading.gait.why == "between":
        return None
    return gait.beats(reading.cycle, reading.clip.step_s, read.stride_s)


def _time(read: _Read) -> Sized | None:
    """Return the mean time of a stride."""
    if not read.sure("stride"):
        return None
    error = read.errors["stride"] * read.stride_s
    kind = "stride_time" if error < _ROUGH_S else "stride_time_rough"
    return Sized(
        read.number("time", read.stride_s, kind, "stride_time"),
        read.number("time.error", error, f"{kind}_error", "stride_time_error_s"),
    )


def _rate(read: _Read) -> Sized | None:
    """Return how many strides there are in a second."""
    if not read.sure("stride"):
        return None
    rate = 1 / read.stride_s
    error = read.errors["stride"] * rate
    kind = "stride_rate" if error < _ROUGH_HZ else "stride_rate_rough"
    return Sized(
        read.number("rate", rate, kind, "stride_time"),
        read.number("rate.error", error, f"{kind}_error", "stride_time_error_s"),
    )


def _usual_rate(read: _Read) -> Number | None:
    """Return the stride rate that was published for a gallop at this speed."""
    low, high = _PUBLISHED_M_S
    speed = read.speed_m_s
    if speed is None or not low <= speed <= high or "gallop" not in read.reading.gait.name:
        return None
    rate = float(workload.stride_rate_hz(speed))
    made_by = "racecalc.workload.stride_rate_hz"
    return Number(f"{read.name}.usual_rate", rate, "stride_rate", made_by, 1, _WITTE)


def _length(read: _Read) -> Number | None:
    """Return the ground that a stride covers: as sure as the speed that was noted."""
    if read.speed_m_s is None or not read.sure("stride"):
        return None
    length = float(gait.stride_length_m(read.speed_m_s, read.stride_s))
    return read.number("length", length, "stride_length", "stride_length_m")


def _unsure(read: _Read, feet: tuple[FootDown, ...]) -> tuple[str, ...]:
    """Return what the frames do not allow to be told, of all that the clip tells of."""
    found = [kind for kind in read.errors if not read.sure(kind)]
    if read.reading.gait.name in _FORCE_AS and any(foot.force is None for foot in feet):
        found.append("force")
    return tuple(found)


def _averaged(read: _Read, feet: tuple[FootDown, ...]) -> Number | None:
    """Return of how many strides the means are, where there are any."""
    if not (feet or read.sure("support") or read.sure("lag")):
        return None
    return read.number("averaged", read.reading.averaged, "count", "mean_cycle")


def _feet(read: _Read, fore_share: float) -> tuple[FootDown, ...]:
    cycle = read.reading.cycle
    if cycle is None or not read.sure("duty"):
        return ()
    kind = "stance" if read.errors["duty"] * read.stride_s < _ROUGH_S else "stance_rough"
    return tuple(
        FootDown(
            foot=foot,
            duty=read.number(f"{foot}.duty", 100 * cycle.duty[foot], "percent", "mean_cycle"),
            stance=read.number(
                f"{foot}.stance", cycle.duty[foot] * read.stride_s, kind, "mean_cycle"
            ),
            force=_force(read, foot, cycle.duty[foot], fore_share),
        )
        for foot in gait.FEET
        if foot in cycle.duty
    )


def _force(read: _Read, foot: str, duty: float, fore_share: float) -> Number | None:
    """Return the peak force on a foot, where the frames leave it surer than the model does."""
    share = fore_share if foot in gait.PAIRS["fore"] else 1 - fore_share
    force = float(gait.peak_force(duty, share))
    if read.reading.gait.name not in _FORCE_AS:
        return None
    if not gait.printable("force", read.errors["duty"] / duty):
        return None
    return read.number(f"{foot}.force", force, "force", "peak_force", *gait.FORCE_SOURCES)


def _fore_share(read: _Read, feet: tuple[FootDown, ...], fore_share: float) -> Number | None:
    if not any(foot.force for foot in feet):
        return None
    return read.number("fore_share", 100 * fore_share, "percent", "peak_force", "parsons_2008")


def _force_error(read: _Read, feet: tuple[FootDown, ...]) -> Number | None:
    """Return by how much the forces may be off: by the model, and by the frames beside it."""
    duties = [foot.duty.value / 100 for foot in feet if foot.force]
    if not duties:
        return None
    model = gait.FORCE_ERROR[_FORCE_AS[read.reading.gait.name]]
    error = float(np.hypot(model, read.errors["duty"] / min(duties)))
    return read.number("force_error", 100 * error, "percent", "peak_force", "witte_2004")


def _support(read: _Read) -> dict[int, Number]:
    """Return the shares of a stride with so many feet down, without those that round to nothing."""
    cycle = read.reading.cycle
    if cycle is None or not read.sure("support"):
        return {}
    return {
        feet: read.number(f"support.{feet}", 100 * share, "percent", "support_shares")
        for feet, share in enumerate(gait.support_shares(cycle))
        if share >= _NOTHING
    }


def _flight(read: _Read) -> Sized | None:
    """Return the time of a stride with no foot down; none where that is within the error."""
    cycle = read.reading.cycle
    if cycle is None or not read.sure("support"):
        return None
    share, error = gait.support_shares(cycle)[0], read.errors["support"]
    if share <= error:
        return None
    return Sized(
        read.number("flight", share * read.stride_s, "stance", "flights"),
        read.number("flight.error", error * read.stride_s, "stance_error", "stance_error_s"),
    )


def _lag(read: _Read) -> dict[str, Number]:
    """Return by how much of a stride each fore foot lands after the hind foot of its side."""
    cycle = read.reading.cycle
    if cycle is None or not read.sure("lag"):
        return {}
    return {
        side: read.number(f"lag.{side}", 100 * lag, "percent", "fore_lag")
        for side, lag in gait.fore_lag(cycle).items()
    }


def _share_error(read: _Read, kind: str) -> Number | None:
    if not read.sure(kind):
        return None
    by = "landing_error_s" if kind == "lag" else "stance_error_s"
    return read.number(f"{kind}.error", 100 * read.errors[kind], "points", by)


def _each(read: _Read, number: int, one: gait.Stride) -> ClipStride:
    """Return one stride, with what the frames allow to be told of a single one."""
    step_s, key = read.reading.clip.step_s, f"stride.{number}"
    hind, fore = one.leads
    time, duty = None, {}
    error = gait.landing_error_s(step_s)
    if one.time_s and read.errors and gait.printable("stride", error / one.time_s):
        kind = "stride_time" if error < _ROUGH_S else "stride_time_rough"
        time = read.number(f"{key}.time", one.time_s, kind, "strides_of")
    long_s = one.time_s or read.stride_s
    if read.errors and gait.printable("duty", gait.stance_error_s(step_s) / long_s):
        duty = {
            foot: read.number(f"{key}.{foot}", 100 * stance / long_s, "percent", "strides_of")
            for foot, stance in one.stances_s.items()
            if np.isfinite(stance)
        }
    return ClipStride(number, hind, fore, time, duty)


def _begin(clip: gait.Clip) -> float:
    return min(float(clip.on_s[foot][0]) for foot in clip.seen)


def _down(reading: gait.ClipReading) -> tuple[Contact, ...]:
    """Return every contact as it is drawn, in seconds from the first."""
    clip, begin = reading.clip, _begin(reading.clip)
    starts = np.array([one.start_s - clip.step_s / 2 for one in reading.strides])
    return tuple(
        Contact(
            foot,
            float(on) - begin,
            None if np.isnan(off) else float(off) - begin,
            int(np.searchsorted(starts, on, side="right")),
        )
        for foot in clip.seen
        for on, off in zip(clip.on_s[foot], clip.off_s[foot], strict=True)
    )


def _from_the_first(clip: gait.Clip, stride_s: float) -> list[tuple[float, float, int]]:
    begin = _begin(clip)
    return [
        (low - begin, high - begin, feet)
        for low, high, feet in gait.support_over_time(clip, stride_s)
    ]
