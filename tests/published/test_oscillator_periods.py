"""Periods of switching oscillators, from thresholds and ramps the solver finds.

Neither needs a waveform. With the square wave's level standing at IN, the trigger turns over where its node P
is zero, or as high as the timing capacitor; the time to get there follows from the solved network.
"""

import math

import pytest

from pedalwright.solve.poles import zeros
from pedalwright.solve.response import Drive
from tests.published.bench import Bench, Check
from tests.published.stages import amplifier, circuit

COUGHLIN = "Coughlin and Driscoll, Operational Amplifiers"
FLOYD = "Floyd, Electronic Devices"
FRANCO = "Franco, Design with Operational Amplifiers, 3rd ed."
GAYAKWAD = "Gayakwad, Op-Amps and Linear Integrated Circuits"


def triangle(r: str, c: str, from_square: str, from_ramp: str) -> str:
    """The ramp of the integrator and the square wave meet at P."""
    return circuit(
        amplifier(1),
        f"IN > R1 {r} > U1.inv > C1 {c} > OUT\nU1.out > OUT\nU1.non > gnd",
        f"OUT > R3 {from_ramp} > P > R2 {from_square} > IN",
    )


def ramp_hz(made: Bench) -> float:
    """P is zero after a quarter period of ramp: its real zero is 1/time, four of them make a period."""
    (zero,) = zeros(made.small, Drive(source="input"), "P").finite
    return float(zero.real) / 4


def square(r: str, c: str, from_out: str, to_gnd: str) -> str:
    return f"input IN 1m 1V\nIN > R1 {r} > X > C1 {c} > gnd\nIN > R2 {from_out} > P > R3 {to_gnd} > gnd\n"


def square_s(made: Bench) -> float:
    """Charging from one threshold to the other, twice: T = 2 RC ln((1 + b)/(1 - b)), b the share at P."""
    share = made.transfer(0.01, "P").real
    return 2 / (2 * math.pi * made.mode(0)[0]) * math.log((1 + share) / (1 - share))


def triangle_check(source: str, text: str, hertz: float) -> Check:
    return Check(source=source, says="frequency", text=text, exact=hertz, asks=ramp_hz)


CHECKS = [
    triangle_check(f"{FLOYD}, Ex. 16.4", triangle("10k", "10n", "33k", "10k"), 8250.0),
    triangle_check(f"{FLOYD}, Ex. 16.4, retuned", triangle("4.125k", "10n", "33k", "10k"), 20e3),
    triangle_check(f"{GAYAKWAD}, Ex. 7.16", triangle("10k", "0.05u", "40k", "10k"), 2000.0),
    triangle_check(
        f"{COUGHLIN}, Ex. 6.6, before rounding", triangle("13.8k", "0.05u", "27.6k", "10k"), 1000.0
    ),
    triangle_check(f"{FRANCO}, Ex. 10.5, fastest", triangle("2.5k", "5n", "10k", "20k"), 10e3),
    Check(
        source=f"{GAYAKWAD}, Ex. 7.15 (1 kHz by its rounding)",
        says="frequency",
        text=square("10k", "0.05u", "11.6k", "10k"),
        exact=997.853,
        asks=lambda made: 1 / square_s(made),
    ),
    Check(
        source=f"{COUGHLIN}, Ex. 6.3",
        says="period",
        text=square("100k", "0.1u", "100k", "86k"),
        exact=20.0126e-3,
        printed="20e-3",
        asks=square_s,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_oscillator_takes_the_published_time(check: Check) -> None:
    assert check.misses(check.bench) == []
