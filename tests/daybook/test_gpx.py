"""Recorded tracks of works: read whole, or refused with a word, and nothing else is lost."""

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from racecalc import daybook
from racecalc.daybook.read_gpx import LARGEST_FILE_MB, MOST_POINTS, read_gpx
from tests.daybook.sheets import write_workbook
from tests.daybook.stable import TABLES, with_row, write_book

HEAD = (
    '<?xml version="1.0"?><gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">'
)
FUZZ = settings(
    max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def point(time: str | None = None, lat: object = 40.5, lon: object = -75.25, more: str = "") -> str:
    stamp = "" if time is None else f"<time>{time}</time>"
    return f'<trkpt lat="{lat}" lon="{lon}">{stamp}{more}</trkpt>'


def gpx(*segments: str) -> str:
    body = "".join(f"<trkseg>{segment}</trkseg>" for segment in segments)
    return f"{HEAD}<trk>{body}</trk></gpx>"


MORNING = [f"2026-10-04T11:00:{second:02d}Z" for second in range(6)]
OLD = f"<trk><trkseg>{point('2026-10-01T00:00:00Z')}</trkseg></trk>"
GOOD = gpx("".join(point(at, 40.5 + n * 1e-4) for n, at in enumerate(MORNING)))


def stable(folder: Path, files: dict[str, str | bytes], **changed: str | bytes | None) -> Path:
    """Write the stable with files in its folder gps."""
    write_book(folder, **changed)
    (folder / "gps").mkdir(exist_ok=True)
    for name, text in files.items():
        (folder / "gps" / name).write_bytes(text.encode() if isinstance(text, str) else text)
    return folder


def said(book: daybook.Book) -> list[str]:
    return [str(problem) for problem in book.problems]


def times(book: daybook.Book) -> list[str]:
    return book.gps["time"].dt.strftime("%H:%M:%S").tolist()


def test_points_are_those_that_another_reader_finds(sample_book: Path) -> None:
    """pandas.read_xml on the standard library's parser, which takes the attributes as they are."""
    book = daybook.read(sample_book)
    assert set(book.gps["work"]) == {"CF-261022", "LD-261028"}
    for work, places in book.gps_by_work.items():
        expected = pd.read_xml(
            sample_book / "gps" / f"{work}.gpx",
            xpath=".//g:trkpt",
            namespaces={"g": "http://www.topografix.com/GPX/1/1"},
            parser="etree",
            parse_dates=["time"],
        )
        points = book.gps.iloc[places]
        assert points["latitude_deg"].tolist() == expected["lat"].tolist()
        assert points["longitude_deg"].tolist() == expected["lon"].tolist()
        assert points["time"].tolist() == expected["time"].dt.tz_localize(None).tolist()


def test_all_segments_of_all_tracks_are_read_in_the_order_of_the_file(tmp_path: Path) -> None:
    two = gpx(point(MORNING[0]), point(MORNING[1])).replace(
        "</gpx>", f"<trk><trkseg>{point(MORNING[2])}</trkseg></trk></gpx>"
    )
    extra = f'<wpt lat="1" lon="1"><time>{MORNING[5]}</time></wpt><trk>'
    book = daybook.read(stable(tmp_path, {"w1.gpx": two.replace("<trk>", extra, 1)}))
    assert times(book) == ["11:00:00", "11:00:01", "11:00:02"]
    assert book.gps["time"].dtype == "datetime64[ns]"
    assert said(book) == []


@pytest.mark.parametrize(
    ("stamp", "utc"),
    [
        ("2026-10-04T12:10:00Z", "2026-10-04T12:10:00"),
        ("2026-10-04T07:10:00-05:00", "2026-10-04T12:10:00"),
        ("2026-10-04T22:40:00.25+10:30", "2026-10-04T12:10:00.25"),
        ("2026-10-04T12:10:00", "2026-10-04T12:10:00"),
        ("  2026-10-04T12:10:00.123456Z\n", "2026-10-04T12:10:00.123456"),
    ],
)
def test_times_are_in_utc_and_one_without_a_zone_is_taken_so(
    tmp_path: Path, stamp: str, utc: str
) -> None:
    book = daybook.read(stable(tmp_path, {"w1.gpx": gpx(point(stamp))}))
    assert book.gps["time"].tolist() == [pd.Timestamp(utc)]


@pytest.mark.parametrize(
    ("change", "encoding"),
    [
        (lambda text: text, "utf-8-sig"),
        (lambda text: text, "utf-16"),
        (lambda text: text.replace(' xmlns="http://www.topografix.com/GPX/1/1"', ""), "utf-8"),
        (lambda text: text.replace("/GPX/1/1", "/GPX/1/0").replace('"1.1"', '"1.0"'), "utf-8"),
        (lambda text: text.replace('<?xml version="1.0"?>', "\n"), "utf-8"),
        (
            lambda text: (
                text.replace("<gpx ", '<a:gpx xmlns:a="http://www.topografix.com/GPX/1/1" ')
                .replace("</gpx", "</a:gpx")
                .replace("</trkpt>", "<extensions><b:hr xmlns:b='b'>90</b:hr></extensions></trkpt>")
            ),
            "utf-8",
        ),
        (
            lambda text: text.replace("<time>", "<!-- <time>no</time> --><ele>3</ele><time>"),
            "utf-8",
        ),
        (lambda text: text.replace("<trk>", f"<extensions>{OLD}</extensions><trk>"), "utf-8"),
        (lambda text: text.replace("<time>", "<other><time>no</time></other><time>"), "utf-8"),
        (lambda text: text.replace("<time>", "<time><by>2 clocks</by>"), "utf-8"),
    ],
)
def test_what_else_stands_in_a_file_makes_no_difference(
    tmp_path: Path, change: Callable[[str], str], encoding: str
) -> None:
    file = tmp_path / "w1.gpx"
    file.write_bytes(change(GOOD).encode(encoding))
    found = read_gpx(file)
    assert (found.complaint, found.warnings) == (None, [])
    assert found.points["time"].dt.second.tolist() == [0, 1, 2, 3, 4, 5]
    assert found.points["latitude_deg"].tolist() == [40.5 + n * 1e-4 for n in range(6)]


@pytest.mark.parametrize(
    ("points", "kept", "warning"),
    [
        (
            [point(MORNING[0]), point(), point("soon"), point(MORNING[1])],
            ["11:00:00", "11:00:01"],
            "2 points left out: without a time; record with times",
        ),
        (
            [point(MORNING[0]), point("1980-01-06T00:00:00Z"), point("9999-12-31T23:59:59Z")],
            ["11:00:00"],
            "2 points left out: without a time; record with times",
        ),
        (
            [point(MORNING[0]), point("2026-10-04T11:00:01+99:99")],
            ["11:00:00"],
            "1 point left out: without a time; record with times",
        ),
        (
            [
                *(point(MORNING[n], lat) for n, lat in enumerate([90, -90.001, "nan", "north"])),
                point(MORNING[4], lon=-180),
                point(MORNING[5], lon="inf"),
            ],
            ["11:00:00", "11:00:04"],
            "4 points left out: without a place on earth; latitude is -90 to 90, longitude -180 "
            "to 180 degrees",
        ),
        (
            [point(MORNING[n]) for n in (0, 3, 3, 1, 2, 4)],
            ["11:00:00", "11:00:03", "11:00:04"],
            "3 points left out: no later than one before them; times must rise through the file",
        ),
    ],
)
def test_points_that_cannot_be_used_are_left_out_and_counted(
    tmp_path: Path, points: list[str], kept: list[str], warning: str
) -> None:
    book = daybook.read(stable(tmp_path, {"w1.gpx": gpx(*points)}))
    assert times(book) == kept
    assert said(book) == [f"gps/w1.gpx: warning: {warning}"]
    assert [(p.table, p.horse) for p in book.problems] == [("gps", "brindle")]


def test_a_point_left_out_for_its_place_holds_up_no_later_one(tmp_path: Path) -> None:
    """A fix of nowhere, with a time ahead of all others."""
    book = daybook.read(
        stable(tmp_path, {"w1.gpx": gpx(point("2026-10-05T00:00:00Z", 91), point(MORNING[1]))})
    )
    assert times(book) == ["11:00:01"]


XML, BODY = GOOD[: GOOD.index("<gpx")], GOOD[GOOD.index("<gpx") :]
LAUGHS = "".join(
    f'<!ENTITY {b} "' + 10 * f"&{a};" + '">' for a, b in zip("abcdefghi", "bcdefghij", strict=True)
)
BOMB = f'{XML}<!DOCTYPE gpx [<!ENTITY a "lol">{LAUGHS}]>' + BODY.replace(
    "</trk>", "<name>&j;</name></trk>"
)
OUTSIDE = f'{XML}<!DOCTYPE gpx [<!ENTITY x SYSTEM "{{uri}}">]>' + BODY.replace("2026", "&x;2026")


@pytest.mark.parametrize(
    ("data", "complaint"),
    [
        (b"", "the file is empty; export it again"),
        (b"  \n ", "the file is empty; export it again"),
        (
            b"date,horse\n",
            "is not XML (syntax error: line 1, column 0); export it again as GPX 1.1",
        ),
        (GOOD[: -len("</gpx>")].encode(), "is not XML (no element found: line 1, column "),
        (b"\x89PNG\r\n\x1a\n", "is not UTF-8 text; export it again as GPX 1.1"),
        (b"\xff\xfe\x00", "is not UTF-8 text; export it again as GPX 1.1"),
        (b"<html><trk/></html>", 'is no GPX file but "html"; export it again as GPX 1.1'),
        (f"{HEAD}</gpx>".encode(), "holds no point of a track; export the track, not a route"),
        (
            f'{HEAD}<rte><rtept lat="1" lon="2"/></rte></gpx>'.encode(),
            "holds no point of a track; export the track, not a route",
        ),
        (
            gpx(point()).encode(),
            "holds no point that can be used: 1 point left out: without a time; record with times",
        ),
        (
            f"{HEAD}<trk>&nothing;</trk></gpx>".encode(),
            "is not XML (undefined entity: line 1, column ",
        ),
        (BOMB.encode(), "declares a document type, as no GPX file does; export it again"),
        (BOMB.encode("utf-16"), "declares a document type, as no GPX file does; export it again"),
        (OUTSIDE.encode(), "declares a document type, as no GPX file does; export it again"),
        (
            f"{HEAD}{'<trk><trkseg>'}{'<trkpt/>' * (MOST_POINTS + 1)}".encode(),
            "holds more than 200,000 points; cut it down to the work",
        ),
    ],
)
def test_a_file_that_cannot_be_used_is_refused_alone(
    tmp_path: Path, data: bytes, complaint: str
) -> None:
    works = with_row("works", "w3,2026-10-04,brindle,main,3 f,:37,,,,,,,,")
    book = daybook.read(stable(tmp_path, {"w1.gpx": data, "w3.gpx": GOOD}, works=works))
    [problem] = [str(problem) for problem in book.problems if problem.level == "error"]
    assert problem.startswith(f"gps/w1.gpx: {complaint}")
    assert "\n" not in problem
    assert len(problem) < 200
    assert set(book.gps["work"]) == {"w3"}
    assert len(book.tables["works"]) == 3
    assert daybook.slice_for(book, "brindle").left_out == ["gps/w1.gpx"]
    assert daybook.slice_for(book, "007").left_out == []


def test_a_file_larger_than_the_limit_is_not_read(tmp_path: Path) -> None:
    file = stable(tmp_path, {"w1.gpx": GOOD}) / "gps" / "w1.gpx"
    with file.open("r+b") as open_file:
        open_file.truncate(LARGEST_FILE_MB * 1_000_000 + 1)
    assert said(daybook.read(tmp_path)) == [
        "gps/w1.gpx: is larger than 50 MB; cut it down to the work"
    ]


def test_what_is_no_file_is_refused_without_being_opened(tmp_path: Path) -> None:
    folder = stable(tmp_path, {}) / "gps"
    (folder / "w1.gpx").mkdir()
    (folder / "w2.gpx").symlink_to(tmp_path / "nowhere")
    message = "is a folder or a device, not a file; put the file there"
    assert said(daybook.read(tmp_path)) == [f"gps/{name}.gpx: {message}" for name in ("w1", "w2")]


@pytest.mark.parametrize(
    "inner",
    [
        # Copied element by element, this overflows the stack of the process.
        "<extensions>" + "<x>" * 200_000 + "</x>" * 200_000 + "</extensions>",
        # Patterns that look for declarations go through the rest of the text from each of these.
        "<desc>" + " xmlns" * 200_000 + "=</desc>",
    ],
    ids=["nested deep", "many words xmlns"],
)
def test_what_is_no_track_never_reaches_the_library(tmp_path: Path, inner: str) -> None:
    file = tmp_path / "w1.gpx"
    file.write_text(GOOD.replace("<trk>", f"<trk>{inner}"))
    began = time.perf_counter()
    assert len(read_gpx(file).points) == 6
    assert time.perf_counter() - began < 5


def test_no_name_of_a_file_is_registered_for_the_whole_process(tmp_path: Path) -> None:
    from xml.etree import ElementTree

    file = tmp_path / "w1.gpx"
    file.write_text(GOOD.replace("<gpx ", '<gpx xmlns:zz="http://zz.example/" '))
    assert len(read_gpx(file).points) == 6
    root = ElementTree.Element("{http://zz.example/}a")
    assert b"zz:" not in ElementTree.tostring(root)


WATCHED = """
import sys
from racecalc import daybook
daybook.read(sys.argv[1])
assert "gpxpy" not in sys.modules, "loaded for a book without recorded tracks"
daybook.read(sys.argv[2])
seen = []
sys.addaudithook(lambda name, details: seen.append((name, str(details[:1]))))
book = daybook.read(sys.argv[3])
assert len(book.problems) == 3, book.problems
for name, details in seen:
    assert not name.startswith(("socket", "urllib", "http", "ftplib")), name
    assert "secret" not in details, (name, details)
"""


def test_no_file_or_network_is_touched_and_the_library_loads_late(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("1")
    files = {
        "w1.gpx": OUTSIDE.replace("{uri}", secret.as_uri()),
        "w2.gpx": OUTSIDE.replace("{uri}", "http://127.0.0.1:9/x"),
        "w3.gpx": GOOD.replace("<trk>", f'<xi:include xmlns:xi="x" href="{secret}"/><trk>'),
    }
    paths = [
        write_book(tmp_path / "without"),
        stable(tmp_path / "with", {"w1.gpx": GOOD}),
        stable(tmp_path / "hostile", files),
    ]
    done = subprocess.run(
        [sys.executable, "-c", WATCHED, *map(str, paths)], capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr


def test_files_of_no_work_are_named_and_others_left_alone(tmp_path: Path) -> None:
    files = {
        "w1.GPX": GOOD,
        "w11.gpx": GOOD,
        "lunch\n.gpx": GOOD,
        "notes.txt": "x",
        "w2.fit": "x",
        "._w2.gpx": "a Mac's shadow of a file",
    }
    book = daybook.read(stable(tmp_path, files))
    assert said(book) == [
        r'gps/lunch\n.gpx: warning: works has no "lunch\n", so this file is not used; '
        "name it after the work's id",
        'gps/w11.gpx: warning: works has no "w11", so this file is not used; '
        "name it after the work's id",
    ]
    assert set(book.gps["work"]) == {"w1"}
    assert daybook.slice_for(book, "brindle").left_out == []


@pytest.mark.parametrize("names", [("w1.gpx", "w1.GPX"), ("W1.gpx", "w1.gpx")])
def test_names_that_differ_only_in_capitals_are_said_so(
    tmp_path: Path, names: tuple[str, str]
) -> None:
    folder = stable(tmp_path, dict.fromkeys(names, GOOD))
    if len(list((folder / "gps").iterdir())) == 1:
        pytest.skip("this disk takes the two names for one")
    book = daybook.read(folder)
    assert [str(problem) for problem in book.problems if problem.level == "error"] == [
        f"gps/{name}: names that differ only in capitals: {', '.join(sorted(names))}; keep one"
        for name in sorted(names)
    ]
    assert book.gps.empty


def test_capitals_of_a_work_id_make_no_difference(tmp_path: Path) -> None:
    book = daybook.read(stable(tmp_path, {"W1.gpx": GOOD}))
    assert set(book.gps["work"]) == {"w1"}
    assert said(book) == []


def test_a_refused_work_loses_its_track(tmp_path: Path) -> None:
    works = TABLES["works"].replace("1:01 2/5", "1:73")
    book = daybook.read(stable(tmp_path, {"w1.gpx": GOOD}, works=works))
    assert book.gps.empty
    assert said(book)[-1] == (
        "gps/w1.gpx: warning: row 2 of works is refused, and its track with it; mend that row"
    )


def test_a_file_of_another_day_is_used_but_questioned(tmp_path: Path) -> None:
    late = gpx(point("2026-10-06T00:00:01Z"))
    book = daybook.read(stable(tmp_path, {"w1.gpx": late}))
    assert said(book) == [
        "gps/w1.gpx: warning: begins on 2026-10-06, and the work is of 2026-10-04; check that it "
        "is this work's file"
    ]
    assert len(book.gps) == 1
    for near in ("2026-10-03T00:00:00Z", "2026-10-06T00:00:00Z"):
        assert said(daybook.read(stable(tmp_path, {"w1.gpx": gpx(point(near))}))) == []


@pytest.mark.parametrize(
    ("cells", "fill"),
    [
        ("40.5,-75.25,", "tracks.csv:2:bearing: warning: fill bearing: "),
        (",,90", "tracks.csv:2:latitude: warning: fill latitude and longitude: "),
        (",,", "tracks.csv:2:latitude: warning: fill latitude, longitude, bearing: "),
    ],
)
def test_a_track_without_its_place_is_asked_for_it_where_a_work_is_recorded(
    tmp_path: Path, cells: str, fill: str
) -> None:
    tracks = TABLES["tracks"].replace("40.5,-75.25,90", cells)
    assert said(daybook.read(write_book(tmp_path, tracks=tracks))) == []
    book = daybook.read(stable(tmp_path, {"w1.gpx": GOOD}, tracks=tracks))
    assert said(book) == [f"{fill}recorded works cannot be laid on this track without"]
    assert len(book.gps) == 6


def test_beside_a_workbook_stands_its_folder(tmp_path: Path) -> None:
    stable(tmp_path / "parts", {"w1.gpx": GOOD})
    path = write_workbook(tmp_path / "book.xlsx")
    assert daybook.read(path).gps.empty
    (tmp_path / "parts" / "gps").rename(tmp_path / "gps")
    assert len(daybook.read(path).gps) == 6
    # A folder that holds nothing but the workbook is the same book.
    alone = tmp_path / "alone"
    alone.mkdir()
    path.rename(alone / path.name)
    (tmp_path / "gps").rename(alone / "gps")
    assert len(daybook.read(alone).gps) == 6


def test_a_folder_that_cannot_be_listed_is_an_error_of_every_horse(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = stable(tmp_path, {"w1.gpx": GOOD})
    listing = Path.iterdir

    def refuse(path: Path) -> object:
        if path.name == "gps":
            raise PermissionError(13, "Permission denied")
        return listing(path)

    monkeypatch.setattr(Path, "iterdir", refuse)
    book = daybook.read(folder)
    assert said(book) == [
        "gps: the folder cannot be read (Permission denied); check that it may be opened"
    ]
    assert [daybook.slice_for(book, horse).left_out for horse in ("brindle", "007")] == [
        ["gps"]
    ] * 2


def test_the_check_tells_what_is_wrong_in_recorded_tracks(tmp_path: Path) -> None:
    problems = daybook.check(stable(tmp_path, {"w1.gpx": "no"}))
    assert [(problem.file, problem.level) for problem in problems] == [("gps/w1.gpx", "error")]


@FUZZ
@given(st.binary(max_size=300))
def test_any_bytes_under_the_name_of_a_track(tmp_path: Path, data: bytes) -> None:
    book = daybook.read(stable(tmp_path, {"w1.gpx": data}))
    [problem] = book.problems
    assert (problem.file, problem.level, problem.horse) == ("gps/w1.gpx", "error", "brindle")
    assert "\n" not in str(problem)


@FUZZ
@given(st.integers(0, 700), st.binary(min_size=1, max_size=6))
def test_a_good_track_with_a_few_bytes_changed(tmp_path: Path, place: int, patch: bytes) -> None:
    data = bytearray(GOOD.encode())
    data[place % len(data) : place % len(data) + len(patch)] = patch
    book = daybook.read(stable(tmp_path, {"w1.gpx": bytes(data)}))
    assert len(book.gps) == 6 or book.problems
    assert (np.diff(book.gps["time"].to_numpy()) > np.timedelta64(0)).all()
    assert book.gps["latitude_deg"].abs().le(90).all()
    assert daybook.slice_for(book, "brindle").tables["works"]["work"].tolist() == ["w1"]
    assert all("\n" not in text for text in said(book))


ODD = st.one_of(
    st.none(),
    st.text(st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="<&\""), max_size=12),
    st.from_regex(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.\d{1,12})?"
                  r"([-+][0-9]{2}:[0-9]{2}|Z)?", fullmatch=True),
)  # fmt: skip


@FUZZ
@given(st.lists(st.tuples(ODD, ODD, ODD), min_size=1, max_size=5))
def test_any_texts_in_the_points(tmp_path: Path, texts: list[tuple[str | None, ...]]) -> None:
    points = [point(stamp, lat or "1", lon or "2") for stamp, lat, lon in texts]
    book = daybook.read(stable(tmp_path, {"w1.gpx": gpx(*points)}))
    assert len(book.gps) == len(points) or book.problems
    assert book.gps.notna().all(axis=None)


def test_every_point_of_a_quarter_of_an_hour_is_read(tmp_path: Path) -> None:
    """How long it takes is measured in `tests/benchmarks/bench_gps.py`."""
    stamps = pd.date_range("2026-10-04T11:00", periods=900, freq="s").strftime("%FT%TZ")
    file = tmp_path / "w1.gpx"
    file.write_text(gpx("".join(point(stamp) for stamp in stamps)))
    assert len(read_gpx(file).points) == 900
