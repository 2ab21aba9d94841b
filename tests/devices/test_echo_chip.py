"""The echo chip's expansion against its data sheet (V1.6, February 2010) and published measurements."""

import pytest

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive, Resistance
from pedalwright.devices.kinds.echo_chip import DELAY_TABLE, FIGURES
from pedalwright.solve.rest import OperatingPoint
from tests.devices.bench import amperes_into, expand, part, rest, volts

NETS = {str(number): f"P{number}" for number in range(1, 17)} | {"3": "gnd", "4": "gnd"}


def chip(**nets: str) -> Part:
    return part("echo-chip", "U1", pins=NETS | nets)


def resistor(name: str, a: str, b: str, ohms: float) -> Resistance:
    return Resistance(owner=name, name=name, a=a, b=b, ohms=ohms)


def at_rest(*around: Primitive, time_ohms: float = 1e4, supply_v: float = 5.0) -> OperatingPoint:
    """The chip with its filters closed by 10 kohm and a resistor on pin 6."""
    loops = (resistor("R1", "P16", "P15", 10e3), resistor("R2", "P13", "P14", 10e3))
    timing = resistor("R3", "P6", "gnd", time_ohms)
    return rest([*expand(chip()), volts("P1", supply_v), *loops, timing, *around])


def test_pins_read_as_on_a_working_unit() -> None:
    # Published set of pin readings, kit maker's forum, 2019; 4.97 V on pin 1.
    found = at_rest(supply_v=4.97, time_ohms=50e3)
    for pin in (2, 9, 10, 11, 12, 13, 14, 15, 16):
        assert found.volts(f"P{pin}") == pytest.approx(2.48, abs=0.01)
    assert found.volts("P7") == pytest.approx(0.92, abs=0.01)
    assert found.volts("P8") == pytest.approx(0.93, abs=0.02)


def test_it_draws_its_typical_current() -> None:
    # Data sheet: 15 mA typical at 5 V.
    unloaded = rest([*expand(part("echo-chip", "U1", pins={"1": "P1"})), volts("P1", 5.0)])
    assert -unloaded.amperes("source P1") == pytest.approx(15e-3, rel=0.02)


@pytest.mark.parametrize(("time_ohms", "pin_v"), [(2e3, 1.09), (10e3, 1.99), (27.6e3, 2.29), (50e3, 2.38)])
def test_time_pin_is_half_the_supply_behind_its_resistance(time_ohms: float, pin_v: float) -> None:
    # Computed from the published delay fit (Wiltshire 2015): 2.5 V behind 29.70/11.46 kohm.
    assert at_rest(time_ohms=time_ohms).volts("P6") == pytest.approx(pin_v, abs=0.005)


def test_current_out_of_the_time_pin_gives_the_makers_delays() -> None:
    # Data sheet table 1, all 28 rows; the fit is good to 5.1 % (computed).
    for time_ohms, _, delay_s, _ in DELAY_TABLE:
        current_a = at_rest(time_ohms=time_ohms).amperes("R3")
        half_supply_times_slope = 2.5 * FIGURES["delay_s_per_ohm"].value
        assert half_supply_times_slope / current_a == pytest.approx(delay_s, rel=0.055)


def test_reference_is_soft() -> None:
    # Published measurement: about 5.5 kohm at pin 2, so 100 uA moves it by 0.55 V.
    moved = at_rest(amperes_into("P2", 100e-6)).volts("P2") - at_rest().volts("P2")
    assert moved == pytest.approx(0.55, abs=0.005)


def test_filters_swing_as_far_as_the_sheet_says() -> None:
    # Data sheet: 1.25 V rms typical at the limit, 1.77 V either side of half the supply.
    up = at_rest(amperes_into("P16", -1e-3)).volts("P15")
    down = at_rest(amperes_into("P16", 1e-3)).volts("P15")
    assert up == pytest.approx(2.5 + 1.77, abs=0.01)
    assert down == pytest.approx(2.5 - 1.77, abs=0.01)


def test_delay_table_keeps_the_makers_clock_and_delay_together() -> None:
    # 683.2 kilocycles per delay, within 2 % on every row (computed from the table).
    for _, clock_hz, delay_s, _ in DELAY_TABLE:
        assert clock_hz * delay_s == pytest.approx(684.5e3, rel=0.02)
