"""Reports on a real disk that is full, read-only, or taken away; it takes root to mount one."""

import os
import shutil
import subprocess

import pytest

from tests.overnight.nothing_lost import Before, nothing_lost
from tests.overnight.scene import LAST_MONTH, Scene, changed_works, tree

PAGE = 4096

pytestmark = pytest.mark.slow


def mounted(place, options):
    """Mount a disk in memory, or change how it is mounted; say whether that was allowed."""
    command = ["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(place)]
    try:
        return subprocess.run(command, capture_output=True, check=False).returncode == 0
    except OSError:
        return False


@pytest.fixture(scope="module")
def scene(quick_folder):
    """A stable whose reports are on a disk of their own."""
    scene = Scene(quick_folder)
    scene.out.mkdir()
    if not mounted(scene.out, "size=1m"):
        pytest.skip("nobody but root can mount a disk")
    try:
        assert scene.run(month=LAST_MONTH).returncode == 0
        yield scene
    finally:
        subprocess.run(["umount", "--lazy", str(scene.out)], check=True)


def resize(scene, pages):
    size = f"remount,size={pages * PAGE}" if pages else "remount,size=1m"
    assert mounted(scene.out, size)


def empty(folder):
    for path in folder.iterdir():
        shutil.rmtree(path) if path.is_dir() else path.unlink()


def pages_of(folder):
    found = os.statvfs(folder)
    return found.f_blocks - found.f_bfree


@pytest.mark.parametrize("begin", ["first", "later"])
def test_a_disk_too_small_by_any_number_of_pages_loses_nothing(scene, begin):
    if begin == "later":
        assert scene.run().returncode == 0
        scene.write(works=changed_works(2))
    saved = scene.folder / begin
    shutil.copytree(scene.out, saved)
    before, ends = Before(scene), []
    for spare in range(200):
        empty(scene.out)
        shutil.copytree(saved, scene.out, dirs_exist_ok=True)
        resize(scene, pages_of(scene.out) + spare)
        done = scene.run()
        resize(scene, 0)
        ends.append(done.returncode)
        nothing_lost(scene, before, done.returncode)
        if done.returncode == 0:
            break
        assert len(done.stderr.splitlines()) == 1
        assert "no room for the reports: about " in done.stderr
        assert "are free; make room and start again, what is done is kept" in done.stderr
    assert ends == [4] * (len(ends) - 1) + [0]
    assert len(ends) > (10 if begin == "first" else 2)


def test_a_disk_that_is_read_only_is_told_before_any_work(scene):
    before = tree(scene.out)
    assert mounted(scene.out, "remount,ro")
    try:
        done = scene.run()
    finally:
        assert mounted(scene.out, "remount,rw")
    assert done.returncode == 4
    assert done.stderr == f"{scene.out / '.racecalc' / 'lock'}: Read-only file system\n"
    assert tree(scene.out) == before
    assert scene.made == []


def test_a_disk_that_turns_read_only_during_a_run_loses_nothing(scene, monkeypatch):
    make = scene.make

    def made(task):
        answer = make(task)
        if task.horse == "brindle":
            # The disk itself cannot be while the journal is open.
            for options in ("bind", "remount,bind,ro"):
                mount = ["mount", "-o", options, str(scene.out), str(scene.out)]
                subprocess.run(mount, check=True)
        return answer

    monkeypatch.setattr(scene, "make", made)
    scene.write(works=changed_works(3))
    before = Before(scene)
    try:
        done = scene.run()
    finally:
        subprocess.run(["umount", str(scene.out)], check=True)
        monkeypatch.setattr(scene, "make", make)
    assert done.returncode == 4
    assert "Read-only file system" in done.stderr
    nothing_lost(scene, before, done.returncode)


def test_a_disk_that_is_taken_away_during_a_run_leaves_nothing_in_its_place(tmp_path):
    """The folder on which it was mounted is there, and on another disk."""
    scene = Scene(tmp_path)
    scene.out.mkdir()
    if not mounted(scene.out, "size=1m"):
        pytest.skip("nobody but root can mount a disk")
    make = scene.make

    def made(task):
        answer = make(task)
        if task.horse == "007":
            subprocess.run(["umount", "--lazy", str(scene.out)], check=True)
        return answer

    scene.make = made
    try:
        assert scene.run().returncode == 4
        assert list(scene.out.iterdir()) == []
    finally:
        subprocess.run(["umount", "--lazy", str(scene.out)], capture_output=True, check=False)
