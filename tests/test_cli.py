"""The command as a process: what it prints, where it writes, how it exits."""

import hashlib
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.command import COMMAND, racecalc, racecalc_here
from tests.daybook.stable import write_book

pytestmark = pytest.mark.slow

OK, SOME_FAILED, USAGE, INPUT_REFUSED, NOT_WRITTEN = range(5)
COMMANDS = (
    "new", "check", "report", "overnight", "pole-sheet", "work-review", "convert", "sources", "lab",
)  # fmt: skip


def fingerprint(folder: Path) -> dict[str, str]:
    files = (path for path in sorted(folder.rglob("*")) if path.is_file())
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in files
    }


@pytest.fixture
def stable(tmp_path):
    return write_book(tmp_path / "stable")


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A book and its fingerprint before, and where the command put the report of one horse."""
    place = tmp_path_factory.mktemp("made")
    book = write_book(place / "stable")
    before = fingerprint(book)
    done = racecalc("report", book, "brindle", "--month", "2026-10", "--out", place / "out")
    assert done.returncode == OK, done.stderr
    return book, before, place / "out"


def numbers(folder: Path) -> dict[str, dict]:
    found = json.loads((folder / "report.json").read_text("utf-8"))["numbers"]
    return {number["name"]: number for number in found}


class TestHelp:
    def test_it_lists_every_command_with_examples(self):
        done = racecalc("--help")
        assert done.returncode == OK
        for command in COMMANDS:
            assert command in done.stdout
        assert "racecalc report my-barn" in done.stdout

    @pytest.mark.parametrize("command", [c for c in COMMANDS if c != "sources"])
    def test_each_command_shows_an_example(self, command):
        shown = racecalc(command, "--help").stdout
        lines = [line.strip() for line in shown.splitlines()[1:]]
        assert any(line.startswith(f"racecalc {command} ") for line in lines)
        assert "\\b" not in shown

    def test_heavy_libraries_stay_out(self):
        """Answering at once means not importing what only reports need."""
        done = subprocess.run(
            [sys.executable, "-X", "importtime", str(COMMAND), "--help"],
            capture_output=True,
            text=True,
            check=True,
        )
        imported = {line.rpartition("|")[2].strip() for line in done.stderr.splitlines()}
        heavy = {"pandas", "numpy", "altair", "pint", "papermill", "nbconvert", "typst", "openpyxl"}
        assert imported & heavy == set()
        assert "click" in imported

    def test_completion_offers_the_commands(self):
        asked = {
            "_RACECALC_COMPLETE": "bash_complete",
            "COMP_WORDS": "racecalc re",
            "COMP_CWORD": "1",
        }
        assert racecalc(env=os.environ | asked).stdout == "plain,report\n"


class TestConvert:
    @pytest.mark.parametrize(
        ("text", "kind", "keys"),
        [
            ("16.2 3/4", "height", {"metres", "inches", "centimetres", "hands"}),
            ("1 1/16 mi", "distance", {"metres", "furlongs", "miles", "text"}),
            ("1:13 2/5", "clock", {"seconds", "fifths", "hundredths"}),
            ("1,126 lb", "weight", {"kilograms", "pounds"}),
            (
                "35 mph",
                "speed",
                {
                    "metres_per_second",
                    "miles_per_hour",
                    "kilometres_per_hour",
                    "seconds_per_furlong",
                },
            ),
        ],
    )
    def test_json_has_the_documented_keys(self, text, kind, keys):
        done = racecalc("convert", text, "--kind", kind, "--json")
        assert done.returncode == OK
        assert set(json.loads(done.stdout)) == keys

    def test_the_clock_setting_decides_what_a_digit_after_the_point_means(self):
        fifths = racecalc("convert", "1:13.2", "--kind", "clock", "--json")
        hundredths = racecalc(
            "convert", "1:13.2", "--kind", "clock", "--clock", "hundredths", "--json"
        )
        assert json.loads(fifths.stdout)["seconds"] == pytest.approx(73.4)
        assert json.loads(hundredths.stdout)["seconds"] == pytest.approx(73.2)

    @pytest.mark.parametrize(
        ("text", "kind"),
        [("16.5", "height"), ("1m", "distance"), ("1:73", "clock"), ("-3", "speed")],
    )
    def test_a_refused_text_is_one_line_and_says_what_to_write(self, text, kind):
        done = racecalc("convert", "--kind", kind, "--", text)
        assert done.returncode == SOME_FAILED
        assert done.stdout == ""
        assert len(done.stderr.splitlines()) == 1
        assert "write" in done.stderr


class TestNewAndCheck:
    @pytest.mark.parametrize("options", [(), ("--xlsx",)])
    def test_a_new_daybook_is_empty_and_never_written_over(self, tmp_path, options):
        name = "barn.xlsx" if options else "barn"
        assert racecalc("new", tmp_path / name, *options).returncode == OK
        before = fingerprint(tmp_path)
        again = racecalc("new", tmp_path / name, *options)
        assert again.returncode == INPUT_REFUSED
        assert fingerprint(tmp_path) == before

    def test_check_lists_every_problem_and_leaves_the_book_alone(self, stable):
        works = stable / "works.csv"
        text = works.read_text("utf-8").replace("1:01 2/5", "1:73").replace(":37,", "nonsense,")
        works.write_text(text, "utf-8")
        before = fingerprint(stable)
        done = racecalc("check", stable)
        assert done.returncode == SOME_FAILED
        lines = done.stdout.splitlines()
        assert any(line.startswith("works.csv:2:time: ") for line in lines)
        assert any(line.startswith("works.csv:3:time: ") for line in lines)
        assert fingerprint(stable) == before

    def test_the_sample_has_nothing_wrong(self, sample_book):
        done = racecalc("check", sample_book)
        assert (done.returncode, done.stdout) == (OK, "")

    def test_one_error_is_counted_in_the_singular(self, stable):
        with (stable / "targets.csv").open("a", encoding="utf-8") as targets:
            targets.write("brindle,soon,6 f,main,,\n")
        done = racecalc("check", stable)
        assert done.returncode == SOME_FAILED
        assert done.stderr.strip() == "1 error, 0 warnings"

    def test_no_such_book(self, tmp_path):
        done = racecalc("check", tmp_path / "nowhere")
        assert done.returncode == INPUT_REFUSED
        assert "nowhere" in done.stderr
        assert len(done.stderr.splitlines()) == 1


class TestReport:
    def test_it_writes_four_files_and_numbers_that_can_be_checked_by_hand(self, made):
        book, before, out = made
        folder = out / "2026-10" / "brindle"
        assert {path.name for path in folder.iterdir()} == {
            "report.html", "report.pdf", "report.json", "report.ipynb",
        }  # fmt: skip
        found = numbers(folder)
        # 5 f in 1:01 2/5: 61.4 s, 12.28 s a furlong, 3300 ft / 61.4 s = 53.75 ft/s.
        assert found["works.w1.distance"]["value"] == pytest.approx(1005.84)
        assert found["works.w1.time"]["value"] == pytest.approx(61.4)
        assert found["works.w1.time"]["text"] == "1:01⅖"
        assert found["works.w1.seconds_per_furlong"]["value"] == pytest.approx(12.28)
        assert found["works.w1.speed"]["value"] == pytest.approx(1005.84 / 61.4)
        # Clocks 12 2/5, 24 3/5, 36 4/5, 49, 1:01 2/5, and 1:14 3/5 a furlong past the finish.
        splits = {"1/2": 12.4, "3/8": 12.2, "1/4": 12.2, "1/8": 12.2, "finish": 12.4, "+1/8": 13.2}
        for pole, seconds in splits.items():
            assert found[f"works.w1.split.{pole}"]["value"] == pytest.approx(seconds)
        assert found["ground.month.work"]["value"] == pytest.approx(1005.84)
        assert found["ground.month.gallop_out"]["value"] == pytest.approx(201.168)
        assert found["ground.month.jog"]["value"] == pytest.approx(1.5 * 1609.344)
        # At 14 m/s and above: all of the work, and the furlong galloped out at 15.24 m/s.
        assert found["ground.30d.fast"]["value"] == pytest.approx(1005.84 + 201.168)
        # 16.0 1/2 hands are 64 1/2 inches.
        assert found["height.latest"]["value"] == pytest.approx(64.5 * 0.0254)
        assert found["weight.latest"]["value"] == pytest.approx(1052 * 0.45359237)
        assert fingerprint(book) == before

    def test_two_runs_make_the_same_bytes(self, made, tmp_path):
        """Also in a folder whose name would mean something to a formatter or a shell."""
        book, _, first = made
        second = tmp_path / "{horse} {0} $HOME"
        done = racecalc("report", book, "brindle", "--month", "2026-10", "--out", second)
        assert done.returncode == OK, done.stderr
        assert fingerprint(first) == fingerprint(second)
        assert "2026-10/brindle/report.pdf" in fingerprint(first)

    def test_a_month_without_records_is_a_plain_report(self, stable, tmp_path):
        done = racecalc("report", stable, "brindle", "--month", "1999-02", "--out", tmp_path)
        assert done.returncode == OK
        page = (tmp_path / "1999-02" / "brindle" / "report.html").read_text("utf-8")
        assert "Nothing was recorded for Brindle Tea Tray in February 1999." in page
        assert "<svg" not in page

    @pytest.mark.parametrize(
        "month", ["2026-13", "2026-1", "October", "2026-10-01", "", "２０２６-10"]
    )
    def test_a_month_must_be_written_as_one(self, stable, tmp_path, month):
        done = racecalc("report", stable, "brindle", "--month", month, "--out", tmp_path / "out")
        assert done.returncode == USAGE
        assert not (tmp_path / "out").exists()

    @pytest.mark.parametrize("horse", ["nobody", "../brindle", "", "brindle ", "BRINDLE"])
    def test_an_unknown_horse_is_refused_and_the_known_are_named(self, stable, tmp_path, horse):
        done = racecalc_here(
            "report", stable, horse, "--month", "2026-10", "--out", tmp_path / "out"
        )
        assert done.returncode == INPUT_REFUSED
        assert "brindle" in done.stderr
        assert not (tmp_path / "out").exists()

    def test_a_place_that_cannot_be_written_is_said_in_one_line(self, stable, tmp_path):
        (tmp_path / "file").write_text("in the way")
        done = racecalc(
            "report", stable, "007", "--month", "2026-10", "--out", tmp_path / "file" / "out"
        )
        assert done.returncode == NOT_WRITTEN
        assert len(done.stderr.splitlines()) == 1

    def test_a_row_with_an_error_is_left_out_and_said(self, stable, tmp_path):
        works = stable / "works.csv"
        works.write_text(works.read_text("utf-8").replace("1:01 2/5", "1:73"), "utf-8")
        done = racecalc("report", stable, "brindle", "--month", "2026-10", "--out", tmp_path)
        assert done.returncode == SOME_FAILED
        assert "works.csv:2:time" in done.stderr
        folder = tmp_path / "2026-10" / "brindle"
        assert "works, row 2" in (folder / "report.html").read_text("utf-8")
        assert "works.w1.time" not in numbers(folder)


class TestOvernight:
    # More of them in tests/test_hostile.py and, without workbooks, in tests/overnight.
    ODD_IDS = ("1e5",)

    def test_every_horse_has_one_state_and_its_own_report_and_the_summary_is_all_it_says(
        self, stable, tmp_path
    ):
        horses = stable / "horses.csv"
        rows = "".join(f"{odd},Odd {number},,,,,,\n" for number, odd in enumerate(self.ODD_IDS))
        horses.write_text(horses.read_text("utf-8") + rows, "utf-8")
        done = racecalc("overnight", stable, "--month", "2026-10", "--out", tmp_path)
        assert done.returncode == OK, done.stderr
        folder = tmp_path / "2026-10"
        # No bar where there is no terminal; what the barn should know is said once.
        assert done.stderr == (
            "1e5: nobody holds a share on 2026-10-31; its report is in no owner’s folder\n"
        )
        assert re.fullmatch(r"2 made, 1 no-data in \d+ s; see (.*)\n", done.stdout)[1] == str(
            folder / "index.html"
        )
        manifest = json.loads((folder / "manifest.json").read_text("utf-8"))
        states = {horse: entry["state"] for horse, entry in manifest["horses"].items()}
        assert states == {"brindle": "made", "007": "made"} | dict.fromkeys(self.ODD_IDS, "no-data")
        for number, odd in enumerate(self.ODD_IDS):
            report = json.loads((folder / odd / "report.json").read_text("utf-8"))
            assert (report["horse"], report["name"]) == (odd, f"Odd {number}")
        index = (folder / "index.html").read_text("utf-8")
        assert index.count("report.html") == len(states)
        log = (folder / "overnight.log").read_text("utf-8").splitlines()
        made = [line.split()[1:3] for line in log if " s: " in line]
        assert sorted(made) == sorted([horse, state] for horse, state in states.items())
        again = racecalc("overnight", stable, "--month", "2026-10", "--out", tmp_path)
        assert (again.returncode, again.stderr) == (OK, "")
        assert again.stdout.startswith("3 unchanged in ")

    def test_nothing_can_be_written(self, stable, tmp_path):
        (tmp_path / "file").write_text("in the way")
        done = racecalc(
            "overnight", stable, "--month", "2026-10", "--out", tmp_path / "file" / "out"
        )
        assert done.returncode == NOT_WRITTEN


def test_sources_names_each_source_and_its_tests():
    from racecalc.sources import SOURCES

    done = racecalc("sources")
    assert done.returncode == OK
    for key in SOURCES:
        assert key in done.stdout


def test_a_reader_that_leaves_early_is_no_error():
    done = subprocess.run(
        f"'{COMMAND}' sources | head -1", shell=True, capture_output=True, text=True, check=False
    )
    assert "Traceback" not in done.stderr
