"""Whatever happens to a stable night after night, in any order, nothing is lost."""

import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from tests.daybook.stable import TABLES
from tests.overnight.killing import kills, stopped_at
from tests.overnight.nothing_lost import Before, nothing_lost
from tests.overnight.scene import LAST_MONTH, MONTH, Scene, changed_works

pytestmark = pytest.mark.skipif("sys.platform != 'linux'")

MORE_HORSES = ("", "book,Book of Odd Ids,,,,,,\n", "owner,Owner of None,,,,,,\nthird,Third,,,,,,\n")
SHARES = {
    "as at first": TABLES["shares"],
    "moth has sold 007": TABLES["shares"].replace("007,moth,100,2025-01-01,", "007,quill,100,,"),
    "moth has sold all": "horse,owner,percent,since,until\nbrindle,quill,100,,\n007,quill,100,,\n",
    "nobody holds any": "horse,owner,percent,since,until\n",
    "sold in mid-month": TABLES["shares"].replace(
        "007,moth,100,2025-01-01,", "007,moth,100,,2026-10-09\n007,quill,100,2026-10-10,"
    ),
}
WRONG_ROW = "2026-10-07,brindle,gallup,,,,,\n"


class Nights(RuleBasedStateMachine):
    """One stable; after each thing that happens all six points are looked at."""

    @initialize()
    def begin(self):
        memory = Path("/dev/shm")
        self.folder = Path(tempfile.mkdtemp(dir=memory if memory.is_dir() else None))
        self.scene = Scene(self.folder)
        assert self.scene.run(month=LAST_MONTH).returncode == 0
        self.foreign = {}
        self.spoiled = set()
        self.status = 1

    def teardown(self):
        if hasattr(self, "folder"):
            shutil.rmtree(self.folder)

    @rule(seconds=st.sampled_from([1, 2, 3]))
    def a_work_is_corrected(self, seconds):
        self.changed(works=changed_works(seconds))

    @rule(rows=st.sampled_from(MORE_HORSES))
    def the_string_changes(self, rows):
        there = self.scene.known().names
        # A horse that has left keeps its row.
        if all(row.split(",")[0] in rows for row in there if row not in ("brindle", "007")):
            self.changed(horses=TABLES["horses"] + rows)

    @rule(row=st.sampled_from(["", WRONG_ROW]))
    def a_row_is_wrong_or_mended(self, row):
        self.changed(exercise=TABLES["exercise"] + row)

    @rule(who=st.sampled_from(sorted(SHARES)))
    def a_share_changes_hands(self, who):
        self.changed(shares=SHARES[who])

    @rule(part=st.sampled_from(["workbook", "templates", "racecalc"]), version=st.integers(1, 2))
    def something_is_upgraded(self, part, version):
        self.scene.parts[part] = f"version {version}"
        self.status = 1

    @rule(options=st.sampled_from([(), (), ("--fresh",), ("--only", "007")]))
    def a_run_comes_to_its_end(self, options):
        status = self.scene.run(*options).returncode
        # Of horses that were not asked for it tells nothing.
        self.status = 1 if "--only" in options else status
        self.spoiled = {name for name in self.spoiled if options[:1] == ("--only",)}

    @rule(step=st.integers(1, 120))
    def a_run_is_killed(self, step):
        self.status = stopped_at(step, self.scene.out, self.run, kills)

    @precondition(lambda self: self.folders())
    @rule(data=st.data(), how=st.sampled_from([b"", b"something else", None]))
    def somebody_spoils_a_report(self, data, how):
        folder = data.draw(st.sampled_from(self.folders()))
        path = data.draw(st.sampled_from(sorted(folder.glob("*.html"))))
        # Not in place: an owner's report may be the same file as the barn's.
        path.unlink()
        if how is not None:
            path.write_bytes(how)
        self.spoiled.add(folder.relative_to(self.scene.out).as_posix())
        self.status = 1

    @precondition(lambda self: self.folders())
    @rule(data=st.data(), name=st.sampled_from(["mine.txt", "more/of mine.txt", "report.html.bak"]))
    def a_user_puts_something_there(self, data, name):
        folder = data.draw(st.sampled_from(self.folders()))
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(name.encode())
        self.foreign[(folder / name).relative_to(self.scene.out).as_posix()] = name.encode()

    @invariant()
    def nothing_is_lost(self):
        if hasattr(self, "scene"):
            nothing_lost(self.scene, Before(self.scene, self.foreign, self.spoiled), self.status)

    def changed(self, **tables):
        self.scene.write(**tables)
        self.status = 1

    def run(self):
        return self.scene.run().returncode

    def folders(self):
        places = (self.scene.out / MONTH, self.scene.out / "owners" / MONTH)
        found = [path for place in places for path in place.glob("*/") if list(path.glob("*.html"))]
        return sorted(found)


Nights.TestCase.settings = settings(
    max_examples=12, stateful_step_count=12, deadline=None, phases=[Phase.generate]
)
TestNights = Nights.TestCase
