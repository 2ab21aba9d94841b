"""Every circuit rests where its builder means it to.

The bounds are common practice, no source, unless one is named.
"""

import pytest

from pedalwright import circuits
from pedalwright.circuit.circuit import Circuit
from pedalwright.devices.catalogue import expand_circuit
from pedalwright.notation import read_text
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system
from pedalwright.units.values import Quantity, ValueMistake, parse_value

from .samples import Sample

GERMANIUM = ("AC128", "AC127", "2N404", "2N1305", "2N1304")
RAILED_ON_PURPOSE = {("rumble-filter", "U1c")}
"""comparators: their output rests at a rail"""


def test_the_rest_point_is_certified(sample: Sample) -> None:
    assert sample.rest.certificate.ok, sample.rest.certificate.says()


def test_amplifiers_rest_near_the_middle_of_their_supply(sample: Sample) -> None:
    for unit in sample.units:
        if unit.role != "opamp" or (sample.name, unit.ref) in RAILED_ON_PURPOSE:
            continue
        high, low = (sample.rest.volts(unit.part.net(pin)) for pin in ("v+", "v-"))
        place = (sample.rest.volts(unit.output) - low) / (high - low)
        assert 0.45 <= place <= 0.55, unit.ref


def test_amplifiers_with_feedback_hold_their_inputs_together(sample: Sample) -> None:
    for unit in sample.units:
        if (sample.name, unit.ref) not in RAILED_ON_PURPOSE:
            apart = sample.rest.volts(unit.inverting) - sample.rest.volts(unit.non_inverting)
            assert abs(apart) < 1e-3, unit.ref


def test_echo_chips_have_their_five_volts(sample: Sample) -> None:
    """Limits of the maker's data sheet, V1.6 (February 2010): 4.5 to 5.5 V; half of it on pin 2."""
    for part in sample.circuit.parts:
        if part.kind != "echo-chip":
            continue
        supply = sample.rest.volts(part.net("1"))
        assert 4.75 <= supply <= 5.25
        for pin in ("2", "9", "10", "11", "12", "13", "14", "15", "16"):
            assert sample.rest.volts(part.net(pin)) == pytest.approx(supply / 2, rel=0.02), (
                f"{part.ref}.{pin}"
            )


def test_bipolar_amplifiers_are_in_their_active_range(sample: Sample) -> None:
    amplifying = ("common-emitter-amplifier", "emitter-follower", "phase-shift-oscillator")
    for kind in amplifying:
        for part in sample.with_role(kind, "transistor"):
            if sample.family(part) != "bipolar" or (sample.name, part.ref) in RESTING_OFF:
                continue
            sign = -1 if part.kind == "pnp" else 1
            base, collector, emitter = (sign * sample.rest.volts(part.net(pin)) for pin in "bce")
            assert collector - emitter > 0.8, part.ref
            low, high = (0.05, 0.35) if part.type in GERMANIUM else (0.45, 0.75)
            assert low < base - emitter < high, part.ref


RESTING_OFF = {("compressor", "Q1")}
"""a lamp driver that waits for a signal"""


def test_field_effect_amplifiers_have_room_to_swing(sample: Sample) -> None:
    for kind in ("common-source-amplifier", "source-follower"):
        for part in sample.with_role(kind, "transistor"):
            drain, source = (sample.rest.volts(part.net(pin)) for pin in "ds")
            assert drain - source > 1.5, part.ref


def test_electrolytics_stand_the_right_way_round(sample: Sample) -> None:
    for part in sample.circuit.parts:
        if "electrolytic" not in part.notes:
            continue
        plus, minus = (sample.rest.volts(net) for net in part.nets)
        assert plus - minus > -0.1, part.ref
        assert plus - minus <= _rated_v(part.notes) / 1.2, part.ref


def _rated_v(notes: tuple[str, ...]) -> float:
    for note in notes:
        try:
            return parse_value(note, Quantity.VOLTAGE)
        except ValueMistake:
            continue
    raise AssertionError(f"no rated voltage among {notes}")


@pytest.mark.parametrize("name", ["lantern-echo", "grainloft-reverb"])
def test_the_time_pin_stays_above_the_starting_limit(name: str) -> None:
    """No setting takes more than the current of 1 kohm at pin 6: the maker's note 5 (data sheet V1.6)."""
    knob = {"lantern-echo": "TIME", "grainloft-reverb": "SIZE"}[name]
    for setting in (0.0, 10.0):
        circuit = read_text(circuits.text(name)).with_settings({knob: setting})
        for part in circuit.parts:
            if part.kind == "echo-chip":
                assert _ohms_at_time_pin(circuit, part.net("6")) >= 1000.0


def _ohms_at_time_pin(circuit: Circuit, net: str) -> float:
    rest = operating_point(compile_system(expand_circuit(circuit)))
    on_pin = [part for part in circuit.parts if part.kind == "resistor" and net in part.nets]
    current = sum(abs(rest.amperes(part.ref)) for part in on_pin)
    return rest.volts(net) / current


@pytest.mark.parametrize(
    ("name", "net", "low_v", "high_v"),
    [
        ("doorbell-booster", "Q1.c", 3.6, 5.4),
        ("plumtree-fuzz", "Q1.c", 3.0, 6.0),
        ("plumtree-fuzz", "Q2.c", 4.0, 6.0),
        ("gatepost-buffer", "Q1.s", 4.9, 7.0),
        ("lesson-emitter-follower", "Q1.e", 3.5, 5.0),
        ("millwheel-tremolo", "Q1.c", 2.5, 5.5),
        ("ferryman-phaser", "GATES", 0.5, 2.5),
        ("duckpond-chorus", "U2.6", 1.0, 2.0),
    ],
)
def test_points_a_builder_measures_first(name: str, net: str, low_v: float, high_v: float) -> None:
    circuit = read_text(circuits.text(name))
    ref, _, pin = net.partition(".")
    on = circuit.by_ref[ref].net(pin) if pin else net
    assert low_v <= operating_point(compile_system(expand_circuit(circuit))).volts(on) <= high_v
