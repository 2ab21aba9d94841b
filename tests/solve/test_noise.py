"""Noise against what physics and handbooks say: kT/C, Nyquist's theorem, shot noise, amplifier stages."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from pedalwright import circuits
from pedalwright.circuit.noise import OwnNoise
from pedalwright.circuit.primitives import Capacitance, Inductance, Primitive, Resistance
from pedalwright.devices.catalogue import expand_circuit
from pedalwright.notation import read_text
from pedalwright.solve.certificate import NotCertified
from pedalwright.solve.impedance import impedance
from pedalwright.solve.linear import linearise
from pedalwright.solve.noise import OutputNoise, output_noise, power, reach
from pedalwright.solve.noise_sources import Cause, noise_sources
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system
from tests.solve.parts import (
    GND,
    amplifier,
    bipolar,
    capacitor,
    current,
    diode,
    field_effect,
    inductor,
    resistor,
    source,
)

BOLTZMANN, CHARGE = 1.380649e-23, 1.602176634e-19
"""SI 2019, exact"""
ROOM_K = 300.0
FloatArray = NDArray[np.float64]
Passive = Resistance | Capacitance | Inductance
SILENT: Mapping[str, OwnNoise] = {}


def noise_of(
    parts: Sequence[Primitive],
    net: str,
    frequencies_hz: FloatArray,
    own: Mapping[str, OwnNoise] = SILENT,
    temperature_k: float = ROOM_K,
) -> OutputNoise:
    rest = operating_point(compile_system(parts), temperature_k=temperature_k)
    small = linearise(rest.system, rest)
    return output_noise(small, noise_sources(rest.system, rest, own), net, frequencies_hz)


def resistance_of(parts: Sequence[Primitive], net: str, frequencies_hz: FloatArray) -> FloatArray:
    """The real part of the impedance at a net, by the ordinary, not the transposed, solution."""
    rest = operating_point(compile_system(parts), temperature_k=ROOM_K)
    return np.asarray(impedance(linearise(rest.system, rest), net, frequencies_hz).real)


def test_one_resistor_is_nyquists() -> None:
    # 10 kohm at 300 K: 12.8716 nV/rtHz, sqrt(4 k T R) with the exact constants.
    found = noise_of([resistor("R1", "A", GND, 10e3)], "A", np.array([1e3]))
    assert math.sqrt(found.density[0]) * 1e9 == pytest.approx(12.8716, abs=5e-5)


def test_two_resistors_side_by_side_are_one() -> None:
    parts = [resistor("R1", "A", GND, 10e3), resistor("R2", "A", GND, 30e3)]
    found = noise_of(parts, "A", np.array([1e3]))
    assert found.density[0] == pytest.approx(4 * BOLTZMANN * ROOM_K * 7.5e3, rel=1e-12)


@pytest.mark.parametrize("steps", [1, 2, 3, 5])
def test_every_capacitor_of_a_ladder_holds_kt_over_c(steps: int) -> None:
    """Equipartition: half k T in every capacitor, whatever resistors feed it."""
    farads = [1e-9 * 2.2**step for step in range(steps)]
    parts: list[Primitive] = []
    for step, value in enumerate(farads):
        before = GND if step == 0 else f"N{step - 1}"
        parts.append(resistor(f"R{step}", before, f"N{step}", 10e3 / (step + 1)))
        parts.append(capacitor(f"C{step}", f"N{step}", GND, value))
    # Twelve decades around corners of some kilohertz leave out less than a millionth at either end.
    frequencies = np.geomspace(1e-3, 1e11, 1401)
    for step, value in enumerate(farads):
        found = noise_of(parts, f"N{step}", frequencies)
        total = float(power(frequencies, found.density))
        assert total / (BOLTZMANN * ROOM_K / value) == pytest.approx(1.0, abs=1e-4)


def chance_network(seed: int) -> list[Passive]:
    """A passive network: a tree of parts that joins every net to ground, and as many cross links."""
    rng = np.random.default_rng(seed)
    nets = [GND, *(f"N{place}" for place in range(int(rng.integers(2, 7))))]
    parts: list[Passive] = []
    for place, net in enumerate(nets[1:], start=1):
        for far in (nets[int(rng.integers(place))], nets[int(rng.integers(len(nets)))]):
            if far != net:
                parts.append(chance_part(rng, f"P{len(parts)}", far, net))
        parts.append(resistor(f"R{place}", net, GND, 10 ** rng.uniform(3, 6)))
    return parts


def chance_part(rng: np.random.Generator, name: str, a: str, b: str) -> Passive:
    kind = int(rng.integers(3))
    if kind == 0:
        return resistor(name, a, b, 10 ** rng.uniform(2, 6))
    if kind == 1:
        return capacitor(name, a, b, 10 ** rng.uniform(-10, -6))
    return inductor(name, a, b, 10 ** rng.uniform(-3, 0.5))


def nodal_resistance(parts: Sequence[Passive], net: str, frequency_hz: float) -> float:
    """Re Z by NumPy alone: the admittance matrix written down and inverted."""
    nets = sorted({end for part in parts for end in (part.a, part.b)} - {GND})
    y = np.zeros((len(nets) + 1, len(nets) + 1), dtype=complex)
    s = 2j * math.pi * frequency_hz
    for part in parts:
        match part:
            case Resistance(ohms=ohms):
                siemens = 1 / ohms + 0j
            case Capacitance(farads=farads):
                siemens = s * farads
            case Inductance(henries=henries):
                siemens = 1 / (s * henries)
        one, two = (nets.index(end) if end != GND else -1 for end in (part.a, part.b))
        y[one, one] += siemens
        y[two, two] += siemens
        y[one, two] -= siemens
        y[two, one] -= siemens
    return float(np.linalg.inv(y[:-1, :-1])[nets.index(net), nets.index(net)].real)


@given(seed=st.integers(0, 10**6))
def test_a_passive_network_obeys_nyquists_theorem(seed: int) -> None:
    """S = 4 k T Re Z at any net of any network of resistors, capacitors and inductors (Nyquist, 1928)."""
    parts = chance_network(seed)
    frequencies = np.array([31.0, 440.0, 5e3])
    try:
        found = noise_of(parts, "N0", frequencies)
    except NotCertified:
        return
    wanted = [4 * BOLTZMANN * ROOM_K * nodal_resistance(parts, "N0", hz) for hz in frequencies]
    assert found.density == pytest.approx(wanted, rel=1e-6)


def test_hardly_any_chance_network_is_refused() -> None:
    refused = 0
    for seed in range(60):
        try:
            noise_of(chance_network(seed), "N0", np.array([440.0]))
        except NotCertified:
            refused += 1
    assert refused <= 3


TRANSISTORS_ONLY = ("doorbell-booster", "gatepost-buffer", "lesson-emitter-follower", "plumtree-fuzz")
PASSIVE = ("three-shelves-tone",)


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


HISS = {"U1": OwnNoise(name="U1", volts_per_rthz=20e-9, source="test")}


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


@given(seed=st.integers(0, 10**6), factor=st.floats(0.1, 10.0))
def test_all_impedances_scaled_scale_the_power(seed: int, factor: float) -> None:
    parts = chance_network(seed)
    scaled = [
        replace(part, ohms=part.ohms * factor)
        if isinstance(part, Resistance)
        else replace(part, farads=part.farads / factor)
        if isinstance(part, Capacitance)
        else replace(part, henries=part.henries * factor)
        for part in parts
    ]
    frequencies = np.array([100.0, 3e3])
    try:
        before, after = (noise_of(one, "N0", frequencies).density for one in (parts, scaled))
    except NotCertified:
        return
    assert after == pytest.approx(factor * before, rel=1e-5)


@given(seed=st.integers(0, 10**6))
def test_the_order_of_parts_does_not_matter(seed: int) -> None:
    parts = chance_network(seed)
    shuffled = [parts[place] for place in np.random.default_rng(seed).permutation(len(parts))]
    frequencies = np.array([100.0, 3e3])
    try:
        before, after = (noise_of(one, "N0", frequencies).density for one in (parts, shuffled))
    except NotCertified:
        return
    assert after == pytest.approx(before, rel=1e-6)


def test_the_power_goes_with_the_temperature() -> None:
    parts, frequencies = chance_network(7), np.array([100.0, 3e3])
    cold, warm = (
        noise_of(parts, "N0", frequencies, temperature_k=kelvin).density for kelvin in (250.0, 350.0)
    )
    assert warm / cold == pytest.approx(np.full(2, 1.4), rel=1e-9)


@pytest.mark.parametrize(("q", "natural_hz"), [(0.5, 1e3), (2**-0.5, 1e3), (5.0, 440.0)])
def test_the_noise_bandwidth_of_two_poles(q: float, natural_hz: float) -> None:
    """(pi/2) Q f0 of a low-pass; for Q = 0.7071 that is 1.110721 f0, a Butterworth of order two (from
    memory).
    """
    henries = 1.0
    farads = 1 / ((2 * math.pi * natural_hz) ** 2 * henries)
    parts = [
        source("V", "A"),
        resistor("R1", "A", "B", math.sqrt(henries / farads) / q),
        inductor("L1", "B", "OUT", henries),
        capacitor("C1", "OUT", GND, farads),
    ]
    rest = operating_point(compile_system(parts))
    small = linearise(rest.system, rest)
    frequencies = np.geomspace(1e-4, 1e9, 4001)
    gain = reach(small, {"OUT": 1.0}, frequencies).y[rest.system.branches["V"]]
    assert float(power(frequencies, np.abs(gain) ** 2)) == pytest.approx(
        math.pi / 2 * q * natural_hz, rel=1e-5
    )


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
