"""A horse's slice holds nothing of another horse and nothing of an owner."""

import json
import time
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from racecalc import daybook
from racecalc.daybook.content import data_hash
from racecalc.daybook.mentions import OWNER, Mentions
from racecalc.daybook.string import STRING_FIELDS
from racecalc.errors import DaybookError, UnknownHorseError
from tests.daybook.stable import BARN, TABLES, with_row, write_book

TRACK = "2026-10-04T11:00:00.25Z 2026-10-04T11:00:01.250001Z"


def with_gps(folder: Path, stamps: str = TRACK, latitude: str = "40.5") -> Path:
    """Record the works w1 of brindle and w2 of 007 in a book."""
    (folder / "gps").mkdir(exist_ok=True)
    points = "".join(
        f'<trkpt lat="{latitude}" lon="-75.{n}"><time>{stamp}</time></trkpt>'
        for n, stamp in enumerate(stamps.split())
    )
    for work in ("w1", "w2"):
        text = f'<gpx version="1.1"><trk><trkseg>{points}</trkseg></trk></gpx>'
        (folder / "gps" / f"{work}.gpx").write_text(text)
    return folder


def frozen_bytes(folder: Path) -> bytes:
    return b"\n".join(path.read_bytes() for path in sorted(folder.iterdir()))


def test_a_slice_holds_this_horse_and_what_the_barn_shares(tmp_path: Path) -> None:
    book = daybook.read(write_book(tmp_path))
    piece = daybook.slice_for(book, "brindle")
    assert list(piece.tables) == [
        *["horses", "tracks", "exercise", "works", "splits", "measurements", "fitness"],
        *["footfalls", "surface", "weather", "forecast", "targets", "string", "gps"],
    ]
    for name in ("horses", "exercise", "works", "measurements", "fitness", "footfalls", "targets"):
        assert set(piece.tables[name]["horse"]) == {"brindle"}
    assert set(piece.tables["splits"]["work"]) == {"w1"}
    for name in ("tracks", "weather", "forecast"):
        pd.testing.assert_frame_equal(piece.tables[name], book.tables[name])
    for frame in piece.tables.values():
        assert not {"rider", "company", "owner"} & set(frame)
    assert piece.withheld_notes == 0
    assert piece.left_out == []


def test_a_slice_of_no_horse_holds_no_works_of_any(tmp_path: Path) -> None:
    piece = daybook.track_slice(daybook.read(with_gps(write_book(tmp_path))))
    assert {name for name, frame in piece.tables.items() if len(frame)} == {
        *["tracks", "surface", "weather", "forecast"],
    }
    for name, frame in daybook.open_slice(tmp_path, "brindle").tables.items():
        assert list(piece.tables[name].dtypes.items()) == list(frame.dtypes.items())


def test_company_becomes_a_yes_or_no(tmp_path: Path) -> None:
    works = TABLES["works"] + "".join(
        f"x{i},2026-10-0{i + 6},007,hill,3 f,:37,,,,,,{company},,\n"
        for i, company in enumerate(["", "alone", "no", "a pony"])
    )
    piece = daybook.slice_for(daybook.read(write_book(tmp_path, works=works)), "007")
    assert piece.tables["works"]["in_company"].tolist() == [True, None, False, False, True]


@pytest.mark.parametrize(
    ("note", "shown_to"),
    [
        ("walked well", {"brindle", "007"}),
        ("brindle tea tray walked well", {"brindle"}),
        ("with SEVEN   SIEVES beside her", {"007"}),
        ("with 007 beside her", {"007"}),
        ("with 0070 beside her", {"brindle", "007"}),
        ("Brindle and 007", set()),
        ("Mabel Mothersole came to look", set()),
        ("told quill@stable.example", set()),
        ("moth holes in the rug", set()),
        ("mothers of sieves", {"brindle", "007"}),
    ],
)
def test_notes_that_name_another_are_withheld(
    tmp_path: Path, note: str, shown_to: set[str]
) -> None:
    exercise = TABLES["exercise"].replace(",easy", f",{note}") + f"2026-10-04,007,walk,,,,,{note}\n"
    surface = with_row("surface", f"2026-10-03,main,fast,,,,,{note}")
    book = daybook.read(write_book(tmp_path, exercise=exercise, surface=surface))
    for horse in ("brindle", "007"):
        piece = daybook.slice_for(book, horse)
        shown = note if horse in shown_to else None
        assert [text for text in piece.tables["exercise"]["note"] if text] == [shown] * bool(shown)
        assert piece.tables["surface"]["note"].iloc[2] == shown
        assert piece.withheld_notes == (0 if shown else 2)
    assert book.tables["surface"]["note"].iloc[2] == note


