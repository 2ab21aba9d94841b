"""What a template says: for which stage kinds, and where their line begins and ends."""

from collections.abc import Callable
from dataclasses import dataclass, field

from pedalwright.report.drawing.layout.block import Block
from pedalwright.report.drawing.layout.strand import Wiring
from pedalwright.report.drawing.standing import Standing
from pedalwright.report.drawing.units import Unit
from pedalwright.stages.stage import Stage


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """A stage about to be drawn: its units, and `open_net`, the net the picture to its left ends on (or
    empty).
    """

    stage: Stage
    units: tuple[Unit, ...]
    wiring: Wiring
    standing: Standing
    open_net: str
    style: str

    def nets(self) -> tuple[str, ...]:
        """The nets on the stage's pins, each once, in order."""
        return tuple(dict.fromkeys(net for unit in self.units for net in unit.nets))

    def raw(self, joined: str) -> tuple[str, ...]:
        """The nets of the stage that are this one once closed contacts are joined."""
        names = self.standing.analysis.view.joined
        return tuple(net for net in self.nets() if names.get(net, net) == joined)


@dataclass(frozen=True, slots=True)
class Ends:
    """Where a line begins and ends. `live` are still nets that the line treats as places of its own."""

    start: str
    goal: str | None = None
    live: frozenset[str] = field(default_factory=frozenset)


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """One entry of the family: stage kinds with one classical picture.

    `ends` answers None when the stage has not the shape the picture is for; it is then drawn as a series and
    shunt ladder. `draw`, when given, draws the block itself, and may also answer None.
    """

    name: str
    kinds: tuple[str, ...]
    says: str
    ends: Callable[[Situation], Ends | None]
    draw: Callable[[Situation], Block | None] | None = None
