"""Noise of devices and amplifiers against what physics and handbooks say, and equilibrium without supply."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from pedalwright import circuits
from pedalwright.circuit.noise import OwnNoise
from pedalwright.circuit.primitives import Primitive
from pedalwright.devices.catalogue import expand_circuit
from pedalwright.notation import read_text
from pedalwright.solve.certificate import NotCertified
from pedalwright.solve.impedance import impedance
from pedalwright.solve.linear import linearise
from pedalwright.solve.noise import power
from pedalwright.solve.noise_sources import Cause, noise_sources
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system
from tests.solve.noise_bench import BOLTZMANN, CHARGE, ROOM_K, SILENT, FloatArray, noise_of
from tests.solve.parts import (
    GND,
    amplifier,
    bipolar,
    current,
    diode,
    field_effect,
    resistor,
    source,
)

TRANSISTORS_ONLY = ("doorbell-booster", "gatepost-buffer", "lesson-emitter-follower", "plumtree-fuzz")
PASSIVE = ("three-shelves-tone",)
HISS = {"U1": OwnNoise(name="U1", volts_per_rthz=20e-9, source="test")}


def resistance_of(parts: Sequence[Primitive], net: str, frequencies_hz: FloatArray) -> FloatArray:
    """The real part of the impedance at a net, by the ordinary, not the transposed, solution."""
    rest = operating_point(compile_system(parts), temperature_k=ROOM_K)
    return np.asarray(impedance(linearise(rest.system, rest), net, frequencies_hz).real)


@pytest.mark.parametrize("name", [*PASSIVE, *TRANSISTORS_ONLY])
@pytest.mark.parametrize("position", [0.0, 5.0, 10.0])
def test_a_pedal_without_its_supply_is_in_equilibrium(name: str, position: float) -> None:
    """Without supply every part, transistors and diodes too, is at one temperature: S = 4 k T Re Z."""
    circuit = read_text(circuits.text(name))
    circuit = circuit.with_settings({knob.ref: position for knob in circuit.knobs})
    circuit = replace(circuit, supplies=tuple(replace(one, volts=0.0) for one in circuit.supplies))
    assert circuit.output is not None
    parts, frequencies = expand_circuit(circuit), np.geomspace(20.0, 20e3, 13)
    for net in (circuit.output.net, *(net for net in circuit.nets if net.endswith((".b", ".c", ".g")))):
        found = noise_of(parts, net, frequencies)
        wanted = 4 * BOLTZMANN * ROOM_K * resistance_of(parts, net, frequencies)
        assert found.density == pytest.approx(wanted, rel=1e-5), net


@pytest.mark.parametrize("amperes", [1e-6, 1e-3])
def test_a_conducting_diode_has_shot_noise(amperes: float) -> None:
    """2 q I into the diode's own resistance n k T/(q I), the load far above it."""
    parts = [current("I", GND, "A", amperes), diode("D1", "A", GND), resistor("R1", "A", GND, 1e9)]
    found = noise_of(parts, "A", np.array([1e3]))
    ohms = 1.752 * BOLTZMANN * ROOM_K / (CHARGE * amperes)
    assert found.density[0] == pytest.approx(2 * CHARGE * amperes * ohms**2, rel=3e-3)


def test_a_transistor_has_the_shot_noise_of_both_currents() -> None:
    """Collector 2 q Ic, base 2 q Ic/beta (Gray and Meyer, ch. 11; from memory)."""
    parts = [
        source("VC", "C", 5.0),
        current("I", GND, "B", 5e-6),
        bipolar("Q1", "C", "B", GND, forward_beta=200.0),
    ]
    rest = operating_point(compile_system(parts), temperature_k=ROOM_K)
    densities = sorted(one.density for one in noise_sources(rest.system, rest, SILENT).each)[-2:]
    assert densities == pytest.approx([2 * CHARGE * 5e-6, 2 * CHARGE * 1e-3], rel=1e-4)


def test_a_saturated_channel_has_two_thirds_of_its_transconductance() -> None:
    """4 k T (2/3) gm (van der Ziel, 1962; from memory)."""
    parts = [source("VD", "D", 12.0), field_effect("Q1", "D", GND, GND)]
    rest = operating_point(compile_system(parts), temperature_k=ROOM_K)
    small = linearise(rest.system, rest)
    (channel,) = [one for one in noise_sources(rest.system, rest, SILENT).each if one.cause is Cause.CHANNEL]
    assert channel.density == pytest.approx(
        4 * BOLTZMANN * ROOM_K * 2 / 3 * small.parameter("Q1/gm"), rel=1e-6
    )


def test_a_channel_without_voltage_is_a_resistor() -> None:
    parts = [field_effect("Q1", "D", GND, GND, idss_a=3e-3, threshold_v=-3.0), resistor("R1", "D", GND, 1e6)]
    found = noise_of(parts, "D", np.array([1e3]))
    # gds = 2 Idss/|Vp| = 2 mS, and a megohm beside it.
    assert found.density[0] == pytest.approx(4 * BOLTZMANN * ROOM_K / (2e-3 + 1e-6), rel=1e-6)


@pytest.mark.parametrize("gain", [1.0, 2.0, 11.0, 101.0])
def test_an_amplifier_stage_raises_its_own_noise_by_its_noise_gain(gain: float) -> None:
    """|G| en with one pole at GBW/G (Franco, ch. 7), here with a finite amplifier and silent resistors."""
    parts: list[Primitive] = [
        source("VA", "VA", 9.0),
        source("VB", "VB", 4.5),
        amplifier("U1", "VB", "INV", "OUT", dc_gain=1e9, gain_bandwidth_hz=3e6),
        resistor("R2", "OUT", "INV", max(1.0, (gain - 1) * 100.0)),
        resistor("R1", "INV", "VB", 100.0 if gain > 1 else 1e9),
    ]
    frequencies = np.array([100.0, 3e3, 3e5])
    found = noise_of(parts, "OUT", frequencies, HISS)
    own = sum(share for one, share in zip(found.sources.each, found.shares, strict=True) if one.name == "U1")
    wanted = (20e-9 * gain) ** 2 / (1 + (frequencies * gain / 3e6) ** 2)
    assert own == pytest.approx(wanted, rel=1e-5)


def test_the_corner_doubles_the_power() -> None:
    hiss = {"U1": replace(HISS["U1"], volts_corner_hz=200.0)}
    parts = [
        source("VA", "VA", 9.0),
        source("VB", "VB", 4.5),
        amplifier("U1", "VB", "OUT", "OUT", gain_bandwidth_hz=None),
    ]
    found = noise_of(parts, "OUT", np.array([20.0, 200.0, 2e6]), hiss)
    assert found.density == pytest.approx(np.array([11.0, 2.0, 1.0001]) * 400e-18, rel=1e-4)


def test_what_is_not_certified_is_not_told(monkeypatch: pytest.MonkeyPatch) -> None:
    from pedalwright.solve import certificate

    monkeypatch.setattr(certificate, "RESIDUAL_BOUND", -1.0)
    with pytest.raises(NotCertified):
        noise_of([resistor("R1", "A", GND, 10e3)], "A", np.array([1e3]))


def test_an_even_number_of_frequencies_is_refused() -> None:
    with pytest.raises(ValueError, match="odd number"):
        power(np.geomspace(1.0, 10.0, 4), np.ones(4))


def test_an_unknown_net_is_refused() -> None:
    with pytest.raises(KeyError):
        noise_of([resistor("R1", "A", GND, 10e3)], "B", np.array([1e3]))
