"""Noise examples of handbooks and data sheets, each on a circuit that is built, rested and solved.

Franco, Design with Operational Amplifiers and Analog Integrated Circuits, 3rd ed., ch. 7, worked examples as
printed (rounded) and recomputed with exact constants; the general form of an op-amp stage's noise is that of
TI SBOS450B (OPA1611/1612), "Noise Calculation in Gain Configurations".
"""

import math
from collections.abc import Mapping, Sequence

import numpy as np
import pytest
from numpy.typing import NDArray

from pedalwright.analysis.noise.picture import a_weights, band_hz, weighted_bandwidth_hz
from pedalwright.circuit.noise import OwnNoise
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive
from pedalwright.circuit.span import Span
from pedalwright.devices.catalogue import device
from pedalwright.solve.linear import linearise
from pedalwright.solve.noise import OutputNoise, output_noise, power
from pedalwright.solve.noise_sources import Cause, noise_sources
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system
from tests.solve.parts import GND, amplifier, current, diode, resistor, source

FloatArray = NDArray[np.float64]
AUDIO_HZ = np.geomspace(20.0, 20e3, 181)


def noise_of(
    parts: Sequence[Primitive],
    frequencies_hz: FloatArray,
    hiss: OwnNoise | None,
    temperature_k: float = 300.0,
) -> OutputNoise:
    own: Mapping[str, OwnNoise] = {} if hiss is None else {hiss.name: hiss}
    rest = operating_point(compile_system(parts), temperature_k=temperature_k)
    small = linearise(rest.system, rest)
    return output_noise(small, noise_sources(rest.system, rest, own), "OUT", frequencies_hz)


def rms(found: OutputNoise, *causes: Cause) -> float:
    """Total of the sources of some causes, all when none is named [V rms]."""
    chosen = [place for place, one in enumerate(found.sources.each) if not causes or one.cause in causes]
    return math.sqrt(float(power(found.frequencies_hz, found.shares[chosen].sum(axis=0))))


def hiss_of(volts: float, amperes: float = 0.0, corner_hz: float = 0.0, current_hz: float = 0.0) -> OwnNoise:
    return OwnNoise(
        name="U1",
        volts_per_rthz=volts,
        volts_corner_hz=corner_hz,
        amperes_per_rthz=amperes,
        amperes_corner_hz=current_hz,
        source="the example",
    )


def follower() -> list[Primitive]:
    return [amplifier("U1", GND, "OUT", "OUT", ideal=True), resistor("R9", "OUT", GND, 1e6)]


@pytest.mark.parametrize(
    ("low_hz", "high_hz", "exact_uv", "printed_uv", "within"),
    [
        (0.1, 100.0, 0.76979, 0.77, 0.005),
        (20.0, 20e3, 2.92312, 2.92, 0.005),
        (0.1, 1e6, 20.0322, 20.0, 0.05),
    ],
)
def test_franco_7_1(low_hz: float, high_hz: float, exact_uv: float, printed_uv: float, within: float) -> None:
    """20 nV/rtHz with a corner at 200 Hz, over three bands."""
    found = noise_of(follower(), np.geomspace(low_hz, high_hz, 601), hiss_of(20e-9, corner_hz=200.0))
    total_uv = 1e6 * rms(found)
    assert total_uv == pytest.approx(exact_uv, rel=1e-5)
    assert total_uv == pytest.approx(printed_uv, abs=within)


def test_franco_7_4() -> None:
    """10 kohm at 298 K: printed 12.8 nV/rtHz, 1.28 pA/rtHz, 1.81 uV from 20 Hz to 20 kHz."""
    found = noise_of([resistor("R1", "OUT", GND, 10e3)], AUDIO_HZ, None, 298.0)
    assert math.sqrt(found.density[0]) * 1e9 == pytest.approx(12.8, abs=0.05)
    assert math.sqrt(found.sources.each[0].density) * 1e12 == pytest.approx(1.28, abs=0.005)
    assert 1e6 * rms(found) == pytest.approx(1.81, abs=0.005)
    # With k = 1.380649e-23 instead of the book's 1.38e-23: 1.81291 uV times the root of their ratio.
    assert 1e6 * rms(found) == pytest.approx(1.81291 * math.sqrt(1.380649 / 1.38), rel=1e-5)


