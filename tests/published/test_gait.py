"""Gaits, strides, duty factors and forces against published values.

Where printings of one study, or two studies, disagree, neither is compared with the other: stances
of Drevemo's trot beyond the fore feet, Witte's fits, the leads that horses prefer.
"""

import numpy as np
import pytest

from racecalc import gait
from tests.gait.schedules import GOLDEN, Schedule, clip_of, contacts
from tests.published.compare import assert_published, published_table

PRODUCT, FIT = 0.01, 0.03  # one percent for products of printed numbers, three for fits
GRAVITY_M_S2 = 9.81

STRIDES = published_table("stride_products.csv")
DUTIES = published_table("stance_and_stride.csv")
FORCES = published_table("gallop_peak_force.csv")
FOOTFALLS = published_table("footfalls.csv")


def assert_products(source: str) -> None:
    """Fail unless speed by the time of a stride is the printed length, to one percent."""
    rows = [row for row in STRIDES if row["source"] == source]
    assert rows
    for row in rows:
        stride_s = float(row["stride_s"] or 1 / float(row["rate_hz"]))
        length = gait.stride_length_m(float(row["speed_m_s"]), stride_s)
        assert float(length) == pytest.approx(float(row["length_m"]), rel=PRODUCT), row["gait"]


@pytest.mark.published("drevemo_1980", "a trot at 12 m/s: 5.45 m in 455 ms")
def test_stride_length__drevemo_1980() -> None:
    assert_products("drevemo_1980")


@pytest.mark.published("wickler_2002", "a canter at 5 m/s: 2.68 m, 111 strides a minute")
def test_stride_length__wickler_2002() -> None:
    assert_products("wickler_2002")


@pytest.mark.published("deuel_lawrence_gallop", "a gallop at 13.1 m/s: 5.06 m, 2.60 a second")
def test_stride_length__deuel_lawrence() -> None:
    assert_products("deuel_lawrence_gallop")


@pytest.mark.published("deuel_park_changes", "canters with and without a change of lead")
def test_stride_length__deuel_park() -> None:
    assert_products("deuel_park_changes")


@pytest.mark.published("parsons_2008", "2.01 strides a second at 9.5 m/s, 2.10 at 12.5 m/s")
def test_stride_length__parsons_2008() -> None:
    found = gait.stride_length_m([9.5, 12.5], 1 / np.array([2.01, 2.10]))
    for length, printed in zip(found, ("4.726", "5.952"), strict=True):
        assert_published(float(length), printed)


def duty_of(row: dict[str, str]) -> float:
    """Return the duty factor that a clip with that stance and stride has."""
    stance, stride = float(row["stance_ms"]) / 1000, float(row["stride_ms"]) / 1000
    landings = [(n * stride, n * stride + stance) for n in range(3)]
    foot = "LF" if row["pair"] == "fore" else "LH"
    cycle = gait.read_clip(gait.make_clip({foot: landings}, 1e-6)).cycle
    assert cycle is not None
    return cycle.duty[foot]


@pytest.mark.published("witte_2006", "stance and protraction at 9 and at 17 m/s")
def test_duty__witte_2006() -> None:
    for row in DUTIES:
        if row["source"] == "witte_2006":
            assert_published(duty_of(row), row["duty"])


@pytest.mark.published("drevemo_1980", "fore stance of 110 ms in a stride of 455 ms")
def test_duty__drevemo_1980() -> None:
    (row,) = [row for row in DUTIES if row["source"] == "drevemo_1980"]
    assert_published(duty_of(row), row["duty"])


@pytest.mark.published("drevemo_1980", "strides of one horse differ by about 2 %")
def test_a_stride_is_printed_to_what_strides_differ_by__drevemo_1980() -> None:
    assert gait.LIMITS["stride"] == 0.02


@pytest.mark.published("alexander_1979", "pi p / (4 duty)")
@pytest.mark.parametrize("row", published_table("peak_force.csv"), ids=lambda r: str(r["duty"]))
def test_peak_force__alexander_1979(row: dict[str, str]) -> None:
    found = gait.peak_force(float(row["duty"]), float(row["pair_share"]))
    assert_published(float(found), row["weights"])


def force_n_kg(row: dict[str, str]) -> float:
    share = gait.FORE_SHARE if row["pair"] == "fore" else 1 - gait.FORE_SHARE
    return float(gait.peak_force(float(row["duty"]), share)) * GRAVITY_M_S2


@pytest.mark.published("witte_2006", "24.7 (22.6-26.0) and 15.3 (13.7-16.2) N/kg at 17 m/s")
def test_peak_force__witte_2006() -> None:
    rows = [row for row in FORCES if row["source"] == "witte_2006"]
    assert len(rows) == 2
    for row in rows:
        assert float(row["low_n_kg"]) < force_n_kg(row) < float(row["high_n_kg"])


