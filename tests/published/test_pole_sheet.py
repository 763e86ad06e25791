"""What a pole sheet takes from common practice."""

import pytest

from racecalc import digest
from racecalc.daybook import open_slice
from racecalc.units import FOOT_M
from tests.daybook.stable import write_book
from tests.published.compare import published_table


@pytest.mark.published("practice_leads", "inside on the turns, outside on the straights")
@pytest.mark.parametrize("hand", ["left", "right"])
def test_leads__practice(tmp_path, hand: str) -> None:
    header = "track,name,surface,lap,straight,finish_to_turn,hand"
    tracks = f"{header}\nx,X,dirt,1 mi,1320 ft,285 ft,{hand}\n"
    record = open_slice(write_book(tmp_path, tracks=tracks, works=None, splits=None), "brindle")
    sheet = digest.build_pole_sheet(record, "x", "1 mi", "1:44", day="2026-10-28")
    table = {row["part"]: row[hand] for row in published_table("leads.csv")}
    assert {change.part: change.lead for change in sheet.leads} == table
    assert sheet.leads[0].to_finish_m == pytest.approx((5280 - 285) * FOOT_M)
