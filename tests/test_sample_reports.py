"""The committed examples of finished reports are what the code makes now."""

import json
import struct
from pathlib import Path

import pytest

from racecalc import daybook, digest, tables
from tests.command import racecalc
from tests.conftest import ROOT
from tests.reading import same_words

EXAMPLES = ROOT / "sample_runs" / "reports"
HORSES = ("larder-drizzle", "sump-and-thistle")
MONTH = "2026-10"
SINGLE = {
    "body": ("body", "colander-fog"),
    "load": ("load", "larder-drizzle"),
    "fitness": ("fitness", "larder-drizzle"),
    "gait": ("gait", "colander-fog", "--clip", "CF-261024-change"),
    "next-work": ("next-work", "larder-drizzle"),
    "surface": ("surface", "thimble-marsh"),
    "work-review": ("work-review", "LD-261028"),
    "pole-sheet": (
        "pole-sheet", "thimble-marsh", "--distance", "6 f", "--asked", "1:13 1/5", "--horse",
        "larder-drizzle", "--day", "2026-11-02",
    ),
}  # fmt: skip

# What is made for other tests with the same words asked is compared there, in
# `tests/test_single_reports.py`; the months are in `tests/test_reports.py`.
MADE_ELSEWHERE = {
    "load": "load/larder-drizzle",
    "fitness": "fitness/larder-drizzle",
    "next-work": "next-work/larder-drizzle",
    "surface": "surface/thimble-marsh",
    "work-review": "works/LD-261028",
    "pole-sheet": "pole-sheets/2026-11-02-larder-drizzle-6-f-in-1-13-1-5",
}


@pytest.fixture(scope="module")
def book(sample_book):
    return daybook.read(sample_book)


def test_there_are_these_files_and_they_are_small():
    found = {path.relative_to(EXAMPLES).as_posix() for path in EXAMPLES.rglob("*.*")}
    assert found == {"page_one.png"} | {
        f"{horse}/report.{kind}" for horse in (*HORSES, *SINGLE) for kind in ("html", "pdf", "json")
    }
    assert sum((EXAMPLES / name).stat().st_size for name in found) < 3_500_000


@pytest.mark.parametrize("name", [*HORSES, *SINGLE])
def test_each_number_is_the_one_that_is_computed_now(book, name):
    committed = json.loads((EXAMPLES / name / "report.json").read_text("utf-8"))
    # As JSON has it: tuples are lists there.
    now = json.loads(json.dumps(tables.numbers(told(book, name)).block()))
    del now["block"]
    before, after = by_name(committed.pop("numbers")), by_name(now.pop("numbers"))
    assert before.keys() == after.keys()
    for name, number in after.items():
        assert before[name].pop("value") == pytest.approx(number.pop("value"), rel=1e-6, abs=1e-9)
        assert before[name] == number
    assert committed == now


def told(book, name):
    if name in HORSES:
        return digest.build(daybook.slice_for(book, name), MONTH)
    if name == "next-work":
        return digest.build_next_work(daybook.slice_for(book, "larder-drizzle"))
    if name == "surface":
        return digest.build_surface(daybook.track_slice(book), "thimble-marsh")
    if name == "gait":
        record = daybook.slice_for(book, "colander-fog")
        return digest.build_gait(record, clip="CF-261024-change")
    if name == "body":
        return digest.build_body(daybook.slice_for(book, "colander-fog"))
    record = daybook.slice_for(book, "larder-drizzle")
    if name in ("load", "fitness"):
        return {"load": digest.build_load, "fitness": digest.build_fitness}[name](record)
    if name == "work-review":
        return digest.build_review(record, "LD-261028")
    how = {"day": "2026-11-02"}
    return digest.build_pole_sheet(record, "thimble-marsh", "6 f", "1:13 1/5", **how)


def by_name(numbers):
    return {number["name"]: number for number in numbers}


@pytest.mark.slow
@pytest.mark.parametrize("name", [name for name in SINGLE if name not in MADE_ELSEWHERE])
def test_a_single_report_says_what_it_would_say_now(sample_book, tmp_path, name):
    command, *rest = SINGLE[name]
    done = racecalc(command, sample_book, *rest, "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    assert same_words(EXAMPLES / name, Path(done.stdout.strip()))


def test_the_picture_is_a_whole_page_at_about_110_dots_an_inch():
    header = (EXAMPLES / "page_one.png").read_bytes()[:24]
    assert header.startswith(b"\x89PNG\r\n\x1a\n")
    width, height = struct.unpack(">II", header[16:])
    assert width == pytest.approx(8.5 * 110, abs=2)
    assert height == pytest.approx(11 * 110, abs=2)
