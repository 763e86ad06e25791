"""Where the layouts and the workbooks are: beside the code, else where pip put them."""

import sysconfig
from importlib.metadata import PackageNotFoundError, files
from pathlib import Path
from typing import Literal

from racecalc.errors import ReportError

__all__ = ["templates_folder", "workbooks_folder"]

# The names under which pyproject.toml installs the folders of a checkout.
_INSTALLED = {
    "templates/html": "share/jupyter/nbconvert/templates/racecalc",
    "templates/typst": "share/jupyter/nbconvert/templates/racecalc-typst",
    "workbooks": "share/racecalc/workbooks",
}


def templates_folder(kind: Literal["html", "typst"]) -> Path:
    """Return the folder that holds the layout of a report.

    Parameters
    ----------
    kind : {"html", "typst"}
        ``html`` for the page on a screen, ``typst`` for the page on paper.

    Raises
    ------
    ReportError
        If the package was installed without its data files.
    """
    return _folder(f"templates/{kind}")


def workbooks_folder() -> Path:
    """Return the folder that holds the workbooks.

    Raises
    ------
    ReportError
        If the package was installed without its data files.
    """
    return _folder("workbooks")


def _folder(name: str) -> Path:
    checkout = Path(__file__).resolve().parents[2]
    if (checkout / "pyproject.toml").is_file() and (checkout / name).is_dir():
        return checkout / name
    installed = _INSTALLED[name]
    # `pip install --target` puts the data beside the packages, whatever its record says.
    beside, environment = checkout / installed, Path(sysconfig.get_path("data")) / installed
    for folder in (_recorded(installed), beside, environment):
        if folder is not None and folder.is_dir():
            return folder
    raise ReportError(
        f"racecalc was installed without its {name} folder ({installed} is missing); "
        "install it again from its wheel"
    )


def _recorded(installed: str) -> Path | None:
    """Find a data folder through the list of files that pip recorded for this installation."""
    try:
        recorded = files("racecalc") or []
    except PackageNotFoundError:
        return None
    for path in recorded:
        _, found, inside = path.as_posix().partition(installed + "/")
        if found and "/" not in inside:
            return Path(str(path.locate())).resolve().parent
    return None
