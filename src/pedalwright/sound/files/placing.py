"""A file that appears under its name whole, in one step, or not at all."""

import os
import tempfile
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from pedalwright.sound.unusable import unusable

CIRCUIT_SUFFIX = ".pedal"


def spared(path: Path | str, inputs: Iterable[Path | str]) -> Path:
    """The resolved goal; raises UnusableSound when it is a circuit's text or one of the `inputs`."""
    goal = Path(path).resolve()
    if goal.suffix.lower() == CIRCUIT_SUFFIX:
        raise unusable(
            "sound-file.circuit",
            f"{goal} is the name of a circuit's text.",
            "A sound written there would be taken for one.",
            "Give the sound another ending.",
        )
    for given in inputs:
        with suppress(OSError, ValueError):
            if goal.exists() and goal.samefile(given):
                raise unusable(
                    "sound-file.input",
                    f"{goal} is what the sound is made from.",
                    "It would be lost.",
                    "Name another file.",
                )
    return goal


class Placing:
    """The file beside the goal that is to take its place.

    `part` is made at once, so that a folder without room or permission is found out early (OSError).
    """

    def __init__(self, goal: Path) -> None:
        if goal.is_dir():
            raise IsADirectoryError(21, "it is a folder", str(goal))
        if goal.exists() and not goal.is_file():
            raise OSError(f"{goal} is a device or a pipe, where a sound file cannot be put together")
        if goal.exists() and not os.access(goal, os.W_OK):
            raise PermissionError(13, "its permissions do not allow it", str(goal))
        self.goal = goal
        handle, name = tempfile.mkstemp(prefix=f".{goal.name[:40]}.", suffix=".part", dir=goal.parent)
        os.close(handle)
        self.part = Path(name)

    def keep(self) -> None:
        """Put the part in the goal's place, safely on the medium first; OSError when that fails."""
        with self.part.open("rb+") as file:
            os.fsync(file.fileno())
        self.part.chmod(self._permissions())
        self.part.replace(self.goal)

    def drop(self) -> None:
        """Remove the part; what stood under the goal's name is untouched."""
        with suppress(OSError):
            self.part.unlink()

    def _permissions(self) -> int:
        """Those of the file being replaced, else those any new file gets."""
        if self.goal.exists():
            return self.goal.stat().st_mode & 0o777
        mask = os.umask(0o022)
        os.umask(mask)
        return 0o666 & ~mask