@pytest.mark.published("parsons_2008", "fits of stance and of force at 9.5 and 12.5 m/s, 57:43")
def test_peak_force__parsons_2008() -> None:
    rows = [row for row in FORCES if row["source"] == "parsons_2008"]
    assert len(rows) == 4
    for row in rows:
        assert force_n_kg(row) == pytest.approx(float(row["printed_n_kg"]), rel=FIT)


@pytest.mark.published("self_davies_2019", "13.6 and 14.0, 12.3 and 13.6 N/kg on a force plate")
def test_forces_were_nearer_alike_on_a_plate__self_davies_2019() -> None:
    """A single share of the fore feet does not hold everywhere: it is to be told, and set."""
    fore, hind = (float(r["printed_n_kg"]) for r in FORCES if r["source"] == "self_davies_2019")
    assert 0.5 < fore / (fore + hind) < gait.FORE_SHARE


@pytest.mark.published("witte_2004", "13 % at a walk, 3 % at a trot, 19 % and 16 % at a canter")
def test_force_error__witte_2004() -> None:
    worst: dict[str, float] = {}
    for row in published_table("force_error.csv"):
        name = row["gait"].split()[0]
        worst[name] = max(worst.get(name, 0.0), float(row["percent"]) / 100)
    assert worst == gait.FORCE_ERROR


@pytest.mark.published("griffin_2004", "from walk to trot near 0.35")
@pytest.mark.parametrize("row", published_table("froude.csv"), ids=lambda r: str(r["leg_m"]))
def test_froude__griffin_2004(row: dict[str, str]) -> None:
    speed, leg, number = (float(row[key]) for key in ("speed_m_s", "leg_m", "froude"))
    assert_published(float(gait.froude_number(speed, leg)), row["froude"])
    # Half a digit of a number near 0.37 is 0.07 % of the speed.
    assert float(gait.froude_speed_m_s(number, leg)) == pytest.approx(speed, rel=1e-3)
    assert number == pytest.approx(0.35, abs=0.04)


@pytest.mark.published("bullimore_2006", "stride over leg at Froude numbers 0.5, 0.75 and 1")
@pytest.mark.parametrize("row", published_table("trot_strides.csv"), ids=lambda r: str(r["froude"]))
def test_trot_strides__bullimore_2006(row: dict[str, str]) -> None:
    froude, mass, leg = (float(row[key]) for key in ("froude", "mass_kg", "leg_m"))
    assert_published(float(gait.froude_speed_m_s(froude, leg)), row["speed_m_s"])
    assert_published(gait.trot_stride_length_m(froude, leg, mass), row["length_m"])


@pytest.mark.published("starke_2015", "mean difference -11 to +10 ms, 95 % within 26 ms")
def test_errors_hold_what_marks_on_hooves_were_off__starke_2015() -> None:
    """At 60 frames a second half a step, which is kept for the person, is less than was found."""
    kept_s = gait.stance_error_s(1 / 60, 1e9) / 1.96 * np.sqrt(3)
    assert kept_s == pytest.approx(1 / 120)
    assert kept_s < 0.011
    assert gait.stance_error_s(1 / 60) < 0.026


@pytest.mark.published("usherwood_2018", "three feet down at every moment")
def test_support__usherwood_2018() -> None:
    cycle = gait.read_clip(clip_of(GOLDEN["walk ref"])).cycle
    assert cycle is not None
    assert gait.support_shares(cycle) == pytest.approx((0, 0, 0, 1, 0), abs=1e-9)


@pytest.mark.published("walking_mammals_2016", "0.62 M^0.02; stance 0.38 M^0.17, swing 0.25 M^0.11")
def test_walk_of_500_kg__walking_mammals_2016() -> None:
    """Two fits of one study agree to 3 %, and a horse that goes by them walks."""
    mass = 500.0
    stance, swing = 0.38 * mass**0.17, 0.25 * mass**0.11
    assert_published(stance, "1.093")
    assert_published(swing, "0.495")
    duty = stance / (stance + swing)
    walk = Schedule(GOLDEN["walk"].on, dict.fromkeys(gait.FEET, duty), "walk", 4, True, {})
    reading = gait.read_clip(clip_of(walk, stride_s=stance + swing))
    assert reading.stride is not None
    assert reading.cycle is not None
    assert 1 / reading.stride.mean_s == pytest.approx(1.62 * mass**-0.15, rel=FIT)
    assert reading.cycle.duty["LH"] == pytest.approx(0.62 * mass**0.02, rel=FIT)
    assert reading.gait.name == "walk"
    assert 0.62 * mass**0.02 > gait.WALK_FROM


