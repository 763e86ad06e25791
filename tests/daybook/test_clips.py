"""The footfalls of a clip against one another: what cannot be told apart is refused as a whole."""

from itertools import pairwise
from math import ceil, isnan, nan
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import daybook
from racecalc.daybook.clips import check_clips
from racecalc.daybook.schema import SCHEMA
from racecalc.daybook.table import Table
from tests.daybook.stable import TABLES, problems_of

HEADER = TABLES["footfalls"].splitlines()[0]
DAY = "2026-10-06"
# Two strides of a gallop at 17 m/s in frames of 240 a second: stances and stride of Witte and
# others (2006), one foot after another.
GALLOP = [("LH", 24, 47), ("RH", 47, 70), ("LF", 70, 88), ("RF", 88, 106),
          ("LH", 125, 148), ("RH", 148, 171), ("LF", 171, 189), ("RF", 189, 207)]  # fmt: skip


def found(folder: Path, *rows: str) -> list[str]:
    """Return what is said, where every row is of brindle on one day."""
    return problems_of(folder, footfalls=written(*rows))


def written(*rows: str) -> str:
    return "\n".join([HEADER, *(f"{DAY},brindle,{row}" for row in rows)]) + "\n"


def gallop(
    label: str = "a", fps: str = "240", scale: float = 1, off: bool = True, speed: str = ""
) -> list[str]:
    """Return the rows of the gallop, its frames times a scale."""
    return [
        f"{label},{foot},{on * scale:g},{f'{end * scale:g}' if off else ''},{fps},{speed}"
        for foot, on, end in GALLOP
    ]


def used(folder: Path) -> list[int]:
    """Return the spreadsheet rows that are used."""
    rows: list[int] = daybook.read(folder).tables["footfalls"]["row"].tolist()
    return rows


@pytest.mark.parametrize(
    "rows",
    [
        gallop(),
        gallop(off=False),
        gallop(fps="", scale=1 / 240),
        gallop(fps="", scale=1 / 240, off=False),
        gallop(fps="239.76 fps", speed="38 mph"),
        gallop()[:2],
        # A slow walk at the longest stance that is published, and a foot that lands as it lifts.
        ["w,LH,0,1.093,,", "w,LF,0.4,1.5,,", "w,LH,1.588,2.681,,"],
        ["w,LH,0,20,24,", "w,LH,20,40,24,"],
    ],
)
def test_sound_clips_are_not_spoken_of(tmp_path: Path, rows: list[str]) -> None:
    assert found(tmp_path, *rows) == []


class TestRatesOfFrames:
    def test_two_rates_refuse_the_clip_and_name_both_rows(self, tmp_path: Path) -> None:
        rows = gallop()
        rows[4] = rows[4].replace(",240,", ",60,")
        assert found(tmp_path, *rows, *gallop("b")) == [
            'footfalls.csv:6:fps: "60" here and "240" in row 2 of the same clip: frames of two '
            "rates share no clock; write one fps in all rows of a clip, or none if on and off are "
            "seconds (8 rows are left out)"
        ]
        assert used(tmp_path) == list(range(10, 18))

    @pytest.mark.parametrize("blank", [[3], [0], [0, 1, 2, 4, 5, 6, 7]])
    def test_a_rate_that_stands_in_some_rows_only(self, tmp_path: Path, blank: list[int]) -> None:
        """The message stands where the rarer of both is."""
        rows = [row.replace(",240,", ",,") if k in blank else row for k, row in enumerate(gallop())]
        [told] = found(tmp_path, *rows)
        rare = blank if len(blank) < 4 else [3]
        assert told.startswith(f"footfalls.csv:{2 + rare[0]}:fps: ")
        assert "a blank cell" in told
        assert '"240"' in told
        assert used(tmp_path) == []

    def test_rates_of_refused_rows_do_not_count(self, tmp_path: Path) -> None:
        rows = gallop()
        rows[4] = rows[4].replace(",240,", ",0,")
        [told] = found(tmp_path, *rows)
        assert told.startswith("footfalls.csv:6:fps: ")
        assert "is impossible" in told
        assert len(used(tmp_path)) == 7

    def test_clips_of_other_labels_days_and_horses_may_have_other_rates(
        self, tmp_path: Path
    ) -> None:
        rows = [*gallop(), *gallop("b", "120")]
        others = [f"2026-10-07,brindle,{row}" for row in gallop("a", "60")]
        others += [f"{DAY},007,{row}" for row in gallop("a", "30")]
        assert problems_of(tmp_path, footfalls=written(*rows) + "\n".join(others) + "\n") == []


