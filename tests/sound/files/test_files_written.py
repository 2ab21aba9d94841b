"""Sound files out: whole or not at all, never over what must be kept, the same sound the same bytes."""

import stat
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import soundfile

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.files import limits
from pedalwright.sound.files.samples import Depth, as_kept
from pedalwright.sound.files.writing import SoundOut
from pedalwright.sound.unusable import UnusableSound


def noise(frames: int, channels: int = 1) -> FloatArray:
    return np.random.default_rng(5).uniform(-0.9, 0.9, (frames, channels))


def written(
    path: Path, sound: FloatArray, depth: Depth = Depth.BITS_24, frames: int | None = None
) -> SoundOut:
    channels = 1 if sound.ndim == 1 else sound.shape[1]
    with SoundOut(path, rate_hz=48000, channels=channels, depth=depth, frames=frames) as out:
        for block in np.array_split(sound, 7):
            out.write(block)
    return out


def refusal(path: Path, *, depth: Depth = Depth.BITS_24, inputs: tuple[Path, ...] = ()) -> str:
    with (
        pytest.raises(UnusableSound) as told,
        SoundOut(path, rate_hz=48000, depth=depth, inputs=inputs) as out,
    ):
        out.write(np.zeros(10))
    (remark,) = told.value.remarks
    assert all(words.endswith(".") for words in (remark.what, remark.why, remark.cure))
    return remark.code


@pytest.mark.parametrize("channels", [1, 2])
@pytest.mark.parametrize(
    ("name", "depth", "subtype", "step"),
    [
        ("out.wav", Depth.BITS_24, "PCM_24", 2.0**-24),
        ("out.flac", Depth.BITS_24, "PCM_24", 2.0**-24),
        ("out.WAV", Depth.BITS_16, "PCM_16", 1.5 * 2.0**-15),
        ("out.flac", Depth.BITS_16, "PCM_16", 1.5 * 2.0**-15),
        ("out.wav", Depth.FLOAT, "FLOAT", 2.0**-25),
    ],
)
def test_samples_arrive_within_half_a_step_and_the_dither(
    tmp_path: Path, name: str, depth: Depth, subtype: str, step: float, channels: int
) -> None:
    sound = noise(10000, channels)
    out = written(tmp_path / name, sound, depth)
    facts = soundfile.info(str(tmp_path / name))
    assert (facts.subtype, facts.samplerate, facts.frames, facts.channels) == (
        subtype,
        48000,
        10000,
        channels,
    )
    found, _ = soundfile.read(tmp_path / name, always_2d=True)
    assert np.abs(found - sound).max() <= step
    assert out.remarks == () and out.frames == 10000
    assert [path.name for path in tmp_path.iterdir()] == [name]


@pytest.mark.parametrize("depth", list(Depth))
def test_the_same_sound_gives_the_same_bytes(tmp_path: Path, depth: Depth) -> None:
    for name in ("one.wav", "two.wav"):
        written(tmp_path / name, noise(3000), depth)
    one = (tmp_path / "one.wav").read_bytes()
    assert one == (tmp_path / "two.wav").read_bytes()
    # The time of day, which the library notes beside the peaks of floats, is taken out.
    place = one.find(b"PEAK")
    assert (place >= 0) == (depth is Depth.FLOAT)
    assert place < 0 or one[place + 12 : place + 16] == bytes(4)


def test_silence_stays_silence_at_24_bits_and_is_dithered_at_16() -> None:
    dice = np.random.default_rng(0)
    silence = np.zeros((100_000, 1))
    assert not as_kept(silence, Depth.BITS_24, dice).any()
    steps = as_kept(silence, Depth.BITS_16, dice).astype(np.float64)
    # Triangular dither has 1/6 of a squared step, rounding 1/12 more (Lipshitz and others, JAES 40(5), 1992).
    assert np.mean(steps**2) == pytest.approx(0.25, rel=0.02)
    assert abs(steps.mean()) < 0.01


def test_dither_frees_a_soft_tone_of_distortion() -> None:
    """A sine below one step: rounded alone it has harmonics, dithered none above the noise."""
    turns = 2 * np.pi * 100 * np.arange(2**17) / 2**17
    tone = (0.7 * 2.0**-15 * np.sin(turns))[:, None]
    dithered = as_kept(tone, Depth.BITS_16, np.random.default_rng(1)).astype(np.float64)[:, 0]
    rounded = np.rint(tone[:, 0] * 2**15)

    def third(sound: FloatArray) -> float:
        spectrum = np.abs(np.fft.rfft(sound))
        return float(spectrum[300] / spectrum[100])

    assert third(rounded) > 0.1
    assert third(dithered) < 0.02


