"""What a `want` line may ask for: one quantity a file, each measured on the whole circuit."""

from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache

from pedalwright.analysis.wants._record import Desk, Measured, NotKnown, WantedQuantity
from pedalwright.registry import load_family

__all__ = ["Desk", "Measured", "NotKnown", "WantedQuantity", "nearest_names", "wanted_quantities"]

NEAREST = 3


@cache
def wanted_quantities() -> Mapping[str, WantedQuantity]:
    """Every quantity that can be wanted, under its name, names in order."""
    found = load_family("pedalwright.analysis.wants", WantedQuantity, "WANTED", key="name")
    return {one.name: one for one in sorted(found, key=lambda one: one.name)}


def nearest_names(word: str) -> tuple[str, ...]:
    """The known names most like a word: at most three, the nearest first; those that share its first or
    last part where none is spelled alike.
    """
    known = list(wanted_quantities())
    near = get_close_matches(word.lower(), known, n=NEAREST, cutoff=0.6)
    pieces = set(word.lower().replace("-", ".").split("."))
    alike = [name for name in known if pieces & set(name.split("."))]
    return tuple(dict.fromkeys([*near, *alike]))[:NEAREST]