class TestUnits:
    def test_frames_without_fps(self, tmp_path: Path) -> None:
        assert found(tmp_path, *gallop(fps=""), *gallop("b")) == [
            'footfalls.csv:2:off: "47" is 23 s after on ("24"); no foot stays down for more than '
            "3 s; if on and off are frame numbers, fill in fps (8 rows are left out)"
        ]
        assert used(tmp_path) == list(range(10, 18))

    def test_frames_without_fps_and_without_off(self, tmp_path: Path) -> None:
        assert found(tmp_path, *gallop(fps="", off=False)) == [
            'footfalls.csv:6:on: "125" is 101 s after the same foot came down at "24" in row 2; no '
            "stride takes more than 5 s; if on and off are frame numbers, fill in fps "
            "(8 rows are left out)"
        ]
        assert used(tmp_path) == []

    def test_frames_of_a_slow_film_without_fps(self, tmp_path: Path) -> None:
        """Of 24 frames a second a gallop fills two or three to a contact, and ten to a stride."""
        rows = ["a,LF,3,5,,", "a,RF,5,7,,", "a,LF,13,15,,", "a,RF,15,17,,"]
        [told] = found(tmp_path, *rows)
        assert "10 s after the same foot" in told
        assert used(tmp_path) == []

    def test_one_long_contact_among_seconds_is_that_rows_fault(self, tmp_path: Path) -> None:
        rows = ["a,LH,0.1,0.2,,", "a,LH,0.6,7.0,,", "a,RH,0.2,0.3,,"]
        assert found(tmp_path, *rows) == [
            'footfalls.csv:3:off: "7.0" is 6.4 s after on ("0.6"); no foot stays down for more '
            "than 3 s; correct one of them"
        ]
        assert used(tmp_path) == [2, 4]

    def test_a_hidden_stride_is_no_frame_number(self, tmp_path: Path) -> None:
        rows = ["a,LH,1,,,", "a,LH,2,,,", "a,LH,8,,,", "a,LH,9,,,"]
        assert found(tmp_path, *rows) == []

    @pytest.mark.parametrize("off", [True, False])
    def test_seconds_with_fps(self, tmp_path: Path, off: bool) -> None:
        assert found(tmp_path, *gallop(scale=0.004, off=off)) == [
            'footfalls.csv:2:on: "0.096" is no frame number; frames are whole numbers; if on and '
            "off of this clip are seconds, leave fps blank in all its rows (8 rows are left out)"
        ]
        assert used(tmp_path) == []

    def test_an_off_that_is_no_frame(self, tmp_path: Path) -> None:
        [told] = found(tmp_path, "a,LH,24,47.5,240,", "a,RH,47,70,240,")
        assert told.startswith('footfalls.csv:2:off: "47.5" is no frame number; ')
        assert used(tmp_path) == []

    def test_a_whole_number_may_be_written_with_decimals(self, tmp_path: Path) -> None:
        assert found(tmp_path, "a,LH,24.0,47.00,240,", "a,RH,47,70,240,") == []


