"""A run that is ended, or refused by the disk, at any of its steps loses nothing."""

import shutil
from errno import EACCES, ENOSPC, EROFS
from types import MappingProxyType

import pytest

from tests.overnight.killing import (
    kills,
    loses_power,
    refused_at_each_step,
    stopped_at_each_step,
)
from tests.overnight.nothing_lost import Before, nothing_lost
from tests.overnight.scene import LAST_MONTH, MONTH, Scene, changed_works

pytestmark = pytest.mark.skipif("sys.platform != 'linux'")

FOREIGN = {
    f"{MONTH}/brindle/note of mine.txt": b"a user's",
    f"{MONTH}/brindle/pictures/one.png": b"a user's picture",
    f"owners/{MONTH}/moth/answer.txt": b"an owner's",
}


@pytest.fixture(scope="module")
def scene(quick_folder):
    """A stable with last month's reports."""
    scene = Scene(quick_folder)
    assert scene.run(month=LAST_MONTH).returncode == 0
    return scene


def put(scene, foreign):
    for name, content in foreign.items():
        (scene.out / name).parent.mkdir(parents=True, exist_ok=True)
        (scene.out / name).write_bytes(content)


@pytest.fixture
def first(scene):
    """Nothing of this month was made yet."""
    scene.write(works=changed_works(1))
    return Start(scene)


@pytest.fixture
def later(scene):
    """There are reports, the book has changed since, and a share was sold."""
    scene.write(works=changed_works(1))
    assert scene.run().returncode == 0
    put(scene, FOREIGN)
    scene.write(works=changed_works(2))
    yield Start(scene, FOREIGN)
    shutil.rmtree(scene.out / MONTH)
    shutil.rmtree(scene.out / "owners" / MONTH)
    shutil.rmtree(scene.out / ".racecalc")


class Start:
    """How things stand before each disturbed run."""

    def __init__(self, scene, foreign=MappingProxyType({})):
        self.scene = scene
        self.before = Before(scene, foreign)
        self.saved = scene.out.with_name("saved")
        shutil.rmtree(self.saved, ignore_errors=True)
        shutil.copytree(scene.out, self.saved)
        scene.undisturbed()

    def again(self):
        shutil.rmtree(self.scene.out, ignore_errors=True)
        shutil.copytree(self.saved, self.scene.out)

    def run(self):
        return self.scene.run().returncode

    def looked_at(self, ends):
        """Look at each end of a disturbed run; return them."""
        found = []
        for status in ends:
            nothing_lost(self.scene, self.before, status)
            found.append(status)
        self.again()
        return found


@pytest.mark.parametrize(
    ("begin", "fault"),
    # A loss of power leaves what a kill leaves, and takes more.
    [("first", kills), ("later", loses_power)],
)
def test_a_run_killed_at_any_step_loses_nothing(begin, fault, request):
    start = request.getfixturevalue(begin)
    ends = start.looked_at(stopped_at_each_step(start.scene.out, start.run, start.again, fault))
    assert len(ends) > 80


@pytest.mark.parametrize("numbers", [[ENOSPC], [EACCES, EROFS]])
def test_a_disk_that_refuses_any_step_loses_nothing(numbers, later):
    ends = later.looked_at(refused_at_each_step(later.scene.out, later.run, later.again, numbers))
    assert set(ends) <= {0, 1, 4}
    assert ends.count(4) > 60
