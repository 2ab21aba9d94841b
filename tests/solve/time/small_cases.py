"""Cases of a few parts each: one kind of device, or one thing a solver in time may get wrong.

Figures of parts are those of the package or round ones of our own.
"""

from dataclasses import replace

from tests.solve.parts import (
    GND,
    Parts,
    bipolar,
    capacitor,
    diode,
    draw,
    field_effect,
    inductor,
    regulator,
    resistor,
    source,
)
from tests.solve.time.driving import Edges, Rise, Tone
from tests.solve.time.one_case import Case, case_of


def zener_clamp() -> Case:
    parts: Parts = [
        source("input", "in"),
        resistor("R1", "in", "out", 1e3),
        capacitor("C1", "out", GND, 1e-9),
        diode("D1", GND, "out", saturation_a=1e-14, emission=1.1, breakdown_v=5.1),
        resistor("R2", "out", GND, 1e4),
    ]
    return case_of("zener-clamp", parts, {"input": Tone(hz=1000.0, volts=9.0)}, "out", 2e-3, quick=True)


def sagging_supply() -> Case:
    parts: Parts = [
        source("V1", "V9", 9.0),
        resistor("R1", "V9", "VA", 470.0),
        capacitor("C1", "VA", GND, 2.2e-6),
        draw("U1/supply", "VA", 1e-3),
        source("input", "in", 4.0),
        resistor("R2", "in", "b", 1e4),
        bipolar("Q1", "VA", "b", "e", saturation_a=1e-14, early_v=80.0),
        resistor("R3", "e", GND, 470.0),
        capacitor("C2", "b", GND, 100e-12),
    ]
    tone = Tone(hz=1000.0, volts=3.9, around_v=4.0)
    return case_of("sagging-supply", parts, {"input": tone}, "VA", 3e-3)


def clipped_resonance() -> Case:
    parts: Parts = [
        source("input", "in"),
        resistor("R1", "in", "a", 330.0),
        inductor("L1", "a", "out", 10e-3),
        capacitor("C1", "out", GND, 47e-9),
        diode("D1", "out", GND),
        diode("D2", GND, "out"),
    ]
    edges = Edges(half_s=5e-4, volts=2.0, rise_s=5e-6)
    return case_of("clipped-resonance", parts, {"input": edges}, "out", 2.5e-3)


def capacitor_loop() -> Case:
    parts: Parts = [
        source("input", "in"),
        capacitor("C1", "in", "a", 10e-9),
        capacitor("C2", "a", "out", 4.7e-9),
        capacitor("C3", "in", "out", 2.2e-9),
        capacitor("C4", "in", GND, 1e-9),
        resistor("R1", "a", GND, 1e4),
        resistor("R2", "out", GND, 2.2e4),
        diode("D1", "out", GND),
    ]
    tone = Tone(hz=2000.0, volts=2.0)
    return case_of("capacitor-loop", parts, {"input": tone}, "out", 2e-3)


def power_on() -> Case:
    parts: Parts = [
        source("V1", "V9"),
        source("input", "in"),
        resistor("R1", "V9", "VA", 100.0),
        capacitor("C1", "VA", GND, 1e-6),
        resistor("R2", "VA", "b", 330e3),
        resistor("R3", "b", GND, 68e3),
        capacitor("C2", "in", "b", 10e-9),
        resistor("R4", "VA", "c", 5.6e3),
        bipolar("Q1", "c", "b", "e", saturation_a=6e-15, forward_beta=300.0, early_v=60.0),
        resistor("R5", "e", GND, 1e3),
        capacitor("C3", "e", GND, 1e-6),
        capacitor("C4", "c", "out", 100e-9),
        resistor("R6", "out", GND, 1e5),
    ]
    rise = Rise(at_s=2e-4, rise_s=2e-5, volts=9.0)
    return case_of("power-on", parts, {"V1": rise}, "out", 4e-3, quick=True)


def junction_fet_stage() -> Case:
    parts: Parts = [
        source("V1", "VA", 9.0),
        source("input", "in"),
        capacitor("C1", "in", "g", 10e-9),
        resistor("R1", "g", GND, 1e6),
        field_effect(
            "Q1", "d", "g", "s", idss_a=3e-3, threshold_v=-1.5, modulation=0.01, gate_saturation_a=1e-14
        ),
        resistor("R2", "VA", "d", 4.7e3),
        resistor("R3", "s", GND, 1e3),
        capacitor("C2", "s", GND, 1e-6),
        capacitor("C3", "d", "g", 3e-12),
    ]
    return case_of("jfet-stage", parts, {"input": Tone(hz=1000.0, volts=1.5)}, "d", 3e-3)


def mosfet_stage() -> Case:
    parts: Parts = [
        source("V1", "VA", 9.0),
        source("input", "in"),
        capacitor("C1", "in", "g", 10e-9),
        resistor("R1", "d", "g", 2.2e6),
        resistor("R2", "g", GND, 2.2e6),
        replace(field_effect("Q1", "d", "g", GND, threshold_v=2.0), beta=0.05),
        resistor("R3", "VA", "d", 4.7e3),
        capacitor("C2", "d", "g", 5e-12),
        capacitor("C3", "d", "out", 100e-9),
        resistor("R4", "out", GND, 1e5),
    ]
    return case_of("mosfet-stage", parts, {"input": Tone(hz=1000.0, volts=0.2)}, "out", 3e-3)


def starved_regulator() -> Case:
    parts: Parts = [
        source("input", "V9", 8.0),
        resistor("R1", "V9", "VA", 47.0),
        capacitor("C1", "VA", GND, 1e-6),
        regulator("U1", "VA", "V5"),
        capacitor("C2", "V5", GND, 1e-6),
        resistor("R2", "V5", GND, 220.0),
    ]
    tone = Tone(hz=1000.0, volts=2.5, around_v=8.0)
    return case_of("starved-regulator", parts, {"input": tone}, "V5", 3e-3, quick=True)
