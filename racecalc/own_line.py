"""The horse's own line: what time to expect of this horse for this work, before it is run.

A time is quick or slow for the distance, the track, the state of its surface, how the work was
ridden, what was asked and whether it began at the gate; and for the horse. Each of these has an
effect on the logarithm of the time, learned from the earlier works of the horse and of the rest of
the barn (its string) by `racecalc.pooling`: a horse with few works leans on the string. A horse has
one effect for all its works, and one for its form of late. Nothing is assumed of the direction of
any effect: each state of each track has one of its own. A missing word is a label like any other.
Distances are kept apart to half a metre, so that six furlongs and 1200 m share no effect.

Sources: ``lange_1989``, ``bates_lme4`` (the model); ``roback_legler_2021`` (tried on real times).
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import compress
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from racecalc.errors import OutOfRangeError
from racecalc.pooling import Labels, Pool, difference, foretell, middle, numbered, pool

__all__ = [
    "FEWEST_OF_EFFORT",
    "FEWEST_WORKS",
    "FORM_DAYS",
    "LINE_SOURCES",
    "WINDOW_DAYS",
    "Expectation",
    "Line",
    "expectation",
    "expectations",
    "fit",
    "foreseen",
    "state_effects",
]

# A horse changes: works older than a year are not used, and works of one span of so many days
# share the horse's form. Both are choices. Where form wandered, in simulation, spans of 30 to 120
# days did about equally well, and better than none; where it did not, they cost nothing.
WINDOW_DAYS = 365
FORM_DAYS = 60
# With fewer earlier works of the whole barn nothing is said. A choice: with eight the interval
# holds in simulation, but is six times as wide as that of one who knows every effect.
FEWEST_WORKS = 8
# What a word for an effort means at a barn is taken from at least so many works. A choice.
FEWEST_OF_EFFORT = 3
LINE_SOURCES = ("lange_1989", "bates_lme4")

# What each spread is taken to be before any work is read, as a part of the time: half a second in
# fifty. It counts for one level; with it the intervals held from 8 works to 1,000.
_GUESS = 0.01
_DISTANCES_PER_M = 2
# The clock's error is given as what holds 95 % of normal errors.
_DEVIATIONS = 1.96

# The best state of dirt and synthetic tracks, and of turf.
_BEST_STATES = ("fast", "firm")

FloatArray = npt.NDArray[np.float64]

_OWN = ("own", "")
_KINDS = ("horse", "form", "place", "footing", "manner", "effort", "from_gate")
_COLUMNS = [
    "date", "horse", "track", "distance_m", "time_s", "state", "manner", "effort", "from_gate",
]  # fmt: skip


@dataclass(frozen=True)
class Expectation:
    """The time to expect of a work, and the interval that holds 95 of 100 such works.

    ``own`` counts the horse's own earlier works that were used, ``own_alike`` those of them at this
    track over this distance, and ``string`` the earlier works of other horses.
    """

    time_s: float
    low_s: float
    high_s: float
    own: int
    own_alike: int
    string: int


@dataclass(frozen=True)
class Line:
    """What was learned from works: the effects on the logarithm of the time, and their spreads.

    ``spreads`` tells by how much times vary, as a part of the time, from one to the next horse,
    form (of one horse within `FORM_DAYS`), place (distance at a track), footing (state at a track),
    manner, effort and start, each for itself; ``noise`` by how much from work to work alike.
    """

    learned: Pool
    works: int
    footings: Mapping[tuple[str, str], int]
    efforts: Mapping[str, int]

    @property
    def spreads(self) -> dict[str, float]:
        """Return the standard deviation of each kind of effect."""
        return dict(zip(_KINDS, self.learned.spreads.tolist(), strict=True))

    @property
    def noise(self) -> float:
        """Return the scale of the noise."""
        return self.learned.noise


def fit(works: pd.DataFrame) -> Line:
    """Learn from the timed works of several horses; form is counted back from the newest.

    Parameters
    ----------
    works : DataFrame
        ``date``, ``horse``, ``track``, ``distance_m``, ``time_s``, ``state``, ``manner``,
        ``effort``, ``from_gate``; a missing column or word is unknown, and a work without time is
        left out.

    Raises
    ------
    OutOfRangeError
        If a distance or a time is zero or negative, or no work has a time.

    References
    ----------
    lange_1989; bates_lme4.

    Examples
    --------
    >>> times = {"time_s": [48.0, 50.0, 48.2, 50.2], "state": ["wet", "fast", "wet", "fast"]}
    >>> place = {"horse": "mare", "track": "oval", "distance_m": 800.0}
    >>> state_effects(fit(pd.DataFrame({**place, **times})))[["state", "against"]].values.tolist()
    [['wet', 'fast']]
    """
    known = _works(_ready(works))
    newest = pd.DatetimeIndex(known.date).max()
    return _learn(known, _days_ago(newest + pd.Timedelta(days=1), known.date))


def state_effects(line: Line) -> pd.DataFrame:
    """Return what each state of each track did to times, against its best or usual state.

    Parameters
    ----------
    line : Line
        What `fit` returned.

    Returns
    -------
    DataFrame
        One row for each track and state but that one, in order of their names: ``track``,
        ``state``, ``against`` (fast or firm, else the most frequent state), ``works``, ``ratio``
        (of times; above one is slower), and the ends of its 95 % interval, ``low`` and ``high``.
    """
    usual: dict[str, str] = {}
    for (track, state), _ in sorted(line.footings.items(), key=_usual_first):
        if state:
            usual.setdefault(track, state)
    rows = []
    for (track, state), works in sorted(line.footings.items()):
        if state and state != usual[track]:
            against = (track, usual[track])
            gap = difference(line.learned, _KINDS.index("footing"), (track, state), against)
            ends = (gap.middle, gap.middle - gap.half_width, gap.middle + gap.half_width)
            rows.append((track, state, usual[track], works, *map(math.exp, ends)))
    names = ["track", "state", "against", "works", "ratio", "low", "high"]
    return pd.DataFrame(rows, columns=names)


def _usual_first(entry: tuple[tuple[str, str], int]) -> tuple[bool, int, tuple[str, str]]:
    """Sort the state that others are held against first: the best of its surface, or the usual."""
    (track, state), works = entry
    return (state not in _BEST_STATES, -works, (track, state))


def expectation(
    work: "Mapping[str, Any] | pd.Series[Any]",
    own: pd.DataFrame,
    string: pd.DataFrame,
    clock_error_s: float,
) -> Expectation | None:
    """Return the time to expect of one work, from works dated before it.

    Parameters
    ----------
    work : mapping or row
        ``date``, ``track``, ``distance_m`` and, where known, ``state``, ``manner``, ``effort``,
        ``from_gate``. Its own time is not used.
    own, string : DataFrame
        Works of this horse, and of others with their ``horse``; columns as for `fit`.
    clock_error_s : float
        How far 95 % of clocked times lie from the true ones, in seconds. Earlier times err by it
        too, so that it is part of what makes them vary; the noise is taken to be no smaller.

    Returns
    -------
    Expectation or None
        None where fewer than `FEWEST_WORKS` of the barn's works fall within the `WINDOW_DAYS`
        before, or none of them was over this distance at this track.

    Raises
    ------
    OutOfRangeError
        If a distance, a time or the error of the clock is impossible.

    References
    ----------
    lange_1989; bates_lme4.
    """
    asked = pd.DataFrame({name: [work.get(name)] for name in _COLUMNS})
    return foreseen(asked, own, string, clock_error_s)[0]


def foreseen(
    asked: pd.DataFrame, own: pd.DataFrame, string: pd.DataFrame, clock_error_s: float
) -> list[Expectation | None]:
    """Return the time to expect of each of several works that may be done.

    Parameters
    ----------
    asked : DataFrame
        A row for each work, with the columns of `expectation`.
    own, string, clock_error_s
        As for `expectation`.

    Raises
    ------
    OutOfRangeError
        As `expectation`.
    """
    rows, error_s = _ready(asked).rows(), _checked(clock_error_s)
    barn = _barn(_ready(own), _ready(string))
    lines: dict[Any, Line] = {}
    return [_expect(row, barn, lines, error_s)[0] for row in rows]


def expectations(
    own: pd.DataFrame,
    string: pd.DataFrame,
    clock_error_s: float,
    works: Sequence[str],
    efforts: Sequence[str] = (),
) -> pd.DataFrame:
    """Compare works of one horse with what was to be expected before each.

    Parameters
    ----------
    own, string : DataFrame
        As for `expectation`; ``own`` with ``work``.
    clock_error_s : float
        As for `expectation`.
    works : sequence of str
        Ids of the horse's works to compare.
    efforts : sequence of str
        Words for what may be asked of a horse.

    Returns
    -------
    DataFrame
        One row for each id, in the order given: ``work``, ``time_s``, ``expected_s``, ``low_s``,
        ``high_s`` (nan where there is too little to go by), ``own``, ``own_alike``, ``string``, and
        ``verdict``: ``quicker`` or ``slower`` outside the interval, ``as expected`` inside, None
        where the time or the expectation is missing. For each of ``efforts`` a column
        ``if_EFFORT_s`` with the time to expect had that been asked, nan where fewer than
        `FEWEST_OF_EFFORT` earlier works say it.

    Raises
    ------
    OutOfRangeError
        If ``own`` does not hold a work exactly once; and as `expectation`.
    """
    error_s = _checked(clock_error_s)
    ids = own["work"].tolist()
    for work in works:
        if ids.count(work) != 1:
            found = ids.count(work)
            raise OutOfRangeError(f"work {work!r} is there {found} times; give one of its id")
    mine = _ready(own)
    known, barn = mine.rows(), _barn(mine, _ready(string))
    lines: dict[pd.Timestamp, Line] = {}
    rows, otherwise = [], []
    for work in works:
        asked = known[ids.index(work)]
        expected, counts = _expect(asked, barn, lines, error_s)
        times = (expected.time_s, expected.low_s, expected.high_s) if expected else (math.nan,) * 3
        verdict = _verdict(asked["time_s"], expected)
        rows.append((work, asked["time_s"], *times, *counts, verdict))
        otherwise.append(_by_effort(asked, lines.get(asked["date"]), efforts))
    names = ["work", "time_s", "expected_s", "low_s", "high_s", "own", "own_alike", "string"]
    compared = pd.DataFrame([row[:-1] for row in rows], columns=names)
    compared = compared.assign(verdict=pd.Series([row[-1] for row in rows], dtype=object))
    columns = [f"if_{effort}_s" for effort in efforts]
    return compared.join(pd.DataFrame(otherwise, columns=columns, index=compared.index))


def _by_effort(
    asked: Mapping[Any, Any], line: Line | None, efforts: Sequence[str]
) -> tuple[float, ...]:
    """Return the time to expect of a work for each word of what might have been asked."""
    if line is None:
        return (math.nan,) * len(efforts)
    return tuple(
        _middle_s({**asked, "effort": effort}, line)
        if line.efforts[effort] >= FEWEST_OF_EFFORT
        else math.nan
        for effort in efforts
    )


def _middle_s(asked: Mapping[Any, Any], line: Line) -> float:
    return math.exp(middle(line.learned, _labels(asked))) * float(asked["distance_m"])


def _labels(asked: Mapping[Any, Any]) -> list[Any]:
    """Return the labels of a work of this horse, in its form of the day."""
    return [_OWN, (_OWN, 0), *(asked[kind] for kind in _KINDS[2:])]


@dataclass(frozen=True, eq=False)
class _Ready:
    """Works as a line needs them: with the label of each kind but the form, for each work."""

    date: npt.NDArray[np.datetime64]
    distance_m: FloatArray
    time_s: FloatArray
    labels: dict[str, list[Any]]

    def rows(self) -> list[dict[str, Any]]:
        """Return one mapping for each work."""
        columns = {
            "date": map(pd.Timestamp, self.date),
            "distance_m": self.distance_m.tolist(),
            "time_s": self.time_s.tolist(),
            **self.labels,
        }
        return [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]

    def joined(self, others: "_Ready") -> "_Ready":
        """Return these works and others."""
        return _Ready(
            np.concatenate([self.date, others.date]),
            np.concatenate([self.distance_m, others.distance_m]),
            np.concatenate([self.time_s, others.time_s]),
            {kind: [*labels, *others.labels[kind]] for kind, labels in self.labels.items()},
        )


def _ready(works: pd.DataFrame) -> _Ready:
    """Return the works with the label of each kind; the label of a missing word is empty."""
    read = works.reindex(columns=_COLUMNS)
    distance_m, time_s = (_positive(read[name], name) for name in ("distance_m", "time_s"))
    words = {name: _words(read[name]) for name in ("horse", "track", *_KINDS[4:], "state")}
    marks = np.rint(distance_m * _DISTANCES_PER_M).tolist()
    track, state = words.pop("track"), words.pop("state")
    pairs = {
        "place": list(zip(track, marks, strict=True)),
        "footing": list(zip(track, state, strict=True)),
    }
    dates = pd.to_datetime(read["date"]).to_numpy("datetime64[ns]")
    return _Ready(dates, distance_m, time_s, words | pairs)


def _words(column: "pd.Series[Any]") -> list[str]:
    unknown = column.isna().tolist()
    return ["" if no else str(word) for word, no in zip(column.tolist(), unknown, strict=True)]


def _positive(column: "pd.Series[Any]", name: str) -> FloatArray:
    values = column.to_numpy(dtype=np.float64, na_value=np.nan)
    wrong = values[values <= 0]
    if wrong.size:
        raise OutOfRangeError(f"{name} of a work: {wrong[0]:g} found; give a value above zero")
    return values


@dataclass(frozen=True, eq=False)
class _Works:
    """Works that a line may be learned from; their labels are numbered once for every day asked.

    ``kinds`` holds the labels of each kind but the form, which depends on the day.
    """

    date: npt.NDArray[np.datetime64]
    pace: FloatArray
    kinds: Mapping[str, Labels]

    def of(self, some: npt.NDArray[np.bool_]) -> "_Works":
        """Return some of the works."""
        kinds = {kind: labels.of(some) for kind, labels in self.kinds.items()}
        return _Works(self.date[some], self.pace[some], kinds)


def _works(ready: _Ready) -> _Works:
    """Keep the works that say how long some distance took at some track."""
    tracks = np.array([track != "" for track, _ in ready.labels["footing"]], dtype=np.bool_)
    said = tracks & ~np.isnan(ready.time_s) & ~np.isnan(ready.distance_m)
    paces = np.log(ready.time_s[said] / ready.distance_m[said])
    kinds = {kind: numbered(compress(labels, said)) for kind, labels in ready.labels.items()}
    return _Works(ready.date[said], paces, kinds)


def _barn(own: _Ready, string: _Ready) -> _Works:
    """Join the works of the horse and of its string; no name of another horse can be its own."""
    others = [("other", name) for name in string.labels["horse"]]
    mine = replace(own, labels={**own.labels, "horse": [_OWN] * len(own.date)})
    return _works(mine.joined(replace(string, labels={**string.labels, "horse": others})))


def _days_ago(day: pd.Timestamp, dates: npt.NDArray[np.datetime64]) -> FloatArray:
    """Return how many whole days before a day works were; nan where a date is missing."""
    return np.asarray(
        np.floor((day.to_datetime64() - dates) / np.timedelta64(1, "D")), dtype=np.float64
    )


def _learn(works: _Works, ago: FloatArray) -> Line:
    """Learn from works that were so many days ago."""
    horse = works.kinds["horse"]
    span = np.nan_to_num((ago - 1) // FORM_DAYS, nan=-1.0).astype(np.intp)
    spans = int(span.max()) + 2
    used, places = np.unique(horse.places * spans + span + 1, return_inverse=True)
    forms = tuple((horse.names[one // spans], one % spans - 1) for one in used.tolist())
    kinds = {**works.kinds, "form": Labels(forms, places)}
    learned = pool(works.pace, [kinds[kind] for kind in _KINDS], guess=_GUESS)
    return Line(learned, len(ago), kinds["footing"].counts(), kinds["effort"].counts())


def _expect(
    asked: Mapping[Any, Any], barn: _Works, lines: dict[Any, Line], clock_error_s: float
) -> tuple[Expectation | None, tuple[int, int, int]]:
    """Return the expectation of one work and the counts behind it; keep the line of each day."""
    day = asked["date"]
    ago = _days_ago(day, barn.date)
    earlier = (ago > 0) & (ago <= WINDOW_DAYS)
    alike = barn.kinds["place"].are(asked["place"]) & earlier
    own = barn.kinds["horse"].are(_OWN) & earlier
    counts = (int(own.sum()), int((own & alike).sum()), int((earlier & ~own).sum()))
    if earlier.sum() < FEWEST_WORKS or not alike.any():
        return None, counts
    if day not in lines:
        lines[day] = _learn(barn.of(earlier), ago[earlier])
    learned = lines[day].learned
    middle_s = _middle_s(asked, lines[day])
    least_noise = clock_error_s / _DEVIATIONS / middle_s
    told = foretell(learned, _labels(asked), least_noise=least_noise)
    ends = (middle_s * math.exp(-told.half_width), middle_s * math.exp(told.half_width))
    return Expectation(middle_s, *ends, *counts), counts


def _checked(clock_error_s: float) -> float:
    if not (math.isfinite(clock_error_s) and clock_error_s >= 0):
        raise OutOfRangeError(f"clock error: {clock_error_s} s found; give zero or more")
    return clock_error_s


def _verdict(time_s: float, expected: Expectation | None) -> str | None:
    if expected is None or math.isnan(time_s):
        return None
    if time_s < expected.low_s:
        return "quicker"
    return "slower" if time_s > expected.high_s else "as expected"
