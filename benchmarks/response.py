"""How fast a response is, beside a plain NumPy loop and python-control on the same circuit. Prints; asserts
nothing.

The circuit has about thirty unknowns: an input buffer, a boost with a shaped feedback, a tone network, a
two-pole filter and an output network, with 9 V supply and half-supply bias. All find the voltage at the
output at 200 frequencies; the loop and ours find every other net as well, python-control only the output.
"""

import statistics
import time
from collections.abc import Callable

import control
import numpy as np

from pedalwright.circuit.primitives import (
    Capacitance,
    ClippingAmplifier,
    Primitive,
    Resistance,
    VoltageSource,
)
from pedalwright.solve.linear import SmallSignal, linearise
from pedalwright.solve.response import Drive, respond, respond_many
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system

FREQUENCIES = np.geomspace(20.0, 2e4, 200)
REPEATS = 30
VARIANTS = 200


def resistor(name: str, a: str, b: str, ohms: float) -> Primitive:
    return Resistance(owner=name, name=name, a=a, b=b, ohms=ohms)


def capacitor(name: str, a: str, b: str, farads: float) -> Primitive:
    return Capacitance(owner=name, name=name, a=a, b=b, farads=farads)


def source(name: str, net: str, volts: float) -> Primitive:
    return VoltageSource(owner=name, name=name, plus=net, minus="gnd", dc_v=volts)


def amplifier(name: str, plus: str, minus: str, output: str) -> Primitive:
    return ClippingAmplifier(
        owner=name,
        name=name,
        non_inverting=plus,
        inverting=minus,
        output=output,
        positive_rail="VA",
        negative_rail="gnd",
        dc_gain=2e5,
        gain_bandwidth_hz=3e6,
        high_headroom_v=1.5,
        low_headroom_v=1.5,
    )


def circuit() -> list[Primitive]:
    return [
        source("supply", "V9", 9.0),
        source("input", "IN", 0.0),
        resistor("R1", "V9", "VA", 33.0),
        capacitor("C1", "VA", "gnd", 100e-6),
        resistor("R2", "VA", "VB", 10e3),
        resistor("R3", "VB", "gnd", 10e3),
        capacitor("C2", "VB", "gnd", 47e-6),
        resistor("R4", "IN", "a1", 6.8e3),
        capacitor("C3", "a1", "a2", 22e-9),
        resistor("R5", "a2", "VB", 1e6),
        amplifier("U1a", "a2", "a3", "a3"),
        capacitor("C4", "a3", "b1", 100e-9),
        resistor("R6", "b1", "VB", 470e3),
        amplifier("U1b", "b1", "b2", "b3"),
        resistor("R7", "b2", "b3", 220e3),
        capacitor("C5", "b2", "b3", 47e-12),
        resistor("R8", "b2", "b4", 2.2e3),
        capacitor("C6", "b4", "gnd", 100e-9),
        resistor("R9", "b3", "t1", 1e3),
        capacitor("C7", "t1", "t2", 4.7e-9),
        resistor("R10", "t1", "t3", 33e3),
        capacitor("C8", "t3", "gnd", 22e-9),
        resistor("R11", "t2", "t4", 25e3),
        resistor("R12", "t4", "t3", 25e3),
        capacitor("C9", "t4", "d1", 220e-9),
        resistor("R13", "d1", "VB", 1e6),
        resistor("R14", "d1", "d2", 15e3),
        resistor("R15", "d2", "d3", 15e3),
        resistor("R16", "d2", "d4", 15e3),
        capacitor("C10", "d2", "VB", 10e-9),
        capacitor("C11", "d3", "d4", 2.2e-9),
        amplifier("U2a", "VB", "d3", "d4"),
        capacitor("C12", "d4", "e1", 1e-6),
        resistor("R17", "e1", "VB", 1e6),
        amplifier("U2b", "e1", "f1", "f1"),
        resistor("R18", "f1", "f2", 470.0),
        capacitor("C13", "f2", "OUT", 10e-6),
        resistor("R19", "OUT", "gnd", 100e3),
    ]


