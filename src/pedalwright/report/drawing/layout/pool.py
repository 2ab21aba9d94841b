"""What a stage has left to draw: its strands and devices, less those that have found their place."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

from pedalwright.report.drawing.layout.outline import Across, Outline, Through
from pedalwright.report.drawing.layout.strand import Strand, Wiring, strands_of
from pedalwright.report.drawing.standing import Standing
from pedalwright.report.drawing.units import Unit


@dataclass
class Pool:
    """`live` are still nets that this stage treats as places of its line, such as the rail it filters; `keep`
    are nets that stay visible as places of their own.
    """

    units: Sequence[Unit]
    wiring: Wiring
    standing: Standing
    live: Collection[str] = ()
    keep: Collection[str] = ()
    strands: list[Strand] = field(default_factory=list)
    devices: list[Unit] = field(default_factory=list)

    def _still(self) -> set[str]:
        return {net for unit in self.units for net in unit.nets if self.is_still(net)}

    def is_still(self, net: str) -> bool:
        """True for a net whose ends carry a symbol here."""
        return self.standing.is_still(net) and net not in self.live

    def gather(self, kept: set[str]) -> None:
        """Takes stock: strands between the nets that stay visible, and the devices."""
        kept = kept | {*self.keep, *self.live, *self._still()}
        self.strands = list(strands_of(self.units, self.wiring, kept))
        rows = {link.unit.name for strand in self.strands for link in strand.links}
        self.devices = [unit for unit in self.units if unit.name not in rows]

    def take(self, line: Outline) -> None:
        """What is on a line is no longer left."""
        self.drop([step.strand for step in line.steps if isinstance(step, Across)])
        units = {step.unit.name for step in line.steps if isinstance(step, Through)}
        self.devices = [unit for unit in self.devices if unit.name not in units]

    def drop(self, strands: Sequence[Strand]) -> None:
        """These strands are no longer left."""
        gone = {link.unit.name for strand in strands for link in strand.links}
        self.strands = [item for item in self.strands if item.links[0].unit.name not in gone]