def test_what_lies_beyond_full_scale_is_clipped_counted_and_said(tmp_path: Path) -> None:
    out = written(tmp_path / "out.wav", np.array([0.5, 1.0, 1.5, -2.0, 0.0, 0.1, 0.2]))
    found, _ = soundfile.read(tmp_path / "out.wav")
    assert found == pytest.approx([0.5, 1, 1, -1, 0, 0.1, 0.2], abs=2e-7)
    assert [remark.what for remark in out.remarks] == ["2 samples of out.wav lay beyond full scale."]


def test_never_over_an_input_or_a_circuit(tmp_path: Path) -> None:
    take = tmp_path / "take.wav"
    take.write_bytes(b"mine")
    link = tmp_path / "link.wav"
    link.symlink_to(take)
    assert refusal(take, inputs=(tmp_path / "other.wav", take)) == "sound-file.input"
    assert refusal(link, inputs=(take,)) == "sound-file.input"
    assert refusal(tmp_path / "echo.PEDAL") == "sound-file.circuit"
    assert take.read_bytes() == b"mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link.wav", "take.wav"]


def test_goals_that_cannot_be_written_are_told(tmp_path: Path) -> None:
    assert refusal(tmp_path / "out.mp3") == "sound-file.ending"
    assert refusal(tmp_path / "out") == "sound-file.ending"
    assert refusal(tmp_path / "out.flac", depth=Depth.FLOAT) == "sound-file.float"
    assert refusal(tmp_path / "nowhere" / "out.wav") == "sound-file.unwritable"
    (tmp_path / "folder.wav").mkdir()
    assert refusal(tmp_path / "folder.wav") == "sound-file.unwritable"
    assert [path.name for path in tmp_path.iterdir()] == ["folder.wav"]


@pytest.mark.parametrize("problem", [KeyboardInterrupt, ValueError, SystemExit])
def test_an_interrupt_leaves_what_was_there(tmp_path: Path, problem: type[BaseException]) -> None:
    goal = tmp_path / "out.wav"
    goal.write_bytes(b"before")
    with pytest.raises(problem), SoundOut(goal, rate_hz=48000) as out:  # noqa: PT012
        out.write(np.zeros(100_000))
        raise problem
    assert goal.read_bytes() == b"before"
    assert list(tmp_path.iterdir()) == [goal]


@pytest.mark.parametrize("value", [np.nan, np.inf])
def test_a_computed_sound_that_is_no_number_is_never_written(tmp_path: Path, value: float) -> None:
    with (
        pytest.raises(UnusableSound, match="no number"),
        SoundOut(tmp_path / "out.wav", rate_hz=48000) as out,
    ):
        out.write(np.array([0.0, value]))
    assert list(tmp_path.iterdir()) == []


def test_a_replaced_file_keeps_its_permissions(tmp_path: Path) -> None:
    goal = tmp_path / "out.wav"
    goal.write_bytes(b"before")
    goal.chmod(0o640)
    written(goal, noise(100))
    assert stat.S_IMODE(goal.stat().st_mode) == 0o640
    assert soundfile.info(str(goal)).frames == 100


def test_beyond_4_gb_a_wav_becomes_rf64_when_it_is_known_beforehand(tmp_path: Path) -> None:
    """The file is not made that long here: its kind is settled by the length stated."""
    out = written(tmp_path / "out.wav", noise(1000), frames=2_000_000_000)
    assert soundfile.info(str(tmp_path / "out.wav")).format == "RF64"
    assert [remark.code for remark in out.remarks] == ["sound-file.rf64"]


def test_beyond_4_gb_a_wav_is_refused_when_it_was_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(limits, "LARGEST_WAV_BYTES", 2000)
    with pytest.raises(UnusableSound, match=r"ends at 4 GB"):
        written(tmp_path / "out.wav", noise(1000))
    assert list(tmp_path.iterdir()) == []
    written(tmp_path / "out.flac", noise(1000))


FULL_DISK = """
import resource, sys
import numpy as np
from pedalwright.sound.files.writing import SoundOut
from pedalwright.sound.unusable import UnusableSound
resource.setrlimit(resource.RLIMIT_FSIZE, (300_000, 300_000))
try:
    with SoundOut(sys.argv[1], rate_hz=48000) as out:
        for seed in range(30):
            out.write(np.random.default_rng(seed).uniform(-0.9, 0.9, 9000))
except UnusableSound as told:
    print(told)
"""


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="the system cannot limit the size of files")
@pytest.mark.parametrize("name", ["out.wav", "out.flac"])
def test_a_full_medium_is_told_and_nothing_is_left(tmp_path: Path, name: str) -> None:
    command = [sys.executable, "-c", FULL_DISK, str(tmp_path / name)]
    run = subprocess.run(command, capture_output=True, encoding="utf-8", check=True)
    assert "could not be written whole, so nothing was kept" in run.stdout
    assert run.stderr == ""
    assert list(tmp_path.iterdir()) == []
