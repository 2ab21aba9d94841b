"""Files are written whole or not at all, and never over what the result was made from."""

import os
import tempfile
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path


class WouldOverwrite(Exception):
    """The file to be written is one the result was made from."""


def write_whole(path: Path | str, text: str, *, inputs: Iterable[Path | str] = ()) -> Path:
    """Write a text as UTF-8: to a file beside it first, then in one step in its place. Gives the path
    written.

    Raises WouldOverwrite for one of `inputs`, and OSError when it cannot be written; what stood
    there before is then still there.
    """
    goal = Path(path).resolve()
    _spare(goal, inputs)
    if goal.exists() and not goal.is_file() and not goal.is_dir():
        # A pipe or a terminal cannot be replaced, only written to.
        with goal.open("w", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
        return goal
    _replace(goal, text)
    return goal


def _spare(goal: Path, inputs: Iterable[Path | str]) -> None:
    for given in inputs:
        with suppress(OSError):
            if goal.exists() and goal.samefile(given):
                raise WouldOverwrite(f"{goal} is the text the result is made from; name another file")


def _replace(goal: Path, text: str) -> None:
    if goal.is_dir():
        raise IsADirectoryError(21, "it is a folder; name a file inside it", str(goal))
    try:
        handle, name = tempfile.mkstemp(prefix=f".{goal.name[:40]}.", suffix=".part", dir=goal.parent)
    except OSError as problem:
        raise OSError(problem.errno, problem.strerror, str(goal)) from None
    part = Path(name)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        part.chmod(_permissions(goal))
        part.replace(goal)
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise


def _permissions(goal: Path) -> int:
    """Those of the file being replaced, else those any new file gets."""
    if goal.exists():
        return goal.stat().st_mode & 0o777
    mask = os.umask(0o022)
    os.umask(mask)
    return 0o666 & ~mask
