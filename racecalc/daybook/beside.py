"""Files that stand beside the tables of a daybook, each named by an id: tracks, forecasts."""

from pathlib import Path

from racecalc.daybook.problems import Problem, quoted
from racecalc.daybook.raw import composed

__all__ = ["UnfitError", "bytes_of", "files_by_key", "key_of", "shown"]


class UnfitError(Exception):
    """A file beside the tables that cannot be used; its text says why, and what to do."""


def shown(file: Path) -> str:
    """Return the name of a file on one line, with odd characters escaped."""
    return quoted(file.name, 255)[1:-1]


def key_of(name: str) -> str:
    """Return an id or a file's stem as they are compared: capitals make no difference."""
    return (composed(name) or "").casefold()


def files_by_key(
    book: Path, folder: str, suffix: str, problems: list[Problem]
) -> dict[str, list[Path]]:
    """Return the files of a folder beside the tables by the id that they are named after.

    Files of another suffix are somebody else's. A folder that cannot be read is a problem.

    Parameters
    ----------
    book : Path
        The daybook: the folder that holds the other one, or the file beside it.
    folder, suffix : str
        The name of the folder, and how its files end, with the dot.
    problems : list of Problem
        Takes what is wrong with the folder.
    """
    path = (book if book.is_dir() else book.parent) / folder
    try:
        files = sorted(path.iterdir()) if path.is_dir() else []
    except OSError as error:
        message = f"the folder cannot be read ({error.strerror}); check that it may be opened"
        problems.append(Problem(folder, None, None, message, "error", folder, None))
        return {}
    named: dict[str, list[Path]] = {}
    for file in files:
        if file.suffix.casefold() == suffix and not file.name.startswith((".", "~$")):
            named.setdefault(key_of(file.stem), []).append(file)
    return named


def bytes_of(path: Path, most_mb: int, too_large: str, empty: str) -> bytes:
    """Return what a file holds.

    Parameters
    ----------
    path : Path
        The file.
    most_mb : int
        A larger one is refused, in megabytes.
    too_large, empty : str
        What to do about a file that is too large, or holds nothing.

    Raises
    ------
    UnfitError
        If it cannot be read, is no file, too large, or empty.
    """
    try:
        if not path.is_file():
            raise UnfitError("is a folder or a device, not a file; put the file there")
        if path.stat().st_size > most_mb * 1e6:
            raise UnfitError(f"is larger than {most_mb} MB; {too_large}")
        data = path.read_bytes()
    except OSError as error:
        raise UnfitError(
            f"cannot be read ({error.strerror}); check that the file may be opened"
        ) from error
    if not data.strip():
        raise UnfitError(f"the file is empty; {empty}")
    return data
