"""Bytes in: only a daybook with its problems, or a DaybookError, comes out."""

import csv
import hashlib
import io
import zipfile
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from racecalc import daybook
from racecalc.errors import DaybookError
from tests.daybook.sheets import write_workbook
from tests.daybook.stable import BARN, TABLES, write_book

FUZZ = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
NAMES = st.sampled_from(sorted(TABLES))
CELLS = st.one_of(
    st.text(max_size=12),
    st.from_regex(r"[-+]?[0-9]{1,3}([:. /][0-9]{1,3}){0,3} ?(f|mi|m|lb|F|hh|%)?", fullmatch=True),
    st.sampled_from(["", "brindle", "w1", "main", "2026-10-04", "5/8", "1:01 2/5", "6 f", "yes"]),
    st.sampled_from(["height", "weight", "pulse", "99999999999999999999", "1e999", "-0", "nan"]),
)


def hash_of(folder: Path) -> dict[str, str]:
    files = [folder] if folder.is_file() else sorted(folder.rglob("*"))
    return {str(path): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def read_or_refuse(path: Path) -> daybook.Book | None:
    """Read; whatever happens, no input changes, and every row is kept or refused with a word."""
    before = hash_of(path)
    book = None
    try:
        book = daybook.read(path)
    except DaybookError as error:
        assert str(error).strip()  # noqa: PT017
    else:
        for name, frame in book.tables.items():
            assert len(frame) == book.rows_read[name] - book.rows_refused[name]
            said = [p for p in book.problems if p.table == name and p.level == "error"]
            assert bool(said) >= bool(book.rows_refused[name]) or name in ("works", "splits")
        assert all("\n" not in str(problem) for problem in book.problems)
        for horse in book.tables["horses"]["horse"]:
            assert daybook.slice_for(book, horse).horse == horse
    assert hash_of(path) == before
    return book


@FUZZ
@given(NAMES, st.binary(max_size=300))
def test_any_bytes_under_the_name_of_a_table(tmp_path: Path, name: str, data: bytes) -> None:
    read_or_refuse(write_book(tmp_path, **{name: data}))


@FUZZ
@given(NAMES, st.data())
def test_any_cells_under_the_right_header(tmp_path: Path, name: str, data: st.DataObject) -> None:
    width = len(daybook.SCHEMA[name].columns)
    rows = data.draw(st.lists(st.lists(CELLS, min_size=width, max_size=width + 1), max_size=6))
    text = io.StringIO()
    text.write(TABLES[name])
    csv.writer(text).writerows(rows)
    read_or_refuse(write_book(tmp_path, **{name: text.getvalue().encode("utf-8", "replace")}))


NUMBERS = st.sampled_from(
    ["", "0", "0.3", "4.2", "22", "45", "168", "400", "-1", "1e300", "1e-300"]
)
STEPS = st.tuples(
    st.sampled_from(["2026-10-04", "2026-10-05", "", "soon"]),
    st.sampled_from(["brindle", "007", "bridle"]),
    st.sampled_from(["1", "a", "A", "ß", "SS", ""]),
    st.sampled_from(["10 m/s", "10.1 m/s", "30 mph", "12 s/f", "1e-300 m/s", "fast", ""]),
    *[NUMBERS] * 3,
)

BESIDE_TESTS = dict.fromkeys(TABLES.keys() - {"horses", "tracks", "fitness"})


@FUZZ
@given(st.lists(STEPS, max_size=12), st.randoms(use_true_random=False))
def test_steps_of_exercise_tests_in_any_mixture_and_order(
    tmp_path: Path, rows: list[tuple[str, ...]], random: object
) -> None:
    header, *_ = TABLES["fitness"].splitlines()
    columns = []
    for _ in range(2):
        table = "\n".join([header, *map(",".join, rows)]) + "\n"
        # Rows of tests refer to horses only: no other table can change what is said of them.
        book = read_or_refuse(write_book(tmp_path, **BESIDE_TESTS, fitness=table))
        assert book is not None
        found = [p for p in book.problems if p.table == "fitness"]
        columns.append(sorted(str(p.column) for p in found))
        random.shuffle(rows)  # type: ignore[attr-defined]
    assert columns[0] == columns[1]


@FUZZ
@given(NAMES, st.integers(0, 400), st.binary(min_size=1, max_size=6))
def test_a_good_table_with_a_few_bytes_changed(
    tmp_path: Path, name: str, place: int, patch: bytes
) -> None:
    data = bytearray(TABLES[name].encode())
    data[place % len(data) : place % len(data) + len(patch)] = patch
    read_or_refuse(write_book(tmp_path, **{name: bytes(data)}))


@FUZZ
@given(st.binary(max_size=200) | st.text(max_size=80).map(lambda text: text.encode()))
def test_any_settings(tmp_path: Path, data: bytes) -> None:
    write_book(tmp_path)
    for text in (data, BARN.encode() + data):
        (tmp_path / "barn.toml").write_bytes(text)
        read_or_refuse(tmp_path)


@FUZZ
@given(
    st.dictionaries(
        st.text(max_size=8),
        st.recursive(
            st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
            lambda inner: (
                st.lists(inner, max_size=3)
                | st.dictionaries(st.text(max_size=8), inner, max_size=3)
            ),
            max_leaves=6,
        ),
        max_size=4,
    )
)
def test_any_setting_of_any_type(found: dict[str, object]) -> None:
    from racecalc.daybook.barn import _READERS, barn_from

    keys = [key for section in _READERS.values() for key in section]
    for value in found.values():
        settings_found = {"barn": dict.fromkeys(keys, value), "care": value, "states": found}
        barn, problems = barn_from({**settings_found, **found}, "barn.toml")
        assert isinstance(barn, daybook.Barn)
        assert all(str(problem) for problem in problems)


@pytest.fixture(scope="module")
def workbook(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    return write_workbook(tmp_path_factory.mktemp("xlsx") / "book.xlsx").read_bytes()


@FUZZ
@given(st.integers(0, 10**6), st.binary(min_size=1, max_size=8), st.integers(0, 10**6))
def test_a_workbook_with_a_few_bytes_changed_or_cut(
    tmp_path: Path, workbook: bytes, place: int, patch: bytes, keep: int
) -> None:
    data = bytearray(workbook)
    data[place % len(data) : place % len(data) + len(patch)] = patch
    path = tmp_path / "book.xlsx"
    path.write_bytes(bytes(data) if keep % 2 else bytes(data[: keep % len(data)]))
    read_or_refuse(path)


@FUZZ
@given(st.integers(0, 10**6), st.binary(min_size=1, max_size=8), st.integers(0, 100))
def test_a_workbook_whose_parts_are_damaged(
    tmp_path: Path, workbook: bytes, place: int, patch: bytes, part: int
) -> None:
    path = tmp_path / "book.xlsx"
    with zipfile.ZipFile(io.BytesIO(workbook)) as before, zipfile.ZipFile(path, "w") as after:
        names = before.namelist()
        for number, name in enumerate(names):
            data = bytearray(before.read(name))
            if number == part % len(names):
                data[place % len(data) : place % len(data) + len(patch)] = patch
            after.writestr(name, bytes(data))
    read_or_refuse(path)


@FUZZ
@given(NAMES, st.integers(0, 10**6), st.binary(min_size=1, max_size=8))
def test_a_parquet_file_with_a_few_bytes_changed(
    tmp_path: Path, name: str, place: int, patch: bytes
) -> None:
    rows = list(csv.DictReader(io.StringIO(TABLES[name])))
    table = pa.table({key: [row[key] or None for row in rows] for key in rows[0]})
    buffer = io.BytesIO()
    pq.write_table(table, buffer)
    data = bytearray(buffer.getvalue())
    data[place % len(data) : place % len(data) + len(patch)] = patch
    write_book(tmp_path)
    (tmp_path / f"{name}.csv").unlink(missing_ok=True)
    (tmp_path / f"{name}.parquet").write_bytes(bytes(data))
    try:
        read_or_refuse(tmp_path)
    finally:
        (tmp_path / f"{name}.parquet").unlink()


def test_reading_slicing_and_checking_never_change_the_input(tmp_path: Path) -> None:
    for path in (write_book(tmp_path / "book"), write_workbook(tmp_path / "book.xlsx")):
        before = hash_of(path)
        book = daybook.read(path)
        daybook.check(path)
        daybook.freeze(daybook.slice_for(book, "brindle"), tmp_path / "slice")
        daybook.open_slice(path, "007")
        assert hash_of(path) == before
