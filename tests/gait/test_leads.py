"""Changes of lead: in one stride, hind or fore feet first, taken back, cut off, half seen."""

from collections.abc import Sequence

import pytest

from racecalc import gait
from tests.gait.schedules import FINE_S, GOLDEN, MIRRORED, Contacts, Schedule, filmed, renamed

LEFT, RIGHT = "left", "right"


def stride_on(hind: str, fore: str, kind: str = "gallop right") -> Schedule:
    """Return a stride with these leads: second to land in each pair."""
    base = GOLDEN[kind]
    on = dict(base.on)
    for pair, lead in (("hind", hind), ("fore", fore)):
        if lead == LEFT:
            one, other = gait.PAIRS[pair]
            on[one], on[other] = base.on[other], base.on[one]
    return Schedule(on, base.duty, "", 4, True, {}, leads=(hind, fore))


def ridden(
    leads: Sequence[tuple[str, str]], stride_s: float = 0.45, kind: str = "gallop right"
) -> Contacts:
    """Return a clip whose strides are on these leads, of hind and fore feet."""
    found: Contacts = {foot: [] for foot in gait.FEET}
    for number, (hind, fore) in enumerate(leads):
        one = stride_on(hind, fore, kind)
        for foot, at in one.on.items():
            on = stride_s * (number + at)
            found[foot].append((on, on + stride_s * one.duty[foot]))
    return found


def read(film: Contacts, step_s: float = FINE_S) -> gait.ClipReading:
    return gait.read_clip(gait.make_clip(film, step_s))


def changes(reading: gait.ClipReading) -> list[tuple[int, str, str, int, bool]]:
    return [(c.stride, c.lead, c.first, c.between, c.whole) for c in reading.changes]


L, R = (LEFT, LEFT), (RIGHT, RIGHT)
HIND_R, FORE_R = (RIGHT, LEFT), (LEFT, RIGHT)


def test_a_lead_that_is_kept_is_no_change() -> None:
    reading = read(ridden([L] * 6))
    assert reading.leads == L
    assert reading.changes == ()
    assert reading.disunited == ()


@pytest.mark.parametrize("kind", ["gallop right", "canter right"])
@pytest.mark.parametrize("at", range(1, 6))
def test_a_flying_change_in_one_stride(kind: str, at: int) -> None:
    reading = read(ridden([L] * at + [R] * (6 - at), kind=kind))
    assert changes(reading) == [(at + 1, RIGHT, "both", 0, True)]
    assert reading.disunited == ()
    assert reading.changes[0].at_s == pytest.approx(0.45 * at)
    assert reading.gait.name == GOLDEN[kind].gait
    assert len(reading.strides) == 6
    assert reading.stride is not None
    assert reading.stride.agree


@pytest.mark.parametrize("between", [1, 2, 3])
def test_hind_feet_first_with_disunited_strides_between(between: int) -> None:
    reading = read(ridden([L] * 3 + [HIND_R] * between + [R] * 3))
    assert changes(reading) == [(4, RIGHT, "hind", between, True)]
    assert reading.disunited == tuple(range(4, 4 + between))
    # Strides of both kinds are a gallop, and no more can be said of all of it.
    assert reading.gait == gait.Gait("gallop")


@pytest.mark.parametrize("between", [1, 2])
def test_fore_feet_first(between: int) -> None:
    reading = read(ridden([R] * 2 + [HIND_R] * between + [L] * 4))
    assert changes(reading) == [(3, LEFT, "fore", between, True)]
    assert reading.disunited == tuple(range(3, 3 + between))


def test_a_change_that_is_taken_back_is_none() -> None:
    reading = read(ridden([L, L, HIND_R, HIND_R, L, L]))
    assert reading.changes == ()
    assert reading.disunited == (3, 4)
    assert reading.leads == L
    assert reading.averaged == 4


def test_a_change_that_the_film_cuts_off_is_not_whole() -> None:
    reading = read(ridden([L] * 4 + [HIND_R] * 2))
    assert changes(reading) == [(5, RIGHT, "hind", 2, False)]


def test_a_change_after_one_that_was_taken_back_counts_from_its_own_beginning() -> None:
    reading = read(ridden([L, HIND_R, L, L, FORE_R, R, R]))
    assert changes(reading) == [(5, RIGHT, "fore", 1, True)]


def test_two_changes() -> None:
    reading = read(ridden([L, L, R, R, HIND_R, L, L]))
    assert changes(reading) == [(3, RIGHT, "both", 0, True), (5, LEFT, "fore", 1, True)]


def test_disunited_from_the_beginning_is_no_change() -> None:
    """It is not known on which lead the horse was before."""
    reading = read(ridden([HIND_R, HIND_R, R, R, R]))
    assert reading.changes == ()
    assert reading.disunited == (1, 2)


