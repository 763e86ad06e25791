"""What the README says is what the code does."""

import math
import re
import shlex
from datetime import date
from functools import cache
from itertools import cycle

import numpy as np
import pandas as pd
import pytest

from racecalc import body, cli, daybook, digest, pace
from racecalc.cli import asking
from racecalc.daybook import Barn
from racecalc.units import FURLONG_M
from tests.conftest import ROOT
from tests.digest import sky
from tests.digest import test_body_report as bodies
from tests.digest import test_fitness as tests_
from tests.digest import test_load as loads
from tests.digest import test_next_work as plans
from tests.digest.small import rows as rows_of
from tests.digest.test_review import review_of, six

README = (ROOT / "README.md").read_text("utf-8")
MONTH = "2026-10"

# What a word in capitals may be, in the names of numbers.
WORDS = {
    "WORK": r"[\w-]+",
    "TRACK": r"[\w-]+",
    "POLE": r"(\+?[\d./ ]+( m| mi)?|finish)",
    "DATE": r"\d{4}-\d\d-\d\d",
    "SPAN": r"(month|last_month|30d)",
    "ACTIVITY": r"(walk|jog|canter|gallop|race|swim|treadmill|work|gallop_out)",
    "GROUP": r"(jog|gallop|work)",
    "STATE": r"[a-z -]+",
    "PART": r"(first turn|backstretch|far turn|home straight|chute)",
    "UPKEEP": r"(none|harrowed|watered|sealed)",
    "MOISTURE": r"(moisture|moisture_volume|moisture_mass)",
    "METHOD": r"(stick|laser|scale|tape|estimate)",
    "SHOES": r"(barefoot|shod|shod_as_barefoot)",
    "LENGTH": r"(height|girth|length|cannon)",
    "BACK": r"(30d|90d|1y)",
    "FORMULA": r"(carroll_huntington|imperial_rule|marcenac_aublet)",
    "EDGE": r"\d",
    "CLASS": r"class_\d",
    "DAYS": r"(7d|30d|60d)",
    "AMOUNT": r"(week|four_weeks|strain|quick_sum|slow_sum)",
    "RATIO": r"(coupled|uncoupled|weighted|monotony)",
    "TEST": r"(v4|v200|v_peak)",
    "MINUTES": r"[\d.]+min",
    "STEP": r"\d",
    "CLIP": r"\d+",
    "FOOT": r"(LH|RH|LF|RF)",
    "FEET": r"[0-4]",
    "SIDE": r"(left|right)",
    "STRIDE": r"\d+",
    "KIND": r"(shorter|same|longer|easier|threshold)",
    "CHANCE": r"\d+",
    "NEED": r"(minimum|average|elevated|light|moderate|heavy)",
}


def between(start, end, text=README):
    """Return the text between two marks, each of which stands once."""
    assert text.count(start) == 1, start
    inside = text.partition(start)[2]
    assert end in inside
    return inside.partition(end)[0]


def section(title):
    return between(f"\n## {title}\n", "\n## ")