class TestLengthsOfContacts:
    @pytest.mark.parametrize(
        ("on", "off", "fps", "refused"),
        [
            ("0.10", "0.13", "", False),
            ("0.100", "0.129", "", True),
            ("10", "12", "60", False),
            ("10", "11", "60", True),
            ("10", "11", "24", False),
            ("0.5", "3.5", "", False),
            ("0.5", "3.51", "", True),
            ("0", "720", "240", False),
            ("0", "721", "240", True),
        ],
    )
    def test_limits(self, tmp_path: Path, on: str, off: str, fps: str, refused: bool) -> None:
        rows = [f"a,LH,{on},{off},{fps},", f"a,RH,{on},,{fps},"]
        told = found(tmp_path, *rows)
        assert [line.split(": ")[0] for line in told] == ["footfalls.csv:2:off"] * refused
        assert used(tmp_path) == ([3] if refused else [2, 3])

    def test_a_short_contact(self, tmp_path: Path) -> None:
        rows = gallop()
        rows[2] = "a,LF,70,71,240,"
        assert found(tmp_path, *rows) == [
            'footfalls.csv:4:off: "71" is 0.00417 s after on ("70") at 240 frames a second; no '
            "foot is down for less than 0.03 s; correct on, off or fps"
        ]
        assert len(used(tmp_path)) == 7

    @pytest.mark.parametrize(
        ("fps", "scale", "said"),
        [
            ("1000", 1, "0.023 s after on"),
            ("", 0.001, "0.023 s after on"),
            ("10", 3, "6.9 s after on"),
            ("", 0.25, "5.75 s after on"),
        ],
    )
    def test_a_wrong_rate_is_said_once(
        self, tmp_path: Path, fps: str, scale: float, said: str
    ) -> None:
        [told] = found(tmp_path, *gallop(fps=fps, scale=scale))
        assert told.startswith("footfalls.csv:2:off: ")
        assert said in told
        assert told.endswith(" (8 rows are left out)")
        assert used(tmp_path) == []

    def test_long_lengths_are_written_out(self, tmp_path: Path) -> None:
        [told] = found(tmp_path, "a,LH,10,9000.5,,", "a,RH,1.5,1.6,,")
        assert '"9000.5" is 8,990 s after on ("10")' in told

    @pytest.mark.parametrize("off", ["23", "24"])
    def test_an_end_that_is_not_after_the_beginning_is_said_once(
        self, tmp_path: Path, off: str
    ) -> None:
        rows = gallop()
        rows[0] = f"a,LH,24,{off},240,"
        [told] = found(tmp_path, *rows)
        assert told.startswith(f'footfalls.csv:2:off: "{off}" is not after on ("24")')
        assert len(used(tmp_path)) == 7


class TestOverlaps:
    def test_a_foot_that_lands_before_it_lifts(self, tmp_path: Path) -> None:
        rows = gallop()
        rows[0] = "a,LH,24,126,240,"
        assert found(tmp_path, *rows) == [
            'footfalls.csv:6:on: "125" is before LH of row 2 is off ("126"); neither row is used; '
            "correct foot, on or off, or delete one if pasted"
        ]
        assert used(tmp_path) == [3, 4, 5, 7, 8, 9]

    def test_feet_of_one_horse_may_be_down_together(self, tmp_path: Path) -> None:
        rows = [f"a,{foot},100,160,240," for foot in ("LF", "RF", "LH", "RH")]
        assert found(tmp_path, *rows) == []

    @pytest.mark.parametrize(
        "row", ["a,LH,125,148,240,", "A,LH,125,150,240,", "a,lh,125.0,,240 fps,"]
    )
    def test_a_landing_that_stands_twice(self, tmp_path: Path, row: str) -> None:
        [told] = found(tmp_path, *gallop(), row)
        assert told.startswith('footfalls.csv:10:on: LH comes down at "125')
        assert told.endswith(
            " in row 6 too; neither row is used; correct foot, on or off, or delete one if pasted"
        )
        assert used(tmp_path) == [2, 3, 4, 5, 7, 8, 9]

    def test_a_clip_that_was_pasted_twice_is_said_once(self, tmp_path: Path) -> None:
        assert found(tmp_path, *gallop(), *gallop(), *gallop("b")) == [
            'footfalls.csv:10:on: LH comes down at "24" in row 2 too, and so on in most rows of '
            "this clip; if it holds two films, give each a label of its own (capitals make no "
            "difference); if it was pasted twice, delete one (16 rows are left out)"
        ]
        assert used(tmp_path) == list(range(18, 26))

    def test_two_films_under_labels_that_differ_by_capitals(self, tmp_path: Path) -> None:
        other = [f"TURN,{foot},{on + 10},{off + 10},240," for foot, on, off in GALLOP]
        [told] = found(tmp_path, *gallop("turn"), *other)
        assert 'footfalls.csv:10:on: "34" is before LH of row 2 is off ("47")' in told
        assert "capitals make no difference" in told
        assert told.endswith(" (16 rows are left out)")

    def test_nothing_overlaps_a_contact_without_an_end(self, tmp_path: Path) -> None:
        assert found(tmp_path, "a,LH,24,,240,", "a,LH,125,148,240,") == []


