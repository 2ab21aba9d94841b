"""What engine and reference are both given: circuits, what drives them, how long, what is heard.

Waveforms start smoothly from rest unless the case is about a jump. Figures of parts are those of the package
or round ones of our own; the diode limiter's are those of Yeh, Abel and Smith, "Simplified,
physically-informed models of distortion and overdrive guitar effects pedals", DAFx-2007 (from memory):
2.2 kohm, 10 nF, two diodes with Is = 2.52 nA and n Vt = 45.3 mV.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from pedalwright import circuits
from pedalwright.circuit.primitives import ClippingAmplifier, Primitive
from pedalwright.devices.catalogue import expand_circuit
from pedalwright.notation import read_text
from pedalwright.solve.equations import thermal_voltage
from pedalwright.solve.rest import ROOM_K
from tests.solve.parts import (
    GND,
    Parts,
    amplifier,
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
from tests.solve.time.driving import Bump, Edges, Rise, Square, Tone, Waveform
from tests.solve.time.reference_laws import Floats

USUAL_HZ = 8 * 48000.0


@dataclass(frozen=True, kw_only=True)
class Case:
    """One run. `waveforms` stand in place of the direct volts of named sources.

    `told_hz` is the rate of the moments at which the reference says what `output` is; Every run
    begins at the rest point of the direct volts. `quick` runs take the reference less than three seconds; the
    others are kept in the folder `data`.
    """

    name: str
    parts: tuple[Primitive, ...]
    waveforms: Mapping[str, Waveform]
    output: str
    duration_s: float
    told_hz: float = USUAL_HZ
    breaks_s: tuple[float, ...] = ()
    quick: bool = False

    @property
    def times_s(self) -> Floats:
        """The moments told, the first at zero."""
        return np.arange(round(self.duration_s * self.told_hz) + 1) / self.told_hz


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
    return _case("limiter", limiter_parts(), {"input": tone}, "out", 3e-3)


def limiter_mild() -> Case:
    tone = Tone(hz=440.0, volts=1.0)
    return _case("limiter-mild", limiter_parts(), {"input": tone}, "out", 4e-3)


def limiter_square() -> Case:
    wave = Square(half_s=2.5e-4, volts=4.5)
    breaks = tuple(2.5e-4 * k for k in range(1, 8))
    return _case("limiter-square", limiter_parts(), {"input": wave}, "out", 2e-3, breaks_s=breaks)


def overdrive() -> Case:
    tone = Tone(hz=880.0, volts=0.25)
    return _case("overdrive", package_parts("kilnhouse-drive"), {"input": tone}, "OUT", 4e-3)


def fuzz() -> Case:
    tone = Tone(hz=880.0, volts=0.1)
    return _case("fuzz", package_parts("plumtree-fuzz"), {"input": tone}, "OUT", 4e-3)


def booster() -> Case:
    tone = Tone(hz=880.0, volts=0.4)
    return _case("booster", package_parts("doorbell-booster"), {"input": tone}, "OUT", 4e-3)


LFO = {"supply VIN", "D1", "C1", "R2", "C3", "R11", "Q1", "R12", "C9", "C10", "C11", "R13", "R14", "RATE"}
LAMP = {"Q2", "R15", "U2/lamp"}


def tremolo_lfo() -> Case:
    kick = Bump(at_s=0.05, wide_s=0.05, volts=-2.0, around_v=9.0)
    parts = package_parts("millwheel-tremolo", LFO | LAMP)
    return _case("tremolo-lfo", parts, {"supply VIN": kick}, "~Q1.c", 2.0, told_hz=4800.0)


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
    return _case("relaxation-lfo", parts, waves, "triangle", 8e-3)


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
    return _case("slow-follower", parts, {"input": tone}, "out", 5e-4)


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
    return _case("into-rails", parts, {"input": tone}, "out", 2e-3)


def zener_clamp() -> Case:
    parts: Parts = [
        source("input", "in"),
        resistor("R1", "in", "out", 1e3),
        capacitor("C1", "out", GND, 1e-9),
        diode("D1", GND, "out", saturation_a=1e-14, emission=1.1, breakdown_v=5.1),
        resistor("R2", "out", GND, 1e4),
    ]
    return _case("zener-clamp", parts, {"input": Tone(hz=1000.0, volts=9.0)}, "out", 2e-3, quick=True)


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
    return _case("sagging-supply", parts, {"input": tone}, "VA", 3e-3)


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
    return _case("clipped-resonance", parts, {"input": edges}, "out", 2.5e-3)


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
    return _case("capacitor-loop", parts, {"input": tone}, "out", 2e-3)


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
    return _case("power-on", parts, {"V1": rise}, "out", 4e-3, quick=True)


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
    return _case("jfet-stage", parts, {"input": Tone(hz=1000.0, volts=1.5)}, "d", 3e-3)


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
    return _case("mosfet-stage", parts, {"input": Tone(hz=1000.0, volts=0.2)}, "out", 3e-3)


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
    return _case("starved-regulator", parts, {"input": tone}, "V5", 3e-3, quick=True)


def _case(
    name: str,
    parts: Parts,
    waveforms: Mapping[str, Waveform],
    output: str,
    duration_s: float,
    *,
    told_hz: float = USUAL_HZ,
    breaks_s: tuple[float, ...] = (),
    quick: bool = False,
) -> Case:
    return Case(
        name=name,
        parts=tuple(parts),
        waveforms=waveforms,
        output=output,
        duration_s=duration_s,
        told_hz=told_hz,
        breaks_s=breaks_s,
        quick=quick,
    )


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