def test_labels_that_name_another_still_tell_rows_apart(tmp_path: Path) -> None:
    rows = ["2026-10-06,brindle,with 007,RF,1,2,,", "2026-10-06,brindle,after 007,RF,1,2,,"]
    footfalls = with_row("footfalls", "\n".join(rows))
    piece = daybook.slice_for(daybook.read(write_book(tmp_path, footfalls=footfalls)), "brindle")
    clips = piece.tables["footfalls"]["clip"].tolist()
    assert len(set(clips)) == 3
    assert all("007" not in clip for clip in clips)


def test_names_of_refused_rows_are_known_too(tmp_path: Path) -> None:
    horses = with_row("horses", "pip,Pip Squeak,soon,,,,,")
    owners = with_row("owners", "zoe,Zoe Zwicky,not an address")
    exercise = TABLES["exercise"].replace(",easy", ",Pip Squeak kicked") + (
        "2026-10-04,brindle,walk,,,,,Zoe Zwicky came\n"
    )
    book = daybook.read(write_book(tmp_path, horses=horses, owners=owners, exercise=exercise))
    piece = daybook.slice_for(book, "brindle")
    assert piece.withheld_notes == 2


def test_without_the_names_of_the_owners_no_note_is_shown(tmp_path: Path) -> None:
    book = daybook.read(write_book(tmp_path, owners="id;who\nquill;Quentin\n", shares=None))
    piece = daybook.slice_for(book, "brindle")
    assert piece.tables["exercise"]["note"].isna().all()


def test_refused_rows_are_listed_for_their_horse_only(tmp_path: Path) -> None:
    works = with_row("works", "w3,2026-10-06,007,main,6 f,1:73,,,,,,,,")
    exercise = with_row("exercise", "2026-10-04,brindle,nap,,,,,")
    book = daybook.read(write_book(tmp_path, works=works, exercise=exercise))
    mine = daybook.slice_for(book, "brindle").left_out
    assert mine == ["exercise, row 5, column activity"]
    other = daybook.slice_for(book, "007").left_out
    assert other == ["works, row 4, column time"]


@pytest.mark.parametrize(
    ("data", "says"), [(b"\xff\xfex\x00", "weather"), (b"day,x\n", "weather, row 1")]
)
def test_a_table_that_cannot_be_read_is_listed_for_all(
    tmp_path: Path, data: bytes, says: str
) -> None:
    book = daybook.read(write_book(tmp_path, weather=data))
    for horse in ("brindle", "007"):
        [text] = daybook.slice_for(book, horse).left_out
        assert text == says


def test_only_the_place_of_a_refused_row_is_told(tmp_path: Path) -> None:
    """What stands in a bad cell may name anybody, and so may the name of a file."""
    works = with_row("works", "w3,2026-10-06,brindle,Mabel Mothersole,6 f,1:13,,,,,,,,")
    shares = with_row("shares", "brindle,Bob Jones,5,,")
    book = daybook.read(write_book(tmp_path, works=works, shares=shares))
    assert any("Bob Jones" in str(problem) for problem in book.problems)
    assert daybook.slice_for(book, "brindle").left_out == ["works, row 4, column track"]


def test_a_report_on_tracks_names_what_of_tracks_and_settings_was_refused(tmp_path: Path) -> None:
    weather = "date,track,tmax\n2026-10-04,main,75 F\n2026-10-05,main,900 F\n"
    barn = BARN + '[care]\nrest_days = ["someday"]\n[Bob]\nJones = 3\n'
    book = daybook.read(write_book(tmp_path, weather=weather, barn=barn))
    both = {"barn, rest_days", "weather, row 3, column tmax"}
    assert set(daybook.track_slice(book).left_out) == both
    own = daybook.slice_for(book, "brindle")
    assert own.left_out == []
    more = daybook.slice_with_tracks(book, "brindle")
    assert set(more.left_out) == both
    assert more.data_hash != own.data_hash
    assert daybook.slice_with_tracks(daybook.read(write_book(tmp_path)), "brindle").left_out == []


