"""What must hold after every fault, whatever it was: nothing is lost."""

import email
import json
import re
import shutil
from collections.abc import Iterable, Mapping
from pathlib import Path
from types import MappingProxyType

from racecalc import overnight
from tests.overnight.scene import FILES, LAST_MONTH, MONTH, Scene, content_of, published, tree

__all__ = ["Before", "nothing_lost"]

_LINK = re.compile(rb'href="([^"/#]+\.(?:html|pdf))"')


class Before:
    """How things stood before a fault.

    Parameters
    ----------
    scene : Scene
        The book and its reports.
    foreign : mapping of str to bytes
        What users have put among the reports, by path.
    spoiled : iterable of str
        Folders that somebody has changed since they were made.
    records : bool
        Whether the records of the runs are whole; else they are when the next run has ended.
    """

    def __init__(
        self,
        scene: Scene,
        foreign: Mapping[str, bytes] = MappingProxyType({}),
        spoiled: Iterable[str] = (),
        *,
        records: bool = True,
    ) -> None:
        self.inputs = tree(scene.book)
        self.last_month = tree(scene.out / LAST_MONTH)
        self.horses = _horses(scene.out)
        self.foreign = foreign
        self.spoiled = set(spoiled)
        self.records = records


def nothing_lost(scene: Scene, before: Before, status: int) -> None:
    """Look at the six points, on the disk as a fault left it and after the run that follows it.

    (a) the inputs are as they were; (b) last month's reports, and the last good ones of this month,
    still open; (c) nothing under a published name is half of one thing, or half another; (d) each
    horse is in one state; (e) the next run comes to what an undisturbed one comes to; (f) the
    status was 0 only if all is well. What users put there is still there.

    Parameters
    ----------
    scene : Scene
        The book and its reports.
    before : Before
        How things stood.
    status : int
        How the disturbed run ended.
    """
    _look(scene, scene.out, before)
    if status == 0:
        _all_well(scene, scene.out, before)
    again = scene.out.with_name("again")
    shutil.rmtree(again, ignore_errors=True)
    if scene.out.exists():
        shutil.copytree(scene.out, again, symlinks=True)
    made = list(scene.made)
    done = scene.run(out=again)
    scene.made[:] = made
    assert done.returncode == (1 if scene.bad or scene.known().errors else 0), done.stderr
    before.spoiled.clear()
    before.records = True
    _look(scene, again, before)
    _all_well(scene, again, before)
    assert not (again / ".racecalc" / "work").exists()
    assert not list(again.rglob(".*.part"))


def _look(scene: Scene, out: Path, before: Before) -> None:
    assert tree(scene.book) == before.inputs, "(a) the book"
    if not out.exists():
        return
    assert tree(out / LAST_MONTH) == before.last_month, "(b) last month"
    reports = {out / MONTH / horse for horse in before.horses | _horses(out)}
    letters = set((out / "owners" / MONTH).glob("*"))
    spoiled = {out / name for name in before.spoiled}
    for folder in reports - spoiled:
        _whole_report(folder)
    for folder in letters - spoiled:
        _whole_letter(folder, before)
    for name, content in before.foreign.items():
        assert (out / name).read_bytes() == content, f"what a user put at {name}"
    if before.records:
        _each_in_one_state(out)


def _horses(out: Path) -> set[str]:
    return {path.name for path in (out / MONTH).glob("*") if path.is_dir() and "." not in path.name}


def _whole_report(folder: Path) -> str:
    """Look whether a report is whole, and of one making; return its stamp."""
    stamp = str(json.loads((folder / FILES[0]).read_bytes())["stamp"])
    for name in FILES:
        assert (folder / name).read_bytes() == content_of(folder.name, stamp, name), "(c) " + name
    return stamp


def _whole_letter(folder: Path, before: Before) -> None:
    """Look whether an owner's folder is whole, and has no report but those that its page tells."""
    there = {path.name for path in folder.iterdir()}
    there -= {Path(name).parts[3] for name in before.foreign if Path(name).parts[2] == folder.name}
    if not there:
        return
    told = {name.decode() for name in _LINK.findall((folder / "index.html").read_bytes())}
    horses = {name.removesuffix(".html") for name in told if name.endswith(".html")}
    assert told == {f"{horse}{end}" for horse in horses for end in (".html", ".pdf")}
    assert there - {"index.html", f"{folder.name}.eml"} == told, "(c) an owner's folder"
    stamps = {horse: json.loads((folder / f"{horse}.html").read_bytes()) for horse in horses}
    for horse, found in stamps.items():
        for end in (".html", ".pdf"):
            content = content_of(horse, found["stamp"], f"report{end}")
            assert (folder / f"{horse}{end}").read_bytes() == content, "(c) an owner's report"
    if (folder / f"{folder.name}.eml").exists():
        draft = (folder / f"{folder.name}.eml").read_bytes()
        parts = [part for part in email.message_from_bytes(draft).walk() if part.get_filename()]
        attached = {part.get_payload(decode=True) for part in parts}
        assert attached == {(folder / f"{horse}.pdf").read_bytes() for horse in horses}


def _each_in_one_state(out: Path) -> None:
    outcomes = overnight.Records(out, MONTH).outcomes()
    assert all(outcome.state in overnight.STATES for outcome in outcomes.values())
    assert _horses(out) <= set(outcomes), "(d) a report nobody knows of"
    manifest = out / MONTH / "manifest.json"
    if manifest.exists():
        told = json.loads(manifest.read_bytes())
        assert sum(told["counts"].values()) == len(told["horses"]), "(d) states"


def _all_well(scene: Scene, out: Path, before: Before) -> None:
    manifest = json.loads((out / MONTH / "manifest.json").read_bytes())
    known = scene.known()
    assert set(manifest["horses"]) == {*known.names, *known.refused}, "(d) every horse"
    bad = {horse for horse, one in manifest["horses"].items() if one["state"] == "failed"}
    assert bad == scene.bad | set(known.refused)
    assert not any(one["state"] == "not-reached" for one in manifest["horses"].values())
    found = published(out)
    for name in before.foreign:
        found.pop(name, None)
    assert found == scene.undisturbed(), "(e) the bytes of an undisturbed run"
    assert overnight.verify(out).wrong == ()
