"""Feet not seen, landings not noted, feet exchanged: a right name, or none and the reason."""

import numpy as np
import pytest

from racecalc import gait
from tests.gait.schedules import (
    FINE_S,
    GOLDEN,
    NO_LEADS,
    Contacts,
    blank_lifts,
    contacts,
    renamed,
    subsets,
    without,
)  # fmt: skip

COUPLED = {name for name, one in GOLDEN.items() if one.leads != NO_LEADS}

# Names that tell less than the schedule's own, and are right.
BROADER = {
    "rotary gallop": {"gallop"},
    "transverse gallop": {"gallop"},
    "walking trot": {"trot"},
    "disunited canter": {"canter"},
}


def read(film: Contacts) -> gait.ClipReading:
    return gait.read_clip(gait.make_clip(film, FINE_S))


def why_of(film: Contacts) -> str | None:
    found = read(film).gait
    assert found.name == gait.UNCLEAR
    return found.why


def of_feet(name: str, feet: tuple[str, ...], strides: int = 4) -> Contacts:
    return {foot: pairs for foot, pairs in contacts(GOLDEN[name], strides).items() if foot in feet}


def reason(feet: tuple[str, ...], *, coupled: bool) -> str | None:
    """Return why a gait cannot be told from these feet; nothing where it can."""
    whole = [pair for pair in gait.PAIRS.values() if set(pair) <= set(feet)]
    if not feet:
        return "no-repeat"
    if len(feet) == 1:
        return "one-foot"
    if not whole:
        one_side = any(set(feet) <= set(side) for side in gait.SIDES.values())
        return "one-side" if one_side else "one-diagonal"
    if len(feet) == 2 or (coupled and len(whole) < 2):
        return "one-pair"
    return None


@pytest.mark.parametrize("name", GOLDEN)
@pytest.mark.parametrize("feet", list(subsets()), ids=lambda feet: "-".join(feet) or "none")
def test_any_choice_of_feet_is_named_right_or_says_why(name: str, feet: tuple[str, ...]) -> None:
    """Three feet tell a gait whose pairs land half a stride apart, and four feet any."""
    why = reason(feet, coupled=name in COUPLED)
    expected = gait.Gait(GOLDEN[name].gait) if why is None else gait.Gait(gait.UNCLEAR, why)
    reading = read(of_feet(name, feet))
    assert reading.gait == expected
    for pair, lead in zip(gait.PAIRS.values(), GOLDEN[name].leads, strict=True):
        seen = reading.leads[list(gait.PAIRS.values()).index(pair)]
        assert seen == (lead if set(pair) <= set(feet) else None)


@pytest.mark.parametrize("name", GOLDEN)
def test_one_landing_of_each_foot_is_no_stride(name: str) -> None:
    reading = read(contacts(GOLDEN[name], 1))
    assert reading.gait == gait.Gait(gait.UNCLEAR, "no-repeat")
    assert (reading.stride, reading.strides, reading.cycle) == (None, (), None)
    assert (reading.averaged, reading.leads) == (0, NO_LEADS)


@pytest.mark.parametrize("name", GOLDEN)
def test_one_stride_and_the_next_landing_are_enough(name: str) -> None:
    """Of the four feet once, and of the first to land once more."""
    film = contacts(GOLDEN[name], 1)
    first = min(film, key=lambda foot: film[foot][0])
    film[first] = contacts(GOLDEN[name], 2)[first]
    assert read(film).gait == gait.Gait(GOLDEN[name].gait)


def test_nothing_is_told_of_nothing() -> None:
    assert why_of({}) == "no-repeat"


