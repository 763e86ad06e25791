"""Write the finished examples of reports: ``python sample_runs/make_reports.py [FOLDER]``.

Without a folder it rewrites ``sample_runs/reports``. It takes ``pdftoppm`` (Debian: poppler-utils)
for the picture of page one.
"""

import subprocess
import sys
from pathlib import Path

from racecalc import daybook
from racecalc.report.run import make, publish

__all__ = ["HORSES", "MONTH", "PICTURED", "main", "write"]

HORSES = ("larder-drizzle", "sump-and-thistle")
PICTURED = "larder-drizzle"
MONTH = "2026-10"

_HERE = Path(__file__).resolve().parent
_KEPT = ("report.html", "report.pdf", "report.json")
_DOTS_PER_INCH = 110


def write(folder: Path) -> None:
    """Write the examples into a folder, which is made if need be."""
    book = daybook.read(_HERE / "daybook")
    for horse in HORSES:
        made = make(daybook.slice_for(book, horse), {"horse": horse, "month": MONTH})
        publish({name: made.files[name] for name in _KEPT}, folder / horse)
    page = (folder / PICTURED / "report.pdf").read_bytes()
    publish({"page_one.png": _picture(page)}, folder)


def _picture(pdf: bytes) -> bytes:
    """Return page one of a PDF as PNG."""
    command = ["pdftoppm", "-png", "-r", str(_DOTS_PER_INCH), "-singlefile", "-"]
    return subprocess.run(command, input=pdf, capture_output=True, check=True).stdout


def main() -> None:
    """Write where the command line says, or beside this script."""
    arguments = sys.argv[1:]
    write(Path(arguments[0]) if arguments else _HERE / "reports")


if __name__ == "__main__":
    main()
