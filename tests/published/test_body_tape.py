"""Weights from tape measures against worked examples, printed constants and separate arithmetic."""

import numpy as np
import pytest

from racecalc import body
from racecalc.body import tape
from racecalc.units import INCH_M, POUND_KG
from tests.published.compare import assert_published, published_table

CHECKS = published_table("tape_check_values.csv")
EXAMPLES = {
    source: [row for row in published_table("girth_rule_examples.csv") if row["source"] == source]
    for source in ("minnesota_girth_rule", "girth_rule_examples", "summit_girth_rule")
}


def _checked(row: dict[str, str]) -> float:
    """The weight that the package gives for a row of the check values."""
    measures = [float(cm) / 100 for cm in row["measures_cm"].split()]
    extra = row["extra"]
    more = [] if not extra else [float(extra) if extra[0].isdigit() else extra]
    return float(getattr(tape, row["formula"])(*measures, *more))


def _assert_example(row: dict[str, str]) -> None:
    """Within a pound: the pages cut off what follows the point (977.65 is printed 977)."""
    formula = getattr(tape, row["formula"])
    weight_kg = formula(float(row["girth_in"]) * INCH_M, float(row["length_in"]) * INCH_M)
    assert_published(float(weight_kg) / POUND_KG, row["printed_lb"], error=1.0)


@pytest.mark.published("minnesota_girth_rule", "worked example, 76 and 67 inches")
@pytest.mark.parametrize("row", EXAMPLES["minnesota_girth_rule"])
def test_imperial_rule__minnesota(row: dict[str, str]) -> None:
    _assert_example(row)


@pytest.mark.published("girth_rule_examples", "worked examples of both pages")
@pytest.mark.parametrize("row", EXAMPLES["girth_rule_examples"])
def test_imperial_rule__two_pages(row: dict[str, str]) -> None:
    _assert_example(row)


@pytest.mark.published("summit_girth_rule", "worked example, 75 and 69.5 inches")
@pytest.mark.parametrize("row", EXAMPLES["summit_girth_rule"])
def test_imperial_rule_plus_fifty__summit(row: dict[str, str]) -> None:
    _assert_example(row)


# Computed apart from the package (LIB).
@pytest.mark.parametrize("row", CHECKS, ids=lambda row: f"{row['formula']} {row['measures_cm']}")
def test_weights__separate_arithmetic(row: dict[str, str]) -> None:
    assert_published(_checked(row), row["weight_kg"])


@pytest.mark.published("carroll_huntington_1988", "abstract: mean divisor 11900")
def test_divisor__carroll_and_huntington() -> None:
    weight_kg = float(body.carroll_huntington(1.80, 1.60))
    assert_published(180**2 * 160 / weight_kg, "11900")


@pytest.mark.published("jones_1989", "abstract: U^1.78 Le^0.97 / 3011, in cm and kg")
def test_exponents_and_divisor__jones() -> None:
    weight_kg = float(body.jones(2.00, 1.15))
    # Doubled sizes would leave the range of weights measured: a tenth more shows the exponents.
    by_girth = np.log(float(body.jones(2.20, 1.15)) / weight_kg) / np.log(1.1)
    by_length = np.log(float(body.jones(2.00, 1.265)) / weight_kg) / np.log(1.1)
    assert_published(by_girth, "1.78")
    assert_published(by_length, "0.97")
    assert_published(200**1.78 * 115**0.97 / weight_kg, "3011")


@pytest.mark.published("milner_hewitt_1969", "as quoted: G^2 L / 228.1, inches and pounds")
def test_divisor__milner_and_hewitt() -> None:
    weight_lb = float(body.milner_hewitt(74 * INCH_M, 45 * INCH_M)) / POUND_KG
    assert_published(74**2 * 45 / weight_lb, "228.1")


@pytest.mark.published("marcenac_aublet_1964", "as quoted: 80 times the cube of the girth in m")
def test_factor__marcenac_and_aublet() -> None:
    assert_published(float(body.marcenac_aublet(1.85)) / 1.85**3, "80")


@pytest.mark.published("martinson_2014", "as quoted: divisors and ideal weights by type")
@pytest.mark.parametrize(
    ("kind", "divisor", "subtracted"),
    [("stock", "3441", "577"), ("arabian", "3596", "611"), ("pony", "3606", "606")],
)
def test_types__martinson(kind: str, divisor: str, subtracted: str) -> None:
    weight_kg = float(body.martinson(1.82, 1.55, 1.52, 0.96, kind))
    assert_published(182**1.486 * 155**0.554 * 152**0.599 * 96**0.173 / weight_kg, divisor)
    ideal_kg = float(body.martinson_ideal(1.55, 1.52, kind))
    assert_published(2.8 * 155 + 4.2 * 152 - ideal_kg, subtracted)