@pytest.mark.parametrize("name", GOLDEN)
@pytest.mark.parametrize("foot", gait.FEET)
@pytest.mark.parametrize("stride", range(5))
def test_a_landing_that_was_not_noted_changes_no_name(name: str, foot: str, stride: int) -> None:
    film = contacts(GOLDEN[name], 5)
    del film[foot][stride]
    reading = read(film)
    assert reading.gait == gait.Gait(GOLDEN[name].gait)
    assert reading.leads == GOLDEN[name].leads
    assert reading.changes == ()
    assert reading.stride is not None
    assert reading.stride.mean_s == pytest.approx(1.0)
    assert reading.cycle is not None
    expected = [GOLDEN[name].support.get(feet, 0.0) for feet in range(5)]
    assert gait.support_shares(reading.cycle) == pytest.approx(expected, abs=1e-9)
    if name in COUPLED:
        # The stride is there all the same, with the leads that were seen.
        missing = {foot}
        assert [number for number, one in enumerate(reading.strides) if None in one.leads] == (
            [stride] if missing else []
        )


def test_many_missing_landings_give_no_wrong_name() -> None:
    rng = np.random.default_rng(11)
    named = 0
    for name in sorted(GOLDEN) * 12:
        reading = read(without(contacts(GOLDEN[name], 6), rng, 0.35))
        if reading.gait.name != gait.UNCLEAR:
            named += 1
            assert reading.gait.name in {GOLDEN[name].gait} | BROADER.get(GOLDEN[name].gait, set())
        for one in reading.strides:
            for seen, true in zip(one.leads, GOLDEN[name].leads, strict=True):
                assert seen in (None, true)
    assert named > 100


@pytest.mark.parametrize("name", GOLDEN)
def test_without_lifts_the_order_still_tells(name: str) -> None:
    """A trot, a pace and all gaits with couplets; of the others it is told which ones are possible.

    Broad words are used where they hold: a walking trot is a trot too.
    """
    film = blank_lifts(contacts(GOLDEN[name], 4), np.random.default_rng(1))
    reading = read(film)
    own = GOLDEN[name].gait
    assert reading.cycle is not None
    assert reading.cycle.duty == {}
    assert reading.leads == GOLDEN[name].leads
    if own in ("trot", "walking trot"):
        assert reading.gait == gait.Gait("trot")
    elif own == "pace":
        assert reading.gait == gait.Gait("pace")
    elif name in COUPLED:
        assert reading.gait == gait.Gait(own)
    else:
        assert reading.gait.why == "between"
        assert own in reading.gait.between


@pytest.mark.parametrize("name", GOLDEN)
def test_some_lifts_are_enough(name: str) -> None:
    film = contacts(GOLDEN[name], 4)
    for foot in ("LH", "RF", "LF"):
        film[foot] = [(on, np.nan) for on, _ in film[foot]]
    reading = read(film)
    assert reading.gait == gait.Gait(GOLDEN[name].gait)
    assert reading.cycle is not None
    assert list(reading.cycle.duty) == ["RH"]
    assert not reading.cycle.whole
    assert [reading.cycle.counts[foot] for foot in gait.FEET] == [0, 0, 4, 0]


EXCHANGES = {
    "hinds": {"LH": "RH", "RH": "LH"},
    "fores": {"LF": "RF", "RF": "LF"},
    "fore and hind": {"LH": "LF", "LF": "LH", "RH": "RF", "RF": "RH"},
    "left side": {"LH": "LF", "LF": "LH"},
    "right side": {"RH": "RF", "RF": "RH"},
    "one diagonal": {"LH": "RF", "RF": "LH"},
}

# What an exchange makes of a gait where another gait has just these footfalls.
TWINS = {
    ("trot", "pair"): "pace",
    ("walking trot", "pair"): "walking pace",
    ("pace", "pair"): "trot",
    ("canter", "pair"): "disunited canter",
    ("disunited canter", "pair"): "canter",
    ("transverse gallop", "pair"): "rotary gallop",
    ("rotary gallop", "pair"): "transverse gallop",
    ("trot", "fore and hind"): "trot",
    ("walking trot", "fore and hind"): "walking trot",
    ("pace", "fore and hind"): "pace",
    ("pace", "left side"): "pace",
    ("pace", "right side"): "pace",
    ("trot", "one diagonal"): "trot",
    ("walking trot", "one diagonal"): "walking trot",
}


