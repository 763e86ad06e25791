"""All that a clip tells: its strides, its mean stride, its gait, its leads."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from racecalc.gait.clip import Clip
from racecalc.gait.cycle import Cycle, mean_cycle
from racecalc.gait.leads import LeadChange, disunited, lead_changes
from racecalc.gait.naming import Gait, is_symmetrical, name_gait
from racecalc.gait.strides import Stride, StrideTime, stride_time, strides_of

__all__ = ["ClipReading", "read_clip"]


@dataclass(frozen=True)
class ClipReading:
    """What a clip tells.

    ``stride`` and ``cycle`` are missing where no foot was seen to land twice, and ``strides`` are
    empty then. ``cycle`` is the mean of the strides on ``leads``, the hind and the fore lead that
    most of the strides had; both are missing for a symmetrical gait. ``averaged`` is how many
    strides that were.
    """

    clip: Clip
    stride: StrideTime | None
    strides: tuple[Stride, ...]
    cycle: Cycle | None
    averaged: int
    leads: tuple[str | None, str | None]
    gait: Gait
    changes: tuple[LeadChange, ...]
    disunited: tuple[int, ...]


def read_clip(clip: Clip) -> ClipReading:
    """Return what a clip tells.

    The same whichever foot comes first, whenever the clip begins and however fast it is played; a
    horse mirrored left to right has its leads exchanged, and nothing else.
    """
    stride = stride_time(clip)
    if stride is None:
        return ClipReading(clip, None, (), None, 0, (None, None), name_gait(clip, None, ()), (), ())
    # Of feet that disagree no couplet is known, as it is not known how long a stride is.
    coupled = stride.agree and is_symmetrical(clip, stride) is False
    strides = strides_of(clip, stride.mean_s, symmetrical=not coupled)
    leads = _usual_leads(strides)
    alike = [one for one in strides if _may_be(one, leads)]
    cycle = mean_cycle(alike, stride.mean_s)
    return ClipReading(
        clip=clip,
        stride=stride,
        strides=strides,
        cycle=cycle,
        averaged=len(alike),
        leads=leads,
        gait=name_gait(clip, stride, strides),
        changes=lead_changes(strides),
        disunited=disunited(strides),
    )


def _usual_leads(strides: Sequence[Stride]) -> tuple[str | None, str | None]:
    """Return the leads that most strides had; of two as frequent, the earlier.

    Strides of which both leads were seen go before those with one: landings that were not noted
    are no leads of their own.
    """
    counted = Counter(one.leads for one in strides if None not in one.leads)
    if counted:
        return counted.most_common(1)[0][0]
    hinds = Counter(one.leads[0] for one in strides if one.leads[0])
    fores = Counter(one.leads[1] for one in strides if one.leads[1])
    usual = [pair.most_common(1)[0][0] if pair else None for pair in (hinds, fores)]
    return (usual[0], usual[1])


def _may_be(stride: Stride, leads: tuple[str | None, str | None]) -> bool:
    """Return whether a stride was on these leads, by what was seen of it."""
    return all(seen in (None, usual) for seen, usual in zip(stride.leads, leads, strict=True))
