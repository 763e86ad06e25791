"""What one report costs: run as ``python -m tests.benchmarks.bench_report [repeats]``.

Prints the median of each step on the sample, and its share of the whole. A notebook's kernel
starts once for each report and takes the same time whatever the notebook holds, so that an empty
notebook is the baseline of the run. It is no test: the figures depend on the machine.
"""

import resource
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

import nbformat
import papermill

from racecalc import daybook, digest
from racecalc.report.html import HtmlReportExporter
from racecalc.report.pdf import PdfReportExporter
from racecalc.report.run import _kernel_settings, make
from racecalc.report.svg import _drawn
from tests.command import COMMAND
from tests.conftest import ROOT

HORSE = "larder-drizzle"
MONTH = "2026-10"
SAMPLE = ROOT / "sample_runs" / "daybook"


def milliseconds(step: Callable[[], object], repeats: int) -> float:
    """Return the median time of a step; it is done once before, so that imports do not count."""
    step()
    times = []
    for _ in range(repeats):
        began = perf_counter()
        step()
        times.append(1000 * (perf_counter() - began))
    return statistics.median(times)


def processor_seconds(*arguments: str, repeats: int) -> float:
    """Return the median user and system time of a command."""
    times = []
    for _ in range(repeats):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(arguments, check=True, capture_output=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        times.append(after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime)
    return statistics.median(times)


def empty_run(folder: Path) -> None:
    """Start a kernel, run a notebook without cells, end the kernel."""
    source = folder / "empty.ipynb"
    nbformat.write(nbformat.v4.new_notebook(), source)
    papermill.execute_notebook(
        str(source),
        None,
        progress_bar=False,
        kernel_name="python3",
        config=_kernel_settings(folder),
    )


def anew(step: Callable[[], object]) -> object:
    """Take a step that has to draw its charts, as the first page of every report has to."""
    _drawn.cache_clear()
    return step()


def steps(folder: Path) -> dict[str, Callable[[], object]]:
    """Return the steps of a report on the sample, each to be timed by itself.

    The page on paper takes the drawings of the page for a screen, made just before it.
    """
    book = daybook.read(SAMPLE)
    record = daybook.slice_for(book, HORSE)
    notebook = nbformat.reads(
        make(record, {"horse": HORSE, "month": MONTH}).files["report.ipynb"].decode(), as_version=4
    )
    return {
        "read and check": lambda: daybook.read(SAMPLE),
        "slice": lambda: daybook.slice_for(book, HORSE),
        "digest": lambda: digest.build(record, MONTH),
        "HTML": lambda: anew(lambda: HtmlReportExporter().from_notebook_node(notebook)),
        "PDF": lambda: PdfReportExporter().from_notebook_node(notebook),
        "whole report": lambda: anew(lambda: make(record, {"horse": HORSE, "month": MONTH})),
        "empty notebook": lambda: empty_run(folder),
    }


def main(repeats: int) -> None:
    """Time every step and print it."""
    with tempfile.TemporaryDirectory() as folder:
        taken = {name: milliseconds(step, repeats) for name, step in steps(Path(folder)).items()}
    taken["notebook run"] = taken["whole report"] - taken["HTML"] - taken["PDF"]
    whole = taken["whole report"]
    print(f"{HORSE}, {MONTH}, median of {repeats}: time, and share of the whole report")
    for name in ("read and check", "slice", "digest", "notebook run", "HTML", "PDF"):
        print(f"  {name:16}{taken[name]:8.0f} ms{taken[name] / whole:8.1%}")
    print(f"  {'whole report':16}{whole:8.0f} ms")
    ratio = taken["notebook run"] / taken["empty notebook"]
    print(
        f"  an empty notebook takes {taken['empty notebook']:.0f} ms; ours {ratio:.1f} times that"
    )
    helped = processor_seconds(str(COMMAND), "--help", repeats=repeats)
    bare = processor_seconds(sys.executable, "-c", "pass", repeats=repeats)
    print(f"racecalc --help: {helped:.2f} s of processor; {helped / bare:.1f} times a bare Python")
    files = make(
        daybook.slice_for(daybook.read(SAMPLE), HORSE), {"horse": HORSE, "month": MONTH}
    ).files
    book = sum(path.stat().st_size for path in SAMPLE.rglob("*.*"))
    print(f"the daybook: {book / 1000:.0f} kB")
    for name, content in files.items():
        print(f"  {name:16}{len(content) / 1000:8.0f} kB{len(content) / book:8.1%} of the daybook")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