@pytest.mark.parametrize(
    ("note", "withheld"),
    [
        ("Mrs Mothersole watched", True),
        ("Mothersole watched", True),
        ("a word with Quentin", True),
        ("Quéntin\u00ad Quillfeather came", True),
        ("SevenSieves was slower", True),
        ("worked behind Sieves", True),
        ("went to moth.eaten straw", True),
        ("Sieves of oats were given", False),
        ("seven furlongs through sieves of sand", False),
        ("Brindle was keen, and Tea did her good", False),
    ],
)
def test_a_note_that_calls_another_by_part_of_a_name_is_withheld(
    tmp_path: Path, note: str, withheld: bool
) -> None:
    """Owners Quentin Quillfeather and Mabel Mothersole (id moth); the other horse, Seven Sieves."""
    exercise = with_row("exercise", f'2026-10-04,brindle,walk,,,,,"{note}"')
    piece = daybook.slice_for(daybook.read(write_book(tmp_path, exercise=exercise)), "brindle")
    assert piece.withheld_notes == int(withheld)
    assert (note in piece.tables["exercise"]["note"].tolist()) is not withheld


def test_of_two_entries_of_a_day_the_order_is_content(tmp_path: Path) -> None:
    head = "date,track,state,moisture,cushion,upkeep,rain,note\n"
    morning, noon = "2026-10-03,main,fast,,,,,\n", "2026-10-03,main,muddy,,,,,\n"
    hashes = {
        daybook.slice_for(
            daybook.read(write_book(tmp_path / name, surface=head + rows)), "brindle"
        ).data_hash
        for name, rows in (("one", morning + noon), ("two", noon + morning))
    }
    assert len(hashes) == 2


def test_an_unknown_horse_is_told_who_there_is(tmp_path: Path) -> None:
    extra = "\n".join(f"h{i:02},Horse {i},,,,,," for i in range(12))
    book = daybook.read(write_book(tmp_path, horses=with_row("horses", extra)))
    with pytest.raises(UnknownHorseError) as error:
        daybook.slice_for(book, "nobody")
    assert 'no horse has the id "nobody"' in str(error.value)
    assert "h07 and 4 more" in str(error.value)


def test_freezing_and_opening_gives_the_same_slice(tmp_path: Path) -> None:
    barnful(tmp_path / "book")
    book = daybook.read(with_gps(tmp_path / "book"))
    assert (len(string(book, "brindle")), len(book.gps)) == (3, 4)
    for horse in ("brindle", "007"):
        piece = daybook.slice_for(book, horse)
        folder = daybook.freeze(piece, tmp_path / f"slice-{horse}")
        back = daybook.open_slice(folder, horse)
        assert (back.horse, back.barn, back.left_out) == (horse, piece.barn, piece.left_out)
        assert (back.withheld_notes, back.data_hash) == (piece.withheld_notes, piece.data_hash)
        for name, frame in piece.tables.items():
            pd.testing.assert_frame_equal(back.tables[name], frame)


def test_what_the_barn_set_for_its_watch_is_frozen_and_is_content(tmp_path: Path) -> None:
    own = write_book(tmp_path / "own", barn=BARN + 'clock_error = "0.2 s"\n')
    piece = daybook.slice_for(daybook.read(own), "brindle")
    back = daybook.open_slice(daybook.freeze(piece, tmp_path / "slice"), "brindle")
    assert (piece.barn.clock_error_s, back.barn) == (0.2, piece.barn)
    assert piece.data_hash != hashes(tmp_path / "plain")["brindle"]


def test_what_the_barn_set_for_shoes_is_frozen_and_is_content(tmp_path: Path) -> None:
    own = write_book(tmp_path / "own", barn=BARN + 'shoe_allowance = "0.8 cm"\n')
    piece = daybook.slice_for(daybook.read(own), "brindle")
    back = daybook.open_slice(daybook.freeze(piece, tmp_path / "slice"), "brindle")
    assert (piece.barn.shoe_allowance_m, back.barn) == (0.008, piece.barn)
    assert piece.data_hash != hashes(tmp_path / "plain")["brindle"]


