"""Current sensors by kind."""

import pytest

from hutwright.catalogue.sensors import SENSORS, SensorType
from hutwright.laws.hall_sensor import current_per_count, hall_output


@pytest.mark.published("data sheet of a 5 V open-loop Hall current sensor, sensitivity at 25 degC")
@pytest.mark.parametrize(
    ("name", "bounds"), [("Hall 5 A", (0.180, 0.185, 0.190)), ("Hall 20 A", (0.096, 0.1, 0.104))]
)
def test_hall_sensors_have_the_printed_sensitivity(name, bounds):
    spread = SENSORS[name].sensitivity
    assert (spread.low, spread.nominal, spread.high) == bounds


@pytest.mark.published("data sheet of a 5 V open-loop Hall current sensor, noise peak to peak, 2 kHz")
@pytest.mark.parametrize(("name", "milliamperes"), [("Hall 5 A", 114), ("Hall 20 A", 110)])
def test_their_noise_is_worth_the_printed_current(name, milliamperes):
    kind = SENSORS[name]
    assert 1e3 * kind.noise / kind.sensitivity.nominal == pytest.approx(milliamperes, abs=0.5)


@pytest.mark.recalled("7 mV and 66 mV/A of the 30 A type, beside the printed noise of its two sisters")
def test_the_noise_of_the_largest_says_that_it_is_from_memory():
    kind = SENSORS["Hall 30 A"]
    assert 1e3 * kind.noise / kind.sensitivity.nominal == pytest.approx(106, abs=0.5)
    assert not kind.noise_source.standing.firm
    assert not kind.spread_source.standing.firm


def test_the_shunt_is_ohms_law_times_its_gain():
    kind = SENSORS["shunt 10 mohm, gain 20"]
    assert kind.sensitivity.nominal == pytest.approx(kind.conductor_resistance * 20.0)
    assert kind.type is SensorType.SHUNT


@pytest.mark.parametrize("kind", SENSORS.values(), ids=list(SENSORS))
def test_its_range_fits_between_the_rails(kind):
    assert SENSORS[kind.name] is kind
    output = hall_output(kind.range, kind.supply, kind.sensitivity.nominal, kind.zero_ratio)
    assert output == pytest.approx(kind.supply * kind.zero_ratio + kind.sensitivity.nominal * kind.range)
    assert output <= kind.supply
    assert current_per_count(kind.supply, 10, kind.sensitivity.low) < 0.08
