"""One value in the other units of its kind."""

import pytest

from racecalc.errors import NotationError
from racecalc.notation import KINDS, conversions


def test_height():
    found = conversions("16.2 3/4", "height")
    assert found == {
        "metres": 1.69545,
        "centimetres": 169.545,
        "inches": 66.75,
        "hands": "16.2 3/4",
    }


def test_distance():
    found = conversions("1 mi 70 yd", "distance")
    assert found["text"] == "1 mi 70 yd"
    assert found["metres"] == 1673.352
    assert found["furlongs"] == pytest.approx(1830 / 220, rel=1e-12)
    assert found["miles"] == pytest.approx(1830 / 1760, rel=1e-12)


def test_clock():
    assert conversions("1:13.2", "clock") == {
        "seconds": 73.4,
        "fifths": "1:13 2/5",
        "hundredths": "1:13.40",
    }
    assert conversions("1:13.2", "clock", "hundredths") == {
        "seconds": 73.2,
        "fifths": "1:13 1/5",
        "hundredths": "1:13.20",
    }


def test_weight():
    assert conversions("100 lb", "weight") == {"kilograms": 45.359237, "pounds": 100.0}


def test_speed():
    found = conversions("37.5 mph", "speed")
    assert found == {
        "metres_per_second": 16.764,
        "miles_per_hour": 37.5,
        "kilometres_per_hour": 60.3504,
        "seconds_per_furlong": 12.0,
    }


def test_wind_length_rain_temperature_and_pole():
    assert conversions("calm", "wind")["metres_per_second"] == 0
    assert conversions("1 in", "length") == {"metres": 0.0254, "millimetres": 25.4, "inches": 1.0}
    assert conversions("trace", "rain")["millimetres"] == 0
    assert conversions("68 F", "temperature") == {"celsius": 20.0, "fahrenheit": 68.0}
    assert conversions("+1/8", "pole") == {
        "metres": -201.168,
        "furlongs": -1.0,
        "miles": -0.125,
        "text": "+1/8",
    }


EXAMPLES = {
    "height": "16.2",
    "distance": "6 f",
    "clock": "1:13",
    "weight": "1,126 lb",
    "speed": "35 mph",
    "wind": "5 mph",
    "length": "3 in",
    "rain": "3 mm",
    "temperature": "68 F",
    "pole": "5/8",
}


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_a_column_can_be_converted(kind):
    assert len(conversions(EXAMPLES[kind], kind)) >= 2


def test_unknown_kind_and_unreadable_text():
    with pytest.raises(NotationError, match='kind is "girth"; use one of clock, distance'):
        conversions("16.2", "girth")
    with pytest.raises(NotationError, match="run from 0 to 3"):
        conversions("16.5", "height")
