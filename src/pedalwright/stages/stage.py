"""What recognisers propose, what arbitration makes of it, and what a stage kind's file says."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pedalwright.stages.branch import Branch, Leaf

if TYPE_CHECKING:
    from pedalwright.stages.bench import Bench
    from pedalwright.stages.claimed import Claimed

ComplexArray = NDArray[np.complex128]


@dataclass(frozen=True, slots=True)
class Role:
    """What one part (or one section of a package, ``U1a``) is for in a stage, in trade words."""

    ref: str
    role: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """One recogniser's reading of some parts.

    `roles` are the parts it would take as their primary purpose; `shared` are secondary roles of parts that
    may
    belong elsewhere. `branches` are the reduced shapes the closed form needs, under names of the kind's
    choosing.
    `rank` breaks ties between proposals of different kinds: higher is more specific.
    """

    kind: str
    roles: tuple[Role, ...]
    inputs: tuple[str, ...] = ()
    output: str = ""
    branches: Mapping[str, tuple[Branch, ...]] = field(default_factory=dict)
    nets: Mapping[str, str] = field(default_factory=dict)
    shared: tuple[Role, ...] = ()
    rank: int = 0

    @property
    def refs(self) -> frozenset[str]:
        """The parts and sections this proposal takes."""
        return frozenset(role.ref for role in self.roles)


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Where a stage out of action would act: a switch, its position, and the stage as it is there."""

    switch: str
    position: str
    stage: "Stage"
    bench: "Bench"

    def says(self) -> str:
        """The position in words."""
        return f"Out of action as the switches stand. With {self.switch} at {self.position}: "


@dataclass(frozen=True, kw_only=True)
class Stage:
    """A recognised stage: an accepted proposal with its place in the walk.

    With `elsewhere` its parts do nothing as the switches stand; they act in another position.
    """

    name: str
    kind: str
    roles: tuple[Role, ...]
    inputs: tuple[str, ...]
    output: str
    branches: Mapping[str, tuple[Branch, ...]]
    nets: Mapping[str, str]
    elsewhere: Elsewhere | None = None

    @property
    def refs(self) -> frozenset[str]:
        """The parts and sections of the stage."""
        return frozenset(role.ref for role in self.roles)

    def branch(self, name: str) -> Branch:
        """The one branch of that name; KeyError when there is none."""
        return self.branches[name][0]

    def leaves(self, *names: str) -> tuple[Leaf, ...]:
        """Every two-terminal thing in the branches of these names, in order; without a name, in all."""
        groups = [self.branches.get(name, ()) for name in names] if names else self.branches.values()
        return tuple(leaf for group in groups for branch in group for leaf in branch.leaves())

    def with_role(self, role: str) -> tuple[str, ...]:
        """The designators that have a role, in the stage's order."""
        return tuple(member.ref for member in self.roles if member.role == role)


@dataclass(frozen=True, slots=True, kw_only=True)
class Transfer:
    """The closed form of a stage, as the proof uses it: V(output) = sum of gain * V(input) - output_ohms *
    load current.

    `gains(s)` gives one complex array per input at the complex frequencies `s` (rad/s); `output_ohms(s)` the
    impedance behind the output (None for a stiff one). `members` are the names of the elements (``R5``,
    ``TIME.1-2``) on which the formula depends: the sensitivity support must equal them. `source` cites the
    formula.
    """

    inputs: tuple[str, ...]
    output: str
    gains: Callable[[ComplexArray], tuple[ComplexArray, ...]]
    members: frozenset[str]
    formula: str
    source: str
    output_ohms: Callable[[ComplexArray], ComplexArray] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """One figure of a stage: from the closed form, and the same from the full circuit when it can be had.

    `unit` is ``Hz``, ``dB``, ``V``, ``A``, ``ohm``, ``s``, ``W``, ``x`` (a plain ratio), ``cents``, ``%``
    or empty.
    """

    name: str
    unit: str
    closed: float | None
    full: float | None
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """A small circuit in our notation with the roles it must be given; ``*`` as kind means: anything but
    this kind.
    """

    text: str
    roles: Mapping[str, tuple[str, str]]
    """designator -> (stage kind, role)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageKind:
    """One entry of the family of stage kinds.

    `find` proposes; `transfer` gives the closed form for the proof (None for stages without a signal gain:
    supply,
    bias); `numbers` the figures; `purpose` one or two plain sentences on what this stage does here and why
    it is there,
    with its numbers; `part_says` the same for one part of it. `order` places the kind in arbitration: lower
    first.
    """

    kind: str
    title: str
    says: str
    sources: tuple[str, ...]
    order: int
    group: str
    """``supply``, ``bias``, ``amplifier``, ``filter``, ``passive``, ``control``, ``clipper``,
    ``oscillator``, ``echo`` or ``general``
    """
    roles: Mapping[str, str]
    """role -> one plain sentence on what such a part does"""
    find: Callable[["Claimed"], Iterable[Proposal]]
    purpose: Callable[[Stage, "Bench"], str]
    part_says: Callable[[Stage, str, "Bench"], str]
    numbers: Callable[[Stage, "Bench"], tuple[Number, ...]] = lambda stage, bench: ()
    transfer: Callable[[Stage, "Bench"], Transfer | None] = lambda stage, bench: None
    examples: tuple[Example, ...] = ()
    near_misses: tuple[Example, ...] = ()
    late: Callable[["Claimed"], Iterable[Proposal]] | None = None
    """what it proposes of the parts that no kind with a shape of its own has wanted"""