def test_the_barns_speed_classes_are_frozen_and_are_content(tmp_path: Path) -> None:
    def piece(name: str, speeds: str) -> daybook.HorseBook:
        text = f"{BARN}[care]\nspeed_classes = {speeds}\n"
        return daybook.slice_for(daybook.read(write_book(tmp_path / name, barn=text)), "brindle")

    own, other = piece("own", '["14 m/s", "15.5 m/s"]'), piece("other", '["14 m/s", "16 m/s"]')
    back = daybook.open_slice(daybook.freeze(own, tmp_path / "slice"), "brindle")
    assert (own.barn.speed_classes_m_s, back.barn) == ((14.0, 15.5), own.barn)
    hashed = {own.data_hash, other.data_hash, hashes(tmp_path / "plain")["brindle"]}
    assert len(hashed) == 3


def test_a_setting_that_nobody_made_is_no_content(tmp_path: Path) -> None:
    """So that a release with one more setting finds every old slice unchanged."""
    piece = daybook.slice_for(daybook.read(write_book(tmp_path / "book")), "brindle")
    folder = daybook.freeze(piece, tmp_path / "slice")
    head = json.loads((folder / "slice.json").read_text())
    assert head["barn"].pop("clock_error_s") is None
    assert head["barn"].pop("shoe_allowance_m") is None
    assert head["barn"].pop("speed_classes_m_s") == []
    (folder / "slice.json").write_text(json.dumps(head))
    assert daybook.open_slice(folder, "brindle").data_hash == piece.data_hash


def test_freezing_twice_gives_the_same_bytes(tmp_path: Path) -> None:
    piece = daybook.slice_for(daybook.read(write_book(tmp_path / "book")), "brindle")
    first = frozen_bytes(daybook.freeze(piece, tmp_path / "one"))
    assert first == frozen_bytes(daybook.freeze(piece, tmp_path / "two"))


def test_a_slice_is_opened_straight_from_a_daybook(tmp_path: Path) -> None:
    piece = daybook.open_slice(write_book(tmp_path), "brindle")
    assert piece.data_hash == daybook.slice_for(daybook.read(tmp_path), "brindle").data_hash


def test_a_slice_frozen_without_its_recorded_works_is_refused(tmp_path: Path) -> None:
    piece = daybook.slice_for(daybook.read(write_book(tmp_path / "book")), "brindle")
    folder = daybook.freeze(piece, tmp_path / "slice")
    (folder / "gps.arrow").unlink()
    with pytest.raises(DaybookError, match="freeze it again"):
        daybook.open_slice(folder, "brindle")


def test_another_horses_slice_is_refused(tmp_path: Path) -> None:
    piece = daybook.slice_for(daybook.read(write_book(tmp_path / "book")), "brindle")
    folder = daybook.freeze(piece, tmp_path / "slice")
    with pytest.raises(UnknownHorseError, match='slice of "brindle", not of "007"'):
        daybook.open_slice(folder, "007")


def test_a_slice_that_is_damaged_or_changed_is_refused(tmp_path: Path) -> None:
    piece = daybook.slice_for(daybook.read(write_book(tmp_path / "book")), "brindle")
    folder = daybook.freeze(piece, tmp_path / "slice")
    content = (folder / "works.arrow").read_bytes()
    (folder / "works.arrow").write_bytes(content.replace(b"w1", b"w9"))
    with pytest.raises(DaybookError, match="changed since it was frozen"):
        daybook.open_slice(folder, "brindle")
    (folder / "works.arrow").write_bytes(b"ARROW1")
    with pytest.raises(DaybookError, match="no whole slice"):
        daybook.open_slice(folder, "brindle")
    (folder / "slice.json").write_text("{")
    with pytest.raises(DaybookError, match="no whole slice"):
        daybook.open_slice(folder, "brindle")


def hashes(folder: Path, **changed: str | bytes | None) -> dict[str, str]:
    book = daybook.read(write_book(folder, **changed))
    return {
        horse: daybook.slice_for(book, horse).data_hash for horse in book.tables["horses"]["horse"]
    }


