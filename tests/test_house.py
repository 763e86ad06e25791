"""The walls of the house: who may import whom, who may print, how long a room may be."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import ROOT

PACKAGE = ROOT / "racecalc"

# Ground floor first. A module imports from lower floors only, or from its own package.
FLOORS = (
    ("errors", "sources"),
    ("units", "pooling"),
    ("notation",),
    ("track", "body", "weather", "gait", "daybook"),
    ("pace", "surface", "own_line", "fitness", "gps"),
    ("workload",),
    ("planning",),
    ("digest",),
    ("page",),
    ("words",),
    ("tables", "figures"),
    ("report",),
    ("overnight",),
    ("cli",),
)
FLOOR = {room: number for number, rooms in enumerate(FLOORS) for room in rooms}

# Libraries that only some rooms may know.
ONLY_IN = {
    "altair": {"figures"},
    "vl_convert": {"report"},
    "typst": {"report"},
    "papermill": {"report"},
    "nbformat": {"report"},
    "nbconvert": {"report"},
    "jinja2": {"report", "overnight"},
    "gpxpy": {"daybook"},
    "openpyxl": {"daybook"},
    "pint": {"units"},
    "pyproj": {"gps"},
    "scipy": {"body", "fitness", "pooling", "surface"},
    "click": {"cli"},
    "dask": {"overnight"},
    "distributed": {"overnight"},
    "subprocess": {"report", "overnight"},
}
# No clock, network or file access in the rooms where numbers are computed.
OUTSIDE_WORLD = {"os", "pathlib", "io", "shutil", "tempfile", "socket", "urllib", "http", "time"}
COMPUTING = {
    "errors", "sources", "units", "pooling", "notation", "track", "body", "weather", "gait", "pace",
    "surface", "own_line", "fitness", "gps", "workload", "planning", "digest", "page", "words",
    "tables", "figures",
}  # fmt: skip
CLOCK_CALLS = {"now", "today", "utcnow"}

HARD_MODULE_LINES = 500
HARD_FUNCTION_LINES = 40


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).with_suffix("").parts[0]


def imported(path: Path) -> set[str]:
    """Full names of what a module imports, `racecalc.x` for `from racecalc import x`."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} imports relatively"
            if node.module == "racecalc":
                names |= {f"racecalc.{alias.name}" for alias in node.names}
            else:
                names.add(str(node.module))
    return names


def rooms_imported(path: Path) -> set[str]:
    return {name.split(".")[1] for name in imported(path) if name.startswith("racecalc.")}


def wrong_way(room: str, other: str) -> bool:
    return other != room and FLOOR[other] >= FLOOR[room]


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_a_room_imports_from_lower_floors_only(path):
    room = room_of(path)
    if room == "__init__":
        assert rooms_imported(path) == set()
        return
    known = rooms_imported(path) - {"__version__"}
    assert [other for other in known if wrong_way(room, other)] == []


def test_an_import_that_goes_up_or_sideways_is_seen():
    assert wrong_way("track", "pace")
    assert wrong_way("track", "body")
    assert not wrong_way("pace", "track")


def test_the_daybook_sees_errors_units_and_notation_only():
    seen = set().union(*(rooms_imported(path) for path in (PACKAGE / "daybook").glob("*.py")))
    assert seen <= {"daybook", "errors", "sources", "units", "notation"}


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_a_library_stays_in_the_rooms_that_may_know_it(path):
    tops = {name.split(".")[0] for name in imported(path)}
    room = room_of(path)
    assert {top for top in tops & set(ONLY_IN) if room not in ONLY_IN[top]} == set()
    if room in COMPUTING:
        assert tops & OUTSIDE_WORLD == set()


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_only_the_command_prints_or_exits_and_no_number_depends_on_the_clock(path):
    room = room_of(path)
    called = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Call):
            function = node.func
            called.add(
                function.id if isinstance(function, ast.Name) else getattr(function, "attr", "")
            )
    if room != "cli":
        assert called & {"print", "exit", "breakpoint", "input"} == set()
    if room in COMPUTING:
        assert called & (CLOCK_CALLS | {"open"}) == set()


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_modules_and_functions_stay_small(path):
    text = path.read_text("utf-8")
    assert len(text.splitlines()) <= HARD_MODULE_LINES
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef) and not (
            room_of(path) == "cli" and node.name == "main"
        ):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            lines = body[-1].end_lineno - body[0].lineno + 1 if body else 0
            assert lines <= HARD_FUNCTION_LINES, f"{node.name} has {lines} lines"


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_every_module_says_what_it_is_and_what_it_offers(path):
    tree = ast.parse(path.read_text("utf-8"))
    assert ast.get_docstring(tree)
    offered = [
        node for node in tree.body
        if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "__all__"
    ]  # fmt: skip
    assert len(offered) == 1
    defined = {
        getattr(node, "name", None) or getattr(getattr(node, "targets", [None])[0], "id", None)
        or getattr(getattr(node, "target", None), "id", None)
        for node in tree.body
    }  # fmt: skip
    for node in tree.body:
        if isinstance(node, ast.ImportFrom):
            assert "*" not in {alias.name for alias in node.names}
            defined |= {alias.asname or alias.name for alias in node.names}
    assert set(ast.literal_eval(offered[0].value)) <= defined


@pytest.mark.slow
def test_every_module_can_be_imported_first():
    """Each in a fresh process, so that no import order is needed."""
    names = [
        ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
        for path in modules()
    ]
    # One process forks no other: plain imports with the module cache emptied of our own in between.
    # What was compiled once is kept, whether or not this machine lets Python write it down.
    script = (
        "import importlib, sys\n"
        "from importlib.machinery import SourceFileLoader\n"
        "compiled, compile_one = {}, SourceFileLoader.get_code\n"
        "def get_code(self, name):\n"
        "    if name not in compiled:\n"
        "        compiled[name] = compile_one(self, name)\n"
        "    return compiled[name]\n"
        "SourceFileLoader.get_code = get_code\n"
        f"for name in {names!r}:\n"
        "    for known in [m for m in sys.modules if m.split('.')[0] == 'racecalc']:\n"
        "        del sys.modules[known]\n"
        "    importlib.import_module(name)\n"
    )
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", script], capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr


def test_the_top_level_holds_what_it_should():
    """A reader finds the room from the folder listing."""
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if listed.returncode:
        pytest.skip("not a git checkout")
    tops = {line.split("/")[0] for line in listed.stdout.splitlines()}
    fixed = {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "workbooks", "racecalc", "templates",
        "tests", "sample_runs", "LICENSE", "requirements.lock",
    }  # fmt: skip
    assert {top for top in tops if not top.startswith(".")} <= fixed