@pytest.mark.parametrize("exchange", EXCHANGES)
@pytest.mark.parametrize("name", GOLDEN)
def test_exchanged_feet_are_found_out_unless_they_make_another_gait(
    name: str, exchange: str
) -> None:
    """The footfalls of a trot with exchanged fore feet are those of a pace: nobody can tell."""
    reading = read(renamed(contacts(GOLDEN[name], 5), EXCHANGES[exchange]))
    kind = "pair" if exchange in ("hinds", "fores") else exchange
    twin = TWINS.get((GOLDEN[name].gait, kind))
    at, names = GOLDEN[name].on, EXCHANGES[exchange]
    if all(at[foot] == at[other] for foot, other in names.items()):
        twin = GOLDEN[name].gait
    if twin is not None:
        assert reading.gait == gait.Gait(twin)
        return
    assert reading.gait.name == gait.UNCLEAR
    assert reading.gait.why in {
        "diagonal-sequence",
        "hinds-together",
        "flight-after-hinds",
        "odd-order",
        "pairs-differ",
        "pairs-between",
    }


@pytest.mark.parametrize("name", GOLDEN)
@pytest.mark.parametrize("stride", range(6))
@pytest.mark.parametrize("exchange", ["hinds", "fores", "fore and hind", "left side"])
def test_feet_exchanged_in_one_stride_give_no_wrong_name(
    name: str, stride: int, exchange: str
) -> None:
    film = contacts(GOLDEN[name], 6)
    names = EXCHANGES[exchange]
    if max(GOLDEN[name].duty.values()) > 0.4:
        # The contacts would overlap, and be refused: their lifts are left out.
        film = blank_lifts(film, np.random.default_rng(1))
    mixed = {foot: list(pairs) for foot, pairs in film.items()}
    for foot, other in names.items():
        mixed[other][stride] = film[foot][stride]
    found = read({foot: sorted(pairs) for foot, pairs in mixed.items()}).gait
    own = GOLDEN[name].gait
    assert found.name in {own, gait.UNCLEAR} | BROADER.get(own, set())


def test_a_stride_time_is_not_told_by_landings_that_were_missed_or_exchanged() -> None:
    """Half of them were missed; or one was written to the other foot, half a stride away."""
    half = {"LH": [(0.0, 0.3), (2.0, 2.3), (3.0, 3.3)], "RH": [(0.5, 0.8), (2.5, 2.8)]}
    stride = gait.stride_time(gait.make_clip(half, FINE_S))
    assert stride is not None
    assert (stride.mean_s, stride.strides) == (pytest.approx(1.0), 5)
    film = contacts(GOLDEN["trot"], 5)
    film["LH"][2], film["RH"][2] = film["RH"][2], film["LH"][2]
    stride = gait.stride_time(gait.make_clip(film, FINE_S))
    assert stride is not None
    assert stride.mean_s == pytest.approx(1.0)


def test_feet_of_two_horses_disagree() -> None:
    film = contacts(GOLDEN["trot"], 4)
    film["RF"] = contacts(GOLDEN["trot"], 4, stride_s=0.8)["RF"]
    assert why_of(film) == "feet-disagree"


@pytest.mark.parametrize("name", sorted(COUPLED))
def test_strides_without_a_hind_foot_begin_where_they_would(name: str) -> None:
    """The first hind foot of a stride was not seen: the stride stands where the others stand."""
    film = contacts(GOLDEN[name], 5)
    first = min(gait.PAIRS["hind"], key=lambda foot: film[foot][0])
    del film[first][2]
    reading = read(film)
    assert [one.start_s for one in reading.strides] == pytest.approx([0, 1, 2, 3, 4])
    assert [one.time_s for one in reading.strides] == [
        pytest.approx(1),
        None,
        None,
        pytest.approx(1),
        None,
    ]
    assert [one.leads[1] for one in reading.strides] == [GOLDEN[name].leads[1]] * 5
