"""The plucked string against its theory: pitch, decay, the pick's place.

Source: D. A. Jaffe and J. O. Smith, Computer Music Journal 7(2), 1983 (formulas from memory).
"""

import math

import numpy as np
import pytest

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.sources.reading import read_source
from pedalwright.sound.sources.string_model import STRING_RATE_HZ, loop_of

RATE_HZ = 48000.0
WINDOW = 8192


def phasors(volts: FloatArray, pitch_hz: float, rate_hz: float) -> tuple[FloatArray, np.ndarray]:
    """Times [s] and complex amplitudes of one frequency, through a Hann window moved along the sound."""
    starts = np.arange(int(0.1 * rate_hz), len(volts) - WINDOW - int(0.06 * rate_hz), 1024)
    turns = np.exp(-2j * np.pi * pitch_hz * np.arange(len(volts)) / rate_hz)
    window = np.hanning(WINDOW)
    lines = [np.sum(volts[at : at + WINDOW] * turns[at : at + WINDOW] * window) for at in starts]
    return starts / rate_hz, np.array(lines)


def pitch_of(volts: FloatArray, about_hz: float, rate_hz: float) -> float:
    """The pitch [Hz] from how the phase runs away from that of a tone of about the same pitch."""
    times_s, lines = phasors(volts, about_hz, rate_hz)
    slope = np.polyfit(times_s, np.unwrap(np.angle(lines)), 1)[0]
    return float(about_hz + slope / (2 * np.pi))


def decay_of(volts: FloatArray, pitch_hz: float, rate_hz: float) -> float:
    """Time [s] for 60 dB, from a line through the levels."""
    times_s, lines = phasors(volts, pitch_hz, rate_hz)
    return float(-60 / np.polyfit(times_s, 20 * np.log10(np.abs(lines)), 1)[0])


@pytest.mark.parametrize("rate_hz", [44100.0, 48000.0, 96000.0])
@pytest.mark.parametrize("note", ["E2", "A2", "D3", "G3", "B3", "E4", "E5", "A6", "123.4Hz"])
def test_the_pitch_is_true_within_a_tenth_of_a_cent(note: str, rate_hz: float) -> None:
    chosen = read_source(f"pluck:{note},seconds=1.5s")
    wanted_hz = chosen.settings.number("note")
    found_hz = pitch_of(chosen.volts(rate_hz), wanted_hz, rate_hz)
    assert abs(1200 * math.log2(found_hz / wanted_hz)) < 0.1


@pytest.mark.parametrize("decay_s", [0.4, 4.0, 25.0])
@pytest.mark.parametrize("note", ["E2", "E4", "A5"])
def test_the_fundamental_dies_in_the_time_stated(note: str, decay_s: float) -> None:
    """Short ones by the factor in the loop, long ones by unequal weights."""
    chosen = read_source(f"pluck:{note},seconds=1.2s,decay={decay_s}s")
    found_s = decay_of(chosen.volts(RATE_HZ), chosen.settings.number("note"), RATE_HZ)
    assert found_s == pytest.approx(decay_s, rel=0.005)


def test_the_third_harmonic_dies_as_the_average_has_it() -> None:
    """Its loss at every turn is that of (1-S) + S z^-1 at three times the frequency: here S = 1/2."""
    chosen = read_source("pluck:A4,seconds=1.2s,decay=1s")
    turn = 2 * math.pi * 440 / RATE_HZ
    gain = 10 ** (-3 / 440) / math.cos(turn / 2) * math.cos(3 * turn / 2)
    expected_s = -3 / (440 * math.log10(gain))
    volts = chosen.volts(RATE_HZ)
    assert decay_of(volts, 3 * 440, RATE_HZ) == pytest.approx(expected_s, rel=0.01)


def test_the_loop_never_gains_over_all_pitches_and_decays() -> None:
    for pitch_hz in np.geomspace(20, 4000, 40):
        for decay_s in (0.05, 1.0, 60.0):
            loop = loop_of(float(pitch_hz), decay_s)
            assert 0 < loop.share <= 0.5 and 0 < loop.kept <= 1 and abs(loop.coefficient) < 1
            assert loop.period >= 10


def test_a_harmonic_with_its_node_under_the_pick_is_missing() -> None:
    volts = read_source("pluck:A2,pick=20%,seconds=1s,decay=10s").volts(RATE_HZ)
    levels = [float(np.abs(phasors(volts, 110.0 * k, RATE_HZ)[1][0])) for k in (4, 5, 6)]
    assert levels[1] < 0.05 * min(levels[0], levels[2])


def test_a_softer_stroke_is_duller() -> None:
    def brightness(stroke: str) -> float:
        power = np.abs(np.fft.rfft(read_source(f"pluck:E2,stroke={stroke},seconds=0.3s").volts(RATE_HZ))) ** 2
        return float(np.sum(power * np.arange(len(power))) / np.sum(power))

    assert brightness("300Hz") < 0.7 * brightness("3kHz")


def test_a_chord_is_strummed_from_the_lowest_string_up() -> None:
    """Before the second string begins there is only the first one's pitch."""
    volts = read_source("chord:E2+G3,strum=500ms,seconds=1s").volts(RATE_HZ)
    early, late = volts[4800:20000], volts[28800:44000]

    def line(part: FloatArray, pitch_hz: float) -> float:
        turns = np.exp(-2j * np.pi * pitch_hz * np.arange(len(part)) / RATE_HZ)
        return float(np.abs(np.sum(part * turns * np.hanning(len(part)))))

    assert line(early, 195.998) < 1e-2 * line(early, 82.407)
    assert line(late, 195.998) > 0.1 * line(late, 82.407)
    assert STRING_RATE_HZ == RATE_HZ
