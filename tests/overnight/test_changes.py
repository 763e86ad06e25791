"""What changes while a run is at work, or between two of them."""

import json
import os
import shutil
import signal
import socket
import subprocess
import sys
from unittest import mock

import pytest

from racecalc.overnight import prepare
from racecalc.overnight.pool import Lost
from tests.command import racecalc_here
from tests.daybook.stable import TABLES, write_book
from tests.overnight.killing import kills, stopped_at
from tests.overnight.nothing_lost import Before, nothing_lost
from tests.overnight.scene import FILES, LAST_MONTH, MONTH, Scene, changed_works, tree

LOCK = ".racecalc/lock"
HOLD = """
import sys, time
from pathlib import Path
from racecalc.overnight.lock import locked
with locked(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(60)
"""


@pytest.fixture
def scene(tmp_path):
    """A stable with last month's reports."""
    scene = Scene(tmp_path)
    assert scene.run(month=LAST_MONTH).returncode == 0
    return scene


def meanwhile(scene, horse, does):
    """Let something happen when a report is made and not yet put in its place."""
    make = scene.make

    def made(task):
        answer = make(task)
        if task.horse == horse:
            does()
        return answer

    return mock.patch.object(scene, "make", made)


def states(scene):
    found = json.loads((scene.out / MONTH / "manifest.json").read_bytes())["horses"]
    return {horse: one["state"] for horse, one in found.items()}


def reasons(scene):
    found = json.loads((scene.out / MONTH / "manifest.json").read_bytes())["horses"]
    return {horse: one["reason"] for horse, one in found.items()}


class TestTheBook:
    def test_what_is_written_during_a_run_is_for_the_next(self, scene):
        as_it_was = scene.undisturbed()
        with meanwhile(scene, "007", lambda: scene.write(works=changed_works(2))):
            assert scene.run().returncode == 0
        found = {f"{MONTH}/{name}": content for name, content in tree(scene.out / MONTH).items()}
        reports = {name for name in as_it_was if name.startswith(MONTH)}
        assert {name: found[name] for name in reports} == {
            name: as_it_was[name] for name in reports
        }
        nothing_lost(scene, Before(scene), 1)
        assert scene.run().returncode == 0
        assert reasons(scene)["brindle"] == "changed: its records, or what the barn shares"

    def test_one_that_was_saved_while_it_was_read_is_read_again(self, tmp_path):
        book, saved = write_book(tmp_path / "book"), [changed_works(3)]

        def read(path):
            found = prepare_read(path)
            if saved:
                write_book(book, works=saved.pop())
            return found

        prepare_read = prepare.read
        (tmp_path / "store").mkdir()
        with mock.patch.object(prepare, "read", read):
            known = prepare._read(book, tmp_path / "store")
        assert known.fingerprint == prepare.fingerprint(book)

    def test_one_that_is_saved_all_the_time_is_refused(self, scene):
        assert scene.run().returncode == 0
        log = f"{MONTH}/overnight.log"
        before = tree(scene.out)
        marks = map(str, range(100))
        with mock.patch.object(prepare, "fingerprint", side_effect=marks):
            scene.write(works="work,date\n")
            done = scene.run()
        assert done.returncode == 3
        assert done.stderr == "book: is being changed; start again when nobody saves it\n"
        # The log says why nothing was made.
        assert {name: tree(scene.out)[name] for name in before if name not in (LOCK, log)} == {
            name: content for name, content in before.items() if name not in (LOCK, log)
        }
        assert tree(scene.out)[log].startswith(before[log])

    def test_a_horse_may_have_the_name_of_anything_of_ours(self, scene):
        odd = ("book", "owner", "owners", "report", "index", "manifest", "work", "lock", "failed")
        rows = "".join(f"{horse},Odd {horse.title()},,,,,,\n" for horse in odd)
        scene.write(horses=TABLES["horses"] + rows)
        assert scene.run().returncode == 0
        assert set(states(scene)) == {"brindle", "007", *odd}
        nothing_lost(scene, Before(scene), 0)

    def test_one_whose_slice_cannot_be_read_keeps_no_other_from_its_report(self, scene):
        """As when the process that finds hashes runs out of memory, each time."""
        scene.bad = {"007"}
        lost = mock.patch.object(scene, "_hashes", return_value=Lost())
        with lost:
            assert scene.run().returncode == 1
        assert states(scene) == {"brindle": "made", "007": "failed"}
        with lost:
            scene.run()
        assert states(scene) == {"brindle": "unchanged", "007": "failed"}
        scene.write(works=changed_works(2))
        with lost:
            scene.run()
        assert states(scene) == {"brindle": "made", "007": "failed"}


class TestUpgrades:
    @pytest.mark.parametrize(
        ("part", "words"),
        [
            ("workbook", "the workbook"), ("templates", "the layout"), ("fonts", "the fonts of"),
            ("racecalc", "racecalc itself"), ("libraries", "the libraries"),
        ],
    )  # fmt: skip
    def test_before_a_run_goes_on_they_make_anew_what_was_made_before(self, scene, part, words):
        scene.undisturbed()
        with meanwhile(scene, "007", kill_me):
            assert stopped_at(10_000, scene.out, lambda: scene.run().returncode, kills) == -9
        assert (scene.out / MONTH / "brindle").is_dir()
        assert not (scene.out / MONTH / "007").exists()
        scene.parts[part] = "second"
        nothing_lost(scene, Before(scene), -9)
        assert scene.run().returncode == 0
        assert scene.made == ["brindle", "007"]
        assert reasons(scene)["brindle"].startswith(f"changed: {words}")
        stamps = {
            json.loads(content)["stamp"] for content in tree(scene.out / MONTH / "brindle").values()
        }
        assert len(stamps) == 1

    def test_without_one_only_the_rest_is_made(self, scene):
        with meanwhile(scene, "007", kill_me):
            stopped_at(10_000, scene.out, lambda: scene.run().returncode, kills)
        assert scene.run().returncode == 0
        assert scene.made == ["007"]