def clip_by_order(order: str) -> gait.Clip:
    """Return four strides with these beats, evenly spaced, or with a flight at their end."""
    groups = [group.split("+") for group in order.split()]
    even = len(groups) == 2 or order == "LH LF RH RF"
    step = 1 / len(groups) if even else 0.18
    duty = 0.65 if order == "LH LF RH RF" else 0.25
    on = {foot: n * step for n, group in enumerate(groups) for foot in group}
    schedule = Schedule(on, dict.fromkeys(on, duty), "", 0, True, {})
    return gait.make_clip(contacts(schedule, 4, 0.5), 1e-6)


def assert_footfalls(source: str) -> None:
    rows = [row for row in FOOTFALLS if row["source"] == source]
    assert rows
    for row in rows:
        reading = gait.read_clip(clip_by_order(row["order"]))
        assert reading.gait == gait.Gait(row["gait"])
        assert reading.leads == (row["hind"] or None, row["fore"] or None)
        assert reading.cycle is not None
        heard = gait.beats(reading.cycle, 1e-6, 0.5)
        assert heard is not None
        assert heard[0] == int(row["beats"])


@pytest.mark.published("minnesota_gaits", "footfalls and beats of walk, trot, pace and canter")
def test_footfalls__minnesota() -> None:
    assert_footfalls("minnesota_gaits")


@pytest.mark.published("williams_norris_2007", "on the right lead the left hind foot lands first")
def test_leads_of_a_gallop__williams_norris_2007() -> None:
    assert_footfalls("williams_norris_2007")


@pytest.mark.published("biancardi_2012", "transverse: leads of one side; rotary: of two")
def test_rotary_gallop__biancardi_2012() -> None:
    assert_footfalls("biancardi_2012")


@pytest.mark.published("bertram_gutmann_2009", "landing hind and take-off fore contralateral")
@pytest.mark.parametrize("order", [row["order"] for row in FOOTFALLS if "gallop" in row["gait"]])
def test_landing_and_take_off__bertram_gutmann_2009(order: str) -> None:
    reading = gait.read_clip(clip_by_order(order))
    first_hind, last_fore = order.split()[0], order.split()[-1]
    across = first_hind[0] != last_fore[0]
    assert reading.gait.name == ("transverse gallop" if across else "rotary gallop")


@pytest.mark.published("schmitt_2006", "trot near 50 %, pace near 0 and 100 %, deviations to 10 %")
def test_trot_and_pace__schmitt_2006() -> None:
    assert gait.symmetrical_name(0.50, 0.4) == "trot"
    assert gait.symmetrical_name(0.0, 0.4) == gait.symmetrical_name(0.999, 0.4) == "pace"
    assert pytest.approx(0.50 - 0.10) == gait.NEAR_HALF
    assert gait.RUN_BELOW == 0.50


def suspended_by_rule(lag: float, duty: float) -> float:
    """Return the share of a stride in flight of an even gait, by arithmetic on the lag alone."""
    if duty >= 0.5:
        return 0.0
    near = lag % 0.5
    shared = max(0.0, duty - near) + max(0.0, near + duty - 0.5)
    return 2 * max(0.0, 0.5 - min(0.5, 2 * duty - shared))


@pytest.mark.published("schmitt_2006", "the line diagonality = 100 - duty factor, and its mirror")
def test_no_suspension__schmitt_2006() -> None:
    """Within the triangles between the lines of the diagram no gait has a flight, and outside all.

    What the rule says and what is counted foot by foot agree over the whole plane.
    """
    for lag in np.arange(0, 20) / 20:
        for duty in np.arange(4, 16) / 20:
            on = {"LH": 0.0, "LF": lag, "RH": 0.5, "RF": (0.5 + lag) % 1}
            cycle = gait.Cycle(on, dict.fromkeys(on, duty), dict.fromkeys(on, 1))
            flight = gait.support_shares(cycle)[0]
            assert flight == pytest.approx(suspended_by_rule(lag, duty), abs=1e-9)
            near = lag % 0.5
            none = duty >= 0.5 or 0.5 - duty - 1e-9 <= near <= duty + 1e-9
            assert (flight < 1e-9) == none
            assert sum(end - begin for begin, end in gait.flights(cycle)) == pytest.approx(flight)


@pytest.mark.published("hildebrand_regions", "remembered: regions of an eighth around sixteenths")
def test_regions__remembered() -> None:
    """Each region of the lag is an eighth wide, but the one that no horse uses."""
    edges = np.array(gait.LAG_EDGES)
    assert np.diff(edges[:5]) == pytest.approx(0.125)
    assert 1 - edges[-1] == pytest.approx(edges[0])
    names = [gait.symmetrical_name(lag, 0.45) for lag in (0, 0.125, 0.25, 0.375, 0.5)]
    assert names == ["pace", "stepping pace", "single-foot", "fox trot", "trot"]
    assert gait.symmetrical_name(0.75, 0.65) not in gait.GAITS
