"""Sound into a WAV or FLAC file, block by block; it appears under its name when it is complete."""

from collections.abc import Iterable
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import numpy as np

from pedalwright.circuit.remark import Remark, Severity
from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.files import limits
from pedalwright.sound.files.placing import Placing, spared
from pedalwright.sound.files.refusals import unwritable
from pedalwright.sound.files.samples import Depth, as_kept
from pedalwright.sound.unusable import UnusableSound, unusable

FORMATS = {".wav": "WAV", ".flac": "FLAC"}
"""by ending"""
DICE_SEED = 1
"""of the dither at 16 bits: the same sound gives the same file"""


class SoundOut:
    """A sound file being written: ``with SoundOut(path, ...) as out: out.write(block)``.

    Left without an error, the file stands under its name, checked and whole; otherwise, an interrupt
    included, there is nothing new. Never written are a circuit's text and the files of `inputs`.

    `frames`, when known beforehand, lets a sound beyond the 4 GB of a WAV be written as RF64 (EBU Tech
    3306) under the same ending; without it such a sound is refused when it grows too long. Raises
    UnusableSound, and nothing else, for whatever keeps the file from being written.
    """

    def __init__(
        self,
        path: Path | str,
        *,
        rate_hz: int,
        channels: int = 1,
        depth: Depth = Depth.BITS_24,
        inputs: Iterable[Path | str] = (),
        frames: int | None = None,
    ) -> None:
        self.rate_hz, self.channels, self.depth = rate_hz, channels, depth
        self.frames = 0
        self.clipped_samples = 0
        self._dice = np.random.default_rng(DICE_SEED)
        goal = spared(path, inputs)
        self.format = _format(goal, depth, channels * depth.sample_bytes * (frames or 0))
        try:
            self._placing = Placing(goal)
        except OSError as failure:
            raise unwritable(failure, goal) from None
        self._file = self._opened()

    def write(self, block: FloatArray) -> None:
        """Add a block, (frames,) or (frames, channels), full scale at plus and minus one.

        What lies beyond is clipped, counted and told in `remarks`. Raises UnusableSound for what is no
        number.
        """
        shaped = block.reshape(len(block), -1)
        if shaped.shape[1] != self.channels:
            raise ValueError(f"{shaped.shape[1]} channels cannot be written to a file of {self.channels}")
        self._check(shaped)
        try:
            self._file.write(as_kept(shaped, self.depth, self._dice))
        except (OSError, RuntimeError, AssertionError) as failure:
            raise unwritable(failure, self._placing.goal) from None
        self.frames += len(shaped)
        if self.depth is not Depth.FLOAT:
            self.clipped_samples += int(np.count_nonzero(np.abs(shaped) > 1))

    @property
    def path(self) -> Path:
        """Where the file stands when it is complete."""
        return self._placing.goal

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """What is to be said of the file."""
        found = []
        if self.clipped_samples:
            found.append(
                _caution(
                    "sound-file.clipped",
                    f"{self.clipped_samples} samples of {self.path.name} lay beyond full scale.",
                    "They are clipped in the file, which the circuit did not do.",
                    "Ask for a lower level.",
                )
            )
        if self.format == "RF64":
            found.append(
                _caution(
                    "sound-file.rf64",
                    f"{self.path.name} is written as RF64.",
                    "A plain WAV ends at 4 GB; some programs cannot read more.",
                    "Write FLAC if yours cannot.",
                )
            )
        return tuple(found)  # fmt: skip

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        try:
            if kind is None:
                self._finish()
        finally:
            self._abandon()

    def _finish(self) -> None:
        try:
            self._file.close()
            _take_date_out(self._placing.part)
            self._check_written()
            self._placing.keep()
        except (OSError, RuntimeError) as failure:
            raise unwritable(failure, self._placing.goal) from None

    def _abandon(self) -> None:
        """Nothing is left of what was not finished; after `_finish` there is nothing to do."""
        try:
            self._file.close()
        except (OSError, RuntimeError):
            pass  # it is about to be removed
        finally:
            self._placing.drop()

    def _opened(self) -> Any:
        import soundfile

        try:
            return soundfile.SoundFile(
                self._placing.part, "w", self.rate_hz, self.channels, self.depth.subtype, format=self.format
            )
        except (OSError, RuntimeError, ValueError) as failure:
            self._placing.drop()
            raise unwritable(failure, self._placing.goal) from None

    def _check(self, block: FloatArray) -> None:
        if not np.isfinite(block).all():
            raise unusable(
                "sound.no-number",
                f"The computed sound is no number, {self.frames / self.rate_hz:.3f} s or a little later.",
                "A file with such samples could hurt ears and loudspeakers.",
                "Please report the circuit; nothing was written.",
            )
        size = (self.frames + len(block)) * self.channels * self.depth.sample_bytes
        if self.format == "WAV" and size > limits.LARGEST_WAV_BYTES:
            raise _too_long(self._placing.goal)

    def _check_written(self) -> None:
        import soundfile

        found = soundfile.info(str(self._placing.part))
        if (found.frames, found.channels, found.samplerate) != (self.frames, self.channels, self.rate_hz):
            raise OSError(f"{found.frames} frames of {self.frames} arrived")


def _format(goal: Path, depth: Depth, size: int) -> str:
    found = FORMATS.get(goal.suffix.lower())
    if found is None:
        raise unusable(
            "sound-file.ending",
            f"'{goal.suffix}' is no ending of a sound file that can be written.",
            "The ending says how the sound is kept.",
            f"End the name in {' or '.join(FORMATS)}.",
        )
    if found == "FLAC" and depth is Depth.FLOAT:
        raise unusable(
            "sound-file.float",
            "FLAC keeps whole numbers only.",
            "Floats were asked for.",
            "End the name in .wav.",
        )
    return "RF64" if found == "WAV" and size > limits.LARGEST_WAV_BYTES else found


def _take_date_out(part: Path) -> None:
    """Files of floats get a chunk of peaks with the time of day in it; the same sound is to give the same
    file.
    """
    with part.open("rb+") as file:
        place = file.read(4096).find(b"PEAK")
        if place >= 0:
            file.seek(place + 12)
            file.write(bytes(4))


def _too_long(goal: Path) -> UnusableSound:
    return unusable(
        "sound-file.too-long",
        f"The sound is longer than {goal.name} can hold.",
        "A WAV file ends at 4 GB.",
        "End the name in .flac, which has no such limit.",
    )


def _caution(code: str, what: str, why: str, cure: str) -> Remark:
    return Remark(code=code, span=None, what=what, why=why, cure=cure, severity=Severity.CAUTION)
