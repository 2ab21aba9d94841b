"""A sound file as a stream of blocks: whatever libsndfile opens, at any rate, of any length."""

import re
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from pedalwright.circuit.remark import Remark, Severity
from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.files import limits
from pedalwright.sound.files.refusals import not_a_sound, unreadable
from pedalwright.sound.files.resampling import frames_at, resampled
from pedalwright.sound.unusable import UnusableSound, unusable

_SHORTENED = re.compile(r"^ *(?:data|SSND)\b.*?: *([0-9]+) *\(should be ([0-9]+)\)", re.MULTILINE)
_UNSTATED = 0x7FFF_0000
"""lengths from here on are what programs write that cannot know the length beforehand"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """What a sound file says about itself: `frames` of `channels` samples at `rate_hz`, kept as `kept_as`.

    `missing_bytes` is by how much the file is shorter than its header says.
    """

    rate_hz: int
    channels: int
    frames: int
    kept_as: str
    missing_bytes: int


class SoundIn:
    """A sound file looked at, and ready to be read, as often as wanted, at `rate_hz` [Hz] or else at its own.

    Blocks are float64 (frames, channels) with full scale at plus and minus one. A file has one or two
    channels; with `mono`, the mean of them all is given, (frames, 1).

    Raises UnusableSound for what is no sound file, or none that can be played.
    """

    def __init__(self, path: Path | str, *, rate_hz: float | None = None, mono: bool = False) -> None:
        self.name = str(path)
        self.header = _header(self.name)
        self.rate_hz = float(self.header.rate_hz if rate_hz is None else rate_hz)
        self.channels = 1 if mono else self.header.channels
        self._remarks = _check(self.header, self.name, mono)

    @property
    def frames(self) -> int:
        """How many frames it should have at `rate_hz`."""
        return frames_at(self.header.frames, self.header.rate_hz, self.rate_hz)

    @property
    def seconds(self) -> float:
        """How long it should last [s]."""
        return self.header.frames / self.header.rate_hz

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """What is to be said of the file; complete once it has been read to its end."""
        return tuple(self._remarks)

    def blocks(self) -> Iterator[FloatArray]:
        """The sound from its beginning, block by block, each at most `limits.BLOCK_FRAMES` long.

        Raises UnusableSound where a sample is not a number, or the file can no longer be read.
        """
        whole = resampled(self._own_blocks(), self.header.rate_hz, self.rate_hz, self.channels)
        for block in whole:
            for begin in range(0, len(block), limits.BLOCK_FRAMES):
                yield block[begin : begin + limits.BLOCK_FRAMES]

    def _own_blocks(self) -> Iterator[FloatArray]:
        read = 0
        with _opened(self.name) as file:
            while len(block := self._next(file, begun=read > 0)):
                _check_samples(block, read, self.header.rate_hz, self.name)
                read += len(block)
                yield block.mean(axis=1, keepdims=True) if self.channels < block.shape[1] else block
        self._note_early_end(read)

    def _next(self, file: Any, *, begun: bool) -> FloatArray:
        """The next frames, put together from short ones: of those, damage costs no more than one."""
        pieces: list[FloatArray] = []
        room = self._frames_at_a_time()
        try:
            while room > 0 and len(piece := file.read(min(room, limits.PIECE_FRAMES), always_2d=True)):
                pieces.append(piece)
                room -= len(piece)
        except RuntimeError as failure:  # the library's own error is one
            if not (begun or pieces):
                raise not_a_sound(self.name, str(failure)) from None
        except OSError as failure:
            raise unreadable(failure, self.name) from None
        return np.concatenate(pieces) if pieces else np.zeros((0, self.header.channels))

    def _frames_at_a_time(self) -> int:
        """So that neither what is read nor what it becomes at the other rate is longer than a block."""
        grows = max(1.0, self.rate_hz / self.header.rate_hz)
        return max(1, int(limits.BLOCK_FRAMES / grows) // max(1, self.header.channels // 2))

    def _note_early_end(self, read: int) -> None:
        if read == 0:
            raise _empty(self.name)
        missing_s = (self.header.frames - read) / self.header.rate_hz
        if missing_s > limits.UNNOTICED_S and not any(note.code == _EARLY for note in self._remarks):
            there_s = read / self.header.rate_hz
            why = f"Its header promises {self.seconds:.2f} s, but only {there_s:.2f} s can be read."
            self._remarks.append(_ends_early(self.name, why))


def _header(name: str) -> Header:
    _look(name)
    with _opened(name) as file:
        return Header(
            rate_hz=int(file.samplerate),
            channels=int(file.channels),
            frames=max(0, int(file.frames)),
            kept_as=f"{file.format_info}, {file.subtype_info}",
            missing_bytes=_missing_bytes(str(file.extra_info)),
        )


def _look(name: str) -> None:
    """A pipe or a terminal would be waited for without end, so only plain files are opened."""
    try:
        path = Path(name)
        found = path.stat()
        if stat.S_ISDIR(found.st_mode):
            raise IsADirectoryError
        if not stat.S_ISREG(found.st_mode):
            raise OSError("it is a device or a pipe, not a file")
        with path.open("rb"):
            pass
    except (OSError, ValueError) as failure:
        raise unreadable(failure, name) from None
    if found.st_size == 0:
        raise _empty(name)
    if path.suffix.lower() == ".raw":
        raise not_a_sound(name, "a raw file has no header to tell its rate and channels")


def _opened(name: str) -> Any:
    import soundfile

    try:
        return soundfile.SoundFile(name)
    except soundfile.LibsndfileError as failure:
        raise not_a_sound(name, str(failure.error_string)) from None
    except (OSError, ValueError) as failure:
        raise unreadable(failure, name) from None


def _missing_bytes(log: str) -> int:
    """From the library's log: it reads what is there, and notes there that the header says otherwise."""
    found = _SHORTENED.search(log)
    if found is None:
        return 0
    said, there = (int(digits) for digits in found.groups())
    return max(0, said - there) if said < _UNSTATED else 0


