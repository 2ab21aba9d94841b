"""One-bit modulation as the books have it: noise against bit rate, slope overload, idling, a steady voltage.

Sources: the signal-to-noise ratio of a linear delta modulator at its slope limit, 3 fs³ / (8 pi² f² W), is
[Haykin] ex. 5.5: 9 dB an octave; its absolute value is to be trusted within -9 and +6 dB (see
`pedalwright.formulas.delta_modulation`). That adaptation keeps the ratio up when the sound gets softer is
what CVSD is for (IRIG 106 Telemetry Standards, CVSD appendix).
"""

import numpy as np
import pytest

from pedalwright.echo.one_bit.one_chip import OneChip
from pedalwright.echo.one_bit.through import through
from pedalwright.formulas.delta_modulation import best_snr_db, step_at_slope_limit
from pedalwright.solve.arrays import FloatArray
from tests.echo.one_bit.measuring import idle_dbv, tone

TONE_HZ, BAND_HZ, PEAK_V = 807.0, 3400.0, 0.5
BIT_RATES = np.array([64e3, 128e3, 256e3, 512e3, 1024e3])
FEW_BITS = 64
"""a short memory: the bit rate alone counts here, and no second is spent on waiting"""


def linear_chip(over: float) -> OneChip:
    """Ideal integrator, one size of step, `over` times the slope limit of the tone at any bit rate."""
    farads = 100e-9
    volts_per_s = over * step_at_slope_limit(peak=PEAK_V, frequency_hz=TONE_HZ, sample_hz=1.0)
    return OneChip(
        coder_ohms=1e6,
        coder_farads=farads,
        least_step_a=volts_per_s * farads,
        full_step_a=volts_per_s * farads,
        offset_v=0.0,
        noise_v=0.0,
        swing_v=100.0,
        memory_bits=FEW_BITS,
    )


def ratios_db(chip: OneChip, peak_v: float = PEAK_V) -> FloatArray:
    """Signal to noise over the bit rates."""
    rms_v = peak_v / 2**0.5
    return np.array(
        [
            tone(rms_v, TONE_HZ, FEW_BITS / rate, chip, seconds=1.0, band_hz=BAND_HZ).signal_to_rest_db
            for rate in BIT_RATES
        ]
    )


def per_octave_db(ratios: FloatArray) -> float:
    return float(np.polyfit(np.log2(BIT_RATES), ratios, 1)[0])


@pytest.mark.parametrize("over", [1.0, 1.2, 1.35])
def test_a_linear_modulator_gains_nine_db_an_octave(over: float) -> None:
    assert per_octave_db(ratios_db(linear_chip(over))) == pytest.approx(9.0, abs=2.0)


@pytest.mark.parametrize("over", [1.05, 1.2, 1.35])
def test_a_linear_modulator_at_its_best_step_is_near_the_formula(over: float) -> None:
    formula = [best_snr_db(sample_hz=rate, frequency_hz=TONE_HZ, band_hz=BAND_HZ) for rate in BIT_RATES]
    off = ratios_db(linear_chip(over)) - np.array(formula)
    assert (off > -9).all() and (off < 6).all()


@pytest.mark.parametrize("peak_v", [0.5, 0.35, 0.05])
def test_the_chip_gains_as_much(peak_v: float) -> None:
    """Adaptation moves the curve, not its slope: 9 within 2 dB an octave from 0.5 V to a tenth of it."""
    ratios = ratios_db(OneChip(memory_bits=FEW_BITS), peak_v)
    assert per_octave_db(ratios) == pytest.approx(9.0, abs=2.0)


def test_adaptation_keeps_a_soft_sound_above_the_noise() -> None:
    """20 dB softer costs the chip less than 10 dB of the ratio, one size of step more than 17."""
    chip, linear = OneChip(memory_bits=FEW_BITS), linear_chip(1.2)
    assert (ratios_db(chip) - ratios_db(chip, PEAK_V / 10) < 10).all()
    assert (ratios_db(linear)[:3] - ratios_db(linear, PEAK_V / 10)[:3] > 17).all()


def test_too_steep_a_tone_becomes_a_triangle() -> None:
    """A triangle has its third harmonic at 1/9, its fifth at 1/25, and no even ones (Fourier)."""
    rate_hz, delay = 192_000, 0.0313
    time_s = np.arange(round(rate_hz * (0.2 + delay))) / rate_hz
    out = through(np.sin(2 * np.pi * 4000 * time_s), rate_hz, delay_s=delay)[-rate_hz // 10 :]
    spectrum = np.abs(np.fft.rfft(out))[:: len(out) * 4000 // rate_hz]
    assert spectrum[3] / spectrum[1] == pytest.approx(1 / 9, rel=0.1)
    assert spectrum[5] / spectrum[1] == pytest.approx(1 / 25, rel=0.25)
    assert spectrum[2] / spectrum[1] < 0.01


@pytest.mark.parametrize("volts", [-1.0, -0.1, 0.03, 0.5, 1.5])
def test_a_steady_voltage_comes_out_as_its_mean(volts: float) -> None:
    chip = OneChip(through_gain_db=0.0, offset_v=0.0)
    out = through(np.full(24_000, volts), 48_000, delay_s=0.1, chip=chip)[-9600:-480]
    assert out.mean() == pytest.approx(volts, rel=0.01, abs=0.001)


@pytest.mark.parametrize("delay", [0.0313, 0.1, 0.28])
def test_silence_gives_the_idle_pattern_only(delay: float) -> None:
    """Not more than two of the smallest steps, the comparator's offset, and five times its noise."""
    chip = OneChip()
    out = through(np.zeros(round(96_000 * (delay + 0.2))), 96_000, delay_s=delay, chip=chip)[-9600:]
    step_v = chip.least_step_a / chip.coder_farads * delay / chip.memory_bits
    assert np.abs(out).max() < chip.offset_v + 2 * step_v + 5 * chip.noise_v


def test_without_offset_and_noise_the_idle_pattern_is_not_heard_at_all() -> None:
    """0101 lies at half the bit rate: 700 kHz at 31 ms."""
    assert idle_dbv(0.0313, OneChip(offset_v=0.0, noise_v=0.0), weighted=False, seconds=0.5) < -120


def test_nothing_folds_down_from_the_bit_stream() -> None:
    """The same within 20 kHz, whether what is returned ends at 24 or at 96 kHz, above the 79 kHz of 0101."""
    chip, delay, seconds = OneChip(), 0.28, 0.5
    found = []
    for rate_hz in (48_000, 192_000):
        time_s = np.arange(round(rate_hz * (delay + 0.2 + seconds))) / rate_hz
        into = 0.3 * np.sin(2 * np.pi * 1000 * time_s)
        out = through(into, rate_hz, delay_s=delay, chip=chip)[-round(rate_hz * (seconds + 0.05)) :]
        power = np.abs(np.fft.rfft(out[: round(rate_hz * seconds)]) / round(rate_hz * seconds)) ** 2
        band = power[round(20 * seconds) : round(20e3 * seconds)]
        found.append(1 - band.max() / band.sum())
    assert found[1] / found[0] == pytest.approx(1.0, rel=0.25)
