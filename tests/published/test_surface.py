"""The words learned from a log against a general library's ordinal logit; the order of words."""

import numpy as np
import pytest

from racecalc import surface
from tests.published.compare import assert_published, published_table

ENTRIES = published_table("ordinal_entries.csv")
FIT = {
    row["what"]: (float(row["value"]), float(row["standard_error"]))
    for row in published_table("ordinal_fit.csv")
}
INDEX = np.array([float(row["index"]) for row in ENTRIES])
RANKS = np.array([int(row["rank"]) for row in ENTRIES])


def learned(times: int = 1) -> dict[str, float]:
    """Return the curves by the names of the table, of entries that are repeated so often."""
    curves = surface.learn_curves("turf", np.tile(INDEX, times), np.tile(RANKS, times), odd=0.0)
    cuts = {f"cut {number}": cut for number, cut in enumerate(curves.cuts, 1)}
    return cuts | {"scale": curves.scale}


@pytest.mark.published("mccullagh_1980", "a cumulative logit by maximum likelihood")
def test_learn_curves__statsmodels_of_600_entries() -> None:
    """What we lean on at first moves 600 entries by far less than they are uncertain.

    The lean is as wide as 0.3 of the index, an edge is known to 0.012: it weighs as much as one in
    600 entries. The logarithm of a step is leant on at a width of 1, that of the scale at 0.5,
    which 600 entries know to 0.05: one in 100. A quarter of a standard error is allowed.
    """
    for what, found in learned().items():
        value, error = FIT[what]
        assert found == pytest.approx(value, abs=error / 4), what


@pytest.mark.published("mccullagh_1980", "the same with what we lean on outweighed")
def test_learn_curves__statsmodels_in_the_limit() -> None:
    """A hundred times the entries have the same likeliest curves, and lean a hundredth as much."""
    for what, found in learned(100).items():
        value, error = FIT[what]
        assert found == pytest.approx(value, abs=error / 100), what


@pytest.mark.published("mccullagh_1980", "chances of the words")
@pytest.mark.parametrize("row", published_table("ordinal_chances.csv"), ids=lambda r: r["index"])
def test_chances__statsmodels(row: dict[str, str]) -> None:
    """The same curves give the same chances: the library's digits are carried through."""
    cuts = tuple(FIT[f"cut {number}"][0] for number in range(1, 5))
    curves = surface.WordCurves("turf", cuts, FIT["scale"][0], len(ENTRIES), odd=0.0)
    found = curves.chances(float(row["index"]))
    for rank, chance in enumerate(found, 1):
        # Half a digit of a cut over the scale, at the steepest.
        assert_published(float(chance), row[f"word {rank}"], error=1e-4)


@pytest.mark.published("jra_official_going", "standard, good, muddy, sloppy; firm to soft")
def test_order_of_words__japan() -> None:
    """Words that are printed from dry to wet stand in our order, though there are more of ours."""
    rows = published_table("states_elsewhere.csv")
    ours = {"standard": "fast", "good to firm": "firm"}
    for kind in ("dirt", "turf"):
        printed = [
            ours.get(row["word"], row["word"])
            for row in rows
            if (row["source"], row["surface"]) == ("jra_official_going", kind)
        ]
        ranks = [surface.DRYING_ORDER[kind].index(word) for word in printed]
        assert len(printed) >= 4
        assert ranks == sorted(ranks)
