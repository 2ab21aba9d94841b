"""Another rate: against sines written down at both rates, and against scipy.signal."""

import numpy as np
import pytest
from scipy.signal import resample, resample_poly

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.files.resampling import frames_at, resampled

PAIRS = [(44100.0, 48e3), (48e3, 44100.0), (96e3, 48e3), (22050.0, 48e3), (48e3, 192e3)]


def converted(sound: FloatArray, from_hz: float, to_hz: float, pieces: int = 5) -> FloatArray:
    shaped = sound.reshape(len(sound), -1)
    blocks = resampled(np.array_split(shaped, pieces), from_hz, to_hz, shaped.shape[1])
    return np.concatenate(list(blocks))


@pytest.mark.parametrize(("from_hz", "to_hz"), PAIRS)
@pytest.mark.parametrize("share", [0.01, 0.3, 0.7, 0.85])
def test_a_tone_stays_in_level_and_in_time(share: float, from_hz: float, to_hz: float) -> None:
    """A sine at a share of the lower half rate: the sine of least squares has its level and phase, and what
    is left beside it is nothing.
    """
    tone_hz = share * min(from_hz, to_hz) / 2
    found = converted(np.sin(2 * np.pi * tone_hz * np.arange(round(from_hz)) / from_hz), from_hz, to_hz)[:, 0]
    inner = slice(len(found) // 10, -len(found) // 10)
    turns = 2 * np.pi * tone_hz * np.arange(len(found))[inner] / to_hz
    table = np.column_stack((np.sin(turns), np.cos(turns)))
    in_phase, beside = np.linalg.lstsq(table, found[inner], rcond=None)[0]
    assert len(found) == round(to_hz)
    assert abs(20 * np.log10(np.hypot(in_phase, beside))) < 0.003
    assert abs(beside) < 1e-9
    assert np.abs(found[inner] - table @ (in_phase, beside)).max() < 1e-8


@pytest.mark.parametrize(
    ("from_hz", "to_hz", "up", "down"), [(44100.0, 48000.0, 160, 147), (96000.0, 48000.0, 1, 2)]
)
def test_it_agrees_with_scipy(from_hz: float, to_hz: float, up: int, down: int) -> None:
    """Noise of a band both filters leave alone: by FFT (periodic) and by scipy's own polyphase filter."""
    frames = round(from_hz)
    spectrum = np.zeros(frames // 2 + 1, dtype=np.complex128)
    dice = np.random.default_rng(2)
    spectrum[50:10000] = dice.standard_normal(9950) + 1j * dice.standard_normal(9950)
    sound = np.fft.irfft(spectrum, frames)
    sound /= np.abs(sound).max()
    found = converted(sound, from_hz, to_hz)[:, 0]
    inner = slice(len(found) // 10, -len(found) // 10)
    by_fft = resample(sound, round(to_hz))
    by_polyphase = resample_poly(sound, up, down, window=("kaiser", 12.0))
    assert np.abs(found - by_fft)[inner].max() < 1e-5
    assert np.abs(found - by_polyphase[: len(found)])[inner].max() < 1e-3


def test_what_does_not_fit_into_the_lower_rate_is_gone() -> None:
    """30 kHz at 96 kHz would come out as 18 kHz at 48 kHz; it is 120 dB down."""
    tone = np.sin(2 * np.pi * 30e3 * np.arange(96000) / 96e3)
    found = converted(tone, 96e3, 48e3)[4800:-4800]
    assert np.abs(found).max() < 1e-6


@pytest.mark.parametrize(
    ("from_hz", "to_hz"), [*PAIRS, (8000.0, 48000.0), (192000.0, 8000.0), (44100.0, 47999.0)]
)
@pytest.mark.parametrize("frames", [0, 1, 2, 3, 1000, 12345])
def test_the_length_is_exact(from_hz: float, to_hz: float, frames: int) -> None:
    sound = np.ones((frames, 2))
    found = sum(len(block) for block in resampled(np.array_split(sound, 3), from_hz, to_hz, 2))
    assert found == frames_at(frames, from_hz, to_hz)
    assert found == 0 if frames == 0 else abs(found - max(1, frames * to_hz / from_hz)) <= 0.5


def test_the_cut_into_blocks_changes_nothing() -> None:
    sound = np.random.default_rng(4).uniform(-1, 1, (20000, 2))
    whole = converted(sound, 44100.0, 48000.0, pieces=1)
    assert np.array_equal(whole, converted(sound, 44100.0, 48000.0, pieces=41))


def test_equal_rates_pass_unchanged() -> None:
    sound = np.random.default_rng(4).uniform(-1, 1, (1000, 1))
    assert np.array_equal(converted(sound, 48000.0, 48000.0), sound)
