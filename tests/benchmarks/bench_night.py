"""What a night costs: run as ``python -m tests.benchmarks.bench_night [horses ...]``.

For barns of the numbers of horses given (10 and 100 unless told): a night, its start included;
what the plain tools take for a report of the same workbook and daybook on the same cores
(papermill, ``jupyter nbconvert --to html``, Chromium printing to PDF, in as many loops side by side
as there are cores); the memory of the driving process; a second night, and one in which a horse has
changed. Before that the floor, the same cells, drawings, page and paper in one process without
notebook machinery; after it a slice out of nine million rows. It is no test: the figures depend on
the machine; the ratios come from one run. What is counted (reports, drawings, pages) is asserted.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Sequence
from pathlib import Path
from statistics import median

import nbformat
import numpy as np
import pandas as pd
from pypdf import PdfReader

from racecalc import daybook
from racecalc.daybook.store import Store, write_store
from racecalc.report.blocks import blocks_of
from racecalc.report.html import page_of
from racecalc.report.pdf import paper_of
from racecalc.report.run import MONTHLY
from racecalc.report.svg import _drawn
from racecalc.report.zygote import warm_up
from tests.benchmarks.many_horses import write_barn
from tests.command import COMMAND
from tests.conftest import ROOT

MONTH = "2026-10"
SAMPLE = ROOT / "sample_runs" / "daybook"
CORES = len(os.sched_getaffinity(0))
BIN = Path(sys.executable).parent
SLICES = (5_000, 1_826)
"""Horses, and days of each: nine million rows."""


def plain(book: Path, horse: str, folder: Path) -> None:
    """Make a report with the plain tools, each a process of its own."""
    notebook, page, paper = (folder / f"{horse}.{kind}" for kind in ("ipynb", "html", "pdf"))
    asked = [*("-r", "horse", horse), *("-r", "month", MONTH), *("-r", "daybook", str(book))]
    source = str(ROOT / "workbooks" / MONTHLY)
    quiet = {"check": True, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    subprocess.run([BIN / "papermill", source, notebook, *asked], **quiet)
    subprocess.run([BIN / "jupyter", "nbconvert", "--to", "html", "--no-input", notebook], **quiet)
    profile = folder / f"profile-{horse}"
    chromium = [shutil.which("chromium") or "chromium", "--headless", "--no-sandbox"]
    printing = [f"--user-data-dir={profile}", f"--print-to-pdf={paper}", page.as_uri()]
    subprocess.run([*chromium, *printing], **quiet)
    assert len(PdfReader(paper).pages) >= 1


def loops(book: Path) -> float:
    """Return the seconds of wall time for a report of the plain tools, loops side by side."""
    ids = list(daybook.read(book).tables["horses"]["horse"])
    # Of those that have much to tell.
    horses = [horse for horse in ids if not horse.startswith("hoarfrost")][: 3 * CORES]
    with tempfile.TemporaryDirectory() as name:
        parts = [horses[number::CORES] for number in range(CORES)]

        def loop(part: Sequence[str]) -> None:
            for horse in part:
                plain(book, horse, Path(name))

        began = time.perf_counter()
        threads = [threading.Thread(target=loop, args=(part,)) for part in parts]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        return (time.perf_counter() - began) / len(horses)


def floor(horses: Sequence[str]) -> float:
    """Return the seconds of a report without notebook machinery, in one process."""
    book = daybook.read(SAMPLE)
    notebook = nbformat.read(ROOT / "workbooks" / MONTHLY, as_version=4)
    cells = [cell for cell in notebook.cells if cell.cell_type == "code"]
    warm_up()
    times = []
    with tempfile.TemporaryDirectory() as name:
        for horse in (horses[0], *horses):
            daybook.freeze(daybook.slice_for(book, horse), Path(name) / horse)
            began = time.perf_counter()
            shown = run_cells(cells, horse, str(Path(name) / horse))
            page, paper = page_of(blocks_of(shown)), paper_of(blocks_of(shown))
            times.append(time.perf_counter() - began)
            _drawn.cache_clear()
            assert page.startswith("<!doctype")
            assert paper.startswith(b"%PDF")
    # The first is for what is done once in a process.
    return median(times[1:])


def run_cells(cells: list, horse: str, slice_folder: str) -> dict:
    """Run the cells of a workbook with `exec`, and keep what the last line of each is worth."""
    import ast

    names: dict = {}
    outputs = []
    for cell in cells:
        source = cell.source
        if "parameters" in cell.metadata.get("tags", ()):
            source = f"horse = {horse!r}; month = {MONTH!r}; daybook = {slice_folder!r}"
        tree = ast.parse(source)
        last = tree.body.pop() if isinstance(tree.body[-1], ast.Expr) else None
        exec(compile(tree, "cell", "exec"), names)
        if last is not None:
            value = eval(compile(ast.Expression(last.value), "cell", "eval"), names)
            bundle = getattr(value, "_repr_mimebundle_", None)
            if bundle is not None:
                outputs.append({"data": bundle()})
    return {"cells": [{"outputs": outputs}]}


def night(book: Path, out: Path, *options: str) -> tuple[float, float]:
    """Return the seconds of a night, and the most memory of its driving process in megabytes."""
    command = [COMMAND, "overnight", book, "--month", MONTH, "--out", out, *options]
    began = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    most = 0.0
    while process.poll() is None:
        most = max(most, peak_megabytes(process.pid))
        time.sleep(0.02)
    assert process.returncode == 0, process.stderr.read().decode()
    process.stderr.close()
    return time.perf_counter() - began, most


def peak_megabytes(process: int) -> float:
    """Return the most memory that a process has had."""
    try:
        text = Path(f"/proc/{process}/status").read_text()
    except OSError:
        return 0.0
    found = [line.split()[1] for line in text.splitlines() if line.startswith("VmHWM")]
    return int(found[0]) / 1000 if found else 0.0


def counted(out: Path) -> dict[str, int]:
    """Return how many reports were made; every one of them has its kinds, drawings and pages."""
    manifest = json.loads((out / MONTH / "manifest.json").read_text("utf-8"))
    for horse, entry in manifest["horses"].items():
        folder = out / MONTH / horse
        assert set(entry["standing"]["files"]) == {path.name for path in folder.iterdir()}
        notebook = nbformat.read(folder / "report.ipynb", as_version=4)
        pictures = [block for block in blocks_of(notebook) if block["block"] == "picture"]
        drawings = sum(2 if picture.get("narrow") else 1 for picture in pictures)
        assert (folder / "report.html").read_text("utf-8").count('role="img"') == drawings
        assert len(PdfReader(folder / "report.pdf").pages) >= 1
        if entry["standing"]["recorded"]:
            assert len(pictures) >= 3
    return manifest["counts"]


def nights(horses: int, least: float) -> None:
    """Print what nights over a barn cost: the first, one without a change, one with one.

    ``least`` is the floor, on all cores.
    """
    with tempfile.TemporaryDirectory() as name:
        book, out = write_barn(Path(name) / "barn", horses), Path(name) / "out"
        plainly = loops(book)
        first, memory = night(book, out)
        counts = counted(out)
        assert counts["made"] + counts["no-data"] == horses
        again, _ = night(book, out)
        assert counted(out)["unchanged"] == horses
        with (book / "measurements.csv").open("a") as file:
            file.write("2026-10-30,larder-drizzle-0,weight,1131 lb,,scale,,\n")
        changed, _ = night(book, out)
        assert counted(out)["made"] == 1
        each, less = first / horses, plainly * horses / first
        print(f"{horses:>6} horses: {first:8.1f} s, {each:.3f} s a report; driver {memory:.0f} MB")
        print(f"        plain tools: {plainly:.2f} s a report, {less:.1f} times as much")
        print(f"        {each / least:.1f} times the floor")
        print(f"        nothing changed: {again:.1f} s; one horse changed: {changed:.1f} s, 1 made")


def large_slice() -> None:
    """Print what it takes to read one horse's slice out of nine million rows."""
    horses, days = SLICES
    book = daybook.read(SAMPLE)
    ids = [f"horse-{number:05}" for number in range(horses)]
    template = book.tables["exercise"].iloc[: horses * days]
    rows = np.arange(horses * days)
    exercise = template.iloc[rows % len(template)].reset_index(drop=True)
    exercise["horse"] = pd.Series(ids, dtype="object").to_numpy()[rows % horses]
    exercise["date"] = np.datetime64("2021-11-01", "ns") + (rows // horses) * np.timedelta64(1, "D")
    stable = book.tables["horses"]
    named = stable.iloc[rows[:horses] % len(stable)].reset_index(drop=True)
    named = named.assign(horse=pd.Series(ids, dtype="object"))
    tables = {**book.tables, "exercise": exercise, "horses": named}
    for table in ("works", "splits", "measurements", "fitness", "footfalls", "targets"):
        tables[table] = book.tables[table].iloc[:0]
    for field in ("tables", "gps"):
        object.__setattr__(book, field, tables if field == "tables" else book.gps.iloc[:0])
    with tempfile.TemporaryDirectory() as name:
        began = time.perf_counter()
        write_store(book, Path(name))
        written = time.perf_counter() - began
        size = sum(path.stat().st_size for path in Path(name).iterdir()) / 1e6
        store, times = Store(Path(name)), []
        for horse in ids[:: horses // 40]:
            began = time.perf_counter()
            piece = store.slice_for(horse)
            times.append(time.perf_counter() - began)
            assert len(piece.tables["exercise"]) == days
    print(f"{horses * days:,} rows: stored in {written:.0f} s ({size:.0f} MB)")
    print(f"        one slice: {1000 * times[0]:.0f} ms the first, {1000 * median(times):.1f} then")


def main(barns: Sequence[int]) -> None:
    """Print it all."""
    horses = list(daybook.read(SAMPLE).tables["horses"]["horse"])[: 3 * CORES]
    lowest = floor(horses)
    print(
        f"{CORES} cores; floor, one process: {lowest:.3f} s, on all {lowest / CORES:.3f} s a report"
    )
    for count in barns:
        nights(count, lowest / CORES)
    large_slice()


if __name__ == "__main__":
    main([int(count) for count in sys.argv[1:]] or [10, 100])