def test_the_hash_changes_with_this_horses_data_only(tmp_path: Path) -> None:
    before = hashes(tmp_path)
    more = hashes(tmp_path, exercise=with_row("exercise", "2026-10-04,brindle,walk,,,,,"))
    assert more["brindle"] != before["brindle"]
    assert more["007"] == before["007"]
    shared = hashes(tmp_path, weather=with_row("weather", "2026-10-02,main,,,,,,,"))
    assert all(shared[horse] != before[horse] for horse in before)
    owners = hashes(tmp_path, owners=with_row("owners", "zoe,Zoe,"))
    assert owners == before


def test_the_hash_changes_with_each_value(tmp_path: Path) -> None:
    before = hashes(tmp_path)["brindle"]
    changes = {
        "horses": ("filly", "mare"),
        "tracks": ("80 ft", "81 ft"),
        "works": ("breezing", "driving"),
        "splits": (":24 3/5", ":24 4/5"),
        "measurements": ("16.0 1/2", "16.0 1/4"),
        "targets": ("maiden", "Maiden"),
    }
    for table, (old, new) in changes.items():
        assert hashes(tmp_path, **{table: TABLES[table].replace(old, new)})["brindle"] != before


def gps_hashes(folder: Path, *changed: str) -> dict[str, str]:
    book = daybook.read(with_gps(write_book(folder), *changed))
    return {horse: daybook.slice_for(book, horse).data_hash for horse in ("brindle", "007")}


def test_the_hash_changes_with_each_point_of_a_recorded_work(tmp_path: Path) -> None:
    without, before = hashes(tmp_path / "without"), gps_hashes(tmp_path / "with")
    assert all(without[horse] != before[horse] for horse in before)
    assert gps_hashes(tmp_path / "again") == before
    changes = [
        (TRACK.replace("00.25Z", "00.250001Z"),),
        (TRACK.split()[0],),
        (TRACK, "40.5000001"),
    ]
    for number, changed in enumerate(changes):
        assert gps_hashes(tmp_path / str(number), *changed)["brindle"] != before["brindle"]
    (tmp_path / "again" / "gps" / "w2.gpx").unlink()
    book = daybook.read(tmp_path / "again")
    assert daybook.slice_for(book, "brindle").data_hash == before["brindle"]
    assert daybook.slice_for(book, "007").data_hash == without["007"]


def test_a_point_counts_for_the_work_that_it_is_of(tmp_path: Path) -> None:
    """Two works of one horse that change their tracks are other content."""
    works = TABLES["works"].replace("w2,2026-10-05,007", "w2,2026-10-04,brindle")
    folder = with_gps(write_book(tmp_path, works=works, splits=None))
    files = [folder / "gps" / "w1.gpx", folder / "gps" / "w2.gpx"]
    files[0].write_text(files[1].read_text().replace("40.5", "40.6"))
    one = daybook.slice_for(daybook.read(folder), "brindle").data_hash
    texts = [file.read_text() for file in files]
    for file, text in zip(files, reversed(texts), strict=True):
        file.write_text(text)
    other = daybook.slice_for(daybook.read(folder), "brindle").data_hash
    files[1].unlink()
    first = daybook.slice_for(daybook.read(folder), "brindle").data_hash
    files[0].rename(files[1])
    second = daybook.slice_for(daybook.read(folder), "brindle").data_hash
    assert len({one, other, first, second}) == 4


def test_the_hash_of_a_long_track_takes_no_time(tmp_path: Path) -> None:
    """Ten thousand points; the aim is a tenth of a second more."""
    piece = daybook.slice_for(daybook.read(with_gps(write_book(tmp_path))), "brindle")
    gps = piece.tables["gps"]
    long = pd.concat([gps.iloc[:1]] * 10_000, ignore_index=True)
    long["time"] += pd.to_timedelta(range(len(long)), unit="s")

    def took_s(points: pd.DataFrame) -> float:
        began = time.perf_counter()
        data_hash("brindle", piece.barn, {**piece.tables, "gps": points}, [], 0)
        return time.perf_counter() - began

    assert min(took_s(long) for _ in range(5)) - min(took_s(gps) for _ in range(5)) < 0.1


BARNFUL = """\
w3,2026-10-02,007,main,4 f,:49,,handily,yes,good,sharp,,Jo Rider,went well
w4,2026-10-03,007,main,5 f,1:02,,,,,,,,
w5,2026-10-03,pip,main,5 f,1:01,,,,,,,,
w6,2026-10-03,pip,main,5 f,,,,,,,,,
w7,2026-10-06,pip,hill,3 f,:38,,,,,,,,
"""