class TestWarnings:
    def test_two_speeds(self, tmp_path: Path) -> None:
        rows = gallop(speed="17 m/s")
        rows[3] = "a,RF,88,106,240,35 mph"
        rows[4] = "a,LH,125,148,240,"
        [told] = found(tmp_path, *rows)
        assert told.startswith('footfalls.csv:9:speed: warning: "17 m/s" here and "35 mph" in row '
                               "5 of the same clip; a clip has one speed, ")  # fmt: skip
        assert told.endswith("check both, the footfalls are used as they are")
        assert len(used(tmp_path)) == 8

    def test_one_speed_in_two_units_or_in_some_rows(self, tmp_path: Path) -> None:
        rows = gallop()
        rows[1] += "30 mph"
        rows[2] += "13.4 m/s"
        rows[5] += "48.3 km/h"
        assert found(tmp_path, *rows) == []

    def test_a_clip_of_one_row(self, tmp_path: Path) -> None:
        assert found(tmp_path, *gallop("gallop-1"), "gallop_1,LH,200,223,240,") == [
            'footfalls.csv:10:clip: warning: "gallop_1" has this row only; one footfall tells of '
            "no stride; add the other footfalls of the film, or correct the label"
        ]
        assert len(used(tmp_path)) == 9

    def test_a_row_whose_neighbours_are_refused_is_not_alone(self, tmp_path: Path) -> None:
        told = found(tmp_path, "a,LH,24,20,240,", "a,RH,47,70,240,")
        assert [line.split(": ")[0] for line in told] == ["footfalls.csv:2:off"]

    def test_one_row_that_is_refused_is_not_warned_of(self, tmp_path: Path) -> None:
        told = found(tmp_path, "a,LH,24.5,,240,")
        assert [line.split(": ")[0] for line in told] == ["footfalls.csv:2:on"]
        assert "left out" not in told[0]


@pytest.mark.parametrize("number", ["nan", "inf", "-inf", "1e9", "1000000000", "9" * 400, "-1"])
@pytest.mark.parametrize("column", ["on", "off", "fps"])
def test_numbers_that_are_none_refuse_their_row_only(
    tmp_path: Path, number: str, column: str
) -> None:
    row = {"on": "24", "off": "47", "fps": "240"} | {column: number}
    rows = [f"a,LH,{row['on']},{row['off']},{row['fps']},", *gallop()[1:]]
    told = found(tmp_path, *rows)
    assert f"footfalls.csv:2:{column}" in {line.split(": ")[0] for line in told}
    assert {line.split(":")[1] for line in told} == {"2"}
    assert used(tmp_path) == list(range(3, 10))


