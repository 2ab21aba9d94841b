"""Which built-in sounds there are: the front door of this folder."""

from pedalwright.registry import load_family
from pedalwright.sound.sources.source import Source


def sources() -> tuple[Source, ...]:
    """Every built-in sound, in the order of their file names."""
    return load_family("pedalwright.sound.sources.kinds", Source, "SOURCE", key="name")


def source_names() -> tuple[str, ...]:
    """The words a wish for a built-in sound may begin with."""
    return tuple(source.name for source in sources())


def source(name: str) -> Source:
    """The source of that name; KeyError for any other."""
    for entry in sources():
        if entry.name == name:
            return entry
    raise KeyError(name)
