"""What a page on films of the feet says, or keeps back, of films that are odd or too coarse."""

import math
from collections.abc import Iterable, Mapping
from pathlib import Path

import pytest

from racecalc import daybook, digest, figures, tables, words
from racecalc.errors import OutOfRangeError, ReportError
from racecalc.report import single
from tests.daybook.stable import write_book
from tests.digest.small import ALONE, record_of

Stride = Mapping[str, tuple[float, float]]

# When each foot lands and for how long it is down, as shares of a stride: invented.
GALLOP: Stride = {
    "LH": (0, 0.224),
    "RH": (0.224, 0.224),
    "LF": (0.448, 0.183),
    "RF": (0.631, 0.183),
}
HIND_RIGHT: Stride = {**GALLOP, "RF": (0.448, 0.183), "LF": (0.631, 0.183)}
HIND_LEFT: Stride = {**GALLOP, "RH": (0, 0.224), "LH": (0.224, 0.224)}
TROT: Stride = {"LH": (0, 0.4), "RF": (0, 0.4), "RH": (0.5, 0.4), "LF": (0.5, 0.4)}
CANTER: Stride = {"LH": (0, 0.38), "RH": (0.25, 0.4), "LF": (0.25, 0.38), "RF": (0.45, 0.35)}
FRAMES = 240


def filmed(
    stride: Stride,
    strides: int,
    stride_s: float,
    begin_s: float = 0.1,
    frames: int = FRAMES,
    no_lift: Iterable[str] = (),
) -> list[str]:
    """Return the rows of some strides, as a person notes them from the frames."""
    rows = []
    for number in range(strides):
        for foot, (phase, duty) in stride.items():
            on_s = begin_s + (number + phase) * stride_s
            on, off = (math.ceil(at * frames) for at in (on_s, on_s + duty * stride_s))
            lift = "" if foot in no_lift else f"{off}"
            rows.append(f"2026-10-20,sieve,one,{foot},{on},{lift},{frames}")
    return rows


def table_of(rows: list[str]) -> str:
    return "\n".join(["date,horse,clip,foot,on,off,fps", *rows]) + "\n"


def report_of(folder: Path, rows: list[str], **asked: float) -> digest.GaitReport:
    return digest.build_gait(record_of(folder, footfalls=table_of(rows)), **asked)


def lead(report: digest.GaitReport) -> str:
    return words.gait_summary(report).paragraphs[0]


def missing(report: digest.GaitReport) -> str:
    prose = words.gait_missing(report)
    return " ".join(prose.paragraphs) if prose else ""


def precision(report: digest.GaitReport) -> str:
    prose = words.gait_notes(report)
    assert prose is not None
    return prose.paragraphs[1]


def test_no_means_are_told_of_two_gaits(tmp_path: Path) -> None:
    """A trot that turns into a canter has no mean stride, and no place among the gaits."""
    report = report_of(tmp_path, filmed(TROT, 4, 0.7) + filmed(CANTER, 4, 0.55, 0.1 + 4 * 0.7))
    assert lead(report).endswith("could not be named: it changes within the clip.")
    assert tables.clip_feet(report) is None
    assert tables.support(report) is None
    assert figures.phases(report) is None
    assert "The gait changes within the clip: means of its strides are not told." in missing(report)


def test_feet_that_disagree_have_no_place_among_the_gaits(tmp_path: Path) -> None:
    three = {foot: TROT[foot] for foot in ("LH", "RH", "RF")}
    rows = filmed(three, 5, 0.7) + filmed({"LF": TROT["LF"]}, 6, 0.58, 0.2)
    report = report_of(tmp_path, rows)
    assert "more than a tenth apart" in lead(report)
    assert figures.phases(report) is None


def test_disunited_strides_of_two_kinds(tmp_path: Path) -> None:
    rows = filmed(HIND_RIGHT, 3, 0.42) + filmed(HIND_LEFT, 3, 0.42, 0.1 + 3 * 0.42)
    told = lead(report_of(tmp_path, rows))
    assert "hind and fore feet were on different leads, and both changed." in told
    assert "the hind feet were on the" not in told


def test_a_lift_that_was_not_noted_is_said(tmp_path: Path) -> None:
    one = report_of(tmp_path / "one", filmed(GALLOP, 6, 0.42, no_lift=("LH",)))
    assert (
        "No lift of the left hind foot is noted: neither how long it is down nor support is told."
        in missing(one)
    )
    none = report_of(tmp_path / "none", filmed(GALLOP, 6, 0.42, no_lift=GALLOP))
    assert "neither how long they are down nor support is told." in missing(none)
    assert "No lift" not in missing(report_of(tmp_path / "all", filmed(GALLOP, 6, 0.42)))


