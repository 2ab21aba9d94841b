"""How each net is shown at its loose ends: ground, rail, bias or plain flag, under which name, which way
up.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.circuit.circuit import GROUND
from pedalwright.report.drawing.metrics import shortened

GROUND_STYLE, RAIL, BIAS, SIGNAL = "ground", "rail", "bias", "signal"
LONGEST = 16


@dataclass(frozen=True)
class Standing:
    """The nets of one circuit as the drawing shows them."""

    analysis: Analysis

    def style(self, net: str) -> str:
        """``ground``, ``rail``, ``bias`` or ``signal``."""
        return self._styles.get(net, SIGNAL)

    def is_still(self, net: str) -> bool:
        """True when a net does not move with the signal, so that its ends carry a symbol."""
        return self.style(net) != SIGNAL

    def goes_up(self, net: str) -> bool:
        """True for a rail above ground: parts that lead to it are drawn upward."""
        return self.style(net) == RAIL and net not in self._below_ground

    def name(self, net: str) -> str:
        """What a flag of this net says; no two nets say the same."""
        return self._names.get(net, "?")

    @cached_property
    def _styles(self) -> Mapping[str, str]:
        classes, joined = self.analysis.bench.classes, self.analysis.view.joined
        found = {}
        for net in self.analysis.circuit.nets:
            root = joined.get(net, net)
            found[net] = RAIL if root in classes.rails else BIAS if root in classes.bias else SIGNAL
        return found | {GROUND: GROUND_STYLE}

    @cached_property
    def _below_ground(self) -> frozenset[str]:
        rest = self.analysis.bench.rest
        rails = [net for net, style in self._styles.items() if style == RAIL]
        low = {supply.net for supply in self.analysis.circuit.supplies if supply.volts < 0}
        if rest is not None:
            low |= {net for net in rails if rest.volts(net) < 0}
        return frozenset(low)

    @cached_property
    def _names(self) -> Mapping[str, str]:
        names: dict[str, str] = {}
        taken: set[str] = set()
        for net in self.analysis.circuit.nets:
            base = shortened(spoken(net), LONGEST) or "net"
            name, place = base, 2
            while name in taken:
                name, place = f"{base} ({place})", place + 1
            taken.add(name)
            names[net] = name
        return names

    @cached_property
    def volts(self) -> Mapping[str, str]:
        """What stands beside a rail's name: its voltage at rest, where that is certified."""
        rest = self.analysis.bench.rest
        if rest is None:
            return {}
        rails = (net for net, style in self._styles.items() if style == RAIL)
        return {net: f"({rest.volts(net):.3g} V)" for net in rails}

    @cached_property
    def points(self) -> frozenset[str]:
        """Nets the builder puts a probe on: they stay visible as places of their own."""
        return frozenset(point.net for point in self.analysis.circuit.points)
