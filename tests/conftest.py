"""What every test shares: the header with versions, and where things are."""

import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest
from hypothesis import settings

ROOT = Path(__file__).resolve().parent.parent

# A busy machine makes an example slow; that is no failure.
settings.register_profile("racecalc", deadline=None)
settings.load_profile("racecalc")


def pytest_report_header() -> str:
    """Name the versions that results depend on."""
    names = ("pandas", "pint", "altair", "vl-convert-python", "typst", "papermill", "nbconvert")
    return "with " + ", ".join(f"{name} {version(name)}" for name in names)


@pytest.fixture(scope="session")
def sample_book() -> Path:
    """The sample stable's daybook."""
    return ROOT / "sample_runs" / "daybook"


@pytest.fixture(scope="session")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from the source archive, so that the archive is known to be whole."""
    folder = tmp_path_factory.mktemp("dist")
    # The back end comes from the `test` extra; nothing is fetched.
    build = [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(folder), str(ROOT)]
    subprocess.run(build, check=True, capture_output=True)
    return next(folder.glob("*.whl"))
