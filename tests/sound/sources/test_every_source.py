"""What all built-in sounds share: level, length, determinism, quiet ends, a limited band."""

import numpy as np
import pytest

from pedalwright.sound.sources.catalogue import source_names
from pedalwright.sound.sources.reading import read_source
from pedalwright.sound.unusable import UnusableSound

RATES_HZ = (44100.0, 48000.0, 96000.0, 176400.0)


@pytest.mark.parametrize("rate_hz", RATES_HZ)
@pytest.mark.parametrize("name", source_names())
def test_level_length_and_ends(name: str, rate_hz: float) -> None:
    volts = read_source(f"{name},seconds=0.7,level=0.3V").volts(rate_hz)
    assert volts.dtype == np.float64 and volts.shape == (round(0.7 * rate_hz),)
    # A tone or a sweep need not meet its crest with a sample.
    assert 0.2995 <= np.abs(volts).max() <= 0.3 + 1e-12
    # No step at either end above 60 dB below the peak.
    assert abs(volts[0]) < 3e-4 and abs(volts[-1]) < 3e-4


@pytest.mark.parametrize("name", source_names())
def test_the_same_wish_gives_the_same_volts_whole_or_in_blocks(name: str) -> None:
    wish = f"{name},seconds=0.3"
    whole = read_source(wish).volts(48000)
    assert np.array_equal(whole, read_source(wish).volts(48000))
    assert np.array_equal(whole, np.concatenate(list(read_source(wish).blocks(48000, 1000))))


@pytest.mark.parametrize("name", ["pluck", "chord", "noise"])
def test_another_seed_is_another_throw(name: str) -> None:
    one, other = (read_source(f"{name},seconds=0.2,seed={seed}").volts(48000) for seed in (1, 2))
    assert np.abs(one - other).max() > 0.05


@pytest.mark.parametrize("name", source_names())
def test_nothing_lies_above_24_khz(name: str) -> None:
    """At four times 48 kHz there is room to see it."""
    volts = read_source(f"{name},seconds=0.5").volts(192000)
    power = np.abs(np.fft.rfft(volts * np.hanning(len(volts)))) ** 2
    above = np.fft.rfftfreq(len(volts), 1 / 192000) > 24e3
    assert power[above].sum() < 1e-8 * power.sum()


@pytest.mark.parametrize("name", ["pluck", "chord", "click", "tone", "sweep", "noise"])
def test_a_sound_is_the_same_at_every_rate(name: str) -> None:
    """Every second frame at 96 kHz is a frame at 48 kHz, but for the level, which is set by the largest
    sample.
    """
    slow = read_source(f"{name},seconds=0.5").volts(48000)
    fast = read_source(f"{name},seconds=0.5").volts(96000)[::2]
    scaled = fast * (fast @ slow) / (fast @ fast)
    assert np.sqrt(np.mean((slow - scaled) ** 2)) < 2e-3 * np.sqrt(np.mean(slow**2))


def test_a_rate_without_room_is_refused() -> None:
    with pytest.raises(UnusableSound, match=r"reaches 20 kHz\. At 32000 Hz there is room up to 14\.7 kHz"):
        read_source("sweep").volts(32000)


@pytest.mark.parametrize("rate_hz", [0.0, -48000.0, 10.0, 1e9, float("nan")])
def test_an_absurd_rate_is_refused(rate_hz: float) -> None:
    with pytest.raises(UnusableSound, match="no rate a sound is made at"):
        read_source("click").volts(rate_hz)


def test_the_click_is_even_to_18_khz() -> None:
    """The pulse stands at 2 ms, and its spectrum is flat: a click shows every frequency alike."""
    volts = read_source("click").volts(48000)
    assert int(np.argmax(volts)) == 96
    levels_db = 20 * np.log10(np.abs(np.fft.rfft(volts)))
    band = np.fft.rfftfreq(len(volts), 1 / 48000) <= 18e3
    assert np.ptp(levels_db[band]) < 0.1


def test_noise_is_even_over_its_band_and_nothing_beside_it() -> None:
    volts = read_source("noise:200Hz..4kHz,seconds=8s").volts(48000)
    power = np.abs(np.fft.rfft(volts)) ** 2
    hz = np.fft.rfftfreq(len(volts), 1 / 48000)
    octaves = [power[(hz >= low) & (hz < 2 * low)].mean() for low in (250.0, 500.0, 1000.0, 1900.0)]
    # The mean of n exponential powers scatters by 1/sqrt(n): 2000 and more bins, 4 sigma.
    assert np.ptp(10 * np.log10(octaves)) < 20 * np.log10(1 + 4 / np.sqrt(2000))
    beside = power[(hz < 190) | (hz > 4010)].sum()
    assert beside < 1e-5 * power.sum()


def test_a_tone_is_one_line() -> None:
    volts = read_source("tone:1kHz,seconds=1s,level=1V").volts(48000)
    middle = volts[12000:36000]
    expected = np.sin(2 * np.pi * 1000 * np.arange(12000, 36000) / 48000)
    assert np.abs(middle - expected).max() < 1e-9