def string(book: daybook.Book, horse: str) -> pd.DataFrame:
    return daybook.slice_for(book, horse).tables["string"]


def barnful(folder: Path, other: str = "pip", works: str = BARNFUL) -> daybook.Book:
    rows = works.replace(",pip,", f",{other},")
    horses = with_row("horses", f"{other},Pip Squeak,,,,,,")
    return daybook.read(write_book(folder, horses=horses, works=TABLES["works"] + rows))


def test_the_string_is_what_others_did_against_the_watch_at_this_horses_tracks(
    tmp_path: Path,
) -> None:
    """brindle works at main only; w6 has no time, and w1 is its own."""
    found = string(barnful(tmp_path), "brindle")
    assert list(found) == list(STRING_FIELDS)
    assert found["time_s"].tolist() == [49, 62, 61]
    assert set(found["track"]) == {"main"}
    # The first work of each counts for its number: 007's is of the day before.
    assert found["horse"].tolist() == ["other 1", "other 1", "other 2"]
    assert found[["manner", "effort", "state", "from_gate"]].iloc[0].tolist() == [
        *["handily", "sharp", "good", True],
    ]


def test_numbers_of_the_string_do_not_follow_from_names(tmp_path: Path) -> None:
    books = [barnful(tmp_path / name, name) for name in ("aaa", "zzz", "pip")]
    first, *rest = [string(book, "brindle") for book in books]
    for frame in rest:
        pd.testing.assert_frame_equal(frame, first)
    hashed = {daybook.slice_for(book, "brindle").data_hash for book in books}
    assert len(hashed) == 1


@pytest.mark.parametrize("names", [("aaa", "zzz"), ("zzz", "aaa")])
def test_horses_that_began_alike_are_told_apart_by_what_came_after(
    tmp_path: Path, names: tuple[str, str]
) -> None:
    rows = "".join(
        f"x{n}{day},2026-10-0{day},{horse},main,4 f,{clock},,,,,,,,\n"
        for n, (horse, later) in enumerate(zip(names, (":49", ":50"), strict=True))
        for day, clock in ((1, ":48"), (8, later))
    )
    horses = TABLES["horses"] + "".join(f"{name},{name.title()},,,,,,\n" for name in names)
    book = daybook.read(write_book(tmp_path, horses=horses, works=TABLES["works"] + rows))
    later = string(book, "brindle").query("time_s > 48")
    assert dict(zip(later["horse"], later["time_s"], strict=True)) == {"other 1": 49, "other 2": 50}


def test_no_other_horse_rider_or_note_is_in_the_string_or_its_file(tmp_path: Path) -> None:
    piece = daybook.slice_for(barnful(tmp_path / "book", "quagga"), "brindle")
    assert len(piece.tables["string"]) == 3
    folder = daybook.freeze(piece, tmp_path / "slice")
    data = frozen_bytes(folder)
    for secret in (b"quagga", b"Pip Squeak", b"Seven Sieves", b"went well", b"Jo Rider", b"w3"):
        assert secret not in data
    # A file of columns may hold the digits of 007 by chance; its cells may not.
    back = daybook.open_slice(folder, "brindle").tables["string"]
    assert set(back["horse"]) == {"other 1", "other 2"}
    pd.testing.assert_frame_equal(back, piece.tables["string"])


def test_the_hash_changes_with_the_string(tmp_path: Path) -> None:
    before = daybook.slice_for(barnful(tmp_path / "a"), "brindle").data_hash
    faster = barnful(tmp_path / "b", works=BARNFUL.replace("1:01", "1:00"))
    assert daybook.slice_for(faster, "brindle").data_hash != before
    elsewhere = barnful(tmp_path / "c", works=BARNFUL.replace("hill,3 f,:38", "hill,3 f,:39"))
    assert daybook.slice_for(elsewhere, "brindle").data_hash == before


@settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.randoms(use_true_random=False), st.integers(0, 3))
def test_the_hash_does_not_depend_on_the_order_of_rows(
    tmp_path: Path, random: object, blank_lines: int
) -> None:
    before = hashes(tmp_path)
    changed = {}
    for name, text in TABLES.items():
        header, *rows = text.splitlines()
        random.shuffle(rows)  # type: ignore[attr-defined]
        changed[name] = "\n" * blank_lines + "\n".join([header, *rows]) + "\n"
    assert hashes(tmp_path, **changed) == before


