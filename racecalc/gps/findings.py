"""What a file of positions shows about itself: not this work, not whole, not alone."""

from datetime import date

import numpy as np
import pandas as pd

from racecalc.gps.anchor import Anchor
from racecalc.gps.clock import gap_limit_s
from racecalc.gps.fixes import FEWEST, Finding, Fixes
from racecalc.gps.smooth import half_window_s
from racecalc.gps.stretch import GALLOP_M_S, Stretch, backward_m, other_work_m
from racecalc.track import Oval

__all__ = ["refusal", "work_findings"]

# A file is of the day if mean solar time puts it there, give or take these hours: clocks differ
# from the sun by zones and summer time. A morning is hours away from either limit.
DAY_HOURS = 3.0
# A horse that galloped this part of the work the wrong way round was not on this track's hand.
PART_BACKWARD = 0.5
# With less than this part of its fixes near the track, a file is of another place.
PART_ON_TRACK = 0.25
# Fixes farther apart than that are too sparse for the break from the jog to the gallop.
SPARSE_S = 2.0


def refusal(
    fixes: Fixes,
    chosen: list[Stretch],
    oval: Oval,
    anchor: Anchor,
    distance_m: float,
    day: date,
) -> Finding | None:
    """Return why a file gives no pole times, or None.

    The clock of the place is not known; mean solar time, one hour for 15 degrees of longitude from
    UTC, stands for it. The middle of the file counts.
    """
    count = len(fixes.time_s)
    if fixes.usable < FEWEST:
        return Finding(
            "too-few",
            f"The file has {fixes.usable} usable fixes, at least {FEWEST} are needed; export the "
            "file again from the receiver.",
        )
    solar = fixes.middle + pd.Timedelta(hours=anchor.longitude_deg / 15)
    first = pd.Timestamp(day) - pd.Timedelta(hours=DAY_HOURS)
    if not first <= solar <= first + pd.Timedelta(hours=24 + 2 * DAY_HOURS):
        return Finding(
            "other-day",
            f"The file was made on {solar:%Y-%m-%d} at about {solar:%H:%M} by the sun, the work is "
            f"of {pd.Timestamp(day):%Y-%m-%d}; check which work the file belongs to.",
        )
    if count < FEWEST or (not chosen and count < PART_ON_TRACK * fixes.usable):
        return Finding(
            "elsewhere",
            f"{count} of {fixes.usable} fixes lie on this track; half of them lie more than "
            f"{max(fixes.far_m, 0):.0f} m from it. Check the track of the work, and the latitude, "
            "longitude and bearing of its finish.",
        )
    if not chosen or chosen[0].speed_m_s < GALLOP_M_S:
        against = backward_m(fixes)
        if against >= PART_BACKWARD * distance_m:
            return Finding(
                "reversed",
                f"The horse galloped {against:.0f} m the wrong way round for a {oval.hand}-handed "
                "track; check the hand of the track and the bearing of its home straight.",
            )
    return _not_found(fixes, chosen)


def _not_found(fixes: Fixes, chosen: list[Stretch]) -> Finding | None:
    if not chosen:
        return Finding(
            "not-found",
            "The file lies on this track, but nowhere goes from the start of the work to its end; "
            "check the start and the distance of the work.",
        )
    within = min(chosen[0].last, len(fixes.time_s)) - max(chosen[0].first, 0)
    if within < FEWEST:
        return Finding(
            "too-few",
            f"The file has {within} fixes during the work, at least {FEWEST} are needed; set the "
            "receiver to one fix each second.",
        )
    return None


def work_findings(
    oval: Oval, fixes: Fixes, chosen: list[Stretch], distance_m: float
) -> list[Finding]:
    """Return what is to be known about a file that holds the work, or a part of it."""
    work = chosen[0]
    found = [
        _two_works(fixes, chosen),
        _begins_late(fixes, work),
        _ends_early(fixes, work, distance_m),
        _gap(fixes, work),
    ]
    if work.speed_m_s < GALLOP_M_S:
        found.append(
            Finding(
                "slow",
                f"The quickest way from the start to the end took {work.time_s:.0f} s, "
                f"{work.speed_m_s:.1f} m/s: no gallop. Check the start and the distance of the "
                "work, and whether the file holds it.",
            )
        )
    if fixes.interval_s > SPARSE_S:
        found.append(
            Finding(
                "sparse",
                f"There is a fix every {fixes.interval_s:.1f} s; changes of pace shorter than "
                f"{2 * half_window_s(fixes.interval_s):.0f} s are smoothed away, and pole times "
                "are missing or worse than their error says. Set the receiver to one fix each "
                "second.",
            )
        )
    if oval.width_m is None:
        found.append(
            Finding(
                "no-width",
                "The width of the track is not known, so the middle of its finish line was taken "
                "to be on the measuring line: distances off the line are as wrong as that is. Fill "
                "width in tracks.",
            )
        )
    return [finding for finding in found if finding is not None]


def _two_works(fixes: Fixes, chosen: list[Stretch]) -> Finding | None:
    other = other_work_m(fixes, chosen)
    if not other:
        return None
    return Finding(
        "two-works",
        f"Apart from this work the horse went {other:.0f} m at nine tenths of its speed or faster; "
        "the quickest was taken. If there were two works, write the other one down as well.",
    )


def _begins_late(fixes: Fixes, work: Stretch) -> Finding | None:
    if work.first >= 0:
        return None
    late = float(fixes.gone_m[0]) - work.start_m
    return Finding(
        "starts-late",
        f"The file begins {late:.0f} m after the start of the work, so there is no clock; start "
        "the receiver before the horse goes on the track.",
    )


def _ends_early(fixes: Fixes, work: Stretch, distance_m: float) -> Finding | None:
    if work.last < len(fixes.time_s):
        return None
    early = work.start_m + distance_m - float(fixes.gone_m[-1])
    return Finding(
        "ends-early",
        f"The file ends {early:.0f} m before the end of the work, so the last pole times are "
        "missing; stop the receiver when the horse is off the track.",
    )


def _gap(fixes: Fixes, work: Stretch) -> Finding | None:
    steps = np.diff(fixes.time_s[max(work.first, 0) : work.last + 1])
    gaps = steps[steps > gap_limit_s(fixes.interval_s)]
    if not len(gaps):
        return None
    several = f"{len(gaps)} gaps, the longest of" if len(gaps) > 1 else "a gap of"
    return Finding(
        "gap",
        f"During the work the file has {several} {gaps.max():.1f} s. Poles passed in a gap have no "
        "time, and without the start there is no clock at all.",
    )
