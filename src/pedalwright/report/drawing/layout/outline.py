"""The picture of a stage in words: a line of nodes with steps between, and what hangs, arches and joins."""

from dataclasses import dataclass, field

from pedalwright.report.drawing.layout.strand import Strand
from pedalwright.report.drawing.units import Unit


@dataclass(frozen=True, slots=True)
class Across:
    """A step along the line through parts in a row."""

    strand: Strand


@dataclass(frozen=True, slots=True)
class Through:
    """A step along the line through a device, from one pin to another."""

    unit: Unit
    enter: str
    leave: str


Step = Across | Through


@dataclass(slots=True)
class Tree:
    """Parts that hang from a node: a strand, and at its far end a symbol (`limbs` empty) or more strands."""

    strand: Strand
    limbs: list["Tree"] = field(default_factory=list)

    @property
    def end(self) -> str:
        """The net at the far end of the strand."""
        return self.strand.end


@dataclass(slots=True)
class Node:
    """A net on the line, or a device's pin beside it. `named`: it needs a flag of its own here."""

    net: str
    downs: list[Tree] = field(default_factory=list)
    ups: list[Tree] = field(default_factory=list)
    named: bool = False


@dataclass(slots=True)
class Arch:
    """A line over (or, at an amplifier, under) others, between two nodes of theirs."""

    first: int
    last: int
    line: "Outline"


@dataclass(slots=True)
class Entry:
    """A line that comes in from the left and ends on a node."""

    node: int
    line: "Outline"


@dataclass(slots=True)
class Feed:
    """A strand from a node of the line, passing below, to the other input of an amplifier further on."""

    node: int
    step: int
    pin: str
    strand: Strand


@dataclass(slots=True)
class Under:
    """A strand that runs below everything from a device's lower pin, `foot`, to a node of the line."""

    node: int
    foot: tuple[int, str]
    strand: Strand


@dataclass(slots=True)
class Outline:
    """A line: `nodes` is one longer than `steps`. `sides` are the nodes of device pins beside the line, under
    (step, pin); `loops` the strands from such a pin back to the device's exit, under the same key.
    """

    nodes: list[Node]
    steps: list[Step] = field(default_factory=list)
    arches: list[Arch] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    sides: dict[tuple[int, str], Node] = field(default_factory=dict)
    loops: dict[tuple[int, str], list[Strand]] = field(default_factory=dict)
    feeds: list[Feed] = field(default_factory=list)
    unders: list[Under] = field(default_factory=list)
    left_flag: bool = False
    right_flag: bool = False

    @property
    def joining(self) -> list[Entry | Feed]:
        """What comes up to a node of the line from below."""
        return [*self.entries, *self.feeds]

    @property
    def nets(self) -> list[str]:
        """The nets along the line."""
        return [node.net for node in self.nodes]
