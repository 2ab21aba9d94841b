"""A branch: two-terminal parts in series and parallel, reduced to one impedance that knows its parts."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

ComplexArray = NDArray[np.complex128]


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaf:
    """One two-terminal thing: a resistor, capacitor, inductor, diode or half of a knob's track.

    `ref` is the part it belongs to, `name` its own name (``TIME.1-2`` for a knob's half), `sort` one of
    ``R C L D``; `value` is in SI units, 0 for a diode, which is open in the linear view. `a` and `b` are
    its nets.
    """

    ref: str
    name: str
    sort: str
    a: str
    b: str
    value: float
    variable: bool = False

    def admittance(self, s: ComplexArray) -> ComplexArray:
        """Admittance in siemens at the complex frequencies `s` (rad/s)."""
        return np.zeros_like(s) if self.sort == "D" else passive_admittance(self.sort, self.value, s)

    def impedance(self, s: ComplexArray) -> ComplexArray:
        """Impedance in ohms; infinite for a diode."""
        with np.errstate(divide="ignore", invalid="ignore"):
            return 1.0 / self.admittance(s)

    def leaves(self) -> Iterator["Leaf"]:
        """Itself."""
        yield self

    def other(self, net: str) -> str:
        """The net at the far end."""
        return self.b if net == self.a else self.a

    def __str__(self) -> str:
        return self.name


def passive_admittance(sort: str, value: float, s: ComplexArray) -> ComplexArray:
    """Admittance in siemens of a resistance, capacitance or inductance (``R C L``) at `s` (rad/s)."""
    if sort == "R":
        return np.full_like(s, 1.0 / value)
    return s * value if sort == "C" else 1.0 / (s * value)


@dataclass(frozen=True, slots=True)
class Series:
    """Branches one after another, in the order met from the end they were collected from."""

    links: tuple["Branch", ...]

    def impedance(self, s: ComplexArray) -> ComplexArray:
        """Sum of the links' impedances in ohms."""
        total: ComplexArray = np.zeros_like(s)
        for link in self.links:
            total = total + link.impedance(s)
        return total

    def leaves(self) -> Iterator[Leaf]:
        """Every two-terminal thing in it, in order."""
        for link in self.links:
            yield from link.leaves()

    def __str__(self) -> str:
        return " + ".join(str(link) for link in self.links)


@dataclass(frozen=True, slots=True)
class Parallel:
    """Branches side by side."""

    links: tuple["Branch", ...]

    def impedance(self, s: ComplexArray) -> ComplexArray:
        """Inverse of the summed admittances in ohms; a link with a diode in series is open in the linear
        view.
        """
        with np.errstate(divide="ignore", invalid="ignore"):
            total: ComplexArray = np.zeros_like(s)
            for link in self.links:
                if conducts(link):
                    total = total + 1.0 / link.impedance(s)
            return 1.0 / total

    def leaves(self) -> Iterator[Leaf]:
        """Every two-terminal thing in it, in order."""
        for link in self.links:
            yield from link.leaves()

    def __str__(self) -> str:
        return "(" + " ‖ ".join(str(link) for link in self.links) + ")"


Branch = Leaf | Series | Parallel


def series(*links: Branch) -> Branch:
    """Links one after another, flattened."""
    flat = [part for link in links for part in (link.links if isinstance(link, Series) else (link,))]
    return flat[0] if len(flat) == 1 else Series(tuple(flat))


def parallel(*links: Branch) -> Branch:
    """Links side by side, flattened."""
    flat = [part for link in links for part in (link.links if isinstance(link, Parallel) else (link,))]
    return flat[0] if len(flat) == 1 else Parallel(tuple(flat))


def conducts(branch: Branch) -> bool:
    """True when small signals pass: not a diode, and no diode in series."""
    if isinstance(branch, Leaf):
        return branch.sort != "D"
    if isinstance(branch, Series):
        return all(conducts(link) for link in branch.links)
    return any(conducts(link) for link in branch.links)


def sorts(branch: Branch) -> frozenset[str]:
    """The kinds of parts in a branch, of ``R C L D``."""
    return frozenset(leaf.sort for leaf in branch.leaves())


def passes_dc(branch: Branch) -> bool:
    """True when a direct current can flow through a resistance or inductance."""
    if isinstance(branch, Leaf):
        return branch.sort in "RL"
    if isinstance(branch, Series):
        return all(passes_dc(link) for link in branch.links)
    return any(passes_dc(link) for link in branch.links)


def resistance(branch: Branch) -> float:
    """The DC resistance in ohms: infinite when only capacitors or diodes connect the ends."""
    if isinstance(branch, Leaf):
        return {"R": branch.value, "L": 0.0}.get(branch.sort, float("inf"))
    if isinstance(branch, Series):
        return sum(resistance(link) for link in branch.links)
    values = [resistance(link) for link in branch.links]
    if 0.0 in values:
        return 0.0
    conductance = sum(1.0 / value for value in values)
    return 1.0 / conductance if conductance else float("inf")
