import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest

from racecalc.errors import ReportError
from racecalc.report import places
from racecalc.report.places import templates_folder, workbooks_folder

from ..conftest import ROOT


def test_a_checkout_uses_its_own_folders():
    assert templates_folder("html") == ROOT / "templates" / "html"
    assert templates_folder("typst") == ROOT / "templates" / "typst"
    assert workbooks_folder() == ROOT / "workbooks"


def test_an_installation_without_its_data_is_named(monkeypatch, tmp_path):
    lonely = tmp_path / "site-packages" / "racecalc" / "report" / "places.py"
    monkeypatch.setattr(places, "__file__", str(lonely))
    monkeypatch.setattr(places, "_recorded", lambda installed: None)
    monkeypatch.setattr(sysconfig, "get_path", lambda name: str(tmp_path))
    with pytest.raises(ReportError, match="installed without its templates/html folder"):
        templates_folder("html")


@pytest.mark.slow
def test_a_wheel_finds_its_folders_wherever_it_is_put(wheel, tmp_path):
    target = tmp_path / "elsewhere"
    install = [sys.executable, "-m", "pip", "install", "--no-deps", "--target", target, wheel]
    subprocess.run(install, check=True, capture_output=True)
    script = (
        f"import sys; sys.path.insert(0, {str(target)!r})\n"
        "from racecalc.report.places import templates_folder, workbooks_folder\n"
        "print(templates_folder('html'), templates_folder('typst'), workbooks_folder(), sep='\\n')"
    )
    run = subprocess.run(
        [sys.executable, "-c", script], check=True, capture_output=True, text=True, cwd=tmp_path
    )
    html, typst, workbooks = (Path(line) for line in run.stdout.splitlines())
    assert (html / "index.html.j2").is_file()
    assert (typst / "report.typ").is_file()
    assert workbooks.is_dir()
    assert all(folder.is_relative_to(target) for folder in (html, typst, workbooks))
