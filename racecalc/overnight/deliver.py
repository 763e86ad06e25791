"""Putting the owners' outbox on the disk, and taking out of it what no longer belongs there."""

import hashlib
import json
import shutil
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path
from typing import Any

from racecalc.overnight.disk import FULL, put_folder, write_folder
from racecalc.overnight.keys import file_hash, key_of
from racecalc.overnight.outbox import Ready, as_plain, outbox
from racecalc.overnight.plan import intact
from racecalc.overnight.prepare import Known
from racecalc.overnight.records import OWNERS, Outcome, put_json, read_json
from racecalc.report.finished import MONTHLY

__all__ = ["Delivered", "deliver", "delivered", "owners_folder"]

Folders = dict[str, dict[str, str]]
"""The hashes of the files by folder and name; while one takes the place of another, both."""

_DRAFT = ".eml"
_EDITED = "{}: was changed by somebody and is kept; delete it for a new one"
_REFUSED = (
    "{}: some of its shares could not be used, see racecalc check; whom they name is not told of it"
)
_UNREAD = (
    "the table of owners or of shares could not be read: the owners’ folders were left as they were"
)


@dataclass(frozen=True)
class Delivered:
    """What became of the owners' folders.

    Attributes
    ----------
    told : tuple of str
        What the barn should know of it and has not been told by an earlier run.
    whole : bool
        Whether all of them are as they should be.
    """

    told: tuple[str, ...]
    whole: bool


def owners_folder(out: Path, month: str) -> Path:
    """Return the folder that holds a folder for each owner."""
    return out / "owners" / month


def delivered(out: Path, month: str) -> Folders:
    """Return what was put there."""
    folders: Folders = read_json(_record(out, month)).get("folders", {})
    return folders


def deliver(
    known: Known, month: str, drafts: bool, outcomes: Iterable[Outcome], out: Path, work: Path
) -> Delivered:
    """Sort the reports that stand by owner, each into the folder of those who hold a share.

    Parameters
    ----------
    known : Known
        The book, with its owners and shares.
    month : str
        The month, ``YYYY-MM``.
    drafts : bool
        Whether each owner gets the draft of an e-mail too.
    outcomes : iterable of Outcome
        What became of each horse.
    out, work : Path
        The folder of all reports, and one of the run's own.

    Returns
    -------
    Delivered
        What the barn should know of it, and whether all of it is in its place.

    Raises
    ------
    OSError
        If nothing can be written any more.
    """
    if known.shares_unread:
        return Delivered((_UNREAD,), False)
    standing = {o.horse: o for o in outcomes if o.standing is not None}
    before = read_json(_record(out, month))
    # Who was given drafts once finds them true to the reports from then on.
    drafts = drafts or before.get("drafts", False)
    key = _key(known, month, drafts, standing.values())
    target = owners_folder(out, month)
    old: Folders = before["folders"] if before else _found(target, known)
    if before.get("key") == key and all(intact(target / f, names) for f, names in old.items()):
        return Delivered((), True)
    ready = [_ready(outcome, out / month) for outcome in standing.values()]
    written = work if drafts else None
    made, told = outbox(known.barn, month, known.owners, known.shares, ready, written)
    edited = _edited(target, made, old)
    told += tuple(_EDITED.format(target / folder / name) for folder, name in edited)
    told += tuple(map(_REFUSED.format, known.shares_refused))
    new = {folder: {n: _hash(c) for n, c in files.items()} for folder, files in made.items()}
    for folder, name in edited:
        # So that it goes on being told from one of ours.
        new[folder][name] = old[folder][name]
    both = {folder: _either(old.get(folder, {}), new.get(folder, {})) for folder in {**old, **new}}
    # First what may come to be there: a run that ends in between leaves nothing unaccounted for.
    record: dict[str, Any] = {"key": "", "drafts": drafts, "told": [], "folders": both}
    _write(out, month, record)
    failed = _put(target, made, both, work)
    # Where one could not be put, what there was stands.
    there = new | {folder: both[folder] for folder in failed}
    _write(out, month, record | {"key": "" if failed else key, "told": told, "folders": there})
    news = [line for line in told if line not in before.get("told", ())]
    return Delivered((*news, *failed.values()), not failed)