def rows(text):
    """Return the cells of the one Markdown table in a text, without its head."""
    lines = [line for line in text.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def blocks(text=README):
    return re.findall(r"```\w*\n(.*?)```", text, re.DOTALL)


class TestOpening:
    def test_one_title_then_the_job_in_one_paragraph(self):
        lines = README.splitlines()
        assert lines[0] == "# racecalc"
        assert [line for line in unfenced().splitlines() if line.startswith("# ")] == ["# racecalc"]
        assert (lines[1], lines[3]) == ("", "")
        assert re.match(r"[A-Z]", lines[2])
        assert 80 < len(lines[2].split()) < 150

    def test_what_it_links_to_is_there(self):
        targets = re.findall(r"\]\((?!http)([^)#]+)\)", README)
        assert "sample_runs/reports/page_one.png" in targets
        assert [target for target in targets if not (ROOT / target).exists()] == []

    def test_no_path_of_a_machine(self):
        for trace in ("/home/", "/root/", "/tmp/", "/opt/", "/Users/", "C:\\", "/work/"):
            assert trace not in README


def unfenced():
    return re.sub(r"```.*?```", "", README, flags=re.DOTALL)


class TestCommands:
    SETUP = "python3 -m venv .venv && .venv/bin/pip install -c requirements.lock -e "

    @pytest.mark.parametrize(
        ("mark", "rest"),
        [
            (
                "<!-- reports command -->",
                ". && .venv/bin/racecalc overnight sample_runs/daybook --month 2026-10 "
                "--out reports",
            ),
            (
                "<!-- test command -->",
                "'.[test]' && .venv/bin/python -m pytest -n auto --dist loadfile",
            ),
        ],
    )
    def test_the_two_first_commands_stand_once_in_one_line_each(self, mark, rest):
        command = between(mark + "\n```sh\n", "\n```")
        assert command == self.SETUP + rest
        assert README.count(command) == 1
        assert (ROOT / "requirements.lock").is_file()
        assert (ROOT / "sample_runs" / "daybook").is_dir()

    def test_continuous_integration_runs_the_readmes_test_command(self):
        assert "<!-- test command -->" in (ROOT / ".ci" / "run").read_text("utf-8")

    def test_every_command_is_shown_and_every_shown_command_parses(self):
        shown = set()
        for line in command_lines():
            name, *arguments = shlex.split(line, comments=True)[1:]
            assert name in cli.main.commands, line
            # Reads arguments and options as a run would, and runs nothing.
            with cli.main.commands[name].make_context(name, arguments):
                shown.add(name)
        assert shown == set(cli.main.commands)

    def test_completion_is_asked_for_as_click_wants_it(self):
        assert 'eval "$(_RACECALC_COMPLETE=bash_source racecalc)"' in README

    def test_exit_statuses_are_those_of_the_command(self):
        statuses = {
            "0": "all well",
            str(asking.SOME_FAILED): "some reports failed or the book has errors",
            "2": "usage",
            str(asking.INPUT_REFUSED): "input refused",
            str(asking.NOT_WRITTEN): "nothing could be written",
            str(asking.LOCKED): "another run is at work",
        }
        said = ", ".join(f"{status} {meaning}" for status, meaning in sorted(statuses.items()))
        assert f"Exit status: {said}." in README
        assert f"Exit status: {said}." in " ".join((cli.main.help or "").split())

    def test_states_are_those_of_the_manifest(self):
        from racecalc.overnight import STATES

        line = next(line for line in README.splitlines() if "one of five states" in line)
        assert sorted(re.findall(r"`([\w-]+)`", line)) == sorted(STATES)

    def test_the_files_of_a_run_are_named(self):
        """`tests/test_cli.py` looks at what a run writes; here the names only."""
        listed = re.findall(r"^reports/2026-10/(\S+)  ", README, re.MULTILINE)
        assert listed == [
            "index.html", "manifest.json", "overnight.log",
            *(f"HORSE/report.{kind}" for kind in ("html", "pdf", "json", "ipynb")),
        ]  # fmt: skip


def command_lines():
    """Return each use of the command in a fenced block, wherever it is installed."""
    for block in blocks():
        for line in block.splitlines():
            found = re.search(r"(?:^|[/ ])(racecalc (?!\S*[/=]).*)", line)
            if found:
                # The month that a scheduler fills in, and the end of a shell's quotation.
                text = re.sub(r'"?\$+\(date [^)]*\)"?', MONTH, found[1]).rstrip("'")
                text = text.removesuffix(" > /dev/null")
                yield text


class TestDaybook:
    def test_the_table_of_tables_is_the_schemas(self):
        assert between("<!-- tables -->\n", "<!-- /tables -->") == daybook.markdown()

    def test_the_example_rows_and_settings_make_a_daybook_without_a_flaw(self, tmp_path):
        lines = between("<!-- rows -->\n```\n", "```").splitlines()
        assert [line.split()[0] for line in lines] == list(daybook.SCHEMA)
        for line in lines:
            table, row = line.split(maxsplit=1)
            header = ",".join(column.name for column in daybook.SCHEMA[table].columns)
            (tmp_path / f"{table}.csv").write_text(f"{header}\n{row}\n", "utf-8")
        settings = next(block for block in blocks() if block.startswith("[barn]"))
        (tmp_path / "barn.toml").write_text(settings, "utf-8")
        book = daybook.read(tmp_path)
        # One row for each table: all it lacks is the rest of a film.
        [alone] = map(str, book.problems)
        assert alone.startswith('footfalls.csv:2:clip: warning: "gallop-1" has this row only; ')
        assert {name: len(table) for name, table in book.tables.items()} == dict.fromkeys(
            daybook.SCHEMA, 1
        )
        # The settings that the README shows as examples are the defaults.
        assert book.barn == Barn(name="Sedge Ladder Stable", trainer="Ottilie Marlpit")


@pytest.fixture(scope="module")
def sample(sample_book):
    """Every number of the sample's reports, a review and a sheet, as they take them."""
    book = daybook.read(sample_book)
    horses = book.tables["horses"]["horse"]
    slices = {horse: daybook.slice_for(book, horse) for horse in horses}
    told = [digest.build(record, MONTH) for record in slices.values()]
    told += [digest.build_body(record, "2026-10-31") for record in slices.values()]
    told += [digest.build_load(record, "2026-10-31") for record in slices.values()]
    told += [digest.build_fitness(record, "2026-10-31") for record in slices.values()]
    filmed = ("larder-drizzle", "colander-fog", "spokeshave-sleet")
    told += [digest.build_gait(slices[horse]) for horse in filmed]
    # One has left the barn.
    staying = [slices[one.horse.id] for one in told[: len(slices)] if not one.horse.left]
    told += [digest.build_next_work(record, "2026-10-31") for record in staying]
    told += [
        digest.build_surface(slices["larder-drizzle"], track)
        for track in ("thimble-marsh", "rushlight-lane")
    ]
    # The forecast of the sample is cool.
    hot = sky.forecast(*[10] * 7, air="0,20 C,33 C,2 m/s,45,85")
    told.append(plans.plan_of(forecast=hot))
    # No horse of the sample was tested to where its heart levels off, or left its ground untimed.
    told.append(tests_.levelled_off())
    told.append(loads.untimed())
    # On that day he raced, and was weighed.
    told.append(digest.build_body(slices["mallet-puddle"], "2026-09-12"))
    # No horse of the sample is a yearling.
    yearling = bodies.FOAL.format("2025-10-01")
    weighed = bodies.line(date(2026, 9, 1), "weight", "280 kg", "scale")
    told.append(bodies.report(weighed, horses=yearling))
    record = slices["larder-drizzle"]
    told.append(digest.build_review(record, "LD-261028"))
    how = {"day": "2026-11-02", "off_rail": "20 ft"}
    told.append(digest.build_pole_sheet(record, "thimble-marsh", "6 f", "1:13", **how))
    # No work of the sample is of a metric length.
    metric = rows_of("works", "a,2026-10-02,sieve,gallop,1200 m,1:15")
    told.append(review_of(works=metric, splits=rows_of("splits", "a,400 m,:50")))
    # Nor does one of those reviewed quicken.
    told.append(six("1/2,:25 2/5", "1/4,:50", time="1:13 1/5"))
    return [number for one in told for number in one.numbers()]


@pytest.fixture(scope="module")
def documented():
    """The documented names and their units, which a row gives in turn."""
    found = {}
    for names, _, listed in rows(section("The numbers")):
        units = cycle(listed.split(", "))
        for name in re.findall(r"`([^`]+)`", names):
            assert name not in found, name
            found[name] = next(units)
    return found


class TestNumbers:
    def test_every_number_is_documented_with_its_unit(self, sample, documented):
        assert sample
        for number in sample:
            units = [u for name, u in documented.items() if pattern(name).fullmatch(number.name)]
            assert set(units) == {number.unit}, f"{number.name} in the README"

    def test_every_documented_name_occurs(self, sample, documented):
        names = {number.name for number in sample}
        unused = [name for name in documented if not any(map(pattern(name).fullmatch, names))]
        assert unused == []

    def test_the_keys_of_a_report_are_named(self):
        from racecalc import tables

        page = tables.numbers(digest.build(self.one_slice(), MONTH)).block()
        text = section("The numbers").partition("\n| name ")[0]
        for key in (set(page) - {"block"}) | set(page["numbers"][0]):
            assert f"`{key}`" in text, key

    def one_slice(self):
        return daybook.open_slice(ROOT / "sample_runs" / "daybook", "larder-drizzle")


@cache
def pattern(name):
    return re.compile(re.sub(r"[A-Z]{2,}", lambda word: WORDS[word[0]], re.escape(name)))


@pytest.fixture(scope="module")
def table():
    return {what: f"{how} | {good}" for what, how, good in rows(section("How accurate it is"))}


class TestAccuracy:
    """Each figure of the table, from the constants of the code."""

    @pytest.mark.parametrize("clock", ["fifths", "hundredths"])
    def test_clocks(self, table, clock):
        row = table[f"a time by hand, in {clock}"]
        reading = f"{pace.CLOCK_ERROR_S[clock]:.2f}"
        difference = f"{pace.difference_error_s(pace.CLOCK_ERROR_S[clock]):.2f}"
        assert row.endswith(f"| {reading} s a reading, {difference} s a difference")
        assert set(re.findall(r"\d+\.\d+", row)) == {reading, difference}

    def test_height(self, table):
        one, several = (body.SPREADS["height", "stick", same].error * 100 for same in (True, False))
        limits = f"{math.sqrt(2) * one:.1f} cm (one person) or {math.sqrt(2) * several:.1f} cm"
        row = table["height by stick"]
        assert f"one person repeats within {one:.2f} cm, several within {several:.2f} cm" in row
        assert limits in row

    def test_weight_by_scale(self, table):
        error = body.SPREADS["weight", "scale", False].error
        limit = body.smallest_detectable_change(error)
        row = table["weight on a scale"]
        assert row.startswith(f"{error:.2%}".replace("%", " %"))
        assert f"up to {limit:.2%}, or {limit * 460:.0f} kg in 460 kg".replace("%", " %") in row

    def test_growth(self, table, sample_book):
        book = daybook.read(sample_book)
        horses, rows_ = book.tables["horses"], book.tables["measurements"]
        errors = []
        for horse, born in zip(horses["horse"], horses["foaled"], strict=True):
            found = body.barefoot(body.series(rows_[rows_["horse"] == horse], "height"))
            if pd.isna(born) or not found or len(found[0].readings) < 3:
                continue
            ages = [body.months_between(born.date(), day) for day in found[0].dates]
            if ages[0] < 48:
                errors.append(abs(body.leave_one_out(ages, found[0].values)))
        missed = np.concatenate(errors) * 100
        said = f"{np.median(missed):.1f} cm in the middle and {missed.max():.1f} cm at most"
        assert len(errors) == 4
        assert said in table["growth"]

    def test_weight_from_girth_and_length(self, table):
        low, high = (round(100 * float(end)) for end in body.girth_length_error(1.0))
        assert f"within {low} to {high} % of it" in table["weight from girth and length"]

    def test_weight_by_tape_and_by_eye(self, table):
        errors = (body.SPREADS["weight", way, False].error for way in ("tape", "estimate"))
        said = ", ".join(f"{error:.1%}".replace("%", " %") for error in errors)
        assert table["weight by tape, by eye"].startswith(said)

    def test_fast_ground(self, table):
        assert f"at or above {Barn().fast_speed_m_s:g} m/s" in table["fast ground"]

    def test_the_clock_that_is_read_and_printed_back(self, table):
        from racecalc.notation import read_clock, write_clock

        row = table["clocks, heights, distances"]
        written, seconds, back = re.search(
            r"([\d:]+ \d/\d) is ([\d.]+) s and prints back as ([\d:]+ \d/\d)", row
        ).groups()
        assert float(read_clock(written)) == pytest.approx(float(seconds), abs=1e-12)
        assert write_clock(read_clock(written), "fifths") == back == written

    def test_the_furlong(self):
        assert f"a furlong is {FURLONG_M} m" in section("The numbers")
        assert "8 furlongs are one mile" in section("How accurate it is")
        assert math.isclose(FURLONG_M * 8, 1609.344, abs_tol=1e-9)
