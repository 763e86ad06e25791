"""Whether the footfalls of a clip fit each other, and whether their unit is the one that was meant.

A clip is all rows of one horse, day and label; capitals make no difference. Its times are seconds,
or frames where ``fps`` is filled in. Limits are this project's own choice, set far beyond what is
published: a foot is down for 0.08 s at a racing gallop and for 1.1 s at a slow walk.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.daybook.table import Mask, Table

__all__ = ["check_clips"]

Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.int64]
Says = Callable[[int], str]
"""A message, from the position of a row among those that are compared."""

_SHORTEST_CONTACT_S = 0.03
_LONGEST_CONTACT_S = 3.0
_LONGEST_STRIDE_S = 5.0  # where whole numbers say so of most strides, they are no seconds
_SAME_M_S = 0.1 + 1e-9  # a speed that was rounded twice, or written in another unit
_ROUNDING_S = 1e-9


@dataclass(frozen=True)
class _Rows:
    """The rows that can be compared, each clip's in order of time: their places in the table."""

    table: Table
    place: Places
    clip: Places
    foot: Places

    def of(self, mask: Mask) -> "_Rows":
        """Return some of the rows."""
        return _Rows(self.table, self.place[mask], self.clip[mask], self.foot[mask])

    def standing(self) -> "_Rows":
        """Return the rows that are not refused by now."""
        return self.of(~self.table.refused[self.place])

    def values(self, field: str) -> Floats:
        """Return a number of each row, NaN where it is blank."""
        return self.table.values(field)[self.place]

    def contacts_s(self) -> Floats:
        """Return how long each foot was down, in seconds, NaN where its off is blank."""
        rate = self.values("fps")
        return (self.values("off") - self.values("on")) / np.where(np.isnan(rate), 1.0, rate)

    def count(self, mask: Mask) -> Places:
        """Return, for each row, in how many rows of its clip the mask holds."""
        clips = int(self.clip.max(initial=-1)) + 1
        return np.bincount(self.clip[mask], minlength=clips)[self.clip]

    def sizes(self) -> Places:
        """Return, for each row, how many rows its clip has."""
        return self.count(np.ones(len(self.clip), dtype=np.bool_))

    def landings(self) -> tuple[Places, Places]:
        """Return each landing of a foot with the next one of that foot in the clip."""
        order = np.lexsort((self.foot, self.clip))  # keeps the order of time within
        before, after = order[:-1], order[1:]
        alike = self.clip[before] == self.clip[after]
        alike &= self.foot[before] == self.foot[after]
        return before[alike], after[alike]

    def row(self, at: int) -> int:
        """Return the spreadsheet row."""
        return self.table.row(int(self.place[at]))

    def cell(self, at: int, column: str) -> str:
        """Quote what the file holds in a cell."""
        return self.table.cell(int(self.place[at]), column)

    def say(self, wrong: Mask, column: str, says: Says, level: str = "error") -> None:
        """Note a problem of each of the rows."""
        for at in map(int, np.flatnonzero(wrong)):
            self.table.say(int(self.place[at]), column, says(at), level)

    def refuse_clips(self, wrong: Mask, column: str, says: Says) -> None:
        """Refuse all rows of the clips with a wrong row; one message, at its first wrong row."""
        clips, first = np.unique(self.clip[wrong], return_index=True)
        sizes = self.sizes()
        for at in map(int, np.flatnonzero(wrong)[first]):
            more = f" ({sizes[at]} rows are left out)" if sizes[at] > 1 else ""
            self.table.say(int(self.place[at]), column, says(at) + more)
        self.table.refuse(self.place[np.isin(self.clip, clips)])


def check_clips(table: Table) -> None:
    """Check the rows of each clip against one another.

    Refused rows are passed over. A fault that holds for a clip as a whole refuses all of it and is
    said once; which rows are refused does not depend on the order of the rows. Takes about two
    seconds for a million rows.

    Parameters
    ----------
    table : Table
        The footfalls.
    """
    rows = _rows(table)
    _check_rates(rows.standing())
    for column in ("on", "off"):
        _check_frames(rows.standing(), column)
    _check_long(rows.standing())
    _check_short(rows.standing())
    _check_strides(rows.standing())
    _check_overlaps(rows.standing())
    _check_speeds(rows.standing())
    _check_alone(rows)


