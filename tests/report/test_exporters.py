"""The exporters as nbconvert finds them by name, run as a command."""

import os
import subprocess
import sys
from importlib.metadata import entry_points

import nbformat
import pytest

from .invented import masthead, notebook, numbers, prose, report


def convert(kind, path):
    command = [sys.executable, "-m", "nbconvert", "--to", f"racecalc-{kind}", path.name]
    environment = os.environ | {"JUPYTER_PLATFORM_DIRS": "1"}
    return subprocess.run(command, cwd=path.parent, capture_output=True, text=True, env=environment)


@pytest.fixture
def saved(tmp_path):
    def save(book):
        path = tmp_path / "june.ipynb"
        nbformat.write(book, path)
        return path

    return save


def test_both_are_registered_by_name():
    names = {point.name: point.value for point in entry_points(group="nbconvert.exporters")}
    assert names["racecalc-html"] == "racecalc.report.html:HtmlReportExporter"
    assert names["racecalc-pdf"] == "racecalc.report.pdf:PdfReportExporter"


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "start"), [("html", b"<!doctype html>"), ("pdf", b"%PDF-")])
def test_the_command_writes_the_file(saved, kind, start):
    path = saved(notebook(report()))
    run = convert(kind, path)
    assert run.returncode == 0, run.stderr
    assert path.with_suffix(f".{kind}").read_bytes().startswith(start)


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["html", "pdf"])
@pytest.mark.parametrize(
    ("book", "said"),
    [
        (nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("1")]), "holds no report"),
        (notebook([prose("Words."), numbers()]), "begins with its one masthead"),
        (notebook([masthead(), prose("Words.")]), "did not run to its end"),
    ],
)
def test_another_notebook_is_refused_in_one_line(saved, kind, book, said):
    path = saved(book)
    run = convert(kind, path)
    assert run.returncode != 0
    last = run.stderr.strip().splitlines()[-1]
    assert last.startswith("racecalc.errors.ReportError: ")
    assert said in last
    assert not path.with_suffix(f".{kind}").exists()
