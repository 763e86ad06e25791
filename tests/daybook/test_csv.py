"""CSV as people save it."""

from pathlib import Path

import pandas as pd
import pytest

from racecalc import daybook
from racecalc.errors import DaybookError
from tests.daybook.stable import BARN, TABLES, problems_of, with_row, write_book


def test_the_stable_is_read_without_problems(tmp_path: Path) -> None:
    book = daybook.read(write_book(tmp_path))
    assert book.problems == []
    assert book.rows_read == {name: len(text.splitlines()) - 1 for name, text in TABLES.items()}
    assert set(book.rows_refused.values()) == {0}
    work = book.tables["works"].iloc[0]
    assert work["distance_m"] == pytest.approx(1005.84, abs=1e-9)
    assert work["time_s"] == pytest.approx(61.4, abs=1e-9)
    assert work["from_gate"] is False
    assert list(book.tables["works"]["row"]) == [2, 3]
    assert book.tables["splits"]["pole"].tolist() == ["1/2", "3/8", "1/4", "1/8", "finish", "+1/8"]
    assert book.tables["exercise"]["distance_m"].isna().tolist() == [False, True, True]


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("separator", [",", ";"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_separator_line_ending_and_bom_make_no_difference(
    tmp_path: Path, ending: str, separator: str, mark: str
) -> None:
    plain = daybook.read(write_book(tmp_path / "plain"))
    changed = {
        name: (mark + text.replace('"1,052 lb"', "1052 lb").replace(",", separator))
        .replace("\n", ending)
        .encode()
        for name, text in TABLES.items()
    }
    book = daybook.read(write_book(tmp_path / "other", **changed))
    assert book.problems == []
    for name, frame in plain.tables.items():
        pd.testing.assert_frame_equal(book.tables[name], frame)


def test_a_bom_before_a_quoted_heading_is_no_part_of_it(tmp_path: Path) -> None:
    owners = "\ufeff" + TABLES["owners"].replace("owner,name", '"owner","name"')
    assert problems_of(tmp_path, owners=owners) == []


def test_header_case_and_blanks_are_ignored(tmp_path: Path) -> None:
    text = TABLES["works"].replace("from_pole", " From Pole ").replace("work,date", "WORK, Date")
    book = daybook.read(write_book(tmp_path, works=text))
    assert book.problems == []
    assert book.tables["works"]["from_pole_m"].iloc[0] == pytest.approx(1005.84)


def test_empty_lines_are_skipped_and_counted(tmp_path: Path) -> None:
    header, first, *rest = TABLES["works"].splitlines()
    text = "\n".join([header, "", first, " ,,,,,,,,,,,,,", *rest]) + "\n\n"
    book = daybook.read(write_book(tmp_path, works=text))
    assert book.problems == []
    assert book.tables["works"]["row"].tolist() == [3, 5]


def test_a_cell_with_line_breaks_is_one_row(tmp_path: Path) -> None:
    text = TABLES["exercise"].replace(",easy", ',"easy\nand then\nhome"')
    book = daybook.read(write_book(tmp_path, exercise=text))
    assert book.problems == []
    assert book.tables["exercise"]["note"].iloc[0] == "easy\nand then\nhome"
    assert book.tables["exercise"]["row"].tolist() == [2, 3, 4]


def test_extra_columns_are_named_once(tmp_path: Path) -> None:
    text = "".join(line + ",x,y\n" for line in TABLES["owners"].splitlines())
    text = text.replace("email,x,y", "email,Phone,Fax")
    assert problems_of(tmp_path, owners=text) == [
        'owners.csv:1: warning: columns that are not used: "Phone", "Fax"'
    ]


def test_short_rows_are_blank_at_the_end(tmp_path: Path) -> None:
    book = daybook.read(write_book(tmp_path, owners="owner,name,email\nquill,Q\nmoth,M,\n"))
    assert book.problems == []
    assert book.tables["owners"]["email"].tolist() == [None, None]


def test_too_many_fields_refuse_the_row_only(tmp_path: Path) -> None:
    text = with_row("exercise", "2026-10-04,brindle,jog,1,5 mi,,,,easy")
    [problem] = problems_of(tmp_path, exercise=text)
    assert problem.startswith("exercise.csv:5: has 9 fields where the header names 8;")
    assert len(daybook.read(tmp_path).tables["exercise"]) == 3


def test_a_column_headed_twice_makes_the_table_unusable(tmp_path: Path) -> None:
    text = TABLES["owners"].replace("owner,name,email", "owner,name,NAME")
    [problem, *_] = problems_of(tmp_path, "error", owners=text)
    assert problem == 'owners.csv:1: two columns are headed "name"; keep one of them'


def test_a_missing_column_suggests_the_one_that_was_meant(tmp_path: Path) -> None:
    text = TABLES["owners"].replace("owner,name", "owner,nmae")
    problem = problems_of(tmp_path, "error", owners=text)[0]
    assert problem.startswith('owners.csv:1: no column name ("nmae" may be meant for name); found')


@pytest.mark.parametrize(("sign", "word"), [("\t", "tabs"), ("|", "upright bars")])
def test_a_wrong_separator_is_named(tmp_path: Path, sign: str, word: str) -> None:
    text = TABLES["exercise"].replace(",", sign)
    problem = problems_of(tmp_path, exercise=text)[0]
    assert problem == (
        f"exercise.csv:1: the columns are separated by {word}; "
        "save as CSV with commas or semicolons"
    )


def test_latin_1_refuses_the_cells_it_spoils_and_no_others(tmp_path: Path) -> None:
    text = with_row("owners", "zoe,Zoë Zwicky,").encode("latin-1")
    assert problems_of(tmp_path, owners=text) == [
        "owners.csv:4:name: is not UTF-8 text; save the file as 'CSV UTF-8'"
    ]
    assert daybook.read(tmp_path).tables["owners"]["owner"].tolist() == ["quill", "moth"]


def test_a_nul_byte_refuses_its_cell(tmp_path: Path) -> None:
    text = with_row("owners", "nul,Na\x00me,")
    assert problems_of(tmp_path, owners=text) == [
        'owners.csv:4:name: "Na\\x00me" holds control characters; type the cell again'
    ]


def test_utf_16_is_refused_by_name(tmp_path: Path) -> None:
    problem = problems_of(tmp_path, owners=TABLES["owners"].encode("utf-16"))[0]
    assert problem == "owners.csv: is UTF-16 text; save it as 'CSV UTF-8'"


def test_a_workbook_under_the_name_of_a_csv_is_refused(tmp_path: Path) -> None:
    assert "is a zip or .xlsx file" in problems_of(tmp_path, targets=b"PK\x03\x04rest")[0]


def test_an_open_quotation_mark_is_named_where_it_opens(tmp_path: Path) -> None:
    header, first, second, third = TABLES["exercise"].splitlines()
    text = "\n".join([header, first, second.replace(",,,", ',,,"'), third]) + "\n"
    problems = problems_of(tmp_path, exercise=text)
    assert problems[0].startswith("exercise.csv:3: a quotation mark is opened here")
    assert len(daybook.read(tmp_path).tables["exercise"]) == 1


def test_text_after_a_closing_quotation_mark_refuses_the_row_only(tmp_path: Path) -> None:
    text = with_row("owners", '"zoe"x,Zoe,') + "anna,Anna Albright,\n"
    [problem] = problems_of(tmp_path, owners=text)
    assert problem.startswith("owners.csv:4: a quoted cell goes on")
    assert daybook.read(tmp_path).tables["owners"]["row"].tolist() == [2, 3, 5]


def test_notes_of_any_text_come_through_unchanged(tmp_path: Path) -> None:
    notes = ["<script>alert(1)</script>", "=1+1", 'say ""hi""', "🐎", "שלום", "x" * 10_000]
    rows = "".join(f'2026-10-0{i + 1},brindle,walk,,,,,"{n}"\n' for i, n in enumerate(notes))
    book = daybook.read(write_book(tmp_path, exercise=TABLES["exercise"] + rows))
    assert book.problems == []
    assert book.tables["exercise"]["note"].tolist()[3:] == [n.replace('""', '"') for n in notes]


@pytest.mark.parametrize("horse", ["Infinity", "007", "None", "NA", "no", "True", "nan", "1e5"])
def test_ids_stay_text(tmp_path: Path, horse: str) -> None:
    plain = {name: text.replace("007", "other") for name, text in TABLES.items()}
    changed = {name: text.replace("brindle,", f"{horse},") for name, text in plain.items()}
    book = daybook.read(write_book(tmp_path, **changed))
    assert book.problems == []
    for name in ("horses", "works", "measurements", "targets"):
        if "horse" in book.tables[name]:
            assert horse in book.tables[name]["horse"].tolist()
    assert all(isinstance(value, str) for value in book.tables["horses"]["horse"])


def test_a_header_alone_is_a_stable_without_horses(tmp_path: Path) -> None:
    only = {name: text.splitlines()[0] + "\n" for name, text in TABLES.items()}
    assert problems_of(tmp_path, **only) == [
        "horses.csv: warning: the table has no rows yet",
        "tracks.csv: warning: the table has no rows yet",
    ]


def test_an_empty_file_of_a_table_that_may_be_missing_is_an_error(tmp_path: Path) -> None:
    assert problems_of(tmp_path, targets="") == [
        "targets.csv: the file is empty; its first row must name the columns"
    ]


def test_files_of_other_programs_are_ignored_and_misnamed_ones_are_not(tmp_path: Path) -> None:
    write_book(tmp_path)
    for name in ("~$works.csv", "._works.csv", ".hidden.csv", "letter.docx"):
        (tmp_path / name).write_text("lock")
    (tmp_path / "measurement.csv").write_text("date\n")
    assert [str(problem) for problem in daybook.read(tmp_path).problems] == [
        "measurement.csv: warning: this file is named after no table and is not read; "
        "is it meant to be measurements?"
    ]


def test_a_table_in_two_files_is_not_guessed(tmp_path: Path) -> None:
    write_book(tmp_path)
    (tmp_path / "OWNERS.CSV").write_text(TABLES["owners"])
    problems = [str(problem) for problem in daybook.read(tmp_path).problems]
    assert problems[0] == (
        "OWNERS.CSV: the table stands in OWNERS.CSV, owners.csv; keep one of them"
    )


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda path: path.mkdir(), "horses.csv: the table is missing"),
        (lambda path: None, "there is no such daybook"),
        (lambda path: write_book(path, tracks=None), "tracks.csv: the table is missing"),
        (lambda path: write_book(path, barn=None), "barn.toml: is missing"),
        (lambda path: write_book(path, horses=""), "horses.csv: the file is empty"),
        (lambda path: write_book(path, horses="name\nx\n"), "horses.csv:1: no column horse"),
        (lambda path: write_book(path, barn="[barn\n"), "barn.toml: is no valid TOML"),
        (lambda path: path.write_text("x"), "is no .xlsx file"),
    ],
)
def test_what_cannot_be_used_at_all_is_one_error(tmp_path: Path, make: object, says: str) -> None:
    path = tmp_path / "book"
    make(path)  # type: ignore[operator]
    with pytest.raises(DaybookError, match=says):
        daybook.read(path)


