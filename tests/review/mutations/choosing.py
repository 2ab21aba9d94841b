"""Which mistakes are made: two hundred out of some thousands, chosen by a hash and by nothing else.

Every sort of mistake has its turn, one after the other, in an order given by the hash. At its turn it takes
the circuit used least so far among those it can be made to, and there the place whose hash is smallest. The
second hundred is chosen the same way under the next number, from what the first has left.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from inspect import getmembers, isfunction

from pedalwright import circuits
from pedalwright.circuit.circuit import Circuit
from pedalwright.notation import read_text

from . import sorts_of_parts, sorts_of_wiring
from .mutant import Mutant

HOW_MANY = 100
FIRST, SECOND = 1, 2
"""the numbers that go into the hash: the first two there are"""
Sort = Callable[[Circuit], Iterable[Mutant]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """One mistake: the circuit's name, the sort, and the mutant."""

    name: str
    sort: str
    mutant: Mutant

    @property
    def key(self) -> str:
        """What tells it from all others."""
        return f"{self.name} | {self.sort} | {self.mutant.place}"


@cache
def sorts() -> Mapping[str, Sort]:
    """Every sort of mistake by its name in words."""
    found: dict[str, Sort] = {}
    for module in (sorts_of_parts, sorts_of_wiring):
        for name, function in getmembers(module, isfunction):
            if not name.startswith("_") and function.__module__ == module.__name__:
                found[name.replace("_", " ")] = function
    return found


@cache
def healthy(name: str) -> Circuit:
    """A circuit of the package as it should be."""
    return read_text(circuits.text(name))


@cache
def candidates(sort: str, name: str) -> tuple[Chosen, ...]:
    """Every mistake of a sort that can be made to a circuit."""
    return tuple(Chosen(name=name, sort=sort, mutant=one) for one in sorts()[sort](healthy(name)))


@cache
def chosen(seed: int) -> tuple[Chosen, ...]:
    """A hundred mistakes; those of a later seed are none of the seeds before."""
    taken = {one.key for earlier in range(FIRST, seed) for one in chosen(earlier)}
    used: Counter[str] = Counter()
    found: list[Chosen] = []
    order = sorted(sorts(), key=lambda sort: _hash(seed, sort))
    place = 0
    while len(found) < HOW_MANY:
        sort = order[place % len(order)]
        place += 1
        one = _next(seed, sort, used, taken)
        if one is not None:
            found.append(one)
            taken.add(one.key)
            used[one.name] += 1
    return tuple(found)


def _next(seed: int, sort: str, used: Counter[str], taken: set[str]) -> Chosen | None:
    left = {
        name: [one for one in candidates(sort, name) if one.key not in taken] for name in circuits.names()
    }
    able = [name for name, ones in left.items() if ones]
    if not able:
        return None
    name = min(able, key=lambda name: (used[name], _hash(seed, sort, name)))
    return min(left[name], key=lambda one: _hash(seed, one.key))


def _hash(seed: int, *words: str) -> str:
    return sha256(" | ".join((str(seed), *words)).encode()).hexdigest()
