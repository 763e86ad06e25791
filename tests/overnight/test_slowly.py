"""A run says where its workbooks had no warm process, and so no limits."""

import sys
from dataclasses import replace

import pytest

from racecalc.overnight import doers, how_slowly
from tests.overnight.scene import Scene


@pytest.fixture
def scene(quick_folder):
    return Scene(quick_folder)


@pytest.mark.skipif(sys.platform != "linux", reason="it is said before")
def test_reports_that_had_no_warm_process_are_counted_and_told(scene, monkeypatch):
    make = scene.make
    monkeypatch.setattr(
        scene, "make", lambda task: replace(make(task), warm=task.horse != "brindle")
    )
    done = scene.run("--fresh")
    assert done.returncode == 0
    assert "could not be started" in done.stderr
    assert "1 of the workbooks ran without it" in done.stderr


def test_where_all_were_warm_nothing_is_said(scene):
    assert "warm" not in scene.run("--fresh").stderr


def test_a_system_that_cannot_fork_is_told_once(scene, monkeypatch):
    make = scene.make
    monkeypatch.setattr(doers, "is_available", lambda: False)
    monkeypatch.setattr(scene, "make", lambda task: replace(make(task), warm=False))
    assert scene.run("--fresh").stderr.count("warm") == 1
    assert "each report starts one of its own" in how_slowly()