def test_all_that_is_missing_is_said_at_once(tmp_path: Path) -> None:
    with pytest.raises(DaybookError) as error:
        daybook.read(tmp_path)
    lines = str(error.value).splitlines()
    assert [line.partition(":")[0] for line in lines] == ["barn.toml", "horses.csv", "tracks.csv"]


def test_check_lists_problems_of_a_book_that_cannot_be_read(tmp_path: Path) -> None:
    write_book(tmp_path, tracks=None, owners="owner,name\n bad id!,x\n")
    found = [str(problem) for problem in daybook.check(tmp_path)]
    assert "tracks.csv: the table is missing; add the file, with its header" in found
    assert any(line.startswith("owners.csv:2:owner:") for line in found)


def test_one_file_of_a_folder_is_not_a_daybook(tmp_path: Path) -> None:
    write_book(tmp_path)
    with pytest.raises(DaybookError, match="give the folder it stands in"):
        daybook.read(tmp_path / "works.csv")


def test_barn_text_is_toml(tmp_path: Path) -> None:
    assert daybook.read(write_book(tmp_path, barn="\ufeff" + BARN)).barn.name == "Lower Paddock"


@pytest.mark.slow
def test_fifty_megabytes_are_read_row_by_row_right(tmp_path: Path) -> None:
    line = (
        "2026-10-0{},brindle,walk,1 1/2 mi,20:00,main,Rider {},note {} of a long day at the track\n"
    )
    count = 50_000_000 // len(line) + 1
    rows = "".join(line.format(i % 9 + 1, i % 50, i) for i in range(count))
    text = TABLES["exercise"].splitlines()[0] + "\n" + rows + "2026-10-09,brindle,nap,,,,,\n"
    book = daybook.read(write_book(tmp_path, exercise=text))
    frame = book.tables["exercise"]
    assert (tmp_path / "exercise.csv").stat().st_size > 49_000_000
    assert (len(frame), book.rows_read["exercise"]) == (count, count + 1)
    assert frame["note"].iloc[-1] == f"note {count - 1} of a long day at the track"
    assert frame["row"].tolist() == list(range(2, count + 2))
    assert [str(problem).partition(" ")[0] for problem in book.problems] == [
        f"exercise.csv:{count + 2}:activity:"
    ]
