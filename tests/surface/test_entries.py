"""The surface log: what was written down, how old it is, and the rain."""

from datetime import date

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import surface

LOG = pd.DataFrame(
    {
        "date": pd.to_datetime(
            ["2026-10-03", "2026-10-01", "2026-10-05", "2026-10-05", "2026-10-05", "2026-10-08"]
        ),
        "track": ["MAIN", "MAIN", "MAIN", "MAIN", "TURF", "MAIN"],
        "state": pd.Series(["good", "fast", "muddy", "sloppy", "soft", None], dtype=object),
        "rain_mm": [4.0, 0.0, 10.0, 6.0, 99.0, np.nan],
        "row": [2, 3, 4, 5, 6, 7],
    }
)


def test_log_is_of_one_track_and_in_order() -> None:
    found = surface.log(LOG, "MAIN", date(2026, 10, 1), date(2026, 10, 5))
    assert found["state"].tolist() == ["fast", "good", "muddy", "sloppy"]
    assert surface.log(LOG, "NONE", date(2026, 10, 1), date(2026, 10, 5)).empty


@given(order=st.permutations(range(len(LOG))))
def test_the_order_of_rows_does_not_matter(order: list[int]) -> None:
    first, last = date(2026, 10, 1), date(2026, 10, 31)
    mixed = LOG.iloc[order]
    pd.testing.assert_frame_equal(
        surface.log(mixed, "MAIN", first, last), surface.log(LOG, "MAIN", first, last)
    )
    for day in range(1, 12):
        on = date(2026, 10, day)
        assert surface.state_on(mixed, "MAIN", on) == surface.state_on(LOG, "MAIN", on)


@pytest.mark.parametrize(
    ("day", "state", "written", "days_old"),
    [
        (1, "fast", 1, 0),
        (2, "fast", 1, 1),
        (4, "good", 3, 1),
        (5, "sloppy", 5, 0),
        (9, "sloppy", 5, 4),
    ],
)
def test_state_is_the_newest_one_written_down(
    day: int, state: str, written: int, days_old: int
) -> None:
    found = surface.state_on(LOG, "MAIN", date(2026, 10, day))
    assert found == surface.StateOn(state, date(2026, 10, written), days_old)


def test_no_state_before_the_first_entry() -> None:
    assert surface.state_on(LOG, "MAIN", date(2026, 9, 30)) is None
    assert surface.state_on(LOG.iloc[:0], "MAIN", date(2026, 9, 30)) is None


def test_rain_is_added_up_with_what_is_missing() -> None:
    found = surface.rain_between(LOG, "MAIN", date(2026, 10, 3), date(2026, 10, 31))
    assert found == surface.Rain(rain_mm=20.0, entries=4, silent=1, since=date(2026, 10, 1))


def test_no_word_of_rain_is_not_dry() -> None:
    silent = surface.rain_between(LOG, "MAIN", date(2026, 10, 6), date(2026, 10, 31))
    assert silent == surface.Rain(rain_mm=None, entries=1, silent=1, since=date(2026, 10, 5))
    empty = surface.rain_between(LOG.iloc[:0], "MAIN", date(2026, 10, 6), date(2026, 10, 31))
    assert empty == surface.Rain(rain_mm=None, entries=0, silent=0, since=None)


@given(cut=st.integers(1, 30))
def test_rain_of_two_spans_is_the_rain_of_both(cut: int) -> None:
    spans = [(1, cut), (cut + 1, 31), (1, 31)]
    early, late, whole = (
        surface.rain_between(LOG, "MAIN", date(2026, 10, first), date(2026, 10, last)).rain_mm
        for first, last in spans
    )
    assert (early or 0) + (late or 0) == whole