def plain_loop(small: SmallSignal, b: np.ndarray) -> np.ndarray:
    """What one would write: assemble and solve at each frequency."""
    found = np.empty((len(FREQUENCIES), small.size), dtype=complex)
    for place, frequency in enumerate(FREQUENCIES):
        found[place] = np.linalg.solve(small.g + 2j * np.pi * frequency * small.c, b)
    return found


def batched(small: SmallSignal, b: np.ndarray) -> np.ndarray:
    """The same as one call on a stack of matrices."""
    s = 2j * np.pi * FREQUENCIES
    return np.linalg.solve(small.g + s[:, None, None] * small.c, b[None, :, None])[..., 0]


def state_space(small: SmallSignal, b: np.ndarray, output: int) -> control.StateSpace:
    """The circuit as python-control wants it: states for the independent reactive values, by a rank
    factorisation of C.

    With C = U V^T and z = V^T x: (G + s U V^T) x = b u gives z = V^T G^-1 (b u - s U z), so M s z = -z + N u
    with M = V^T G^-1 U, N = V^T G^-1 b, and the output is c^T G^-1 (b u - s U z) with s z put in.
    """
    u, sizes, vt = np.linalg.svd(small.c)
    rank = int((sizes > 1e-12 * sizes[0]).sum())
    u, v = u[:, :rank] * sizes[:rank], vt[:rank].T
    inverse = np.linalg.inv(small.g)
    m_inverse = np.linalg.inv(v.T @ inverse @ u)
    n = v.T @ inverse @ b
    row = inverse[output]
    gain = row @ u @ m_inverse
    return control.ss(-m_inverse, (m_inverse @ n)[:, None], gain[None, :], [[float(row @ b - gain @ n)]])


def seconds(work: Callable[[], object]) -> float:
    """The median of many runs, after one to warm up."""
    work()
    runs = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        runs.append(time.perf_counter() - start)
    return statistics.median(runs)


def main() -> None:
    system = compile_system(circuit())
    rest = operating_point(system)
    small = linearise(system, rest)
    drive = Drive(source="input")
    b = np.zeros(small.size)
    b[system.branches["input"]] = 1.0
    output = small.row("OUT")
    model = state_space(small, b, output)
    found = respond(small, drive, FREQUENCIES)
    wanted = plain_loop(small, b)[:, output]
    by_control = model(2j * np.pi * FREQUENCIES)
    print(f"{small.size} unknowns, {len(small.reactive)} reactive values, {len(FREQUENCIES)} frequencies")
    print(f"ours: {found.certificate.says()}")
    scale = np.abs(wanted).max()
    ours_off = np.abs(found.volts("OUT") - wanted).max() / scale
    control_off = np.abs(by_control - wanted).max() / scale
    print(f"largest difference from the plain loop, of the largest gain: ours {ours_off:.1e},")
    print(f"  python-control {control_off:.1e}")

    def first_time() -> object:
        return respond(linearise(system, rest), drive, FREQUENCIES)

    times = {
        "plain NumPy loop": seconds(lambda: plain_loop(small, b)),
        "NumPy, one stacked call": seconds(lambda: batched(small, b)),
        "python-control, model ready": seconds(lambda: model(2j * np.pi * FREQUENCIES)),
        "ours, circuit new each time": seconds(first_time) - seconds(lambda: linearise(system, rest)),
        "ours, circuit known": seconds(lambda: respond(small, drive, FREQUENCIES)),
    }
    best = min(value for name, value in times.items() if not name.startswith("ours"))
    for name, value in times.items():
        print(f"{name:30s} {value * 1e3:8.3f} ms   {best / value:5.1f} times the best of the others")
    rng = np.random.default_rng(1)
    changes = {
        name: small.parameter(name) * rng.uniform(0.9, 1.1, VARIANTS) for name in ("R8", "C6", "R14", "C10")
    }
    many = seconds(lambda: respond_many(small, drive, FREQUENCIES, changes)) / VARIANTS
    print(f"{'ours, each of 200 variants':30s} {many * 1e3:8.3f} ms   {best / many:5.1f} times")


if __name__ == "__main__":
    main()
