"""What a user gets: the wheel, installed where no checkout is, makes the same reports."""

import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path, PurePosixPath

import pytest

from tests.command import racecalc
from tests.conftest import ROOT
from tests.daybook.stable import write_book

pytestmark = pytest.mark.slow

SHARED = {
    "workbooks": "share/racecalc/workbooks",
    "templates/html": "share/jupyter/nbconvert/templates/racecalc",
    "templates/typst": "share/jupyter/nbconvert/templates/racecalc-typst",
}


@pytest.fixture(scope="module")
def held(wheel):
    with zipfile.ZipFile(wheel) as archive:
        return [PurePosixPath(name) for name in archive.namelist()]


@pytest.mark.parametrize(("source", "target"), SHARED.items())
def test_layouts_and_workbooks_come_along(held, source, target):
    packed = {path.name for path in held if str(path.parent).endswith(f".data/data/{target}")}
    there = {path.name for path in (ROOT / source).iterdir() if path.is_file()}
    assert packed == there
    assert packed


def test_every_module_comes_along_and_types_are_declared(held):
    packed = {str(path) for path in held if path.parts[0] == "racecalc"}
    modules = {path.relative_to(ROOT).as_posix() for path in (ROOT / "racecalc").rglob("*.py")}
    assert packed == modules | {"racecalc/py.typed"}


def test_nothing_else_comes_along(held):
    """No tests, no sample data, nothing of the machine that built it."""
    roots = {path.parts[0].rpartition(".")[2] for path in held}
    assert roots == {"racecalc", "dist-info", "data"}
    assert {path.suffix for path in held if path.parts[0].endswith(".data")} == {
        ".ipynb", ".j2", ".css", ".json", ".typ",
    }  # fmt: skip
    assert not [path for path in held if {"tests", "sample_runs"} & set(path.parts)]


class Installed:
    """An environment that holds racecalc from the wheel, and shares everything else with ours."""

    def __init__(self, folder: Path, wheel: Path) -> None:
        self.folder = folder
        venv.create(folder, with_pip=False, symlinks=True)
        self.programs = folder / "bin"
        pip = [sys.executable, "-m", "pip", "--python", str(self.programs / "python")]
        install = [*pip, "install", "--no-index", "--no-deps", str(wheel)]
        subprocess.run(install, check=True, capture_output=True)
        # A path in a .pth file comes after the environment's own packages, and .pth files found
        # behind it are not read: a checkout that is installed as editable stays out.
        ours = [entry for entry in sys.path if entry.endswith(("site-packages", "dist-packages"))]
        packages = next(folder.glob("lib/python*/site-packages"))
        (packages / "dependencies.pth").write_text("\n".join(ours) + "\n")

    def run(self, program, *arguments, cwd):
        done = subprocess.run(
            [str(self.programs / program), *map(str, arguments)],
            cwd=cwd,
            # No PYTHONPATH, no settings of a user, no programs of the environment that runs this.
            env={"PATH": os.defpath, "HOME": str(self.folder), "LANG": "C.UTF-8"},
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory):
    return Installed(tmp_path_factory.mktemp("venv"), wheel)


@pytest.fixture(scope="module")
def away(tmp_path_factory):
    """An empty folder outside of the checkout."""
    folder = tmp_path_factory.mktemp("away")
    assert not folder.is_relative_to(ROOT)
    return folder


@pytest.fixture(scope="module")
def reported(installed, away, tmp_path_factory):
    """The folder of a report that the installed command made."""
    book = write_book(tmp_path_factory.mktemp("barn") / "stable")
    arguments = ("report", book, "brindle", "--month", "2026-10", "--out", "reports")
    said = installed.run("racecalc", *arguments, cwd=away)
    assert said == "reports/2026-10/brindle\n"
    return book, away / "reports" / "2026-10" / "brindle"


def test_the_code_that_runs_is_the_wheels(installed, away):
    script = "import racecalc, sys; print(racecalc.__file__, *sys.path, sep='\\n')"
    file, *path = installed.run("python", "-c", script, cwd=away).splitlines()
    assert Path(file).is_relative_to(installed.folder)
    assert str(ROOT) not in path


def test_the_data_that_is_used_is_the_wheels(installed, away):
    script = (
        "from racecalc.report.places import templates_folder, workbooks_folder\n"
        "print(templates_folder('html'), templates_folder('typst'), workbooks_folder(), sep='\\n')"
    )
    folders = [Path(line) for line in installed.run("python", "-c", script, cwd=away).splitlines()]
    assert all(folder.is_relative_to(installed.folder) for folder in folders)


def test_the_installed_command_makes_the_report_that_the_checkout_makes(reported, tmp_path):
    book, made = reported
    assert {path.name for path in made.iterdir()} == {
        "report.html", "report.pdf", "report.json", "report.ipynb",
    }  # fmt: skip
    done = racecalc("report", book, "brindle", "--month", "2026-10", "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    for path in made.iterdir():
        assert path.read_bytes() == (tmp_path / "2026-10" / "brindle" / path.name).read_bytes()


@pytest.mark.parametrize("kind", ["html", "pdf"])
def test_nbconvert_finds_the_exporters_and_their_layouts(installed, reported, away, kind):
    workbook = reported[1] / "report.ipynb"
    arguments = ("--to", f"racecalc-{kind}", workbook, "--output-dir", away, "--output", "again")
    installed.run("python", "-m", "nbconvert", *arguments, cwd=away)
    assert (away / f"again.{kind}").read_bytes() == workbook.with_suffix(f".{kind}").read_bytes()


def test_a_trainers_copies_come_from_the_wheel(installed, reported, away):
    script = (
        "import sys; from pathlib import Path; from racecalc.daybook import read\n"
        "from racecalc.report.workbench import prepare\n"
        "print(prepare(read(sys.argv[1]), Path(sys.argv[1]))[0])"
    )
    folder = Path(installed.run("python", "-c", script, reported[0], cwd=away).strip())
    assert [path.name for path in folder.glob("*.ipynb")] == [
        path.name for path in (ROOT / "workbooks").glob("*.ipynb")
    ]
