"""The circuits on which the engine in time is held against the reference.

Waveforms start smoothly from rest unless the case is about a jump. Figures of parts are those of the package
or round ones of our own; the diode limiter's are those of Yeh, Abel and Smith, "Simplified,
physically-informed models of distortion and overdrive guitar effects pedals", DAFx-2007 (from memory):
2.2 kohm, 10 nF, two diodes with Is = 2.52 nA and n Vt = 45.3 mV.
"""

from dataclasses import replace

from pedalwright import circuits
from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.devices.catalogue import expand_circuit
from pedalwright.notation import read_text
from pedalwright.solve.equations import thermal_voltage
from pedalwright.solve.rest import ROOM_K
from tests.solve.parts import GND, Parts, amplifier, capacitor, diode, resistor, source
from tests.solve.time.driving import Bump, Rise, Square, Tone
from tests.solve.time.one_case import Case, case_of
from tests.solve.time.small_cases import (
    capacitor_loop,
    clipped_resonance,
    junction_fet_stage,
    mosfet_stage,
    power_on,
    sagging_supply,
    starved_regulator,
    zener_clamp,
)

LIMITER_OHMS, LIMITER_FARADS = 2.2e3, 10e-9
LIMITER_A, LIMITER_V = 2.52e-9, 45.3e-3


def limiter_parts() -> Parts:
    emission = LIMITER_V / thermal_voltage(ROOM_K)
    return [
        source("input", "in"),
        resistor("R1", "in", "out", LIMITER_OHMS),
        capacitor("C1", "out", GND, LIMITER_FARADS),
        diode("D1", "out", GND, saturation_a=LIMITER_A, emission=emission),
        diode("D2", GND, "out", saturation_a=LIMITER_A, emission=emission),
    ]


def package_parts(name: str, owners: set[str] | None = None) -> Parts:
    """What a package circuit expands into, or only what some of its parts do."""
    every = expand_circuit(read_text(circuits.text(name)))
    return [part for part in every if owners is None or part.owner in owners]


def slewing(part: ClippingAmplifier, volts_per_s: float) -> ClippingAmplifier:
    return replace(part, slew_v_per_s=volts_per_s)


def limiter() -> Case:
    tone = Tone(hz=1000.0, volts=4.5)
    return case_of("limiter", limiter_parts(), {"input": tone}, "out", 3e-3)


def limiter_mild() -> Case:
    tone = Tone(hz=440.0, volts=1.0)
    return case_of("limiter-mild", limiter_parts(), {"input": tone}, "out", 4e-3)


def limiter_square() -> Case:
    wave = Square(half_s=2.5e-4, volts=4.5)
    breaks = tuple(2.5e-4 * k for k in range(1, 8))
    return case_of("limiter-square", limiter_parts(), {"input": wave}, "out", 2e-3, breaks_s=breaks)


def overdrive() -> Case:
    tone = Tone(hz=880.0, volts=0.25)
    return case_of("overdrive", package_parts("kilnhouse-drive"), {"input": tone}, "OUT", 4e-3)


def fuzz() -> Case:
    tone = Tone(hz=880.0, volts=0.1)
    return case_of("fuzz", package_parts("plumtree-fuzz"), {"input": tone}, "OUT", 4e-3)


def booster() -> Case:
    tone = Tone(hz=880.0, volts=0.4)
    return case_of("booster", package_parts("doorbell-booster"), {"input": tone}, "OUT", 4e-3)


LFO = {"supply VIN", "D1", "C1", "R2", "C3", "R11", "Q1", "R12", "C9", "C10", "C11", "R13", "R14", "RATE"}
LAMP = {"Q2", "R15", "U2/lamp"}


def tremolo_lfo() -> Case:
    kick = Bump(at_s=0.05, wide_s=0.05, volts=-2.0, around_v=9.0)
    parts = package_parts("millwheel-tremolo", LFO | LAMP)
    return case_of("tremolo-lfo", parts, {"supply VIN": kick}, "~Q1.c", 2.0, told_hz=4800.0)


def relaxation_lfo() -> Case:
    parts: Parts = [
        source("V1", "VA"),
        source("input", "VM"),
        slewing(amplifier("U1a", "p", "VM", "square"), 13e6),
        slewing(amplifier("U1b", "VM", "n", "triangle"), 13e6),
        resistor("R1", "triangle", "p", 33e3),
        resistor("R2", "p", "square", 100e3),
        resistor("R3", "square", "n", 100e3),
        capacitor("C1", "n", "triangle", 10e-9),
    ]
    waves = {name: Rise(at_s=2e-4, rise_s=2e-5, volts=volts) for name, volts in (("V1", 9.0), ("input", 4.5))}
    return case_of("relaxation-lfo", parts, waves, "triangle", 8e-3)


def slow_follower() -> Case:
    parts: Parts = [
        source("V1", "VA", 9.0),
        source("V2", "VE", -9.0),
        source("input", "in"),
        resistor("R1", "in", "p", 1e3),
        slewing(amplifier("U1", "p", "out", "out", rails=("VA", "VE"), gain_bandwidth_hz=1e6), 0.3e6),
        resistor("R2", "out", GND, 1e4),
    ]
    tone = Tone(hz=20e3, volts=4.0, rise_s=5e-5)
    return case_of("slow-follower", parts, {"input": tone}, "out", 5e-4)


def into_rails() -> Case:
    parts: Parts = [
        source("V1", "VA", 9.0),
        source("V2", "VB", 4.5),
        source("input", "in", 4.5),
        resistor("R1", "in", "n", 1e4),
        resistor("R2", "n", "out", 1e5),
        slewing(amplifier("U1", "VB", "n", "out"), 13e6),
    ]
    tone = Tone(hz=1000.0, volts=0.9, around_v=4.5)
    return case_of("into-rails", parts, {"input": tone}, "out", 2e-3)


CASES = (
    limiter,
    limiter_mild,
    limiter_square,
    overdrive,
    fuzz,
    booster,
    tremolo_lfo,
    relaxation_lfo,
    slow_follower,
    into_rails,
    zener_clamp,
    sagging_supply,
    clipped_resonance,
    capacitor_loop,
    power_on,
    junction_fet_stage,
    mosfet_stage,
    starved_regulator,
)
