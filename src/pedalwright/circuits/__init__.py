"""The starting circuits: one `NAME.pedal` with its golden `NAME.roles` beside it; the folder is the list.

The first line of every text, ``# kind: echo``, says under which kind `pedalwright new` offers it.
"""

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

TEXT, ROLES = ".pedal", ".roles"
KIND_MARK = "# kind:"
TITLE_MARK = "pedal "


@cache
def names() -> tuple[str, ...]:
    """Every circuit's name, in the order of the alphabet."""
    found = (entry.name for entry in files(__package__).iterdir())
    return tuple(sorted(name.removesuffix(TEXT) for name in found if name.endswith(TEXT)))


@cache
def text(name: str) -> str:
    """The circuit in our notation. KeyError for a name that is not in `names()`."""
    return _file(name, TEXT).read_text(encoding="utf-8")


@cache
def roles(name: str) -> Mapping[str, tuple[str, str]]:
    """Designator (or section, ``U1a``, ``U2/coder``) -> stage kind, role; in the order of the file.

    KeyError for a name that is not in `names()`.
    """
    return read_roles(_file(name, ROLES).read_text(encoding="utf-8"))


def read_roles(written: str) -> dict[str, tuple[str, str]]:
    """The lines of a `.roles` file: designator, kind and role, parted by blanks; # starts a comment.

    Raises ValueError for a line with less than that, or a designator that comes twice.
    """
    found: dict[str, tuple[str, str]] = {}
    for number, line in enumerate(written.splitlines(), start=1):
        words = line.partition("#")[0].split()
        if not words:
            continue
        if len(words) < 3 or words[0] in found:
            raise ValueError(f"line {number} is not a new designator with its kind and role: {line}")
        found[words[0]] = (words[1], " ".join(words[2:]))
    return found


@cache
def title(name: str) -> str:
    """What the circuit calls itself: the text of its `pedal` line. KeyError for an unknown name."""
    return _after(text(name), TITLE_MARK)


@cache
def kind(name: str) -> str:
    """Under which kind the circuit is offered (``echo``, ``lesson`` ...). KeyError for an unknown name."""
    return _after(text(name), KIND_MARK)


def kinds() -> Mapping[str, tuple[str, ...]]:
    """Every kind with the names of its circuits, both in the order of the alphabet."""
    return {word: tuple(filter(lambda name: kind(name) == word, names())) for word in _kind_words()}


def _kind_words() -> list[str]:
    return sorted({kind(name) for name in names()})


def _file(name: str, suffix: str) -> Traversable:
    if name not in names():
        raise KeyError(name)
    return files(__package__).joinpath(name + suffix)


def _after(written: str, mark: str) -> str:
    return next(line.removeprefix(mark).strip() for line in written.splitlines() if line.startswith(mark))