def test_disunited_throughout_is_no_change_even_if_it_is_exchanged() -> None:
    reading = read(ridden([HIND_R] * 3 + [FORE_R] * 3))
    assert reading.changes == ()
    assert reading.disunited == (1, 2, 3, 4, 5, 6)
    assert reading.gait == gait.Gait("rotary gallop")


@pytest.mark.parametrize("pair", gait.PAIRS)
def test_where_one_pair_was_seen_its_changes_are_told(pair: str) -> None:
    film = ridden([L] * 3 + [R] * 3)
    reading = read({foot: film[foot] for foot in gait.PAIRS[pair]})
    assert changes(reading) == [(4, RIGHT, pair, 0, False)]
    assert reading.disunited == ()
    assert reading.gait == gait.Gait(gait.UNCLEAR, "one-pair")


@pytest.mark.parametrize("foot", gait.FEET)
@pytest.mark.parametrize("missed", range(6))
def test_a_change_is_found_where_a_landing_was_not_noted(foot: str, missed: int) -> None:
    """In the stride that was not seen whole the change may have come: it is told by the next."""
    film = ridden([L] * 3 + [R] * 3)
    del film[foot][missed]
    (change,) = read(film).changes
    assert change.lead == RIGHT
    assert change.whole
    assert change.stride in ((4, 5) if missed == 3 else (4,))


@pytest.mark.parametrize("rate", [30, 60, 120, 240])
def test_a_change_is_found_at_any_frame_rate(rate: int) -> None:
    for begin_s in (0.0, 0.3 / rate, 0.7 / rate):
        film = filmed(ridden([L] * 4 + [R] * 4, stride_s=0.473), rate, begin_s)
        assert changes(read(film, 1 / rate)) == [(5, RIGHT, "both", 0, True)]


def test_a_mirror_exchanges_the_leads_of_changes() -> None:
    film = ridden([L, L, HIND_R, R, R, R])
    assert changes(read(renamed(film, MIRRORED))) == [(3, LEFT, "hind", 1, True)]


@pytest.mark.parametrize("pair", gait.PAIRS)
def test_feet_that_land_in_one_frame_tell_no_lead(pair: str) -> None:
    """Their order was not seen; the other pair tells its own."""
    film = ridden([R] * 4)
    one, other = gait.PAIRS[pair]
    film[other] = [(on, on + 0.1) for on, _ in film[one]]
    clip = gait.make_clip(film, 1 / 60)
    leads = gait.read_clip(clip).leads
    assert leads == ((None, RIGHT) if pair == "hind" else (RIGHT, None))
    assert all(couplet.lead is None for couplet in gait.couplets(clip, pair, 0.45))


def test_feet_a_frame_apart_tell_their_lead() -> None:
    """The second to land leads, whatever rounding has done to the seconds."""
    step = 1 / 30
    film = {
        "LF": [(n * 15 * step, n * 15 * step + 0.1) for n in range(4)],
        "RF": [((n * 15 + 1) * step, (n * 15 + 1) * step + 0.1) for n in range(4)],
    }
    found = gait.couplets(gait.make_clip(film, step), "fore", 0.5)
    assert [couplet.lead for couplet in found] == [RIGHT] * 4
    assert [couplet.second_s - couplet.first_s for couplet in found] == pytest.approx([step] * 4)


def test_the_mean_stride_is_of_the_lead_that_most_strides_had() -> None:
    reading = read(ridden([R] * 5 + [L] * 2))
    assert reading.leads == R
    assert reading.averaged == 5
    assert reading.cycle is not None
    on = {foot: reading.cycle.phase[foot] for foot in gait.FEET}
    assert on == pytest.approx(GOLDEN["gallop right"].on)


def test_strides_of_which_a_foot_was_missed_do_not_outvote_whole_ones() -> None:
    """Most strides lack a fore foot; the mean has all four feet all the same."""
    film = ridden([R] * 6)
    del film["RF"][2:]
    reading = read(film)
    assert reading.leads == R
    assert reading.cycle is not None
    assert reading.cycle.whole
    assert reading.averaged == 6


def test_a_trot_has_no_leads() -> None:
    film = filmed(ridden([L, L]), 60)
    trot = {foot: [(n / 2 * 1.0, n / 2 + 0.2) for n in range(3)] for foot in film}
    for foot in ("RH", "LF"):
        trot[foot] = [(on + 0.25, off + 0.25) for on, off in trot[foot]]
    reading = read(trot)
    assert reading.gait == gait.Gait("trot")
    assert (reading.leads, reading.changes, reading.disunited) == ((None, None), (), ())
