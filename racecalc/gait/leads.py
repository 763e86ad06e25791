"""Leads through a clip: where they changed, and strides whose fore and hind leads differ."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from racecalc.gait.strides import Stride

__all__ = ["LeadChange", "disunited", "lead_changes"]


@dataclass(frozen=True)
class LeadChange:
    """A change of lead.

    ``stride`` counts from one and is the first with a lead that differs from before, ``at_s`` its
    beginning; ``first`` tells which pair changed first (``hind``, ``fore``, or ``both`` in one
    stride); ``between`` is the number of disunited strides until both were on the new lead, and
    ``whole`` whether that was seen.
    """

    stride: int
    at_s: float
    lead: str
    first: str
    between: int
    whole: bool


def disunited(strides: Sequence[Stride]) -> tuple[int, ...]:
    """Return the strides, counted from one, whose fore and hind feet are on different leads."""
    return tuple(
        number
        for number, stride in enumerate(strides, start=1)
        if None not in stride.leads and stride.leads[0] != stride.leads[1]
    )


def lead_changes(strides: Sequence[Stride]) -> tuple[LeadChange, ...]:
    """Return the changes of lead, by time.

    One that begins and is taken back is no change: its strides are disunited, and no more. Where
    only one pair was seen, its changes are told as they are.
    """
    seen = [(number, s) for number, s in enumerate(strides, start=1) if set(s.leads) != {None}]
    pairs = [index for index in (0, 1) if any(s.leads[index] for _, s in seen)]
    known = [(number, s) for number, s in seen if all(s.leads[index] for index in pairs)]
    if len(pairs) < 2:
        return tuple(_of_one_pair(known, pairs))
    found: list[LeadChange] = []
    lead: str | None = None
    begun: tuple[int, Stride] | None = None
    for number, stride in known:
        hind, fore = stride.leads
        if hind != fore:
            begun = begun or (number, stride)
            continue
        if lead is not None and hind is not None and hind != lead:
            found.append(_change(begun or (number, stride), number, hind, lead))
        lead, begun = hind, None
    if begun and lead is not None:
        other = "left" if lead == "right" else "right"
        found.append(_change(begun, len(strides) + 1, other, lead, whole=False))
    return tuple(found)


def _change(
    begun: tuple[int, Stride], number: int, lead: str, before: str, *, whole: bool = True
) -> LeadChange:
    first, stride = begun
    hind, fore = stride.leads
    pair = "both" if hind == fore else "hind" if hind != before else "fore"
    return LeadChange(first, stride.start_s, lead, pair, number - first, whole)


def _of_one_pair(known: Sequence[tuple[int, Stride]], pairs: Sequence[int]) -> list[LeadChange]:
    found = []
    for (_, before), (number, stride) in pairwise(known):
        lead = stride.leads[pairs[0]]
        if lead is not None and lead != before.leads[pairs[0]]:
            pair = ("hind", "fore")[pairs[0]]
            found.append(LeadChange(number, stride.start_s, lead, pair, 0, whole=False))
    return found
