"""One work cut at its poles: seconds for each furlong, with the error of the clock."""

from typing import Any

import altair as alt

from racecalc.daybook import Barn
from racecalc.digest import Digest, Section, Work, WorkReview
from racecalc.figures.axes import across, round_values, with_unit
from racecalc.figures.joined import drawn_from, layer
from racecalc.figures.theme import HALF_WIDTH, specification
from racecalc.notation import typeset
from racecalc.page import MUTED, RUST, Picture
from racecalc.words import (
    day_of,
    sections_caption,
    sections_picture_words,
    written,
)

__all__ = ["sections"]

_HEIGHT = 130
_FEWEST = 3
# Lines across, at most.
_LINES = 5
# Where a work has more poles than names have room, some points go without.
_POLES = dict(labelAngle=0, domain=False, labelOverlap="greedy", labelSeparation=4)


def sections(digest: Digest | WorkReview) -> Picture | None:
    """Draw a work that has three sections or more, galloping out left aside; of a month its newest.

    Nothing is drawn where there is none.
    """
    works = (digest.work,) if isinstance(digest, WorkReview) else digest.works
    cut = [work for work in works if len(_timed(work)) >= _FEWEST]
    if not cut:
        return None
    work, barn = cut[-1], digest.barn
    alt_text = sections_picture_words(work, barn)
    return Picture(
        spec=specification(_chart(work, barn), alt_text),
        alt=alt_text,
        title=f"{day_of(work.day)}, section by section",
        caption=sections_caption(),
        half=True,
        group="line",
    )


def _timed(work: Work) -> tuple[Section, ...]:
    return tuple(section for section in work.sections if not section.gallop_out)


def _chart(work: Work, barn: Barn) -> Any:
    rows: list[dict[str, Any]] = []
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
                "words": f"To {typeset(section.pole)}: {written(section.time, barn)}",
            }
        )
        begin = typeset(section.pole)
    x = alt.X("pole:N", sort=None, title=None, axis=_POLES)
    room = 0.1
    low, high = min(row["low"] for row in rows) - room, max(row["high"] for row in rows) + room
    scale = dict(domain=[low, high], reverse=True, nice=False)
    labels = with_unit(round_values(low, high, _LINES), "s")
    chart = drawn_from(rows)
    bars = chart.mark_rule(color=MUTED, aria=False).encode(
        x=x, y=alt.Y("low:Q", axis=None, scale=scale), y2=alt.Y2("high:Q")
    )
    points = chart.mark_point(color=RUST, filled=True, size=60, opacity=1).encode(
        x=x,
        y=alt.Y("pace:Q", axis=None, scale=scale),
        description=alt.Description("words:N"),
    )
    return layer(*across(labels, scale), bars, points, width=HALF_WIDTH, height=_HEIGHT)