@pytest.mark.parametrize(
    ("amperes", "exact_db", "printed_db"), [(1e-6, 64.9426, 64.9), (1e-9, 34.9426, 34.9)]
)
def test_franco_7_5(amperes: float, exact_db: float, printed_db: float) -> None:
    """Shot noise of a diode current against that current, 1 MHz."""
    parts = [current("I", GND, "OUT", amperes), diode("D1", "OUT", GND, saturation_a=1e-15, emission=1.0)]
    found = noise_of(parts, np.array([1e3]), None)
    shot = math.sqrt(found.sources.each[0].density * 1e6)
    ratio_db = 20 * math.log10(amperes / shot)
    assert ratio_db == pytest.approx(exact_db, abs=5e-4)
    assert ratio_db == pytest.approx(printed_db, abs=0.05)


def franco_7_7() -> OutputNoise:
    parts: list[Primitive] = [
        source("VP", "VP", 15.0),
        source("VN", "VN", -15.0),
        amplifier("U1", "P", "N", "OUT", rails=("VP", "VN"), dc_gain=1e9, gain_bandwidth_hz=1e6),
        resistor("R1", GND, "N", 100e3),
        resistor("R2", "N", "OUT", 200e3),
        resistor("R3", "P", GND, 68e3),
    ]
    hiss = hiss_of(20e-9, 0.5e-12, corner_hz=200.0, current_hz=2e3)
    # From 0.1 Hz, as in the book, to where the amplifier's own pole at 333 kHz has left nothing.
    return noise_of(parts, np.geomspace(0.1, 1e11, 2401), hiss, 298.0)


@pytest.mark.parametrize(
    ("causes", "exact_uv"),
    [
        ((Cause.INPUT_VOLTAGE,), 43.5295),
        ((Cause.INPUT_CURRENT,), 106.2592),
        ((Cause.THERMAL,), 102.1453),
        ((), 153.6863),
    ],
)
def test_franco_7_7(causes: tuple[Cause, ...], exact_uv: float) -> None:
    """An inverting stage with all its sources; the book rounds pi/2 to 1.57, 0.025 % of the total."""
    assert 1e6 * rms(franco_7_7(), *causes) == pytest.approx(exact_uv, rel=5e-4)


def test_franco_7_7_as_printed_and_7_9() -> None:
    """154 uV rms, 1.01 mV peak to peak (6.6 times); 73.2 dB below 0.5 V peak times the gain of two."""
    total = rms(franco_7_7())
    assert total * 1e6 == pytest.approx(154, abs=0.5)
    assert 6.6 * total * 1e3 == pytest.approx(1.01, abs=0.01)
    # The book goes on with its rounded 154 uV.
    assert 20 * math.log10(0.5 / math.sqrt(2) * 2 / round(total, 6)) == pytest.approx(73.239, abs=1e-3)


PART = Part(ref="U1", kind="dual-opamp", span=Span(1, 1, 1), pins=tuple(
    (pin, f"N{place}") for place, pin in enumerate(
        ("a.inv", "a.non", "a.out", "b.inv", "b.non", "b.out", "v+", "v-")
    )
))  # fmt: skip


def sheet_hiss(kind: str) -> OwnNoise:
    """The flat part of a type's own figures, as the device has them."""
    from dataclasses import replace

    found = device("dual-opamp").noise(replace(PART, type=kind))[0]
    return replace(found, name="U1", volts_corner_hz=0.0, amperes_corner_hz=0.0)


STAGES = [
    ("NE5532", 10e3, 100e3, 161.708, 22.8576, -90.601),
    ("NE5532", 1e3, 10e3, 69.975, 9.8910, -97.877),
    ("NE5532", 22e3, 22e3, 32.652, 4.6154, -104.497),
    ("TL072", 10e3, 100e3, 239.645, 33.8739, -87.184),
    ("TL072", 1e3, 10e3, 202.550, 28.6306, -88.645),
    ("TL072", 22e3, 22e3, 45.000, 6.3608, -101.711),
    ("MCP6002", 10e3, 100e3, 336.286, 47.5343, -84.241),
    ("MCP6002", 22e3, 22e3, 62.169, 8.7876, -98.904),
]


