"""Circuits drawn by chance, from a seed: linear ones for exact checks, nonlinear ones to try the solver's
patience."""

import numpy as np

from pedalwright.circuit.primitives import Primitive
from tests.solve.parts import (
    GND,
    amplifier,
    bipolar,
    capacitor,
    current,
    diode,
    draw,
    field_effect,
    inductor,
    regulator,
    resistor,
    source,
)


def _value(rng: np.random.Generator, low: float, high: float) -> float:
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def linear_circuit(seed: int) -> list[Primitive]:
    """A driven ladder of chance with cross links, and up to three amplifiers with feedback, ideal or of
    finite gain."""
    rng = np.random.default_rng(seed)
    nets = [f"n{k}" for k in range(int(rng.integers(2, 8)))]
    parts: list[Primitive] = [source("input", nets[0]), source("VA", "VA", 9.0), source("VN", "VN", -9.0)]

    def passive(name: str, a: str, b: str) -> Primitive:
        kind = rng.choice(["R", "R", "C", "C", "L"])
        if kind == "R":
            return resistor("R" + name, a, b, _value(rng, 100.0, 1e6))
        if kind == "C":
            return capacitor("C" + name, a, b, _value(rng, 1e-11, 1e-5))
        return inductor("L" + name, a, b, _value(rng, 1e-4, 5.0))

    for k, net in enumerate(nets[1:], start=1):
        parts.append(resistor(f"Rtree{k}", nets[int(rng.integers(0, k))], net, _value(rng, 100.0, 1e6)))
    for k in range(int(rng.integers(2, 10))):
        a, b = rng.choice([*nets, GND], size=2, replace=False)
        parts.append(passive(str(k), str(a), str(b)))
    for k in range(int(rng.integers(0, 4))):
        drive, inner, output = str(rng.choice(nets)), f"m{k}", f"o{k}"
        ideal = bool(rng.integers(0, 2))
        parts += [
            resistor(f"Rin{k}", drive, inner, _value(rng, 1e3, 1e5)),
            resistor(f"Rfb{k}", inner, output, _value(rng, 1e3, 1e5)),
            capacitor(f"Cfb{k}", inner, output, _value(rng, 1e-12, 1e-8)),
            amplifier(
                f"U{k}",
                GND,
                inner,
                output,
                rails=("VA", "VN"),
                dc_gain=_value(rng, 1e3, 1e6),
                gain_bandwidth_hz=_value(rng, 1e5, 1e7),
                ideal=ideal,
            ),
        ]
        nets.append(output)
    return parts


def nonlinear_circuit(seed: int) -> list[Primitive]:
    """Anything at all: every kind of primitive on chance nets, sound or not."""
    rng = np.random.default_rng(seed)
    nets = [f"n{k}" for k in range(int(rng.integers(3, 12)))]
    anywhere = [*nets, "VA", GND]

    def net() -> str:
        return str(rng.choice(anywhere))

    parts: list[Primitive] = [source("V1", "VA", float(rng.choice([5.0, 9.0, 18.0])))]
    for k in range(int(rng.integers(4, 16))):
        a, b = rng.choice(anywhere, size=2, replace=False)
        parts.append(resistor(f"R{k}", str(a), str(b), _value(rng, 10.0, 2.2e6)))
    for k in range(int(rng.integers(0, 5))):
        breakdown = float(rng.choice([5.1, 9.1])) if rng.integers(0, 3) == 0 else None
        parts.append(diode(f"D{k}", net(), net(), breakdown_v=breakdown))
    for k in range(int(rng.integers(0, 4))):
        parts.append(
            bipolar(
                f"Q{k}", net(), net(), net(), polarity=int(rng.choice([1, -1])), early_v=80.0, leak_a=1e-13
            )
        )
    for k in range(int(rng.integers(0, 3))):
        parts.append(
            field_effect(
                f"J{k}",
                net(),
                net(),
                net(),
                polarity=int(rng.choice([1, -1])),
                threshold_v=float(rng.choice([-3.0, -1.0, 2.0])),
                modulation=0.02,
                gate_saturation_a=float(rng.choice([0.0, 1e-14])),
            )
        )
    for k in range(int(rng.integers(0, 4))):
        parts.append(amplifier(f"U{k}", net(), net(), f"o{k}"))
        parts.append(resistor(f"Ro{k}", f"o{k}", net(), _value(rng, 47.0, 1e4)))
        parts.append(current(f"I{k}", net(), net(), float(rng.normal() * 1e-8)))
        parts.append(draw(f"S{k}", "VA", 1.4e-3))
    if rng.integers(0, 4) == 0:
        parts.append(regulator("U9", net(), "reg"))
        parts.append(resistor("Rreg", "reg", net(), 1e3))
    return parts
