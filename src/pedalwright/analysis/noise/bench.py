"""One circuit with one thing at its input jack: equations, rest point, small-signal form, noise sources."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.noise.plugged import PICKUP, plugged
from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.primitives import ClippingAmplifier, Primitive, VoltageSource
from pedalwright.devices.catalogue import own_noise
from pedalwright.solve.linear import SmallSignal, linearise
from pedalwright.solve.noise_sources import NoiseSources, noise_sources
from pedalwright.solve.rest import OperatingPoint, operating_point
from pedalwright.solve.system import System, compile_system
from pedalwright.stages.slow_oscillator import triangle_loops

OSCILLATORS = ("relaxation-oscillator", "phase-shift-oscillator")


@dataclass(frozen=True)
class NoiseBench:
    """`analysis` holds the circuit, `state` is one of SHORTED, PICKUP and OPEN.

    An oscillator of the circuit's own is held still: its amplifiers give way to sources of their resting
    voltage.
    """

    analysis: Analysis
    state: str = PICKUP
    holds: Mapping[str, float] | None = None
    """net -> volts at which its oscillators are held; None: as they rest"""

    @cached_property
    def held(self) -> Mapping[str, float]:
        """The nets at which the circuit's own oscillators are held, with their voltages."""
        if self.holds is not None:
            return self.holds
        rest = self.analysis.rest
        return {} if rest.stays else {net: rest.volts(net) for net in _oscillating(self.analysis)}

    @property
    def _as_it_is(self) -> bool:
        return not self.held and (self.state == PICKUP or self.analysis.circuit.input is None)

    @cached_property
    def primitives(self) -> tuple[Primitive, ...]:
        """What the circuit expands into, oscillators held."""
        whole = plugged(self.analysis.primitives, self.analysis.circuit, self.state)
        still = [
            VoltageSource(owner="held", name=f"held {net}", plus=net, minus=GROUND, dc_v=volts)
            for net, volts in self.held.items()
        ]
        kept = (one for one in whole if not (isinstance(one, ClippingAmplifier) and one.output in self.held))
        return (*kept, *still)

    @cached_property
    def system(self) -> System:
        """The numbered equations."""
        return self.analysis.system if self._as_it_is else compile_system(self.primitives)

    @cached_property
    def rest(self) -> OperatingPoint:
        """The rest point with that at the jack: a coupling capacitor keeps it where it was."""
        return self.analysis.rest if self._as_it_is else operating_point(self.system)

    @cached_property
    def small(self) -> SmallSignal:
        """The circuit made linear at rest. Raises NotCertified."""
        known = self.analysis.small if self._as_it_is else None
        return known if known is not None else linearise(self.system, self.rest)

    @cached_property
    def sources(self) -> NoiseSources:
        """Everything that hisses but the echo chips' conversion. Raises NotCertified."""
        return noise_sources(self.system, self.rest, own_noise(self.analysis.circuit))


def _oscillating(analysis: Analysis) -> Iterable[str]:
    """The outputs of every oscillator recognised."""
    for stage in analysis.stages.stages:
        if stage.kind in OSCILLATORS:
            yield stage.output
    for loop in triangle_loops(analysis.bench):
        for ref in (loop.trigger, loop.integrator):
            yield from (unit.output for unit in _units(analysis) if unit.name == ref)


def _units(analysis: Analysis) -> Iterable[ClippingAmplifier]:
    return (part for part in analysis.primitives if isinstance(part, ClippingAmplifier))
