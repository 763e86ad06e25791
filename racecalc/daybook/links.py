"""What holds between rows and tables: ids that stand once, ids that exist, days in order."""

import difflib
from collections.abc import Callable

import numpy as np
import pandas as pd

from racecalc.daybook.problems import listed, quoted
from racecalc.daybook.states import StateWords, refusal, state_of
from racecalc.daybook.table import Mask, Table, typed_series

__all__ = [
    "births",
    "check_after_birth",
    "check_keys",
    "check_order",
    "check_reference",
    "check_repeats",
    "check_shares",
    "check_states",
]

_MOST_PERCENT = 100 + 1e-6
_MOST_SUGGESTIONS = 100  # a search for a name that is spelled alike takes milliseconds

# (table, first, second, whether they may be equal): the second may not come before the first.
_ORDER = (
    ("horses", "foaled", "arrived", True),
    ("horses", "arrived", "left", True),
    ("shares", "since", "until", True),
    ("forecast", "issued", "date", True),
    ("weather", "tmin", "tmax", True),
    ("forecast", "tmin", "tmax", True),
    ("weather", "rh_min", "rh_max", True),
    ("forecast", "rh_min", "rh_max", True),
    ("footfalls", "on", "off", False),
)


def check_keys(table: Table) -> None:
    """Refuse rows that share what should name one row; letter case does not tell ids apart."""
    key = table.schema.key
    if not key or not len(table):
        return
    parts = {
        name: table.frame[name].str.casefold()
        if table.frame[name].dtype == object
        # Two notations of one pole may differ by less than a centimetre.
        else (table.frame[name].round(2) if name == "to_finish_m" else table.frame[name])
        for name in key
    }
    keys = pd.DataFrame(parts)
    whole = keys.notna().all(axis=1).to_numpy()
    shared = keys.duplicated(keep=False).to_numpy() & whole
    heading = "pole" if key[-1] == "to_finish_m" else key[0] if len(key) == 1 else "date"
    first: dict[tuple[object, ...], int] = {}
    for index in np.flatnonzero(shared):
        this = tuple(keys.iloc[index])
        if this in first:
            what = f"{table.cell(int(index), heading)} stands in row {table.row(first[this])} too"
            table.say(int(index), heading, f"{what}; {_once(table)}")
            table.refuse([first[this]])
        else:
            first[this] = int(index)


def _once(table: Table) -> str:
    if len(table.schema.key) == 1:
        return "an id names one row only (capitals make no difference); neither row is used"
    return f"there can be one row for each {' and '.join(_headings(table))}; neither row is used"


def _headings(table: Table) -> list[str]:
    return ["pole" if name == "to_finish_m" else name for name in table.schema.key]


def check_reference(table: Table, column: str, target: Table) -> None:
    """Refuse rows whose id is in no row of the table it refers to, or in a refused one.

    Rows that hang on a refused row are left out with one problem for each such row and horse.
    """
    key = target.schema.key[0]
    ids = table.texts(column)
    filled = pd.notna(ids)
    known = {text for text in target.texts(key) if text is not None}
    if not known:
        message = f"the table {target.schema.name}, where this id should stand, has no rows"
        _leave_out(table, filled, column, lambda i: f"{message}; fill that table")
        return
    unknown = filled & ~np.asarray(pd.Series(ids).isin(known))
    _refuse_unknown(table, unknown, column, target)
    good = {text for text in target.texts(key)[~target.refused] if text is not None}
    lost = filled & ~unknown & ~np.asarray(pd.Series(ids).isin(good))
    rows = dict(zip(target.texts(key), target.frame["row"], strict=True))
    _leave_out(
        table,
        lost,
        column,
        lambda i: (
            f"{quoted(ids[i])} cannot be used, for row {rows[ids[i]]} of {target.schema.name} "
            "is refused; mend that row"
        ),
    )


def _leave_out(table: Table, mask: Mask, column: str, message: Callable[[int], str]) -> None:
    """Refuse rows, with one problem for each message and horse."""
    groups: dict[tuple[str, str | None], list[int]] = {}
    for index in map(int, np.flatnonzero(mask)):
        groups.setdefault((message(index), table.horse(index)), []).append(index)
    for (text, _horse), indices in groups.items():
        more = f" ({len(indices)} rows are left out)" if len(indices) > 1 else ""
        table.say(indices[0], column, text + more)
        table.refuse(indices)


def _refuse_unknown(table: Table, unknown: Mask, column: str, target: Table) -> None:
    known = sorted(text for text in target.texts(target.schema.key[0]) if text is not None)
    said: dict[str, str] = {}
    for index, text in zip(np.flatnonzero(unknown), table.texts(column)[unknown], strict=True):
        if text not in said:
            hint = _hint(text, known, len(said) < _MOST_SUGGESTIONS)
            name = target.schema.name
            said[text] = f"{quoted(text)} is in no row of the table {name}; {hint}"
        table.say(int(index), column, said[text])


