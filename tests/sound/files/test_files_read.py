"""Sound files in: every kind that is written somewhere, streams in constant memory, mistakes in sentences."""

import os
import struct
import tracemalloc
from pathlib import Path

import numpy as np
import pytest
import soundfile
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.files import limits
from pedalwright.sound.files.reading import SoundIn
from pedalwright.sound.unusable import UnusableSound


def sound_of(path: Path, *, rate_hz: float | None = None, mono: bool = False) -> FloatArray:
    return np.concatenate(list(SoundIn(path, rate_hz=rate_hz, mono=mono).blocks()))


def refusal(path: Path | str, *, mono: bool = False) -> str:
    """The code of the one remark; its sentences are whole."""
    with pytest.raises(UnusableSound) as told:
        for _ in SoundIn(path, mono=mono).blocks():
            pass
    (remark,) = told.value.remarks
    assert all(words.endswith(".") for words in (remark.what, remark.why, remark.cure))
    return remark.code


def noise(frames: int, channels: int = 1) -> FloatArray:
    return np.random.default_rng(5).uniform(-0.9, 0.9, (frames, channels))


@pytest.fixture
def plain(tmp_path: Path) -> bytearray:
    """The bytes of an ordinary WAV file: mono, 44.1 kHz, 24 bit, the header 44 bytes."""
    path = tmp_path / "plain.wav"
    soundfile.write(path, noise(44100), 44100, subtype="PCM_24")
    return bytearray(path.read_bytes())


@pytest.mark.parametrize("channels", [1, 2])
@pytest.mark.parametrize("rate_hz", [8000, 44100, 96000])
@pytest.mark.parametrize(
    ("ending", "subtype", "step"),
    [
        ("wav", "PCM_16", 2.0**-15),
        ("wav", "PCM_24", 2.0**-23),
        ("wav", "PCM_32", 2.0**-31),
        ("wav", "PCM_U8", 2.0**-7),
        ("wav", "FLOAT", 2.0**-24),
        ("wav", "DOUBLE", 0.0),
        ("flac", "PCM_16", 2.0**-15),
        ("flac", "PCM_24", 2.0**-23),
        ("aiff", "PCM_16", 2.0**-15),
        ("w64", "PCM_24", 2.0**-23),
    ],
)
def test_samples_come_out_as_they_went_in(
    tmp_path: Path, ending: str, subtype: str, step: float, rate_hz: int, channels: int
) -> None:
    path = tmp_path / f"take.{ending}"
    written = noise(5000, channels)
    soundfile.write(path, written, rate_hz, subtype=subtype)
    found = SoundIn(path)
    assert (found.channels, found.rate_hz, found.frames) == (channels, rate_hz, 5000)
    assert found.remarks == ()
    # One step: half of it by rounding, half because the library takes full scale one step lower.
    assert np.abs(sound_of(path) - written).max() <= step


def test_a_file_can_be_read_again(tmp_path: Path) -> None:
    path = tmp_path / "take.flac"
    soundfile.write(path, noise(10000), 48000)
    found = SoundIn(path, rate_hz=44100)
    first, second = (np.concatenate(list(found.blocks())) for _ in range(2))
    assert np.array_equal(first, second) and len(first) == found.frames


def test_stereo_is_mixed_to_its_mean_when_asked_and_it_is_said(tmp_path: Path) -> None:
    path = tmp_path / "take.wav"
    written = noise(3000, 2)
    soundfile.write(path, written, 48000, subtype="DOUBLE")
    assert np.allclose(sound_of(path, mono=True)[:, 0], written.mean(axis=1), atol=1e-15)
    assert [remark.code for remark in SoundIn(path, mono=True).remarks] == ["sound-file.mixed"]


def test_more_channels_are_refused_or_mixed(tmp_path: Path) -> None:
    path = tmp_path / "surround.wav"
    written = noise(3000, 6)
    soundfile.write(path, written, 48000, subtype="DOUBLE")
    assert refusal(path) == "sound-file.channels"
    assert np.allclose(sound_of(path, mono=True)[:, 0], written.mean(axis=1), atol=1e-15)


def test_blocks_are_short_and_memory_stays_small(tmp_path: Path) -> None:
    """Five minutes at 8 kHz become 115 MB at 48 kHz; a few blocks are held."""
    path = tmp_path / "long.wav"
    soundfile.write(path, noise(300 * 8000)[:, 0], 8000, subtype="PCM_16")
    tracemalloc.start()
    try:
        lengths = [len(block) for block in SoundIn(path, rate_hz=48000).blocks()]
        peak_bytes = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert sum(lengths) == 300 * 48000 and max(lengths) <= limits.BLOCK_FRAMES
    assert peak_bytes < 8e6


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "sound-file.empty"),
        (b"R", "sound-file.not-a-sound"),
        (b"no sound at all\n" * 99, "sound-file.not-a-sound"),
        (b"RIFF\xff\xff\xff\xffWAVE", "sound-file.not-a-sound"),
        (b"fLaC" + bytes(100), "sound-file.not-a-sound"),
    ],
)
def test_what_is_no_sound_is_told(tmp_path: Path, content: bytes, code: str) -> None:
    path = tmp_path / "take.wav"
    path.write_bytes(content)
    assert refusal(path) == code