@pytest.mark.parametrize(
    "label", ["=1+1", "../..", '"a; b"', "ÄÖ<b>", "x" * 500, "12", "None", "🐎", '"two, parts"']
)
def test_odd_labels_name_a_clip(tmp_path: Path, label: str) -> None:
    assert found(tmp_path, *gallop(label)) == []
    assert len(used(tmp_path)) == 8
    [told] = found(tmp_path, *gallop(label, fps=""))
    assert told.endswith(" (8 rows are left out)")


def test_rows_of_unknown_horses_are_left_to_their_own_message(tmp_path: Path) -> None:
    rows = [f"{DAY},nobody,{row}" for row in gallop(fps="")]
    told = problems_of(tmp_path, footfalls="\n".join([HEADER, *rows]) + "\n")
    assert {line.split(": ")[0].split(":")[2] for line in told} == {"horse"}


def table_of(frame: pd.DataFrame) -> Table:
    frame = frame.assign(row=np.arange(len(frame)) + 2).reset_index(drop=True)
    return Table(SCHEMA["footfalls"], "f", frame, np.zeros(len(frame), dtype=bool))


Contact = tuple[str, float, float]


def frame_of(contacts: list[Contact], fps: float, speed: float = nan) -> pd.DataFrame:
    foot, on, off = zip(*contacts, strict=True)
    rows = {"date": pd.Timestamp(DAY), "horse": "brindle", "clip": "a", "foot": foot, "on": on,
            "off": off, "fps": fps, "speed_m_s": speed}  # fmt: skip
    return pd.DataFrame(rows).astype({"horse": object, "clip": object, "foot": object})


@st.composite
def schedules(draw: st.DrawFn) -> list[Contact]:
    """Make strides of any gait in seconds: any order of feet, the same order in each stride."""
    stride = draw(st.floats(0.33, 2.2))
    feet = draw(st.lists(st.sampled_from(["LH", "LF", "RH", "RF"]), min_size=1, unique=True))
    strides = draw(st.integers(2 if len(feet) == 1 else 1, 6))
    start = draw(st.floats(0, 3600))
    contacts = []
    for foot in feet:
        lands = start + draw(st.floats(0, 1)) * stride
        # No published stance is as short as the lower end, in any gait.
        down = draw(st.floats(max(0.06, 0.15 * stride), 0.75 * stride))
        noted = draw(st.booleans())
        for number in range(strides):
            on = lands + number * stride
            contacts.append((foot, on, on + down if noted else nan))
    return draw(st.permutations(contacts))


@given(schedules(), st.floats(24, 1000) | st.sampled_from([24.0, 25.0, 30.0, 60.0, 240.0, 1000.0]))
def test_well_formed_clips_of_frames_are_neither_refused_nor_warned_of(
    contacts: list[Contact], fps: float
) -> None:
    """Each event is marked at the first frame that shows it."""
    marked = [
        (foot, float(ceil(on * fps)), nan if isnan(off) else float(ceil(off * fps)))
        for foot, on, off in contacts
    ]
    table = table_of(frame_of(marked, fps, 12.0))
    check_clips(table)
    assert [problem.message for problem in table.problems] == []
    assert not table.refused.any()


@given(schedules(), st.integers(2, 6))
def test_well_formed_clips_of_seconds_are_neither_refused_nor_warned_of(
    contacts: list[Contact], places: int
) -> None:
    marked = [(foot, round(on, places), round(off, places)) for foot, on, off in contacts]
    table = table_of(frame_of(marked, nan))
    check_clips(table)
    assert [problem.message for problem in table.problems] == []
    assert not table.refused.any()


