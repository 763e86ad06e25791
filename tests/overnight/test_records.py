"""Records that are torn, spoiled or of another racecalc cost work, never a report."""

import json
import shutil

import pytest

from racecalc import overnight
from racecalc.overnight.records import put_json, read_json
from tests.daybook.stable import TABLES
from tests.overnight.nothing_lost import Before, nothing_lost
from tests.overnight.scene import LAST_MONTH, MONTH, Scene, changed_works

RECORDS = {
    "manifest": f"{MONTH}/manifest.json",
    "plan": f".racecalc/{MONTH}/plan.json",
    "book": ".racecalc/book.json",
    "owners": f".racecalc/{MONTH}/owners.json",
}
JOURNAL = f".racecalc/{MONTH}/journal.jsonl"
SOLD = TABLES["shares"].replace("007,moth", "007,quill")


@pytest.fixture(scope="module")
def scene(quick_folder):
    """A stable whose reports are made."""
    scene = Scene(quick_folder)
    assert scene.run(month=LAST_MONTH).returncode == 0
    assert scene.run().returncode == 0
    shutil.copytree(scene.out, scene.folder / "saved")
    return scene


@pytest.fixture
def out(scene):
    """The folder of reports as it was made."""
    shutil.rmtree(scene.out)
    shutil.copytree(scene.folder / "saved", scene.out)
    scene.write(works=TABLES["works"], shares=TABLES["shares"])
    scene.parts["workbook"] = "first"
    return scene.out


@pytest.fixture
def unfinished(scene, out):
    """The run ended before its manifest: plan and journal are all there is."""
    scene.parts["workbook"] = "second"
    scene.run()
    (out / MONTH / "manifest.json").unlink()
    return out


def spoiled(content):
    """Yield what a file of ours may become, by what has happened to it."""
    whole = json.loads(content)
    return {
        "empty": b"",
        "cut": content[: len(content) // 2],
        "without its end": content[:-3],
        "a list": b"[]",
        "nothing": b"null",
        "an object": b"{}",
        "deep": b"[" * 100_000,
        "no text": b"\xff\xfe\x00",
        "another file's": b'{"version": 1, "horses": [1, 2], "folders": {"..": {"x": ""}}}',
        "changed by hand": content.replace(b"brindle", b"brandle"),
        "of an older racecalc": json.dumps({**whole, "sha256": None}).encode(),
    }


KINDS = list(spoiled(b"{}"))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("record", RECORDS)
def test_a_record_that_is_spoiled_is_as_good_as_none(scene, out, record, kind):
    path = out / RECORDS[record]
    path.write_bytes(spoiled(path.read_bytes())[kind])
    nothing_lost(scene, Before(scene, records=False), 1)
    scene.write(works=changed_works(2), shares=SOLD)
    nothing_lost(scene, Before(scene, records=False), 1)


def test_without_any_record_an_owner_keeps_no_horse_that_was_sold(scene, out):
    foreign = {f"owners/{MONTH}/moth/answer.pdf": b"an owner's"}
    (out / next(iter(foreign))).write_bytes(b"an owner's")
    shutil.rmtree(out / ".racecalc")
    (out / RECORDS["manifest"]).unlink()
    scene.write(shares=SOLD)
    nothing_lost(scene, Before(scene, foreign, records=False), 1)
    assert scene.run().returncode == 0
    there = {path.name for path in (out / "owners" / MONTH / "moth").iterdir()}
    assert there == {"index.html", "brindle.html", "brindle.pdf", "moth.eml", "answer.pdf"}


def test_an_entry_of_another_form_is_that_horses_alone(scene, out):
    """As a racecalc would read it in which a report's record has other fields."""
    for name in ("manifest", "plan"):
        path = out / RECORDS[name]
        content = read_json(path)
        content["horses"]["brindle"]["standing"] = {"page": "report.html"}
        put_json(path, content)
    assert scene.run().returncode == 0
    assert scene.made == ["brindle"]


def test_a_journal_torn_at_any_byte_tells_the_lines_before(unfinished):
    path = unfinished / JOURNAL
    whole = path.read_bytes()
    first = whole.index(b"\n") + 1
    planned = overnight.Records(unfinished, MONTH)
    path.write_bytes(whole[:first])
    with_first = planned.outcomes()
    assert sorted(one.state for one in with_first.values()) == ["made", "not-reached"]
    path.write_bytes(whole)
    with_both = planned.outcomes()
    assert sorted(one.state for one in with_both.values()) == ["made", "no-data"]
    for end in range(first, len(whole) + 1):
        path.write_bytes(whole[:end])
        # The end of the line alone may be missing.
        assert planned.outcomes() == (with_both if end >= len(whole) - 1 else with_first)


@pytest.mark.parametrize("share", range(0, 10, 3))
def test_after_a_torn_journal_the_next_run_makes_the_rest(scene, unfinished, share):
    path = unfinished / JOURNAL
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) * share // 10])
    nothing_lost(scene, Before(scene), 1)
    assert scene.run().returncode == 0
    assert scene.made == (["brindle", "007"] if share < 5 else ["007"])


@pytest.mark.parametrize(
    "line", [b"[]", b"7", b'{"run": 1}', b'{"horse": []}', b'{"horse": "brindle"}', b"\xff"]
)
def test_a_line_of_something_else_in_the_journal_is_none(scene, unfinished, line):
    path = unfinished / JOURNAL
    path.write_bytes(line + b"\n" + path.read_bytes() + line)
    assert scene.run().returncode == 0
    assert scene.made == []


def test_a_name_may_hold_what_ends_a_line_elsewhere(scene, out):
    """As NEL, or the separators of Unicode: a record of the journal is a line all the same."""
    path = out / JOURNAL
    run = read_json(out / RECORDS["plan"])["run"]
    entry = {**json.loads(path.read_bytes().split(b"\n")[0]), "run": run, "name": "A\u2028B\x85C"}
    path.write_text(json.dumps(entry, ensure_ascii=False) + "\n", "utf-8")
    (out / RECORDS["manifest"]).unlink()
    assert overnight.Records(out, MONTH).outcomes()["brindle"].name == "A\u2028B\x85C"