def kill_me():
    os.kill(os.getpid(), signal.SIGKILL)


class TestTwoRuns:
    def test_the_second_is_refused_and_told_whose_the_first_is(self, scene):
        assert scene.run().returncode == 0
        command = [sys.executable, "-c", HOLD, str(scene.out / LOCK)]
        with subprocess.Popen(command, stdout=subprocess.PIPE) as first:
            assert first.stdout.readline() == b"held\n"
            before = tree(scene.out)
            done = scene.run()
            assert done.returncode == 5
            assert f"process {first.pid} on {socket.gethostname()}, since 20" in done.stderr
            assert tree(scene.out) == before
            first.kill()
        nothing_lost(scene, Before(scene), done.returncode)
        assert scene.run().returncode == 0

    def test_reports_can_be_verified_while_one_is_at_work(self, scene):
        said = []
        with meanwhile(scene, "007", lambda: said.append(racecalc_here("verify", scene.out))):
            assert scene.run().returncode == 0
        assert said[0].returncode == 0

    @pytest.mark.parametrize("content", [b"", b"{}", b"[1]", b"\xff", b'{"process": 1}'])
    def test_a_lock_file_that_nobody_holds_stops_nobody(self, scene, content):
        (scene.out / LOCK).write_bytes(content)
        assert scene.run().returncode == 0


class TestTheFolderOfReports:
    @pytest.mark.parametrize("part", [".", MONTH, ".racecalc", f".racecalc/{MONTH}"])
    def test_what_is_taken_away_during_a_run_is_not_made_anew_there(self, scene, part):
        """It may have been the folder of a disk that was unplugged."""
        with meanwhile(scene, "007", lambda: shutil.rmtree(scene.out / part)):
            done = scene.run()
        assert done.returncode == 4
        assert len(done.stderr.splitlines()) == 1
        assert scene.out.exists() == (part != ".")
        assert {path.name for path in scene.folder.iterdir()} <= {"book", "reports"}

    def test_what_was_taken_away_comes_back(self, scene):
        assert scene.run().returncode == 0
        shutil.rmtree(scene.out / MONTH)
        shutil.rmtree(scene.out / "owners" / MONTH)
        nothing_lost(scene, Before(scene), 1)

    def test_a_file_in_the_place_of_a_report_stays_and_stops_no_other(self, scene):
        (scene.out / MONTH).mkdir()
        (scene.out / MONTH / "brindle").write_text("a user's")
        done = scene.run()
        assert done.returncode == 1
        cause = f"could not be written: {scene.out / MONTH / 'brindle'}: is a file; move it away"
        assert done.stderr.startswith(f"brindle: failed: {cause}\n")
        assert states(scene) == {"brindle": "failed", "007": "no-data"}
        assert (scene.out / MONTH / "brindle").read_text() == "a user's"
        (scene.out / MONTH / "brindle").unlink()
        nothing_lost(scene, Before(scene), done.returncode)

    @pytest.mark.parametrize("place", [".racecalc", "owners", f"owners/{MONTH}/moth", MONTH])
    def test_a_file_in_the_place_of_another_folder_is_told(self, scene, place):
        away = scene.out / place
        if away.exists():
            shutil.rmtree(away)
        away.parent.mkdir(parents=True, exist_ok=True)
        away.write_text("a user's")
        done = scene.run()
        # One owner's trouble is not another's.
        assert done.returncode == (1 if place.endswith("moth") else 4)
        assert str(away) in done.stderr
        assert place.endswith("moth") or len(done.stderr.splitlines()) == 1
        assert away.read_text() == "a user's"

    def test_what_a_user_keeps_in_a_report_goes_along(self, scene):
        assert scene.run().returncode == 0
        folder = scene.out / MONTH / "brindle"
        (folder / "notes").mkdir(mode=0o750)
        (folder / "notes" / "one.txt").write_text("one")
        (folder / "nowhere").symlink_to("nowhere at all")
        (folder / "sample").symlink_to("notes")
        scene.write(works=changed_works(2))
        assert scene.run().returncode == 0
        assert scene.made == ["brindle"]
        assert {path.name for path in folder.iterdir()} == {"notes", "nowhere", "sample", *FILES}
        assert (folder / "sample" / "one.txt").read_text() == "one"
        assert (folder / "notes").stat().st_mode & 0o777 == 0o750

    def test_a_report_that_is_open_stays_whole_for_its_reader(self, scene):
        assert scene.run().returncode == 0
        with (scene.out / MONTH / "brindle" / FILES[0]).open("rb") as reader:
            begin = reader.read(20)
            scene.write(works=changed_works(2))
            assert scene.run().returncode == 0
            assert json.loads(begin + reader.read())["horse"] == "brindle"
