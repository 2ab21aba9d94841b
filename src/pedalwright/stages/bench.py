"""Everything a stage's numbers may ask for: values, resting voltages, and the full circuit's exact
answers.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pedalwright.stages.active_loop import boosted
from pedalwright.stages.flow import Flow
from pedalwright.stages.loop_tap import tapped
from pedalwright.stages.nets import NetClasses
from pedalwright.stages.network import AmplifierNetwork, network_of
from pedalwright.stages.view import View

if TYPE_CHECKING:
    from pedalwright.solve.linear import SmallSignal
    from pedalwright.solve.rest import OperatingPoint

ComplexArray = NDArray[np.complex128]


@dataclass(frozen=True)
class Bench:
    """A recogniser's measuring bench: the view, its net classes, and, when solved, the full circuit.

    `rest` and `small` are None where the circuit could not be certified at rest; then only values are known.
    """

    view: View
    classes: NetClasses
    rest: "OperatingPoint | None" = None
    small: "SmallSignal | None" = None
    given: Mapping[str, float] = field(default_factory=dict)
    """small-signal figures by name (``Q1/gm``), for tests and proofs without a solved circuit"""

    def volts(self, net: str) -> float | None:
        """The resting voltage of a net in volts, or None when it is not certified."""
        if self.rest is None:
            return None
        return self.rest.volts(net)

    def parameter(self, name: str) -> float | None:
        """A device's small-signal figure by name (``Q1/gm`` in siemens), or None."""
        if name in self.given:
            return self.given[name]
        if self.small is None:
            return None
        try:
            return float(self.small.parameter(name))
        except KeyError:
            return None

    @cached_property
    def networks(self) -> Mapping[str, AmplifierNetwork]:
        """The reduced network of every amplifier section, by section designator."""
        return {amp.ref: network_of(self.view, self.classes, amp) for amp in self.view.amplifiers}

    @cached_property
    def loops(self) -> Mapping[str, AmplifierNetwork]:
        """The same up to where the signal leaves: behind transistors, or a small resistor, in the loop."""
        view, classes = self.view, self.classes
        return {
            ref: boosted(view, classes, tapped(view, classes, network))
            for ref, network in self.networks.items()
        }

    @cached_property
    def flow(self) -> Flow:
        """Which way signals go through passive parts."""
        return Flow(self.view, self.classes, self.networks)

    def driving_impedance(self, net: str, frequencies_hz: Sequence[float]) -> ComplexArray | None:
        """Impedance seen looking into a net of the full circuit against ground, in ohms, one per
        frequency.
        """
        if self.small is None:
            return None
        from pedalwright.solve.impedance import impedance

        return impedance(self.small, net, np.asarray(frequencies_hz, dtype=float))