def test_forces_that_frames_hide_are_named(tmp_path: Path) -> None:
    report = report_of(tmp_path, filmed(GALLOP, 9, 0.435, frames=60))
    assert report.shown is not None
    assert report.shown.feet
    assert not any(foot.force for foot in report.shown.feet)
    assert "with what force each foot is down" in precision(report)
    assert "for for" not in precision(report_of(tmp_path / "30", filmed(GALLOP, 9, 0.4, frames=30)))


def test_a_stance_has_no_more_digits_than_its_frames(tmp_path: Path) -> None:
    coarse = tables.clip_feet(report_of(tmp_path / "60", filmed(GALLOP, 9, 0.435, frames=60)))
    fine = tables.clip_feet(report_of(tmp_path / "240", filmed(GALLOP, 9, 0.435)))
    assert coarse is not None
    assert fine is not None
    assert {row[1].removesuffix(" ms")[-1] for row in coarse.rows} == {"0"}
    assert {row[1].removesuffix(" ms")[-1] for row in fine.rows} != {"0"}


def test_the_lead_of_one_pair_is_named(tmp_path: Path) -> None:
    fores = {foot: GALLOP[foot] for foot in ("LF", "RF")}
    told = lead(report_of(tmp_path, filmed(fores, 6, 0.42)))
    assert "The fore feet were on the right lead throughout." in told


def test_no_lead_is_told_where_feet_may_have_been_exchanged(tmp_path: Path) -> None:
    exchanged = {**GALLOP, "LH": GALLOP["LF"], "LF": GALLOP["LH"]}
    told = lead(report_of(tmp_path, filmed(exchanged, 6, 0.42)))
    assert "feet may have been exchanged in the notes" in told
    assert "lead" not in told


@pytest.mark.parametrize("share", [0.0, 1.0, 2.0, -1.0, math.nan, math.inf])
def test_a_share_that_cannot_be_is_refused_though_no_force_is_told(
    tmp_path: Path, share: float
) -> None:
    with pytest.raises(OutOfRangeError, match="between 0 and 1"):
        report_of(tmp_path, filmed(GALLOP, 3, 0.42, frames=30), fore_share=share)


def test_captions_tell_of_what_is_drawn(tmp_path: Path) -> None:
    """A small screen has room for four strides; a gallop has no place on the plane of gaits."""
    rows = filmed(TROT, 5, 0.7)
    trot = report_of(tmp_path / "trot", rows)
    drawn, plane = figures.footfalls(trot), figures.phases(trot)
    assert drawn is not None
    assert plane is not None
    assert drawn.caption.endswith("On a small screen: the first four.")
    assert plane.caption.endswith("Large: the clip above.")
    later = [row.replace("10-20,sieve,one", "10-21,sieve,two") for row in filmed(GALLOP, 4, 0.42)]
    both = report_of(tmp_path / "both", rows + later)
    drawn, plane = figures.footfalls(both), figures.phases(both)
    assert drawn is not None
    assert plane is not None
    assert "small screen" not in drawn.caption
    assert "Large" not in plane.caption


def test_between_two_gaits_no_beats_are_counted(tmp_path: Path) -> None:
    """Of a canter three would be heard, of a gallop four."""
    either = {**CANTER, "RH": (0.22, 0.4), "LF": (0.27, 0.38), "RF": (0.5, 0.35)}
    told = lead(report_of(tmp_path, filmed(either, 10, 0.5, frames=30)))
    assert "too near the edge between canter and gallop" in told
    assert "beats" not in told
    assert "The right lead was kept throughout." in told


def test_a_long_label_leaves_room_for_the_row(tmp_path: Path) -> None:
    long = "from the rail, " + "x" * 150 + ", far turn"
    rows = [row.replace(",one,", f',"{long}",') for row in filmed(TROT, 5, 0.7)]
    report = report_of(tmp_path, rows)
    table = tables.clips(report)
    assert table is not None
    assert table.rows[0][1] == "from the rail…xxx, far turn"
    assert long in lead(report)


def test_a_film_that_was_refused_is_not_told_as_none(tmp_path: Path) -> None:
    rows = [row.removesuffix(f"{FRAMES}") for row in filmed(GALLOP, 6, 0.42)]
    book = daybook.read(write_book(tmp_path, **(ALONE | {"footfalls": table_of(rows)})))
    with pytest.raises(ReportError, match="there is none; rows that might tell were refused"):
        single.gait(book, "sieve", "", "")
