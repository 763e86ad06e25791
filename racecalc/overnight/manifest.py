"""What became of each horse in a run: exactly one state each, with its cause."""

import json
from collections.abc import Sequence
from dataclasses import dataclass

from racecalc import __version__

__all__ = ["STATES", "Outcome", "manifest_text"]

STATES = ("made", "unchanged", "no-data", "failed", "not-reached")


@dataclass(frozen=True)
class Outcome:
    """One horse's state after a run."""

    horse: str
    name: str
    state: str
    cause: str
    data_hash: str = ""

    def __post_init__(self) -> None:
        if self.state not in STATES:
            raise ValueError(f"{self.state!r} is not a state; the states are {', '.join(STATES)}")


def manifest_text(month: str, outcomes: Sequence[Outcome], book_errors: int) -> str:
    """Return the manifest of a run as JSON."""
    content = {
        "month": month,
        "version": __version__,
        "book_errors": book_errors,
        "counts": {state: sum(o.state == state for o in outcomes) for state in STATES},
        "horses": {outcome.horse: _entry(outcome) for outcome in outcomes},
    }
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"


def _entry(outcome: Outcome) -> dict[str, str]:
    return {
        "name": outcome.name,
        "state": outcome.state,
        "cause": outcome.cause,
        "data_hash": outcome.data_hash,
    }