def _either(old: Mapping[str, str], new: Mapping[str, str]) -> dict[str, str]:
    """Return the hashes that files may have while one set takes the place of the other."""
    hashes = {name: {old.get(name, ""), new.get(name, "")} for name in {**old, **new}}
    return {name: " ".join(sorted(found - {""})) for name, found in hashes.items()}


def _edited(
    target: Path, made: Mapping[str, dict[str, bytes | Path]], old: Folders
) -> list[tuple[str, str]]:
    """Keep the drafts that somebody has written in; return their folders and names."""
    found = []
    for folder, files in made.items():
        for name in [name for name in files if name.endswith(_DRAFT)]:
            path, put = target / folder / name, old.get(folder, {}).get(name)
            if put and path.is_file() and file_hash(path) not in (*put.split(), _hash(files[name])):
                files[name] = path
                found.append((folder, name))
    return found


def _put(
    target: Path, made: Mapping[str, Mapping[str, bytes | Path]], both: Folders, work: Path
) -> dict[str, str]:
    """Put the owners' folders in their places; return which could not be, and why."""
    if made:
        for place in (target.parent, target):
            place.mkdir(exist_ok=True)
    failed = {}
    # Who gets nothing any more comes first.
    for folder in sorted(both, key=lambda folder: (folder in made, folder)):
        try:
            if folder not in made:
                _take_away(target / folder, both[folder])
            elif not _is_there(target / folder, made[folder], both[folder]):
                write_folder(work / f"owner.{folder}", made[folder])
                put_folder(work / f"owner.{folder}", target / folder, both[folder])
        except OSError as error:
            if error.errno in FULL:
                raise
            why = f"could not be written: {error.strerror or error}"
            failed[folder] = f"{target / folder}: {why}"
    return failed


def _is_there(folder: Path, files: Mapping[str, bytes | Path], ours: Mapping[str, str]) -> bool:
    """Say whether a folder holds these files of ours as they are now, and no others of ours."""
    return set(files) == {name for name in ours if (folder / name).exists()} and intact(
        folder, {name: _hash(content) for name, content in files.items()}
    )


def _found(target: Path, known: Known) -> Folders:
    """Return what could be ours by its name, where it is not known what was put there."""
    ours = {"index", *known.names, *known.refused}
    return {
        folder.name: {
            path.name: ""
            for path in folder.iterdir()
            if path.suffix in (".html", ".pdf") and {path.stem, path.stem.rstrip("_")} & ours
        }
        | {f"{folder.name}.eml": ""}
        for folder in target.glob("*/")
    }


def _key(known: Known, month: str, drafts: bool, outcomes: Iterable[Outcome]) -> str:
    parts = key_of("", {}, MONTHLY)
    content = [
        *[month, drafts, parts["racecalc"], parts["templates"], asdict(known.barn)],
        *[as_plain(known.owners), as_plain(known.shares)],
        sorted((o.horse, o.name, o.standing.files) for o in outcomes if o.standing),
    ]
    return hashlib.sha256(json.dumps(content).encode()).hexdigest()


def _ready(outcome: Outcome, folder: Path) -> Ready:
    standing = outcome.standing
    if standing is None:
        raise ValueError(f"{outcome.horse} has no report")
    return Ready(
        outcome.horse,
        outcome.name,
        date.fromisoformat(standing.day),
        tuple(standing.summary),
        folder / outcome.horse / "report.html",
        folder / outcome.horse / "report.pdf",
    )


def _hash(content: bytes | Path) -> str:
    if isinstance(content, bytes):
        return hashlib.sha256(content).hexdigest()
    return file_hash(content)


def _take_away(folder: Path, ours: Mapping[str, str]) -> None:
    """Remove our files of an owner who gets nothing any more, and the folder if that was all."""
    for name in ours:
        (folder / name).unlink(missing_ok=True)
    if folder.is_dir() and not any(folder.iterdir()):
        shutil.rmtree(folder)


def _record(out: Path, month: str) -> Path:
    return out / ".racecalc" / month / OWNERS


def _write(out: Path, month: str, content: Mapping[str, Any]) -> None:
    put_json(_record(out, month), content)
