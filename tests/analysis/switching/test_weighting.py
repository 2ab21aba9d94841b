"""The A curve as a filter: IEC 61672-1's table, and SciPy's own integration of the same poles and zeros."""

import numpy as np
import pytest
from scipy import signal

from pedalwright.analysis.switching.weighting import (
    POLES_HZ,
    ZEROS,
    Loudness,
    a_curve,
    a_weighted,
    level_db,
    loudness,
)
from pedalwright.formulas.weighting import a_weighting_db

STEP_S = 10e-6
COUNT = 6400
TIME_S = STEP_S * np.arange(COUNT)


def _system() -> signal.ZerosPolesGain:
    """The analogue filter for SciPy, with the gain that makes it one at 1 kHz."""
    poles = [-2 * np.pi * pole for pole in POLES_HZ]
    gain = 1 / abs(signal.freqs_zpk([0.0] * ZEROS, poles, 1.0, [2 * np.pi * 1000.0])[1][0])
    return signal.ZerosPolesGain([0.0] * ZEROS, poles, gain)


@pytest.mark.parametrize(
    "third, printed_db",
    [(-20, -70.4), (-17, -50.5), (-13, -30.2), (-10, -19.1), (-6, -8.6), (0, 0.0), (4, 1.3), (10, -2.5)],
)
def test_the_curve_is_the_table_of_the_standard(third: int, printed_db: float) -> None:
    """IEC 61672-1, table of A at exact third-octave frequencies 1000 10^(n/10); its last digit is 0.1 dB."""
    hertz = 1000.0 * 10 ** (third / 10)
    found = float(20 * np.log10(abs(a_curve(np.array([hertz]))[0])))
    assert found == pytest.approx(printed_db, abs=0.06)
    assert found == pytest.approx(a_weighting_db(hertz), abs=1e-3)


def test_a_step_through_the_curve_is_what_scipy_makes_of_it() -> None:
    """A step that is sampled stands half a sample early: SciPy is asked for that time."""
    half_s = STEP_S / 2
    _, expected = signal.step(_system(), T=np.arange(2 * COUNT) * half_s)
    found = a_weighted(np.ones(COUNT), STEP_S)
    assert np.max(np.abs(found)) == pytest.approx(np.max(np.abs(expected)), rel=0.01)
    assert np.max(np.abs(found[10:] - expected[21::2])) < 0.003


@pytest.mark.parametrize("decay_s", [0.01, 0.03, 0.1, 1.0])
def test_a_slow_decay_does_not_quieten_a_click(decay_s: float) -> None:
    """The edge is the click: 0.97 of the step for any decay of ten milliseconds or more (own computation with
    SciPy's integration of the standard's poles, repeated here).
    """
    wave = np.exp(-TIME_S / decay_s)
    expected = np.max(np.abs(signal.lsim(_system(), wave, TIME_S)[1]))
    found = np.max(np.abs(a_weighted(wave, STEP_S)))
    assert found == pytest.approx(expected, rel=0.015)
    assert found == pytest.approx(0.97, abs=0.02)


@pytest.mark.parametrize("ramp_s", [1e-3, 5e-3, 20e-3])
def test_a_slow_edge_does(ramp_s: float) -> None:
    wave = np.where(ramp_s > TIME_S, 0.5 * (1 - np.cos(np.pi * TIME_S / ramp_s)), 1.0)
    expected = np.max(np.abs(signal.lsim(_system(), wave, TIME_S)[1]))
    assert np.max(np.abs(a_weighted(wave, STEP_S))) == pytest.approx(expected, rel=0.02, abs=2e-4)


def test_the_classes_of_the_house_rule() -> None:
    """Against 100 mV of playing: a tenth of a millivolt is -60 dB, a millivolt -40 dB (plain arithmetic)."""
    assert level_db(0.1e-3) == pytest.approx(-60.0)
    assert loudness(0.09e-3) is Loudness.INAUDIBLE
    assert loudness(0.5e-3) is Loudness.FAINT
    assert loudness(1.1e-3) is Loudness.FAILS
