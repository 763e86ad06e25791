"""Write the finished examples of reports: ``python sample_runs/make_reports.py [FOLDER]``.

Without a folder it rewrites ``sample_runs/reports``. It takes ``pdftoppm`` (Debian: poppler-utils)
for the picture of page one.
"""

import subprocess
import sys
from pathlib import Path

from racecalc import daybook
from racecalc.report import single
from racecalc.report.run import Report, make, publish

__all__ = [
    "BODY",
    "CLIP",
    "FILMED",
    "HORSES",
    "MONTH",
    "PICTURED",
    "SHEET",
    "TESTED",
    "WORK",
    "main",
    "write",
]

HORSES = ("larder-drizzle", "sump-and-thistle")
PICTURED = "larder-drizzle"
MONTH = "2026-10"
WORK = "LD-261028"
BODY = "colander-fog"
TESTED = "larder-drizzle"
FILMED = "colander-fog"
CLIP = "CF-261024-change"
PLANNED = "larder-drizzle"
NOTHING_ASKED = dict.fromkeys(("until", "planned", "bad_footing", "track"), "")
TRACK = "thimble-marsh"
SHEET = {
    "track": "thimble-marsh",
    "distance": "6 f",
    "asked": "1:13 1/5",
    "start": "",
    "day": "2026-11-02",
    "tolerance": 0.2,
    "run_up": "",
    "off_rail": "",
    "horse": "larder-drizzle",
}

_HERE = Path(__file__).resolve().parent
_KEPT = ("report.html", "report.pdf", "report.json")
_DOTS_PER_INCH = 110


def write(folder: Path) -> None:
    """Write the examples into a folder, which is made if need be."""
    book = daybook.read(_HERE / "daybook")
    for horse in HORSES:
        made = make(daybook.slice_for(book, horse), {"horse": horse, "month": MONTH})
        _publish(made, folder / horse)
    _publish(single.work_review(book, WORK), folder / "work-review")
    _publish(single.pole_sheet(book, SHEET), folder / "pole-sheet")
    _publish(single.body(book, BODY), folder / "body")
    _publish(single.load(book, TESTED), folder / "load")
    _publish(single.fitness(book, TESTED), folder / "fitness")
    _publish(single.gait(book, FILMED, "", CLIP), folder / "gait")
    _publish(single.next_work(book, PLANNED, NOTHING_ASKED), folder / "next-work")
    _publish(single.surface(book, TRACK), folder / "surface")
    page = (folder / PICTURED / "report.pdf").read_bytes()
    publish({"page_one.png": _picture(page)}, folder)


def _publish(made: Report, folder: Path) -> None:
    publish({name: made.files[name] for name in _KEPT}, folder)


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
