"""One work cut at its poles: seconds for each furlong, with the error of the clock."""

from typing import Any

import altair as alt
import pandas as pd

from racecalc.digest import Digest, Section, Work
from racecalc.figures.theme import HALF_WIDTH, specification
from racecalc.notation import typeset
from racecalc.page import MUTED, RUST, Picture
from racecalc.words import (
    sections_caption,
    sections_picture_words,
    sections_title,
    written,
)

__all__ = ["sections"]

_HEIGHT = 96
_FEWEST = 3
# Where a work has more poles than names have room, some points go without.
_POLES = alt.Axis(labelAngle=0, domain=False, labelOverlap="greedy", labelSeparation=4)


def sections(digest: Digest) -> Picture | None:
    """Draw the newest work that has three sections or more, galloping out left aside."""
    work = newest_cut(digest)
    if work is None:
        return None
    alt_text = sections_picture_words(work, digest)
    return Picture(
        spec=specification(_chart(work, digest), alt_text),
        alt=alt_text,
        title=sections_title(work, digest),
        caption=sections_caption(),
        half=True,
        group="newest",
    )


def newest_cut(digest: Digest) -> Work | None:
    """Return the newest work of the month that was clocked at enough poles to draw."""
    cut = [work for work in digest.works if len(_timed(work)) >= _FEWEST]
    return cut[-1] if cut else None


def _timed(work: Work) -> tuple[Section, ...]:
    return tuple(section for section in work.sections if not section.gallop_out)


def _chart(work: Work, digest: Digest) -> Any:
    rows = []
    begin = "start"
    for section in _timed(work):
        error = section.pace_error_s
        pace = section.pace_s
        end = typeset(section.pole) if section.pole != "finish" else "end"
        rows.append(
            {
                "pole": f"{begin}–{end}",
                "pace": pace,
                "low": pace - error,
                "high": pace + error,
                "words": f"To {typeset(section.pole)}: {written(section.time, digest.barn)}",
            }
        )
        begin = typeset(section.pole)
    frame = pd.DataFrame(rows)
    x = alt.X("pole:N", sort=None, title=None, axis=_POLES)
    room = 0.1
    scale = alt.Scale(
        domain=[float(frame["low"].min()) - room, float(frame["high"].max()) + room],
        reverse=True,
        nice=False,
    )
    axis = alt.Axis(tickCount=4, labelExpr="datum.label + ' s'", domain=False)
    chart = alt.Chart(frame)
    bars = chart.mark_rule(color=MUTED, aria=False).encode(
        x=x, y=alt.Y("low:Q", title=None, scale=scale, axis=axis), y2="high:Q"
    )
    points = chart.mark_point(color=RUST, filled=True, size=60, opacity=1).encode(
        x=x, y=alt.Y("pace:Q", title=None, scale=scale, axis=axis), description="words:N"
    )
    return alt.layer(bars, points).properties(width=HALF_WIDTH, height=_HEIGHT)
