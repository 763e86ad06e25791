"""What a report depends on: where all of it is as it was, the report is as it would be."""

import hashlib
import os
import sys
from collections.abc import Iterable, Mapping
from functools import cache
from importlib import metadata
from pathlib import Path

from racecalc import __version__
from racecalc.report.places import templates_folder, workbooks_folder

__all__ = ["difference", "file_hash", "key_of", "tree_hash"]

# Of these the words, numbers and drawings of a report are made.
_LIBRARIES = (
    "altair", "ipython", "jinja2", "nbconvert", "nbformat", "numpy", "pandas", "papermill", "pint",
    "pyarrow", "pyproj", "scipy", "typst", "vl-convert-python",
)  # fmt: skip

_NAMES = {
    "data": "its records, or what the barn shares",
    "parameters": "what was asked",
    "workbook": "the workbook",
    "templates": "the layout",
    "racecalc": "racecalc itself",
    "libraries": "the libraries",
    "fonts": "the fonts of the machine",
}


def key_of(data: str, parameters: Mapping[str, str], workbook: str) -> dict[str, str]:
    """Return all that a report depends on, each as a hash or in plain words.

    Parameters
    ----------
    data : str
        The hash of the horse's slice.
    parameters : mapping
        The parameters of the workbook.
    workbook : str
        Its file name.
    """
    asked = " ".join(f"{name}={value}" for name, value in sorted(parameters.items()))
    return {"data": data, "parameters": asked, **_of_all_reports(workbook)}


def difference(one: Mapping[str, str], other: Mapping[str, str]) -> str:
    """Say in words in what two keys differ; nothing where they are the same."""
    parts = [words for name, words in _NAMES.items() if one.get(name) != other.get(name)]
    return ", ".join(parts)


@cache
def _of_all_reports(workbook: str) -> dict[str, str]:
    libraries = [f"{name} {metadata.version(name)}" for name in _LIBRARIES]
    layouts = [templates_folder("html"), templates_folder("typst")]
    return {
        "workbook": file_hash(workbooks_folder() / workbook),
        "templates": _joined(tree_hash(folder) for folder in layouts),
        "racecalc": _joined([__version__, tree_hash(Path(__file__).parents[1], "*.py")]),
        "libraries": _joined([sys.version.split()[0], *libraries]),
        "fonts": _joined(_fonts()),
    }


def file_hash(path: Path) -> str:
    """Return the SHA-256 of a file, in hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def tree_hash(folder: Path, pattern: str = "*") -> str:
    """Return the SHA-256 over the files of a folder and of those within, and their names."""
    files = sorted(path for path in folder.rglob(pattern) if path.is_file())
    return _joined(f"{path.relative_to(folder).as_posix()} {file_hash(path)}" for path in files)


def _joined(texts: Iterable[str]) -> str:
    return hashlib.sha256("\n".join(texts).encode()).hexdigest()


def _fonts() -> list[str]:
    """Return the font files of the machine with their sizes: Typst asks them for odd letters."""
    home = Path.home()
    windows = Path(os.environ.get("WINDIR", "C:/Windows")) / "Fonts"
    folders: dict[str, list[Path]] = {
        "linux": [Path("/usr/share/fonts"), Path("/usr/local/share/fonts"), home / ".fonts"],
        "darwin": [Path("/System/Library/Fonts"), Path("/Library/Fonts"), home / "Library/Fonts"],
        "win32": [windows],
    }
    found = []
    for folder in [*folders.get(sys.platform, []), home / ".local/share/fonts"]:
        for path in sorted(folder.rglob("*")):
            if path.is_file():
                found.append(f"{path.name} {path.stat().st_size}")
    return found
