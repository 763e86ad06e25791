"""The plan, the journal and the manifest of a month's runs.

A run writes down first what it means to do (the plan), then a line for each report that it has put
in its place or given up (the journal), and at its end what became of every horse (the manifest).
Where it does not come to its end, the next run makes the manifest from the other two.
"""

import contextlib
import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from racecalc.overnight.disk import put_file

__all__ = ["OWNERS", "STATES", "Journal", "Outcome", "Records", "Standing", "put_json", "read_json"]

OWNERS = "owners.json"
"""What was put into the owners' folders."""

# The name under which a file of ours bears its hash.
_HASH = "sha256"

STATES = ("made", "unchanged", "no-data", "failed", "not-reached")


@dataclass(frozen=True)
class Standing:
    """The report of a horse that readers find.

    Attributes
    ----------
    key : dict of str to str
        What it depends on, see `keys.key_of`.
    files : dict of str to str
        The SHA-256 of each file.
    recorded : bool
        Whether there was anything to tell of.
    day : str
        The last day that it tells of.
    summary : list of str
        Its sentences.
    run : str
        The run that made it.
    """

    key: dict[str, str]
    files: dict[str, str]
    recorded: bool
    day: str
    summary: list[str]
    run: str


@dataclass(frozen=True)
class Outcome:
    """One horse's state after a run.

    Attributes
    ----------
    horse, name : str
        The horse.
    state : str
        One of `STATES`.
    cause : str
        Why, in words.
    reason : str
        Why its report was to be made; blank where it was not.
    seconds : float
        How long its report took.
    standing : Standing, optional
        The report that stands, of this run or of an earlier one.
    """

    horse: str
    name: str
    state: str
    cause: str
    reason: str = ""
    seconds: float = 0.0
    standing: Standing | None = field(default=None, compare=False)

    def __post_init__(self) -> None:
        if self.state not in STATES:
            raise ValueError(f"{self.state!r} is not a state; the states are {', '.join(STATES)}")


class Journal:
    """The lines of a run, each on the disk before the next begins."""

    def __init__(self, path: Path, run: str) -> None:
        self._file = path.open("ab")
        self._run = run

    def write(self, outcome: Outcome) -> None:
        """Add what became of a horse."""
        line = {"run": self._run, **asdict(outcome)}
        self._file.write(json.dumps(line, ensure_ascii=False).encode() + b"\n")
        self._file.flush()
        os.fsync(self._file.fileno())

    def close(self) -> None:
        """End it; a line that could not be written is not tried again."""
        with contextlib.suppress(OSError):
            self._file.close()


class Records:
    """What is written down of one month.

    Parameters
    ----------
    out : Path
        The folder of all reports.
    month : str
        The month, ``YYYY-MM``.
    """

    def __init__(self, out: Path, month: str) -> None:
        self._plan = out / ".racecalc" / month / "plan.json"
        self._journal = out / ".racecalc" / month / "journal.jsonl"
        self._manifest = out / month / "manifest.json"

    def standing(self) -> dict[str, Standing]:
        """Return the reports that stand, by horse."""
        found = {horse: outcome.standing for horse, outcome in self.outcomes().items()}
        return {horse: standing for horse, standing in found.items() if standing is not None}

    def outcomes(self) -> dict[str, Outcome]:
        """Return what became of each horse in the newest run, finished or not, by horse."""
        manifest, plan = read_json(self._manifest), read_json(self._plan)
        outcomes = _outcomes(manifest.get("horses", {}))
        if not plan or plan["run"] == manifest.get("run"):
            return outcomes
        outcomes |= _outcomes(plan["horses"])
        lines = [line for line in _lines(self._journal) if line.get("run") == plan["run"]]
        return outcomes | _outcomes({line["horse"]: line for line in lines})

    def lost(self) -> list[Path]:
        """Return what a run has written down here and is not there as it was written.

        A first run that is cut short leaves a plan and no manifest.
        """
        files = (self._manifest, self._plan, self._plan.with_name(OWNERS))
        spoiled = [path for path in files if path.exists() and not read_json(path)]
        return spoiled or ([] if self._manifest.exists() or self._plan.exists() else [files[0]])

    def begin(self, run: Mapping[str, Any], planned: Mapping[str, Outcome]) -> Journal:
        """Write the plan of a run, in which no horse is reached yet, and begin its journal."""
        self._plan.parent.mkdir(exist_ok=True)
        put_json(self._plan, {**run, "horses": _entries(planned)})
        put_file(self._journal, b"")
        return Journal(self._journal, run["run"])

    def end(self, run: Mapping[str, Any], outcomes: Mapping[str, Outcome]) -> None:
        """Write the manifest of a run."""
        counts = {s: sum(o.state == s for o in outcomes.values()) for s in STATES}
        put_json(self._manifest, {**run, "counts": counts, "horses": _entries(outcomes)})


def _entries(outcomes: Mapping[str, Outcome]) -> dict[str, dict[str, Any]]:
    return {horse: asdict(outcome) for horse, outcome in sorted(outcomes.items())}


def _outcomes(entries: Mapping[str, Any]) -> dict[str, Outcome]:
    """Read outcomes; an entry that another racecalc wrote in its own way is as good as none."""
    known = Outcome.__dataclass_fields__
    found = {}
    for horse, entry in entries.items():
        try:
            kept = {key: value for key, value in entry.items() if key in known}
            standing = kept.pop("standing", None)
            kept["standing"] = Standing(**standing) if standing else None
            found[horse] = Outcome(**kept)
        except (AttributeError, TypeError, ValueError):
            continue
    return found


def put_json(path: Path, content: Mapping[str, Any]) -> None:
    """Write a file of ours, with a hash by which it is known to be as it was written."""
    text = json.dumps({**content, _HASH: _hash(content)}, indent=1, ensure_ascii=False)
    put_file(path, f"{text}\n".encode())


def read_json(path: Path) -> dict[str, Any]:
    """Return what a file of ours holds; nothing where there is none, or not as it was written."""
    try:
        content = json.loads(path.read_text("utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    known = content.pop(_HASH, "") if isinstance(content, dict) else ""
    return content if known == _hash(content) else {}


def _hash(content: Mapping[str, Any]) -> str:
    return hashlib.sha256(json.dumps(content).encode()).hexdigest()


def _lines(path: Path) -> Iterator[dict[str, Any]]:
    """Yield the whole lines of a journal: the last one may have been cut off by a loss of power."""
    try:
        text = path.read_text("utf-8", errors="replace")
    except OSError:
        return
    # Names may hold characters that end lines elsewhere.
    for line in text.split("\n"):
        try:
            content = json.loads(line)
        except ValueError:
            continue
        if isinstance(content, dict) and isinstance(content.get("horse"), str):
            yield content
