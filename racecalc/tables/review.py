"""Tables and key figures of a work review."""

from racecalc.digest import Furlong, LooseClock, Section, WorkReview
from racecalc.notation import typeset
from racecalc.page import Cell, Column, Figure, KeyFigures, Table
from racecalc.words import NO_VALUE, figure_and_unit, piece_in_words, section_span, written

__all__ = ["footing", "furlongs", "review_figures", "review_sections", "trace"]


def review_figures(review: WorkReview) -> KeyFigures | None:
    """Return the time, the pace, the speed and the finish of a work; nothing without a clock."""
    work, barn = review.work, review.barn
    if work.time is None or work.pace is None or work.speed is None or review.pace is None:
        return None
    pace, speed = figure_and_unit(review.pace, barn), figure_and_unit(work.speed, barn)
    furlong = "" if review.pace is work.pace else f"{written(work.pace, barn)} a furlong"
    items = [
        Figure(written(work.time, barn), "", written(work.distance, barn), _expected(review)),
        Figure(*pace, f"{piece_in_words(review)}, the mean", _spread(review)),
        Figure(*speed, "the mean speed", furlong),
    ]
    if review.shape and review.shape.finish and review.shape.finish_verdict:
        figure, unit = figure_and_unit(review.shape.finish, barn)
        verdict = review.shape.finish_verdict
        items.append(Figure(figure, unit, "a furlong, last part against first", verdict))
    return KeyFigures(tuple(items))


def _expected(review: WorkReview) -> str:
    stand, barn = review.work.stand, review.barn
    if stand is None or stand.expected is None:
        return "too few works before it to compare"
    text = f"in the middle {written(stand.expected, barn)} was expected"
    if stand.margin is None:
        return text
    return f"{text}, {written(stand.margin, barn)} {stand.verdict}"


def _spread(review: WorkReview) -> str:
    shape = review.shape
    if shape is None or shape.spread is None:
        return ""
    verdict = {True: "even within the watch’s error", False: "uneven", None: ""}[shape.even]
    text = f"quickest to slowest {written(shape.spread, review.barn)} a furlong"
    return f"{text}: {verdict}" if verdict else text


def review_sections(review: WorkReview) -> Table | None:
    """Return the clocked sections, one row each."""
    work = review.work
    if not work.sections and not work.loose:
        return None
    leads = review.leads is not None
    columns = [
        Column("from and to"),
        Column("pole"),
        Column("watch", "right"),
        Column("split", "right", strong=True),
        Column(piece_in_words(review), "right"),
        Column("against the mean"),
    ]
    columns += [Column("lead")] if leads else []
    rows = tuple(_row(section, index, review, leads) for index, section in enumerate(work.sections))
    rows += tuple(_loose(one, review, leads) for one in work.loose)
    return Table(
        tuple(columns),
        rows,
        title="Pole by pole",
        note=_fractions(review),
    )


def furlongs(review: WorkReview) -> Table | None:
    """Return the work by furlongs, where a pole was missed; what lies between clocks is marked."""
    if not review.furlongs:
        return None
    piece = "200 m" if review.work.course.metric else "furlong"
    rows = tuple(
        (
            _up_to(one, review),
            one.colour or NO_VALUE,
            written(one.time, review.barn),
        )
        for one in review.furlongs
    )
    return Table(
        (Column(piece), Column("pole"), Column("time", "right", strong=True)),
        rows,
        title=f"By the {piece}",
        note="≈: a pole at one end was missed; set at even pace between the clocks before and "
        "after, so no more than a guide.",
        half=True,
        group="furlongs",
    )


def _up_to(one: Furlong, review: WorkReview) -> str:
    """Write "to ¾", with the length of a piece that is no whole one, and galloping out said."""
    length = f", {written(one.length, review.barn)}" if one.length else ""
    return f"to {typeset(one.pole)}{length}{', galloping out' if one.gallop_out else ''}"


def footing(review: WorkReview) -> Table | None:
    """Return what each footing of the track did to times, by the barn's own works."""
    if not review.footing:
        return None
    barn = review.barn
    rows = tuple(
        (
            one.state,
            written(one.works, barn),
            written(one.effect, barn),
            f"{written(one.low, barn)} to {written(one.high, barn)}",
            ("slower" if one.effect.value > 0 else "quicker") if one.told else "cannot be told",
        )
        for one in review.footing
    )
    columns = (
        Column("footing"),
        Column("works", "right"),
        Column(f"against {review.footing[0].usual}", "right", strong=True),
        Column("95 in 100", "right"),
        Column("so it was"),
    )
    return Table(
        columns,
        rows,
        title=f"What the footing did to times at {review.work.track}",
        note="Percent of the time, learned from the barn’s works of the year before; more is "
        "slower. Nothing is assumed of wet or dry.",
    )


def trace(review: WorkReview) -> Table | None:
    """Return the poles by GPS beside the watch, where a receiver saw the work."""
    if review.trace is None or not review.trace.poles:
        return None
    barn = review.barn
    rows = tuple(
        (
            typeset(pole.pole),
            written(pole.clock, barn),
            written(pole.error, barn),
            written(pole.against_watch, barn) if pole.against_watch else NO_VALUE,
        )
        for pole in review.trace.poles
    )
    columns = (
        Column("pole"),
        Column("by GPS", "right", strong=True),
        Column("give or take", "right"),
        Column("less the watch", "right"),
    )
    return Table(columns, rows, title="The poles by GPS", half=True, group="gps")


def _fractions(review: WorkReview) -> str | None:
    """Write the fractions, as the trade does: ":24⅖, :48⅘, 1:13"."""
    if not review.fractions:
        return None
    times = ", ".join(written(one, review.barn) for one in review.fractions)
    return f"Fractions: {times}."


def _loose(one: LooseClock, review: WorkReview, leads: bool) -> tuple[str | Cell, ...]:
    """Write a clock to which no section leads up."""
    watch = written(one.clock, review.barn)
    row = (f"at {typeset(one.pole)}", one.colour or NO_VALUE, watch, *(NO_VALUE,) * 3)
    return (*row, one.lead or NO_VALUE) if leads else row


def _row(section: Section, index: int, review: WorkReview, leads: bool) -> tuple[str | Cell, ...]:
    barn = review.barn
    tempo = NO_VALUE if section.gallop_out else section.tempo
    row = (
        section_span(review.work, index),
        section.colour or NO_VALUE,
        written(section.clock, barn),
        written(section.time, barn),
        written(review.paces[index], barn),
        tempo,
    )
    return (*row, section.lead or NO_VALUE) if leads else row
