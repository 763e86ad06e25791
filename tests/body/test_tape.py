"""Weights from tape measures: shapes, refusals, and what is said of each formula."""

import inspect

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import body
from racecalc.errors import OutOfRangeError
from racecalc.sources import SOURCES

GIRTHS_M = st.floats(1.5, 2.2)
SHARES = st.floats(0.8, 1.0)


def test_every_formula_is_a_function_with_a_source() -> None:
    for key, formula in body.FORMULAS.items():
        assert key == formula.key
        assert callable(getattr(body, key))
        assert formula.source_key in SOURCES
        takes = inspect.signature(getattr(body, key)).parameters
        assert (formula.length is not None) == any("length" in name for name in takes)
        assert ("elbow_length_m" in takes) == (formula.length == "elbow to buttock")


def test_every_formula_warns_of_dosing() -> None:
    for key in body.FORMULAS:
        assert "Never for dosing" in (getattr(body, key).__doc__ or ""), key


@pytest.mark.parametrize("wrong", [0.0, -1.85, 185.0, float("nan"), float("inf")])
def test_an_impossible_measure_is_refused_with_what_to_write(wrong: float) -> None:
    for estimate in (
        lambda: body.carroll_huntington(wrong, 1.65),
        lambda: body.imperial_rule(1.85, wrong),
        lambda: body.marcenac_aublet(wrong),
        lambda: body.jones(2.0, wrong),
        lambda: body.martinson(1.82, 1.55, wrong, 0.96, "stock"),
        lambda: body.catalano_ideal(1.65, wrong, "draft"),
        lambda: body.carroll_huntington([1.85, wrong], 1.65),
    ):
        with pytest.raises(OutOfRangeError, match="write it in metres"):
            estimate()


def test_an_unknown_kind_names_the_kinds() -> None:
    with pytest.raises(OutOfRangeError, match="stock, arabian, pony"):
        body.martinson(1.82, 1.55, 1.52, 0.96, "thoroughbred")
    with pytest.raises(OutOfRangeError, match="draft, warmblood"):
        body.catalano_ideal(1.65, 1.68, "stock")


@pytest.mark.parametrize("divisor", [0.0, -11900.0, float("nan"), float("inf")])
def test_a_divisor_must_be_above_zero(divisor: float) -> None:
    with pytest.raises(OutOfRangeError, match="divisor"):
        body.carroll_huntington(1.85, 1.65, divisor)


def test_outside_the_horses_of_a_source_there_is_no_estimate() -> None:
    assert np.isnan(body.jones(1.40, 0.80))
    assert np.isnan(body.jones(2.80, 1.60))
    assert np.isnan(body.martinson(1.30, 1.15, 1.11, 0.70, "pony"))
    assert not np.isnan(body.martinson(1.30, 1.15, 1.12, 0.70, "pony"))
    assert np.isnan(body.martinson_ideal(1.00, 1.10, "stock"))
    assert np.isnan(body.catalano_ideal(0.60, 0.80, "draft"))


def test_arrays_broadcast_and_numbers_stay_numbers() -> None:
    several = body.carroll_huntington([1.80, 1.85], [[1.60], [1.65]])
    assert several.shape == (2, 2)
    assert several[1, 1] == body.carroll_huntington(1.85, 1.65)
    assert np.ndim(body.carroll_huntington(1.85, 1.65)) == 0
    mixed = body.carroll_huntington([1.85, 1.85], [1.65, 1.15])
    assert np.isnan(mixed).tolist() == [False, True]


@given(girth_m=GIRTHS_M, share=SHARES)
def test_a_larger_horse_is_heavier(girth_m: float, share: float) -> None:
    for formula in (body.carroll_huntington, body.imperial_rule, body.imperial_rule_plus_fifty):
        weight = formula(girth_m, share * girth_m)
        assert formula(girth_m + 0.01, share * girth_m + 0.01) > weight > 0


@given(estimate_kg=st.floats(300, 700))
def test_the_error_holds_the_estimate_and_grows_with_it(estimate_kg: float) -> None:
    low_kg, high_kg = body.girth_length_error(estimate_kg)
    assert low_kg < estimate_kg < high_kg
    doubled = body.girth_length_error(2 * estimate_kg)
    assert float(doubled[1] - doubled[0]) == pytest.approx(2 * float(high_kg - low_kg))


@pytest.mark.parametrize("wrong", [0.0, -5.0, float("nan"), float("inf")])
def test_no_error_of_no_weight(wrong: float) -> None:
    with pytest.raises(OutOfRangeError, match="above zero"):
        body.girth_length_error([475.0, wrong])


def test_the_error_holds_19_of_20_invented_horses() -> None:
    """Scale weights are known; estimates scatter as Ellis and Hollands printed."""
    chance = np.random.default_rng(20260501)
    scale_kg = chance.normal(480.0, 30.0, 20_000)
    estimates = scale_kg * chance.normal(0.955, 0.131, scale_kg.size)
    low_kg, high_kg = body.girth_length_error(estimates)
    assert np.mean((low_kg <= scale_kg) & (scale_kg <= high_kg)) == pytest.approx(0.95, abs=0.005)