def test_files_that_cannot_be_opened_are_told(tmp_path: Path) -> None:
    assert refusal(tmp_path) == "sound-file.directory"
    assert refusal(tmp_path / "nothing.wav") == "sound-file.missing"
    assert refusal("a\0b.wav") == "sound-file.unreadable"
    (tmp_path / "take.raw").write_bytes(bytes(99))
    assert refusal(tmp_path / "take.raw") == "sound-file.not-a-sound"


def test_a_file_without_permission_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "take.wav"
    soundfile.write(path, noise(10), 48000)

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    # Whoever runs the tests may be allowed to read everything, so the system's answer is played.
    monkeypatch.setattr(Path, "open", refuse)
    assert refusal(path) == "sound-file.unreadable"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.wav")
    assert refusal(tmp_path / "pipe.wav") == "sound-file.unreadable"


def test_a_file_of_no_frames_is_told(tmp_path: Path) -> None:
    soundfile.write(tmp_path / "take.wav", np.zeros((0, 1)), 48000)
    assert refusal(tmp_path / "take.wav") == "sound-file.empty"


@pytest.mark.parametrize(("value", "code"), [
    (np.nan, "sound-file.no-number"), (np.inf, "sound-file.no-number"), (-np.inf, "sound-file.no-number"),
    (32767.0, "sound-file.too-large"), (-1e300, "sound-file.too-large"),
])  # fmt: skip
def test_a_sample_that_cannot_be_is_told_with_its_time(tmp_path: Path, value: float, code: str) -> None:
    written = noise(48000, 2)
    written[24000, 1] = value
    soundfile.write(tmp_path / "take.wav", written, 48000, subtype="DOUBLE")
    assert refusal(tmp_path / "take.wav") == code
    with pytest.raises(UnusableSound, match=r"0\.500 s after its beginning"):
        sound_of(tmp_path / "take.wav")


@pytest.mark.parametrize(
    ("place", "form", "value", "code"),
    # Fields of the header of a WAV file: channels at byte 22, rate at 24, bits at 34.
    [
        (22, "<H", 0, "sound-file.not-a-sound"),
        (22, "<H", 65535, "sound-file.not-a-sound"),
        (22, "<H", 300, "sound-file.channels"),
        (24, "<I", 0, "sound-file.not-a-sound"),
        (24, "<I", 1, "sound-file.rate"),
        (24, "<I", 2_000_000_000, "sound-file.rate"),
        (24, "<I", 0xFFFFFFFF, "sound-file.not-a-sound"),
        (34, "<H", 77, "sound-file.not-a-sound"),
        (16, "<I", 0xFFFFFFF0, "sound-file.not-a-sound"),
    ],
)
def test_a_lying_header_is_told(
    tmp_path: Path, plain: bytearray, place: int, form: str, value: int, code: str
) -> None:
    struct.pack_into(form, plain, place, value)
    path = tmp_path / "lie.wav"
    path.write_bytes(plain)
    assert refusal(path) == code


def test_a_length_left_open_is_read_to_the_end(tmp_path: Path, plain: bytearray) -> None:
    """Programs that write into a pipe cannot know the length, and write the largest one."""
    struct.pack_into("<I", plain, 4, 0xFFFFFFFF)
    struct.pack_into("<I", plain, 40, 0xFFFFFFFF)
    path = tmp_path / "open.wav"
    path.write_bytes(plain)
    assert len(sound_of(path)) == 44100
    assert SoundIn(path).remarks == ()


def test_a_wav_cut_short_is_played_as_far_as_it_goes_and_that_is_said(
    tmp_path: Path, plain: bytearray
) -> None:
    path = tmp_path / "cut.wav"
    path.write_bytes(plain[: 44 + 3 * 22050])
    found = SoundIn(path)
    assert sum(len(block) for block in found.blocks()) == 22050
    assert [remark.code for remark in found.remarks] == ["sound-file.ends-early"]


def test_a_flac_cut_short_is_played_as_far_as_it_goes_and_that_is_said(tmp_path: Path) -> None:
    path = tmp_path / "cut.flac"
    soundfile.write(path, noise(44100), 44100)
    path.write_bytes(path.read_bytes()[:50000])
    found = SoundIn(path)
    assert 15000 < sum(len(block) for block in found.blocks()) < 30000
    assert [remark.code for remark in found.remarks] == ["sound-file.ends-early"]
    assert "promises 1.00 s" in found.remarks[0].why


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.sampled_from(["WAV", "FLAC", "AIFF", "RF64"]),
    st.lists(st.tuples(st.integers(0, 99), st.integers(0, 255)), min_size=1, max_size=4),
    st.integers(1, 3000),
)
def test_no_damage_ends_in_anything_but_sound_or_remarks(
    tmp_path: Path, form: str, damage: list[tuple[int, int]], kept: int
) -> None:
    path = tmp_path / "take.any"
    soundfile.write(path, noise(500, 2), 48000, format=form)
    content = bytearray(path.read_bytes()[:kept])
    for place, value in damage:
        if place < len(content):
            content[place] = value
    path.write_bytes(content)
    try:
        sound = sound_of(path, rate_hz=48000, mono=True)
    except UnusableSound:
        return
    assert np.isfinite(sound).all() and len(sound) > 0
