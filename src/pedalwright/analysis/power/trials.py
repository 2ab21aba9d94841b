"""Ways to run the circuit at rest (supplies moved, chips frugal or thirsty, a regulator turned), and every
current of each of them.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.primitives import (
    ClippingAmplifier,
    CurrentSource,
    DelayedCopy,
    Inductance,
    Primitive,
    RegulatedOutput,
    Resistance,
    VoltageSource,
)
from pedalwright.solve.arrays import BoolArray, FloatArray
from pedalwright.solve.rest import OperatingPoints
from pedalwright.solve.system import System

LEAST, TYPICAL, MOST = "least", "typical", "most"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One way to run the circuit: supply voltages by net (others as written), what the chips draw, a
    regulator put in backwards. With `at_terminals` a battery's voltage is that at its clips. `swing` 1 or -1
    holds the amplifiers that flip in an oscillator at their upper or lower end.
    """

    volts: Mapping[str, float] = field(default_factory=dict)
    draw: str = TYPICAL
    turned: str = ""
    at_terminals: bool = False
    swing: float = 0.0


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Flow:
    """The current of one primitive in every trial (trials,) [A], from the net of row `plus` through it to
    that of row `minus`; `part` is the designator or port it belongs to.
    """

    part: str
    name: str
    plus: int
    minus: int
    amps: FloatArray


@dataclass(frozen=True, kw_only=True, eq=False)
class Tried:
    """The solved trials, in order: voltages `x` (trials, size + 1) and which of them are certified."""

    parts: Mapping[str, str]
    system: System
    points: OperatingPoints
    parameters: tuple[Mapping[str, FloatArray], ...]
    values: FloatArray

    @property
    def ok(self) -> BoolArray:
        """Which trials are certified (trials,)."""
        return self.points.ok

    def volts(self, net: str) -> FloatArray:
        """The voltage of a net in every trial (trials,) [V]; nan where not certified, KeyError if unknown."""
        return self.points.volts(net)

    @cached_property
    def flows(self) -> tuple[Flow, ...]:
        """The current of every primitive."""
        return (*self._linear(), *self._branches(), *self._banks())

    @cached_property
    def by_part(self) -> Mapping[str, tuple[Flow, ...]]:
        """The flows of every part."""
        found: dict[str, list[Flow]] = {}
        for flow in self.flows:
            found.setdefault(flow.part, []).append(flow)
        return {part: tuple(flows) for part, flows in found.items()}

    def watts(self, ref: str) -> FloatArray:
        """What a part turns into heat in every trial (trials,) [W]; negative for what gives power."""
        x = self.points.x
        total = np.zeros(len(x))
        for flow in self.by_part.get(ref, ()):
            total += flow.amps * (x[:, flow.plus] - x[:, flow.minus])
        return np.where(self.ok, total, np.nan)

    def amps_into(self, row: int) -> Mapping[str, FloatArray]:
        """What each part brings into the net of a row, in every trial (trials,) [A]; negative: takes."""
        found: dict[str, FloatArray] = {}
        for flow in self.flows:
            if flow.plus == flow.minus or row not in (flow.plus, flow.minus):
                continue
            sign = 1.0 if flow.minus == row else -1.0
            found[flow.part] = found.get(flow.part, 0.0) + sign * flow.amps
        return found

    def named(self, name: str) -> FloatArray:
        """The current of one primitive by its name (trials,) [A]; KeyError for an unknown name."""
        return self._named[name]

    @cached_property
    def _named(self) -> Mapping[str, FloatArray]:
        found: dict[str, FloatArray] = {}
        for flow in self.flows:
            found.setdefault(flow.name, flow.amps)
        return found

    def _part(self, primitive: Primitive) -> str:
        return self.parts.get(primitive.owner, primitive.owner)

    def _linear(self) -> list[Flow]:
        """Resistances and current sources."""
        system, x, rows = self.system, self.points.x, self.system.rows
        found = []
        for one in system.primitives:
            if not isinstance(one, Resistance | CurrentSource):
                continue
            plus, minus = rows[one.a], rows[one.b]
            value = self.values[:, system.element(one.name)]
            amps = value if isinstance(one, CurrentSource) else (x[:, plus] - x[:, minus]) / value
            found.append(Flow(part=self._part(one), name=one.name, plus=plus, minus=minus, amps=amps))
        return found

    def _branches(self) -> list[Flow]:
        """Sources, coils, amplifiers' outputs (out of ground), regulators (from input to output)."""
        rows, found = self.system.rows, []
        for one in self.system.primitives:
            branch = self.system.branches.get(one.name)
            if branch is None:
                continue
            plus, minus = _ends(one)
            amps = self.points.x[:, branch] * (-1.0 if isinstance(one, ClippingAmplifier) else 1.0)
            found.append(
                Flow(part=self._part(one), name=one.name, plus=rows[plus], minus=rows[minus], amps=amps)
            )
        return found

    def _banks(self) -> list[Flow]:
        """Junctions, transistors, supply currents."""
        found = []
        for bank, parameters in zip(self.system.banks, self.parameters, strict=True):
            with np.errstate(all="ignore"):
                i, _ = bank.law.evaluate(bank.controls(self.points.x), parameters, self.points.conditions)
            for place, one in enumerate(bank.parts):
                if one.name in self.system.branches:
                    continue
                found += [
                    Flow(
                        part=self._part(one),
                        name=one.name,
                        plus=int(bank.out_plus[place, output]),
                        minus=int(bank.out_minus[place, output]),
                        amps=i[:, place, output] * bank.polarity[place],
                    )
                    for output in range(i.shape[2])
                ]
        return found


def _ends(one: Primitive) -> tuple[str, str]:
    """The nets a branch's current goes from and to."""
    match one:
        case VoltageSource():
            return one.plus, one.minus
        case Inductance():
            return one.a, one.b
        case RegulatedOutput():
            return one.input, one.output
        case ClippingAmplifier() | DelayedCopy():
            return GROUND, one.output
    raise TypeError(f"{one.name} has a branch but no ends")