def invented(seed: int) -> pd.DataFrame:
    """Rows of a few clips whose times, rates and speeds often clash."""
    chance = np.random.default_rng(seed)
    count = int(chance.integers(1, 40))
    frames = chance.random() < 0.7
    on = chance.integers(0, 60, count) * (10.0 if frames else 0.1)
    longs = chance.choice(
        [5.0, 20.0, 30.0, 60.0, 900.0, nan], count, p=[0.1, 0.3, 0.3, 0.1, 0.1, 0.1]
    )
    rows = {
        "date": pd.Timestamp(DAY) + pd.to_timedelta(chance.integers(0, 2, count), "D"),
        "horse": chance.choice(["a", "b"], count),
        "clip": chance.choice(["x", "X", "y", "z"], count),
        "foot": chance.choice(["LF", "RF", "LH", "RH"], count),
        "on": on,
        "off": on + longs * (1.0 if frames else 0.01),
        "fps": chance.choice([240.0, 60.0, nan], count, p=[0.96, 0.02, 0.02]) if frames else nan,
        "speed_m_s": chance.choice([nan, 10.0, 10.05, 12.0], count),
    }
    texts = dict.fromkeys(("horse", "clip", "foot"), object)
    return pd.DataFrame(rows).astype(texts)


CLIP = ["horse", "date", "label"]


@pytest.mark.parametrize("seed", range(150))
def test_what_is_refused_does_not_depend_on_the_order_of_the_rows(seed: int) -> None:
    frame = invented(seed)
    told, refused = checked(frame)
    mixed = frame.sample(frac=1, random_state=seed)
    told_mixed, refused_mixed = checked(mixed)
    assert told == told_mixed
    assert set(refused) == set(refused_mixed)


def checked(frame: pd.DataFrame) -> tuple[list[tuple[str | None, str]], list[int]]:
    """Return the column and level of what is said, and the index of the refused rows."""
    table = table_of(frame)
    before = table.frame.copy()
    check_clips(table)
    pd.testing.assert_frame_equal(table.frame, before)
    said = sorted((problem.column or "", problem.level) for problem in table.problems)
    return list(said), frame.index[table.refused].tolist()


@pytest.mark.parametrize("seed", range(150))
def test_what_is_used_has_one_clock_and_no_overlap(seed: int) -> None:
    frame = invented(seed)
    _, refused = checked(frame)
    kept = frame.drop(index=refused).assign(label=frame["clip"].str.casefold())
    for _, clip in kept.groupby(CLIP):
        rate = clip["fps"].fillna(0.0).unique()
        assert len(rate) == 1
        if rate[0]:
            assert (clip[["on", "off"]].fillna(0) % 1 == 0).all(axis=None)
        known = clip[["on", "off"]].dropna()
        lasted = (known["off"] - known["on"]) / (rate[0] or 1)
        assert lasted.between(0.03 - 1e-9, 3 + 1e-9).all()
        for _, foot in clip.groupby("foot"):
            rows = sorted(zip(foot["on"], foot["off"], strict=True))
            assert all(one[0] < two[0] and not one[1] > two[0] for one, two in pairwise(rows))


@pytest.mark.parametrize("seed", range(60))
def test_clips_without_a_fault_of_their_own_are_used(seed: int) -> None:
    """A second horse's sound clip under the same label stands, whatever the first one's holds."""
    sound = frame_of([(foot, float(on), float(off)) for foot, on, off in GALLOP], 240.0)
    frame = pd.concat([invented(seed), sound], ignore_index=True).sample(frac=1, random_state=seed)
    _, refused = checked(frame)
    assert not set(refused) & set(frame.index[frame["horse"] == "brindle"])


def test_the_invented_rows_hold_every_case() -> None:
    said = [kind for seed in range(150) for kind in checked(invented(seed))[0]]
    counts = {kind: said.count(kind) for kind in set(said)}
    assert set(counts) == {("fps", "error"), ("off", "error"), ("on", "error"),
                           ("speed", "warning"), ("clip", "warning")}  # fmt: skip
    assert min(counts.values()) > 10


def test_an_empty_table_has_nothing_to_say() -> None:
    table = table_of(invented(1).iloc[:0])
    check_clips(table)
    assert table.problems == []
