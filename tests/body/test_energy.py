"""Energy needs: shapes, order and refusals."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import body
from racecalc.errors import OutOfRangeError
from racecalc.sources import SOURCES


@given(st.floats(100, 1000))
def test_more_work_needs_more(weight_kg: float) -> None:
    needs = [float(body.digestible_energy_mcal(weight_kg, need)) for need in body.NEEDS]
    order = ["minimum", "average", "elevated", "light", "moderate", "heavy", "very heavy"]
    assert list(body.NEEDS) == order
    assert needs == sorted(needs)
    assert len(set(needs)) == len(needs)


def test_every_class_says_what_it_is_and_who_says_so() -> None:
    for key, need in body.NEEDS.items():
        assert key == need.key
        assert need.work
        assert set(need.source_keys) <= set(SOURCES)
        assert (need.hours_per_week is None) == (need.factor == 1.0)


def test_arrays_keep_their_shape_and_numbers_stay_numbers() -> None:
    several = body.digestible_energy_mcal([[450, 500, 550]], "heavy")
    assert several.shape == (1, 3)
    assert several[0, 1] == body.digestible_energy_mcal(500, "heavy")
    assert np.ndim(body.digestible_energy_mcal(500, "heavy")) == 0


@pytest.mark.parametrize("wrong", [0.0, -480.0, 480_000.0, float("nan"), float("inf")])
def test_an_impossible_weight_is_refused_with_what_to_write(wrong: float) -> None:
    with pytest.raises(OutOfRangeError, match="write it in kg"):
        body.digestible_energy_mcal([480.0, wrong], "light")


def test_an_unknown_need_names_the_needs() -> None:
    with pytest.raises(OutOfRangeError, match="light, moderate, heavy, very heavy"):
        body.digestible_energy_mcal(480.0, "racing")