def _rows(table: Table) -> _Rows:
    horse, _ = pd.factorize(table.texts("horse"))
    label, labels = pd.factorize(table.texts("clip"))
    folded, _ = pd.factorize(np.array([str(text).casefold() for text in labels], dtype=object))
    foot, _ = pd.factorize(table.texts("foot"), sort=True)
    day = table.dates("date").astype("datetime64[D]")
    place = np.flatnonzero((horse >= 0) & (label >= 0) & ~np.isnat(day))
    days, _ = pd.factorize(day[place])
    of_day, _ = pd.factorize(horse[place] * (len(place) + 1) + days)
    clip, _ = pd.factorize(of_day * (len(labels) + 1) + folded[label[place]])
    on, off = table.values("on")[place], table.values("off")[place]
    order = np.lexsort((foot[place], off, on, clip))
    return _Rows(table, place[order], clip[order], foot[place][order])


def _check_rates(rows: _Rows) -> None:
    """Refuse clips with two rates of frames, a blank one counted: they share no clock.

    The message stands at a row of the rarer rate, or of the higher one.
    """
    rate = np.nan_to_num(rows.values("fps"))
    found = pd.DataFrame({"clip": rows.clip, "rate": rate})
    often = found.groupby(["clip", "rate"])["rate"].transform("size").to_numpy()
    order = np.lexsort((rate, -often, rows.clip))
    clips, first = np.unique(rows.clip[order], return_index=True)
    usual = order[first][np.searchsorted(clips, rows.clip)]

    def says(at: int) -> str:
        return (
            f"{rows.cell(at, 'fps')} here and {rows.cell(usual[at], 'fps')} in row "
            f"{rows.row(usual[at])} of the same clip: frames of two rates share no clock; write "
            "one fps in all rows of a clip, or none if on and off are seconds"
        )

    rows.refuse_clips(rate != rate[usual], "fps", says)


def _check_frames(rows: _Rows, column: str) -> None:
    """Refuse clips with fps and a number that is none of a frame."""
    wrong = ~np.isnan(rows.values("fps")) & ~_whole(rows.values(column))
    rows.refuse_clips(
        wrong,
        column,
        lambda at: (
            f"{rows.cell(at, column)} is no frame number; frames are whole numbers; if on and off "
            "of this clip are seconds, leave fps blank in all its rows"
        ),
    )


def _whole(values: Floats) -> Mask:
    return np.asarray(np.isnan(values) | (values == np.round(values)), dtype=np.bool_)


def _check_long(rows: _Rows) -> None:
    """Refuse contacts that are too long: whole numbers without fps are frames all through."""
    contacts = rows.contacts_s()
    wrong = contacts > _LONGEST_CONTACT_S + _ROUNDING_S
    maybe_frames = _maybe_frames(rows)
    whole = maybe_frames | _most(rows, wrong, ~np.isnan(contacts))
    limit = f"no foot stays down for more than {_LONGEST_CONTACT_S:g} s"
    says = _says_contact(rows, limit, maybe_frames | (whole & np.isnan(rows.values("fps"))))
    rows.refuse_clips(wrong & whole, "off", says)
    rows.say(wrong & ~whole, "off", says)


def _check_short(rows: _Rows) -> None:
    """Refuse contacts that are too short."""
    contacts = rows.contacts_s()
    wrong = contacts < _SHORTEST_CONTACT_S - _ROUNDING_S
    whole = _most(rows, wrong, ~np.isnan(contacts))
    limit = f"no foot is down for less than {_SHORTEST_CONTACT_S:g} s"
    says = _says_contact(rows, limit, np.zeros(len(wrong), dtype=np.bool_))
    rows.refuse_clips(wrong & whole, "off", says)
    rows.say(wrong & ~whole, "off", says)


def _maybe_frames(rows: _Rows) -> Mask:
    """Return which rows are of a clip of whole numbers without fps."""
    whole = _whole(rows.values("on")) & _whole(rows.values("off"))
    seconds = np.isnan(rows.values("fps"))
    return np.asarray(seconds & (rows.count(~whole) == 0), dtype=np.bool_)


def _most(rows: _Rows, wrong: Mask, known: Mask) -> Mask:
    """Return which rows are of a clip where two are wrong, and more than half of what is known."""
    count = rows.count(wrong)
    return np.asarray((count > 1) & (2 * count > rows.count(known)), dtype=np.bool_)