def _hint(text: str, known: list[str], search: bool) -> str:
    close = [name for name in known if name.casefold() == text.casefold()]
    if search and not close:
        close = difflib.get_close_matches(text, known, 1)
    if close:
        return f"did you mean {quoted(close[0])}? Write an id of that table"
    return f"write an id of that table: {listed(known)}"


def check_order(table: Table) -> None:
    """Refuse rows where the second of two values comes before the first."""
    for name, first, second, equal in _ORDER:
        if name == table.schema.name:
            _check_pair(table, first, second, equal)


def _check_pair(table: Table, first: str, second: str, equal: bool) -> None:
    one, other = table.schema.column(first), table.schema.column(second)
    left, right = table.frame[one.field or first], table.frame[other.field or second]
    wrong = (right < left) if equal else (right <= left)
    verb = "is before" if other.kind == "date" else "is below" if equal else "is not after"
    table.flag(
        wrong.to_numpy(dtype=np.bool_),
        second,
        lambda i: (
            f"{table.cell(i, second)} {verb} {first} ({table.cell(i, first)}); correct one of them"
        ),
    )


def births(horses: Table) -> "pd.Series[pd.Timestamp]":
    """Return the first day on which each horse can have lived, by id."""
    year = horses.frame["foaled_year"]
    first = pd.to_datetime({"year": year.fillna(1980).astype(int), "month": 1, "day": 1}).where(
        year.notna()
    )
    born = horses.frame["foaled"].fillna(first)
    known = horses.frame["horse"].notna()
    return (
        pd.Series(born[known].to_numpy(), index=horses.frame["horse"][known]).groupby(level=0).min()
    )


def check_after_birth(table: Table, horses: Table) -> None:
    """Refuse rows dated before their horse was foaled."""
    born = table.frame["horse"].map(births(horses).to_dict())
    early = table.frame["date"] < pd.to_datetime(born)
    table.flag(
        early.to_numpy(dtype=np.bool_),
        "date",
        lambda i: f"{table.cell(i, 'date')} is before the horse was foaled; correct one of them",
    )


def check_states(table: Table, tracks: Table, words: StateWords) -> None:
    """Put our word for each state, by the surface of the row's track; refuse what is none of it.

    A row of an unknown track keeps its text: it is refused for its track.
    """
    surfaces: dict[str | None, str | None] = dict(
        zip(tracks.texts("track"), tracks.texts("surface"), strict=True)
    )
    surface = [surfaces.get(track) for track in table.texts("track")]
    written = list(zip(surface, table.texts("state"), strict=True))
    states = {
        (on, text): state_of(text, on, words) if on and text else text for on, text in set(written)
    }
    refused = {
        (on, text): refusal(text, on, words)
        for (on, text), state in states.items()
        if text and state is None
    }
    table.frame["state"] = typed_series([states[pair] for pair in written], "text")
    wrong = np.array([pair in refused for pair in written], dtype=np.bool_)
    table.flag(wrong, "state", lambda i: refused[written[i]])


def check_repeats(table: Table) -> None:
    """Warn of rows that repeat another in every column: they may have been pasted twice."""
    fields = table.frame[list(table.schema.fields)]
    shared = fields.duplicated(keep=False).to_numpy() & ~table.refused
    first: dict[tuple[str, ...], int] = {}
    for index in np.flatnonzero(shared):
        this = tuple(str(value) for value in fields.iloc[index])
        if this in first:
            message = f"repeats row {table.row(first[this])} in every column; delete one if pasted"
            table.say(int(index), None, message, "warning")
        else:
            first[this] = int(index)


def check_shares(table: Table) -> None:
    """Refuse shares of a horse that add up to more than 100 on any day; both ends count."""
    frame = table.frame.loc[~table.refused, ["horse", "percent", "since", "until"]]
    for _horse, rows in frame.groupby("horse", sort=False):
        since = rows["since"].fillna(pd.Timestamp(1980, 1, 1))
        until = rows["until"].fillna(pd.Timestamp(2100, 1, 1))
        over: set[int] = set()
        worst, day_of_worst = 0.0, pd.Timestamp(1980, 1, 1)
        for day in sorted(since.unique()):  # the sum can only rise where a share begins
            held = (since <= day) & (until >= day)
            total = float(rows.loc[held, "percent"].sum())
            if total > _MOST_PERCENT:
                over.update(int(index) for index in rows.index[held])
                if total > worst:
                    worst, day_of_worst = total, day
        if over:
            _say_over(table, sorted(over), worst, day_of_worst)


def _say_over(table: Table, rows: list[int], total: float, day: pd.Timestamp) -> None:
    others = listed(table.row(index) for index in rows[:-1])
    when = "" if day.year == 1980 else f" on {day.date()}"
    message = (
        f"with rows {others} the shares of this horse add up to {total:g} %{when}; "
        "end the old share (until is its last day) or correct the percentages"
    )
    table.say(rows[-1], "percent", message if others else f"{total:g} % is more than 100")
    table.refuse(rows)
