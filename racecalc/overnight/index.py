"""The barn's page of a month: every horse, its state and its report; not for owners."""

from collections.abc import Iterable
from datetime import date, datetime

from racecalc.overnight.layouts import layout
from racecalc.overnight.prepare import Known
from racecalc.overnight.records import Outcome

__all__ = ["index_page"]

_STATE_WORDS = {
    "made": "report made",
    "unchanged": "unchanged",
    "no-data": "nothing recorded",
    "failed": "failed",
    "not-reached": "not reached",
}


def index_page(known: Known, month: str, run: str, outcomes: Iterable[Outcome]) -> str:
    """Return the index as HTML, its links relative to the folder of the month.

    ``run`` is when the run began, as ISO 8601 has it.
    """
    from racecalc.words import day_of

    begun = datetime.fromisoformat(run)
    return layout("barn.html.j2").render(
        barn=known.barn,
        month=f"{date.fromisoformat(f'{month}-01'):%B %Y}",
        outcomes=sorted(outcomes, key=lambda outcome: (outcome.name.casefold(), outcome.horse)),
        words=_STATE_WORDS,
        run=f"{day_of(begun.date())} {begun:%Y, %H:%M}",
        problems=[str(problem) for problem in known.problems],
        more=max(known.errors - len(known.problems), 0),
    )