@pytest.mark.published("catalano_2016", "abstract: divisors and ideal weights of both kinds")
@pytest.mark.parametrize(
    ("kind", "divisor", "subtracted"), [("draft", "1181", "951"), ("warmblood", "1209", "1016")]
)
def test_kinds__catalano(kind: str, divisor: str, subtracted: str) -> None:
    weight_kg = float(body.catalano(1.95, 1.65, 1.68, 1.05, kind))
    assert_published(195**1.528 * 165**0.574 * 168**0.246 * 105**0.261 / weight_kg, divisor)
    ideal_kg = float(body.catalano_ideal(1.65, 1.68, kind))
    assert_published(4.92 * 165 + 4.64 * 168 - ideal_kg, subtracted)


@pytest.mark.published("ellis_hollands_1998", "abstract: 15 hands and more, formula 95.5 (13.1) %")
def test_error_of_an_estimate__ellis_and_hollands() -> None:
    low_kg, high_kg = (float(end) for end in body.girth_length_error(500.0))
    # What the estimate is of each end, in per cent, lies 1.96 standard deviations from the mean.
    assert_published((500 / low_kg + 500 / high_kg) / 2 * 100, "95.5")
    assert_published((500 / low_kg - 500 / high_kg) / 2 / 1.96 * 100, "13.1")


@pytest.mark.parametrize("row", published_table("girth_divisors.csv"))
def test_divisors_in_both_systems__separate_arithmetic(row: dict[str, str]) -> None:
    kg_cm = float(row["lb_in"]) * (100 * INCH_M) ** 3 / POUND_KG
    # A divisor printed with two places is itself only good to 0.005, 0.2 of the other system.
    assert_published(kg_cm, row["kg_cm"], error=None if "." in row["kg_cm"] else 0.2)


def test_the_rule_of_330_is_carroll_and_huntington_not_hall() -> None:
    """Hall's divisor, as it is remembered, would be 241.3 in inches and pounds, or 8717 in cm."""
    by_rule = float(body.imperial_rule(1.80, 1.60))
    assert by_rule == pytest.approx(float(body.carroll_huntington(1.80, 1.60, 11922.0)), rel=1e-6)
    assert not any("Hall" in formula.authors for formula in body.FORMULAS.values())


def test_rival_divisors_differ_by_a_fifth_of_a_per_cent() -> None:
    weights = [float(body.carroll_huntington(1.85, 1.65, d)) for d in (11900, 11880, 11877)]
    assert max(weights) / min(weights) - 1 < 0.002
    assert max(weights) - min(weights) < 1.0


def test_lengths_of_the_wrong_kind_are_refused() -> None:
    """74 and 68 inches would make 1632 lb by Milner and Hewitt: theirs is a length of the elbow."""
    assert_published(74**2 * 68 / 228.1, "1632", error=1.0)
    assert np.isnan(body.milner_hewitt(74 * INCH_M, 68 * INCH_M))
    assert np.isnan(body.jones(1.85, 1.65))
    assert np.isnan(body.carroll_huntington(1.85, 1.15))
    assert np.isnan(body.imperial_rule(1.85, 1.15))
    assert np.isnan(body.martinson(1.85, 1.15, 1.6, 1.0, "stock"))
    assert np.isnan(body.catalano(1.85, 1.15, 1.6, 1.0, "draft"))


def test_four_measures_give_an_eighth_more_than_two() -> None:
    stock = float(body.martinson(1.82, 1.55, 1.52, 0.96, "stock"))
    assert 1.10 < stock / float(body.carroll_huntington(1.82, 1.55, 11877)) < 1.15


def test_no_worked_example_has_an_elbow_length() -> None:
    ratios = [
        float(row["length_in"]) / float(row["girth_in"])
        for rows in EXAMPLES.values()
        for row in rows
    ]
    assert_published(min(ratios), "0.88")
    assert_published(max(ratios), "0.93")
    assert not body.is_elbow_length(np.ones(len(ratios)), ratios).any()
    assert body.is_elbow_length(2.00, 1.15)


# G 185, L 165 cm, computed apart from the package (LIB).
@pytest.mark.parametrize(
    ("more_girth_m", "more_length_m", "printed_kg"),
    [(0.01, 0.0, "5.2"), (INCH_M, 0.0, "13.1"), (0.0, 0.01, "2.9")],
)
def test_what_a_misread_tape_does(
    more_girth_m: float, more_length_m: float, printed_kg: str
) -> None:
    read = body.carroll_huntington(1.85, 1.65, 11877)
    misread = body.carroll_huntington(1.85 + more_girth_m, 1.65 + more_length_m, 11877)
    assert_published(float(misread - read), printed_kg)