# Long enough not to stand by chance in the coded part of a Parquet file.
WORDS = st.from_regex(r"[a-z]{12,16}", fullmatch=True)
FREE = st.sampled_from(
    [
        "{other} was near",
        "saw {OTHER}",
        "nothing",
        "{name} walked",
        "{owner}!",
        "({email})",
        '"{name}"',
    ]
)


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(WORDS, min_size=6, max_size=6, unique=True), st.lists(FREE, min_size=9, max_size=9))
def test_no_text_of_another_horse_or_of_an_owner_is_in_the_frozen_bytes(
    tmp_path: Path, words: list[str], texts: list[str]
) -> None:
    mine, other, first, last, owner, host = words
    everything = " ".join(TABLES.values()).casefold()
    secrets = [other, first, last, owner, host]
    assume(not any(word in everything or word in mine for word in secrets))
    known = {"other": other, "OTHER": other.upper(), "owner": f"{first} {last}"}
    known |= {"name": f"{last}  {host}", "email": f"{owner}@{host}.example"}
    notes = [text.format(**known).replace('"', '""') for text in texts]
    day = "2026-10-06"
    folder = write_book(
        tmp_path,
        horses=f'horse,name,note\n{mine},Mine,"{notes[0]}"\n{other},{last} {host},"{notes[1]}"\n',
        owners=f"owner,name,email\n{owner},{first} {last},{owner}@{host}.example\n",
        shares=f"horse,owner,percent\n{mine},{owner},40\n{other},{owner},100\n",
        exercise=f'date,horse,activity,rider,note\n{day},{mine},walk,{first},"{notes[2]}"\n'
        f'{day},{other},walk,{last},"{notes[3]}"\n',
        works="work,date,horse,track,distance,time,company,rider,note\n"
        f'a1,{day},{mine},main,3 f,:37,{other},{last},"{notes[4]}"\n'
        f'b1,{day},{other},main,3 f,:38,{mine},{last},"{notes[5]}"\n',
        splits="work,pole,clock\na1,1/4,:12\nb1,1/4,:12\n",
        measurements=f'date,horse,what,value,by,note\n{day},{mine},pulse,34,{first},"{notes[6]}"\n'
        f"{day},{mine},pulse,{other},,\n",
        fitness=f"date,horse,step,speed\n{day},{mine},beside {other},10 m/s\n",
        footfalls=f"date,horse,clip,foot,on\n{day},{mine},{last} {host} 1,LF,1\n",
        surface=f'date,track,state,note\n{day},main,fast,"{notes[7]}"\n',
        targets=f'horse,date,distance,what,note\n{mine},{day},6 f,"{notes[8]}",\n',
    )
    piece = daybook.slice_for(daybook.read(folder), mine)
    data = frozen_bytes(daybook.freeze(piece, tmp_path / "slice")).decode("latin-1").casefold()
    assert mine in data
    for secret in (other, f"{first} {last}", f"{last} {host}", owner, f"{owner}@{host}"):
        assert secret not in data


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("the river song ran", False),
        ("the river ran", True),
        ("river song and river", True),
        ("和小明一起跑", True),
        ("וסוס רץ", True),
        ("🐎 ran", True),
        ("Strasse", True),
    ],
)
def test_names_are_found_whole_and_the_longest_counts(text: str, named: bool) -> None:
    names = [("River Song", "song"), ("River", "river"), ("小明", "ming"), ("סוס", OWNER)]
    finder = Mentions([*names, ("🐎", "emoji"), ("STRAẞE", "street")])
    assert finder.names_another(text, "song") == named


def test_who_measured_is_told_apart_without_a_name(tmp_path):
    """Two readings of one person differ by less than those of two."""
    rows = (
        "2026-10-02,brindle,height,16.1,no,stick,Ann Other,\n"
        "2026-10-03,brindle,weight,1050 lb,,scale,,\n"
    )
    book = daybook.read(write_book(tmp_path, measurements=TABLES["measurements"] + rows))
    by = daybook.slice_for(book, "brindle").tables["measurements"]["by"]
    assert by.tolist() == ["person 2", None, None, "person 1", None]
