"""The noise of primitives in one call, and passive networks of chance, for tests."""

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.noise import OwnNoise
from pedalwright.circuit.primitives import Capacitance, Inductance, Primitive, Resistance
from pedalwright.solve.linear import linearise
from pedalwright.solve.noise import OutputNoise, output_noise
from pedalwright.solve.noise_sources import noise_sources
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system
from tests.solve.parts import GND, capacitor, inductor, resistor

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
