"""Tables and key figures of films of the feet: feet, strides, and clip by clip."""

from racecalc import gait
from racecalc.digest import ClipStride, FootDown, GaitClip, GaitReport, Sized
from racecalc.page import Column, Figure, KeyFigures, Table
from racecalc.words import (
    FOOT_NAMES,
    NO_VALUE,
    brief_day,
    clips_note,
    feet_note,
    figure_and_unit,
    gait_in_words,
    strides_note,
    written,
)

__all__ = ["clip_feet", "clip_strides", "clips", "gait_figures", "support"]

# As feet land in a gallop: the hind feet, then the fore feet.
_ORDER = ("LH", "RH", "LF", "RF")
_FEET_DOWN = ("none", "one", "two", "three", "all four")
# A row has room for a label of so many letters, of a longer one for so many at either end.
_LABEL_ROOM, _LABEL_ENDS = 28, 13


def gait_figures(report: GaitReport) -> KeyFigures | None:
    """Return the strides of the clip that is told in full: how many, how often, how long."""
    clip = report.shown
    if clip is None:
        return None
    found = []
    if clip.rate:
        value, unit = figure_and_unit(clip.rate.value, report.barn)
        compare = f"± {figure_and_unit(clip.rate.error, report.barn)[0]}"
        if clip.usual_rate:
            usual = figure_and_unit(clip.usual_rate, report.barn)[0]
            compare += f"; published at this speed: {usual}"
        found.append(Figure(value, unit, "strides", compare))
    if clip.length and clip.speed:
        value, unit = figure_and_unit(clip.length, report.barn)
        found.append(Figure(value, unit, "each", f"at {written(clip.speed, report.barn)}"))
    if clip.flight:
        value, unit = figure_and_unit(clip.flight.value, report.barn)
        found.append(Figure(value, unit, "with no foot down", "of each stride"))
    frames = f"{written(clip.frames, report.barn)} frames a second" if clip.frames else "in seconds"
    found.append(Figure(written(clip.strides, report.barn), "", "strides in the clip", frames))
    return KeyFigures(tuple(found))


def clip_feet(report: GaitReport) -> Table | None:
    """Return for how long each foot was down, and what that comes to."""
    clip = report.shown
    if clip is None or not (clip.feet or clip.lag):
        return None
    forces = any(foot.force for foot in clip.feet)
    columns = [Column("foot")]
    if clip.feet:
        columns += [Column("on the ground", "right"), Column("of a stride", "right")]
    columns += [Column("after its hind", "right")] if clip.lag else []
    columns += [Column("force, × weight", "right")] if forces else []
    by_foot = {foot.foot: foot for foot in clip.feet}
    rows = tuple(
        _foot_row(foot, by_foot.get(foot), clip, report, forces=forces)
        for foot in _ORDER
        if foot in by_foot or (not clip.feet and foot in clip.reading.clip.seen)
    )
    return Table(
        tuple(columns), rows, title="Foot by foot", note=feet_note(clip, report), half=True,
        group="feet",
    )  # fmt: skip


def _foot_row(
    foot: str, down: FootDown | None, clip: GaitClip, report: GaitReport, *, forces: bool
) -> tuple[str, ...]:
    row = [FOOT_NAMES[foot]]
    if down:
        row += [written(down.stance, report.barn), written(down.duty, report.barn)]
    if clip.lag:
        side = "left" if foot.startswith("L") else "right"
        lag = clip.lag.get(side) if foot in gait.PAIRS["fore"] else None
        row.append(written(lag, report.barn) if lag else NO_VALUE)
    if forces:
        force = down.force if down else None
        row.append(written(force, report.barn) if force else NO_VALUE)
    return tuple(row)


def support(report: GaitReport) -> Table | None:
    """Return for how much of a stride no foot, one, two, three or all four were down."""
    clip = report.shown
    if clip is None or not clip.support or clip.support_error is None:
        return None
    rows = tuple(
        (_FEET_DOWN[feet], written(share, report.barn)) for feet, share in clip.support.items()
    )
    return Table(
        (Column("feet down"), Column("of a stride", "right")),
        rows,
        title="Support",
        note=f"± {written(clip.support_error, report.barn)} of a stride.",
        half=True,
        group="feet",
    )


def clip_strides(report: GaitReport) -> Table | None:
    """Return the strides one by one."""
    clip = report.shown
    if clip is None or not clip.each:
        return None
    leads = any(one.hind or one.fore for one in clip.each)
    times = any(one.time for one in clip.each)
    feet = [foot for foot in _ORDER if any(foot in one.duty for one in clip.each)]
    if not (leads or times or feet):
        return None
    columns = [Column("stride", "right")] + ([Column("took", "right")] if times else [])
    columns += [Column("hind lead"), Column("fore lead")] if leads else []
    columns += [Column(FOOT_NAMES[foot], "right") for foot in feet]
    rows = tuple(_stride_row(one, report, feet, leads=leads, times=times) for one in clip.each)
    return Table(tuple(columns), rows, title="Stride by stride", note=strides_note(clip, report))


def _stride_row(
    one: ClipStride, report: GaitReport, feet: list[str], *, leads: bool, times: bool
) -> tuple[str, ...]:
    row = [f"{one.number}"]
    row += [written(one.time, report.barn) if one.time else NO_VALUE] if times else []
    row += [one.hind or NO_VALUE, one.fore or NO_VALUE] if leads else []
    row += [written(one.duty[f], report.barn) if f in one.duty else NO_VALUE for f in feet]
    return tuple(row)


def clips(report: GaitReport) -> Table | None:
    """Return the clips beside one another, the newest first."""
    if not report.clips:
        return None
    rows = tuple(_clip_row(clip, report) for clip in reversed(report.clips))
    return Table(
        (
            Column("day"),
            Column("clip"),
            Column("gait"),
            Column("frames", "right"),
            Column("strides", "right"),
            Column("speed", "right"),
            Column("a stride took", "right"),
            Column("and covered", "right"),
            Column("no foot down", "right"),
        ),
        rows,
        title="Clip by clip",
        note=clips_note(report),
    )


def _clip_row(clip: GaitClip, report: GaitReport) -> tuple[str, ...]:
    return (
        brief_day(clip.day, report.last),
        _brief_label(clip.label),
        gait_in_words(clip),
        written(clip.frames, report.barn) if clip.frames else NO_VALUE,
        written(clip.strides, report.barn),
        written(clip.speed, report.barn) if clip.speed else NO_VALUE,
        _sized(clip.time, report),
        written(clip.length, report.barn) if clip.length else NO_VALUE,
        "none" if _never_off(clip) else _sized(clip.flight, report),
    )


def _brief_label(label: str) -> str:
    """Return a label as a row has room for it; of a long one the begin and the end differ most."""
    if len(label) <= _LABEL_ROOM:
        return label
    return f"{label[:_LABEL_ENDS].rstrip()}…{label[-_LABEL_ENDS:].lstrip()}"


def _never_off(clip: GaitClip) -> bool:
    """Return whether it is known that a foot was on the ground all the time."""
    cycle = clip.reading.cycle
    known = cycle is not None and cycle.whole and clip.time is not None
    return known and clip.flight is None and "support" not in clip.unsure


def _sized(one: Sized | None, report: GaitReport) -> str:
    if one is None:
        return NO_VALUE
    figure = figure_and_unit(one.value, report.barn)[0]
    return f"{figure} ± {written(one.error, report.barn)}"
