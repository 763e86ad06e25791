"""The tracks of a book: ovals that can be, their chutes, their poles and their place on the map."""

import numpy as np
import numpy.typing as npt

from racecalc.daybook.table import Table
from racecalc.notation import read_distance, write_distance

__all__ = ["check_poles", "check_tracks"]

_SPACINGS = ("1/16 mi", "1/8 mi", "200 m", "100 m")
_SAME_PLACE_M = 0.01
_HOLDS_MM = (1, 100)
_MOST_DRAINED_MM = 500
Texts = npt.NDArray[np.object_]

# Places are rounded where a book writes them in yards or metres.
_NEAR_POLE_M = 0.5


def check_tracks(table: Table) -> None:
    """Refuse ovals that cannot be: the straights, the rail and the turns must fit into the lap."""
    lap, straight = table.values("lap_m"), table.values("straight_m")
    too_long = 2 * straight > lap - _SAME_PLACE_M
    table.flag(
        too_long,
        "straight",
        lambda i: (
            f"two straights of {table.cell(i, 'straight')} leave no turns in a lap of "
            f"{table.cell(i, 'lap')}; correct one of them"
        ),
    )
    table.flag(
        table.values("finish_to_turn_m") > np.where(np.isnan(straight), lap, straight),
        "finish_to_turn",
        lambda i: (
            f"{table.cell(i, 'finish_to_turn')} from the finish to the turn is more than the "
            f"straight ({table.cell(i, 'straight')}); correct one of them"
        ),
    )
    radius = (lap - 2 * straight) / (2 * np.pi)
    table.flag(
        (table.values("rail_offset_m") >= radius) & ~too_long,
        "rail_offset",
        lambda i: f"{table.cell(i, 'rail_offset')} leaves the turns no inside; correct it",
    )
    _check_chutes(table)
    _check_map(table)
    _check_soil(table)


def _check_soil(table: Table) -> None:
    """Leave numbers of a track's top blank that cannot be; the track is of use without them."""
    holds, gives, drains = (table.values(name) for name in ("holds_mm", "gives_mm", "drains_mm"))
    low, high = _HOLDS_MM
    wrong = {
        "holds": ((holds < low) | (holds > high), f"a track's top holds {low} to {high} mm"),
        "drains": (drains > _MOST_DRAINED_MM, f"a day drains at most {_MOST_DRAINED_MM} mm"),
    }
    held = np.where(wrong["holds"][0], np.nan, holds)
    wrong["gives"] = (
        ~np.isnan(gives) & ~(gives < held),
        "it is a part of what the top holds; fill holds, with more than that",
    )
    for column, (mask, why) in wrong.items():
        for index in np.flatnonzero(mask):
            message = f"{table.cell(int(index), column)} cannot be: {why} (left blank)"
            table.say(int(index), column, message, "warning")
        table.frame.loc[mask, f"{column}_mm"] = np.nan


def _check_chutes(table: Table) -> None:
    """Warn of chutes that no turn gives room for: each prolongs the straight after a turn."""
    lap, straight = table.values("lap_m"), table.values("straight_m")
    to_turn = table.values("finish_to_turn_m")
    for index, text in enumerate(table.texts("chutes")):
        if text is None:
            continue
        turn = lap[index] / 2 - straight[index]
        if np.isnan(turn + to_turn[index]):
            table.say(
                index,
                "chutes",
                "where the turns are is not known, so the chutes are not used; fill straight and "
                "finish_to_turn",
                "warning",
            )
            continue
        exits = straight[index] - to_turn[index] + np.array([0.0, straight[index] + turn])
        for start in text.split("; "):
            past_exit = np.mod(float(read_distance(start)) - exits, lap[index])
            if not ((past_exit > _SAME_PLACE_M) & (past_exit < turn + _SAME_PLACE_M)).any():
                table.say(
                    index,
                    "chutes",
                    f"a start {start} before the finish is on a straight, where no chute is "
                    "needed, so it is not used; leave it out, or correct straight or "
                    "finish_to_turn",
                    "warning",
                )


def _check_map(table: Table) -> None:
    """Check the spacing of the poles, and that a place on the map has both coordinates."""
    spacing = table.values("pole_spacing_m")
    allowed = np.array([float(read_distance(text)) for text in _SPACINGS])
    near = np.abs(spacing[:, None] - allowed[None, :]).min(axis=1) < _SAME_PLACE_M
    table.flag(
        ~near & ~np.isnan(spacing),
        "poles",
        lambda i: f"{table.cell(i, 'poles')} is no spacing of poles; write {', '.join(_SPACINGS)}",
    )
    half = np.isnan(table.values("latitude_deg")) != np.isnan(table.values("longitude_deg"))
    table.flag(
        half,
        "latitude",
        lambda i: "latitude and longitude go together; fill both or neither",
        "warning",
    )


def check_poles(table: Table, column: str, field: str, tracks: Table, ids: Texts) -> None:
    """Warn of a place where its track has no pole.

    Parameters
    ----------
    table : Table
        The table whose rows name places.
    column, field : str
        The heading of the place, and the column that holds it in metres.
    tracks : Table
        The tracks.
    ids : array of str
        The track that each row is at.
    """
    known = {name: index for index, name in enumerate(tracks.texts("track"))}
    at = np.array([known.get(name, -1) for name in ids], dtype=np.int64)
    place = table.values(field)
    # One more, unknown, stands for a track that is not in the book.
    lap, spacing = (
        np.append(tracks.values(name), np.nan)[at] for name in ("lap_m", "pole_spacing_m")
    )
    # A place or a lap that no track has is refused elsewhere, and is off by nothing here.
    with np.errstate(invalid="ignore", divide="ignore"):
        left = np.mod(place, np.where(np.isnan(lap), np.inf, lap))
        off = np.abs(left - np.round(left / spacing) * spacing)
        off = np.minimum(off, np.abs(lap - left))
    table.flag(
        off > _NEAR_POLE_M,
        column,
        lambda i: (
            f"{table.cell(i, column)} is no pole of {ids[i]}, where they stand every "
            f"{write_distance(float(spacing[i]))}; correct it, or the spacing (poles in tracks)"
        ),
        "warning",
    )