def _check(header: Header, name: str, mono: bool) -> list[Remark]:
    if header.frames == 0:
        raise _empty(name)
    if not limits.LOWEST_RATE_HZ <= header.rate_hz <= limits.HIGHEST_RATE_HZ:
        raise unusable(
            "sound-file.rate",
            f"{name} says it has {header.rate_hz} frames a second.",
            f"Sound has {limits.LOWEST_RATE_HZ} to {limits.HIGHEST_RATE_HZ}; the header may be damaged.",
            "Save the sound again, at 48 kHz.",
        )
    if header.channels > (limits.MOST_MIXED_CHANNELS if mono else 2):
        raise unusable(
            "sound-file.channels",
            f"{name} has {header.channels} channels.",
            "One or two can be played.",
            "Save it as mono or stereo, or ask for it mixed to one channel.",
        )
    return _first_remarks(header, name, mono)


def _first_remarks(header: Header, name: str, mono: bool) -> list[Remark]:
    remarks = []
    if header.missing_bytes:
        why = f"Its header promises {header.missing_bytes} bytes of sound more than there are."
        remarks.append(_ends_early(name, why))
    if mono and header.channels > 1:
        remarks.append(
            Remark(
                code="sound-file.mixed",
                span=None,
                what=f"The {header.channels} channels of {name} are mixed to one.",
                why="One channel was asked for; it is the mean of them all.",
                cure="Leave that wish away to play up to two channels each by itself.",
                severity=Severity.CAUTION,
            )
        )
    return remarks


def _check_samples(block: FloatArray, before: int, rate_hz: int, name: str) -> None:
    fine = np.abs(block) <= limits.LARGEST_SAMPLE  # false for what is no number, too
    if fine.all():
        return
    frame = int(np.argmin(fine.all(axis=1)))
    value = block[frame][~fine[frame]][0]
    at_s = (before + frame) / rate_hz
    if np.isfinite(value):
        raise unusable(
            "sound-file.too-large",
            f"{name} has a sample of {value:.3g} times full scale, {at_s:.3f} s after its beginning.",
            "Such files have full scale at 1; whole numbers may have been saved as they are.",
            "Divide the sound by its full scale, such as 32768, and save it again.",
        )
    raise unusable(
        "sound-file.no-number",
        f"{name} has a sample that is no number, {at_s:.3f} s after its beginning.",
        "The program that wrote it had a fault there.",
        "Mend the place in a sound editor, or cut it out.",
    )


_EARLY = "sound-file.ends-early"


def _ends_early(name: str, why: str) -> Remark:
    return Remark(
        code=_EARLY,
        span=None,
        what=f"{name} is cut short or damaged; what is missing is not played.",
        why=why,
        cure="Copy or download it again.",
        severity=Severity.CAUTION,
    )


def _empty(name: str) -> UnusableSound:
    return unusable(
        "sound-file.empty",
        f"{name} holds no sound.",
        "It has no frames.",
        "Name another file, or save it again.",
    )