def _says_contact(rows: _Rows, limit: str, frames: Mask) -> Says:
    contacts, rate = rows.contacts_s(), rows.values("fps")

    def says(at: int) -> str:
        known = not np.isnan(rate[at])
        what = (
            "if on and off are frame numbers, fill in fps"
            if frames[at]
            else "correct on, off or fps"
            if known
            else "correct one of them"
        )
        return (
            f"{rows.cell(at, 'off')} is {_written(contacts[at])} s after on ({rows.cell(at, 'on')})"
            f"{f' at {rate[at]:g} frames a second' if known else ''}; {limit}; {what}"
        )

    return says


def _written(seconds: float) -> str:
    """Write a number with three digits at least, and no exponent."""
    return f"{seconds:.3g}" if seconds < 1000 else f"{seconds:,.0f}"


def _check_strides(rows: _Rows) -> None:
    """Refuse clips of whole numbers without fps by which most strides would take too long."""
    before, after = rows.landings()
    on = rows.values("on")
    earlier, stride = np.zeros(len(on), dtype=np.int64), np.full(len(on), np.nan)
    earlier[after], stride[after] = before, on[after] - on[before]
    wrong = stride > _LONGEST_STRIDE_S
    most = 2 * rows.count(wrong) > rows.count(~np.isnan(stride))
    rows.refuse_clips(
        wrong & most & _maybe_frames(rows),
        "on",
        lambda at: (
            f"{rows.cell(at, 'on')} is {stride[at]:,.0f} s after the same foot came down at "
            f"{rows.cell(earlier[at], 'on')} in row {rows.row(earlier[at])}; no stride takes more "
            f"than {_LONGEST_STRIDE_S:g} s; if on and off are frame numbers, fill in fps"
        ),
    )


def _check_overlaps(rows: _Rows) -> None:
    """Refuse contacts of one foot that overlap: it is not known which of the two is wrong."""
    before, after = rows.landings()
    on, off = rows.values("on"), rows.values("off")
    overlap = (on[after] < off[before]) | (on[after] == on[before])
    before, after = before[overlap], after[overlap]
    earlier, wrong, either = np.zeros(len(on), dtype=np.int64), *np.zeros((2, len(on)), np.bool_)
    earlier[after], wrong[after] = before, True
    either[before] = either[after] = True
    whole = (rows.count(wrong) > 1) & (2 * rows.count(either) > rows.sizes())
    feet = rows.table.texts("foot")[rows.place]

    def clash(at: int) -> str:
        other = earlier[at]
        here, there = rows.cell(at, "on"), f"row {rows.row(other)}"
        if on[at] == on[other]:
            return f"{feet[at]} comes down at {here} in {there} too"
        return f"{here} is before {feet[at]} of {there} is off ({rows.cell(other, 'off')})"

    rows.refuse_clips(
        wrong & whole,
        "on",
        lambda at: (
            f"{clash(at)}, and so on in most rows of this clip; if it holds two films, give each a "
            "label of its own (capitals make no difference); if it was pasted twice, delete one"
        ),
    )
    rows.say(
        wrong & ~whole,
        "on",
        lambda at: (
            f"{clash(at)}; neither row is used; correct foot, on or off, or delete one if pasted"
        ),
    )
    rows.table.refuse(rows.place[either])


def _check_speeds(rows: _Rows) -> None:
    """Warn of clips with more than one speed."""
    rows = rows.of(~np.isnan(rows.values("speed_m_s")))
    speed = rows.values("speed_m_s")
    order = np.lexsort((speed, rows.clip))
    clip = rows.clip[order]
    slowest = order[np.searchsorted(clip, rows.clip)]
    fastest = np.zeros(len(speed), dtype=np.bool_)
    fastest[order[np.searchsorted(clip, clip, side="right") - 1]] = True
    rows.say(
        fastest & (speed - speed[slowest] > _SAME_M_S),
        "speed",
        lambda at: (
            f"{rows.cell(at, 'speed')} here and {rows.cell(slowest[at], 'speed')} in row "
            f"{rows.row(slowest[at])} of the same clip; a clip has one speed, and the length of "
            "its strides is not told; check both, the footfalls are used as they are"
        ),
        "warning",
    )


def _check_alone(rows: _Rows) -> None:
    """Warn of clips of one row, where no other one of it was refused."""
    rows.say(
        (rows.sizes() == 1) & ~rows.table.refused[rows.place],
        "clip",
        lambda at: (
            f"{rows.cell(at, 'clip')} has this row only; one footfall tells of no stride; add the "
            "other footfalls of the film, or correct the label"
        ),
        "warning",
    )