@pytest.mark.parametrize(("kind", "r1", "r2", "nanovolts", "microvolts", "dbu"), STAGES)
def test_inverting_audio_stages(
    kind: str, r1: float, r2: float, nanovolts: float, microvolts: float, dbu: float
) -> None:
    """SBOS450B's general form with the data sheets' en and in, 300 K, 20 Hz to 20 kHz."""
    parts = [
        amplifier("U1", GND, "N", "OUT", ideal=True),
        resistor("R1", GND, "N", r1),
        resistor("R2", "N", "OUT", r2),
    ]
    found = noise_of(parts, AUDIO_HZ, sheet_hiss(kind))
    assert math.sqrt(found.density[0]) * 1e9 == pytest.approx(nanovolts, rel=1e-5)
    assert rms(found) * 1e6 == pytest.approx(microvolts, rel=1e-5)
    assert 20 * math.log10(rms(found) / math.sqrt(0.6)) == pytest.approx(dbu, abs=1e-3)


@pytest.mark.parametrize(
    ("kind", "source_ohms", "nanovolts", "microvolts"),
    [
        ("NE5532", 10e3, 175.706, 24.8361),
        ("TL072", 10e3, 247.133, 34.9324),
        ("NE5532", 100e3, 893.458, 126.291),
        ("TL072", 100e3, 491.546, 69.4804),
    ],
)
def test_non_inverting_audio_stages(
    kind: str, source_ohms: float, nanovolts: float, microvolts: float
) -> None:
    """Gain of eleven: at 100 kohm the bipolar amplifier is the noisier one (SBOS450B's general form)."""
    parts = [
        amplifier("U1", "P", "N", "OUT", ideal=True),
        resistor("RS", "P", GND, source_ohms),
        resistor("R1", GND, "N", 1e3),
        resistor("R2", "N", "OUT", 10e3),
    ]
    found = noise_of(parts, AUDIO_HZ, sheet_hiss(kind))
    assert math.sqrt(found.density[0]) * 1e9 == pytest.approx(nanovolts, rel=1e-5)
    assert rms(found) * 1e6 == pytest.approx(microvolts, rel=1e-5)


A_WEIGHTING = (
    (10, -70.4), (13, -50.5), (14, -44.7), (15, -39.4), (16, -34.6), (17, -30.2), (18, -26.2), (19, -22.5),
    (20, -19.1), (21, -16.1), (22, -13.4), (23, -10.9), (24, -8.6), (25, -6.6), (26, -4.8), (27, -3.2),
    (28, -1.9), (29, -0.8), (30, 0.0), (31, 0.6), (32, 1.0), (33, 1.2), (34, 1.3), (35, 1.2), (36, 1.0),
    (37, 0.5), (38, -0.1), (39, -1.1), (40, -2.5), (41, -4.3), (42, -6.6), (43, -9.3),
)  # fmt: skip
"""Band number n of the exact frequency 10^(n/10) Hz and the weight printed for it in IEC 61672-1."""


@pytest.mark.parametrize(("band", "printed_db"), A_WEIGHTING)
def test_the_a_weighting_of_iec_61672_1(band: int, printed_db: float) -> None:
    weight = float(a_weights(np.array([10 ** (band / 10)]))[0])
    assert 10 * math.log10(weight) == pytest.approx(printed_db, abs=0.06)


def test_white_noise_through_the_a_curve() -> None:
    """A density e reads 116.03 e rms through the whole curve, 111.66 e in the band (the curve's integral)."""
    whole = np.geomspace(0.1, 1e9, 4001)
    assert math.sqrt(float(power(whole, a_weights(whole)))) == pytest.approx(116.0265, rel=1e-5)
    assert weighted_bandwidth_hz() == pytest.approx(12467.18, rel=1e-5)
    flat = float(power(band_hz(181), np.ones(181)))
    assert 10 * math.log10(weighted_bandwidth_hz() / flat) == pytest.approx(-2.048, abs=1e-3)


def test_ten_kilohms_a_weighted() -> None:
    """12.87 nV/rtHz times 116: 1.49 uV, the handbook's round figure for 10 kohm."""
    whole = np.geomspace(0.1, 1e9, 2001)
    found = noise_of([resistor("R1", "OUT", GND, 10e3)], whole, None)
    assert 1e6 * math.sqrt(float(power(whole, found.density * a_weights(whole)))) == pytest.approx(
        1.49, abs=0.005
    )
