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


class _Chance:
    """Chance nets and values for one nonlinear circuit."""

    def __init__(self, seed: int) -> None:
        self.rng = np.random.default_rng(seed)
        self.anywhere = [*(f"n{k}" for k in range(int(self.rng.integers(3, 12)))), "VA", GND]

    def net(self) -> str:
        return str(self.rng.choice(self.anywhere))

    def sign(self) -> int:
        return int(self.rng.choice([1, -1]))

    def times(self, most: int) -> range:
        return range(int(self.rng.integers(0, most)))

    def resistors(self) -> list[Primitive]:
        count = int(self.rng.integers(4, 16))
        pairs = [self.rng.choice(self.anywhere, size=2, replace=False) for _ in range(count)]
        return [
            resistor(f"R{k}", str(a), str(b), _value(self.rng, 10.0, 2.2e6)) for k, (a, b) in enumerate(pairs)
        ]

    def diodes(self) -> list[Primitive]:
        breakdown = [None, None, 5.1, 9.1]
        return [
            diode(f"D{k}", self.net(), self.net(), breakdown_v=breakdown[int(self.rng.integers(0, 4))])
            for k in self.times(5)
        ]

    def bipolars(self) -> list[Primitive]:
        return [
            bipolar(f"Q{k}", *(self.net() for _ in "cbe"), polarity=self.sign(), early_v=80.0, leak_a=1e-13)
            for k in self.times(4)
        ]

    def field_effects(self) -> list[Primitive]:
        return [
            field_effect(
                f"J{k}",
                *(self.net() for _ in "dgs"),
                polarity=self.sign(),
                threshold_v=float(self.rng.choice([-3.0, -1.0, 2.0])),
                modulation=0.02,
                gate_saturation_a=float(self.rng.choice([0.0, 1e-14])),
            )
            for k in self.times(3)
        ]

    def amplifiers(self) -> list[Primitive]:
        parts: list[Primitive] = []
        for k in self.times(4):
            parts += [
                amplifier(f"U{k}", self.net(), self.net(), f"o{k}"),
                resistor(f"Ro{k}", f"o{k}", self.net(), _value(self.rng, 47.0, 1e4)),
                current(f"I{k}", self.net(), self.net(), float(self.rng.normal() * 1e-8)),
                draw(f"S{k}", "VA", 1.4e-3),
            ]
        return parts

    def regulators(self) -> list[Primitive]:
        if self.rng.integers(0, 4):
            return []
        return [regulator("U9", self.net(), "reg"), resistor("Rreg", "reg", self.net(), 1e3)]


def nonlinear_circuit(seed: int) -> list[Primitive]:
    """Anything at all: every kind of primitive on chance nets, sound or not."""
    chance = _Chance(seed)
    supply = source("V1", "VA", float(chance.rng.choice([5.0, 9.0, 18.0])))
    return [
        supply,
        *chance.resistors(),
        *chance.diodes(),
        *chance.bipolars(),
        *chance.field_effects(),
        *chance.amplifiers(),
        *chance.regulators(),
    ]
