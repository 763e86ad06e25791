"""The owners' outbox: for each owner a folder with the reports of that owner's horses only."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from math import fsum
from pathlib import Path
from typing import Any

import pandas as pd

from racecalc.daybook import Barn, Book
from racecalc.overnight.drafts import (
    CAUTIONS,
    Ended,
    Entry,
    Letter,
    address_of,
    draft,
    names_apart,
    one_line,
)
from racecalc.overnight.layouts import layout
from racecalc.workload import month_bounds

__all__ = [
    "Owner",
    "Ready",
    "Share",
    "as_plain",
    "outbox",
    "owners_from",
    "owners_of",
    "shares_from",
    "shares_of",
]

Plain = dict[str, Any]
"""A row as JSON has it."""

_PAGE = "index"
# Mail services commonly refuse a message above this.
_LARGE_DRAFT_BYTES = 20_000_000


@dataclass(frozen=True)
class Owner:
    """A row of the table of owners; ``email`` is None where it is blank."""

    owner: str
    name: str | None
    email: str | None


@dataclass(frozen=True)
class Share:
    """A row of the table of shares: percent, from ``since`` to ``until``, both days included."""

    owner: str
    horse: str
    percent: float
    since: date | None
    until: date | None

    def is_held(self, day: date) -> bool:
        """Say whether the share is held on a day; a blank end is open."""
        return (self.since or day) <= day <= (self.until or day)


@dataclass(frozen=True)
class Ready:
    """A finished report on disk.

    Attributes
    ----------
    horse, name : str
        The horse's id, and what it is called.
    day : date
        The last day that the report tells of.
    summary : tuple of str
        The sentences at the head of the report.
    page, paper : Path
        The report for a screen (HTML) and for paper (PDF).
    """

    horse: str
    name: str
    day: date
    summary: tuple[str, ...]
    page: Path
    paper: Path


def owners_of(book: Book) -> tuple[Owner, ...]:
    """Return the owners of a checked book."""
    return owners_from(_rows(book.tables["owners"][["owner", "name", "email"]]))


def shares_of(book: Book) -> tuple[Share, ...]:
    """Return the shares of a checked book."""
    columns = ["owner", "horse", "percent", "since", "until"]
    return tuple(
        Share(**{**row, "since": _day(row["since"]), "until": _day(row["until"])})
        for row in _rows(book.tables["shares"][columns])
    )


def as_plain(rows: Iterable[Owner | Share]) -> list[Plain]:
    """Return owners or shares as JSON can hold them, their dates as ISO 8601 writes them."""
    return [
        {
            key: value.isoformat() if isinstance(value, date) else value
            for key, value in vars(row).items()
        }
        for row in rows
    ]


def owners_from(plain: Iterable[Plain]) -> tuple[Owner, ...]:
    """Return owners from what `as_plain` made of them."""
    return tuple(Owner(**row) for row in plain)


def shares_from(plain: Iterable[Plain]) -> tuple[Share, ...]:
    """Return shares from what `as_plain` made of them."""
    return tuple(
        Share(**{**row, "since": _read(row["since"]), "until": _read(row["until"])})
        for row in plain
    )


def _read(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


def _rows(frame: pd.DataFrame) -> list[Plain]:
    return [
        {str(key): None if pd.isna(value) else value for key, value in row.items()}
        for row in frame.to_dict("records")
    ]


def _day(value: pd.Timestamp | None) -> date | None:
    return None if value is None else value.date()


def outbox(
    barn: Barn,
    month: str,
    owners: Iterable[Owner],
    shares: Iterable[Share],
    ready: Iterable[Ready],
    drafts: Path | None = None,
) -> tuple[dict[str, dict[str, bytes | Path]], tuple[str, ...]]:
    """Sort a month's reports by owner.

    A report goes to those who hold a share on the last day that it tells of: whoever sold during
    the month must not read what happened after.

    Parameters
    ----------
    barn : Barn
        The barn's settings.
    month : str
        The month, ``YYYY-MM``.
    owners, shares : iterable
        Whom the horses belong to.
    ready : iterable of Ready
        The finished reports of the month, one of a horse.
    drafts : Path, optional
        A folder for the draft of an e-mail to each owner, none of which is kept in memory; without
        it there are none.

    Returns
    -------
    folders : dict of str to dict
        What belongs in ``owners/NAME/``, and nothing else does: by name of the folder (the owner's
        id, with ``_`` behind it where a file system would take it for something else) and of the
        file, its content, or the path of what to link or copy there.
    told : tuple of str
        What the barn should know of it; this names horses and owners, and is not for owners.

    Raises
    ------
    OutOfRangeError
        If ``month`` is none.
    OSError
        If a draft cannot be written.
    """
    first, _ = month_bounds(month)
    reports = {report.horse: report for report in ready}
    known = {owner.owner: owner for owner in owners}
    held: dict[str, dict[str, list[Share]]] = {}
    for share in shares:
        held.setdefault(share.owner, {}).setdefault(share.horse, []).append(share)
    told = _told_of_horses(first, reports, held)
    folders: dict[str, dict[str, bytes | Path]] = {}
    for owner, folder in zip(sorted(held), names_apart(sorted(held)), strict=True):
        person = known.get(owner, Owner(owner, None, None))
        belongings = _belongings(held[owner], reports, first)
        if belongings.held or belongings.sold:
            told += _told_of_owner(person, belongings, drafts is not None)
            letter = _letter(barn, first, person, belongings)
            folders[folder] = _files(letter, belongings)
            if drafts is not None:
                told += _put_draft(letter, owner, folders[folder], drafts / f"{folder}.eml")
    return folders, tuple(told)


@dataclass(frozen=True)
class _Belongings:
    """The reports that an owner gets, with percent; those that end a share, with its last day."""

    held: tuple[tuple[Ready, float], ...]
    sold: tuple[tuple[Ready, date], ...]


def _belongings(own: dict[str, list[Share]], reports: dict[str, Ready], first: date) -> _Belongings:
    mine = sorted(
        (reports[horse] for horse in own if horse in reports),
        key=lambda report: (report.name.casefold(), report.horse),
    )
    held, sold = [], []
    for report in mine:
        rows = own[report.horse]
        percent = fsum(share.percent for share in rows if share.is_held(report.day))
        ends = [share.until for share in rows if share.until and first <= share.until < report.day]
        if percent:
            held.append((report, percent))
        elif ends:
            sold.append((report, max(ends)))
    return _Belongings(tuple(held), tuple(sold))


def _letter(barn: Barn, first: date, person: Owner, belongings: _Belongings) -> Letter:
    from racecalc.words import day_of

    files = names_apart((report.horse for report, _ in belongings.held), [_PAGE])
    entries = tuple(
        Entry(
            name=one_line(report.name) or report.horse,
            file=file,
            share=f"{round(percent, 4):g} %",
            day=day_of(report.day, first),
            summary=one_line(" ".join(report.summary)),
            paper=report.paper,
        )
        for (report, percent), file in zip(belongings.held, files, strict=True)
    )
    ended = tuple(
        Ended(one_line(report.name) or report.horse, day_of(until, first))
        for report, until in belongings.sold
    )
    return Letter(
        barn=one_line(barn.name),
        trainer=one_line(barn.trainer),
        language=barn.language,
        owner=one_line(person.name or ""),
        address=address_of(person.email or ""),
        key=f"{first:%Y-%m}",
        month=f"{first:%B %Y}",
        entries=entries,
        ended=ended,
    )


def _files(letter: Letter, belongings: _Belongings) -> dict[str, bytes | Path]:
    page = layout("owner.html.j2").render(letter=letter, cautions=CAUTIONS)
    files: dict[str, bytes | Path] = {f"{_PAGE}.html": page.encode()}
    for entry, (report, _) in zip(letter.entries, belongings.held, strict=True):
        files |= {f"{entry.file}.html": report.page, f"{entry.file}.pdf": report.paper}
    return files


def _put_draft(letter: Letter, owner: str, files: dict[str, bytes | Path], path: Path) -> list[str]:
    """Write the draft, add it, and say what the barn must know of it."""
    try:
        content = draft(letter)
    except OSError as error:
        return [f"{owner}: no draft, for a report cannot be read: {error.strerror or error}"]
    path.write_bytes(content)
    files[path.name] = path
    if len(content) <= _LARGE_DRAFT_BYTES:
        return []
    megabytes = f"{len(content) / 1e6:.0f} MB"
    return [
        f"{owner}: the draft has {megabytes}, more than many mail services take "
        f"({_LARGE_DRAFT_BYTES / 1e6:.0f} MB); send its reports in several mails"
    ]


def _told_of_horses(
    first: date, reports: dict[str, Ready], held: dict[str, dict[str, list[Share]]]
) -> list[str]:
    shares: dict[str, list[Share]] = {}
    for own in held.values():
        for horse, rows in own.items():
            shares.setdefault(horse, []).extend(rows)
    told = [
        f"{horse}: nobody holds a share on {report.day}; its report is in no owner’s folder"
        for horse, report in sorted(reports.items())
        if not any(share.is_held(report.day) for share in shares.get(horse, ()))
    ]
    _, last = month_bounds(f"{first:%Y-%m}")
    return told + [
        f"{horse}: there is no report of {first:%B %Y}; its owners are told nothing of it"
        for horse, rows in sorted(shares.items())
        if horse not in reports
        and any((row.since or first) <= last and first <= (row.until or last) for row in rows)
    ]


def _told_of_owner(person: Owner, belongings: _Belongings, drafts: bool) -> list[str]:
    owner = person.owner
    told = [
        f"{owner}: the share in {report.horse} ended on {until}, before the last day of its "
        f"report ({report.day}); the folder has a line on it, no report"
        for report, until in belongings.sold
    ]
    if not one_line(person.name or ""):
        told.append(f"{owner}: has no name in the table of owners; the page bears none")
    if drafts and not person.email:
        told.append(f"{owner}: has no e-mail address; the draft is to nobody")
    elif drafts and not address_of(person.email or ""):
        told.append(
            f"{owner}: the e-mail address is none that every mail program takes; the draft is to "
            "nobody, fill it in there"
        )
    return told
