"""Files are written whole or not at all, and never over what the result was made from."""

import errno
import os
import tempfile
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path


class WouldOverwrite(Exception):
    """The file to be written is one the result was made from."""


def write_whole(path: Path | str, content: str | bytes, *, inputs: Iterable[Path | str] = ()) -> Path:
    """Write a text (as UTF-8) or bytes: to a file beside it first, then in one step in its place. Gives the
    path written.

    Raises WouldOverwrite for one of `inputs`, and OSError when it cannot be written; what stood
    there before is then still there.
    """
    goal = Path(path).resolve()
    _spare(goal, inputs)
    if goal.exists() and not goal.is_file() and not goal.is_dir():
        # A pipe or a terminal cannot be replaced, only written to.
        with goal.open("wb") as stream:
            stream.write(_bytes(content))
        return goal
    _replace(goal, content)
    return goal


def _spare(goal: Path, inputs: Iterable[Path | str]) -> None:
    for given in inputs:
        with suppress(OSError):
            if goal.exists() and goal.samefile(given):
                raise WouldOverwrite(f"{goal} is the text the result is made from; name another file")


def write_new(path: Path | str, text: str) -> Path:
    """Write a text as UTF-8 under a name nothing has yet, whole or not at all. Gives the path written.

    Raises FileExistsError, at the very moment of writing, for a name that is taken; OSError as `write_whole`.
    """
    goal = Path(path).absolute()
    _place(goal, text, _give_new_name)
    return goal


def _replace(goal: Path, content: str | bytes) -> None:
    if goal.is_dir():
        raise IsADirectoryError(21, "it is a folder; name a file inside it", str(goal))
    _place(goal, content, Path.replace)


def _give_new_name(part: Path, goal: Path) -> None:
    """A link refuses a taken name; some memory sticks know no links, and there a look must do."""
    try:
        goal.hardlink_to(part)
    except OSError:
        if goal.exists():
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST)) from None
        part.replace(goal)
    else:
        part.unlink()


def _bytes(content: str | bytes) -> bytes:
    return content if isinstance(content, bytes) else content.encode("utf-8")


def _place(goal: Path, content: str | bytes, put: Callable[[Path, Path], object]) -> None:
    """The content in a file beside the goal first, then under its name."""
    try:
        handle, name = tempfile.mkstemp(prefix=f".{goal.name[:40]}.", suffix=".part", dir=goal.parent)
    except OSError as problem:
        raise OSError(problem.errno, problem.strerror, str(goal)) from None
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(_bytes(content))
            stream.flush()
            os.fsync(stream.fileno())
        part.chmod(_permissions(goal))
        put(part, goal)
    except OSError as problem:
        with suppress(OSError):
            part.unlink()
        raise OSError(problem.errno, problem.strerror, str(goal)) from None
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
