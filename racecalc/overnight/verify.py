"""Reading all published reports again, to see whether they are what the runs have put there."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from racecalc.overnight.deliver import delivered, owners_folder
from racecalc.overnight.keys import file_hash
from racecalc.overnight.records import Records

__all__ = ["Verified", "verify"]

_LOST = "is missing, or not as a run wrote it; start the run of that month again"
_MONTH = re.compile(r"\d{4}-\d{2}")


@dataclass(frozen=True)
class Verified:
    """How many files were read, and a line for each that is not what it was."""

    files: int
    wrong: tuple[str, ...]


def verify(out: Path) -> Verified:
    """Compare all files of reports and of owners with the hashes that were written down.

    Parameters
    ----------
    out : Path
        The folder of all reports.
    """
    count, wrong = 0, []
    places_of_months = [place for place in (out, out / ".racecalc") if place.is_dir()]
    known = [path.name for place in places_of_months for path in place.iterdir()]
    for month in sorted({name for name in known if _MONTH.fullmatch(name)}):
        records = Records(out, month)
        wrong += [f"{path.relative_to(out)}: {_LOST}" for path in records.lost()]
        folder, owners = out / month, owners_folder(out, month)
        places = [(folder / horse, one.files) for horse, one in sorted(records.standing().items())]
        places += [(owners / name, files) for name, files in sorted(delivered(out, month).items())]
        for place, files in places:
            count += len(files)
            wrong += _wrong(place, files, out)
    return Verified(count, tuple(wrong))


def _wrong(folder: Path, files: Mapping[str, str], out: Path) -> list[str]:
    found = []
    for name, known in files.items():
        path = folder / name
        shown = path.relative_to(out)
        try:
            if file_hash(path) not in known.split():
                found.append(f"{shown}: is not what the run put there; start the run again")
        except FileNotFoundError:
            found.append(f"{shown}: is missing; start the run again")
        except OSError as error:
            found.append(f"{shown}: cannot be read: {error.strerror or error}")
    return found
