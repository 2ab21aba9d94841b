"""The pop of a foot switch, of a switch in the circuit, of a lamp and of the supply: computed, and
classed.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.switching.linear import Linear, linear_of, oscillating
from pedalwright.analysis.switching.transient import STEP_S
from pedalwright.analysis.switching.weighting import Loudness, a_weighted, level_db, loudness
from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.devices.ports import INPUT, OUTPUT_LOAD

FloatArray = NDArray[np.float64]
NEXT_OHMS, NEXT_FARADS = 1e6, 500e-12
"""what listens: an amplifier's input and five metres of cable (common practice, no source; 100 pF/m from
memory)"""
RMS_S = 0.05
OFFSET_V = 3e-3
"""input offset of an operational amplifier: typical of plain parts (data sheets, from memory)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pop:
    """A click at the output jack into the next input, small-signal.

    `peak_v` is the largest voltage, `weighted_v` the largest through the A curve, `level_db` that against the
    playing level, `loudness` its class; `weighted_rms_v` is the A-weighted root mean square of the first
    50 ms. `input_v` and `output_v` are the voltages that stood on the jacks (or on the contacts) before.
    """

    peak_v: float
    weighted_v: float
    weighted_rms_v: float
    input_v: float = 0.0
    output_v: float = 0.0

    @property
    def level_db(self) -> float:
        """The weighted peak against the playing level of 100 mV."""
        return level_db(self.weighted_v)

    @property
    def loudness(self) -> Loudness:
        """How it is heard, by the house rule."""
        return loudness(self.weighted_v)


def pop_of(volts: FloatArray, *, input_v: float = 0.0, output_v: float = 0.0, step_s: float = STEP_S) -> Pop:
    """The figures of a wave that was nothing before it begins."""
    heard = a_weighted(volts, step_s)
    first = heard[: round(RMS_S / step_s)]
    return Pop(
        peak_v=float(np.max(np.abs(volts))),
        weighted_v=float(np.max(np.abs(heard))),
        weighted_rms_v=float(np.sqrt(np.mean(first**2))),
        input_v=input_v,
        output_v=output_v,
    )


@dataclass(frozen=True, eq=False)
class Bypassed:
    """A pedal with both jacks lifted off it (`apart`), and the same between guitar and amplifier
    (`together`).
    """

    apart: Linear
    together: Linear
    input_net: str
    output_net: str

    def pop(self) -> Pop:
        """The click when the foot switch puts the pedal in. Raises Unstable."""
        before = self.apart.network.rest()
        charge = self.apart.network.c @ before
        wave = self.together.network.released(charge, self.together.small.row(self.output_net))
        return pop_of(
            wave,
            input_v=self.apart.volts(before, self.input_net) if self.input_net else 0.0,
            output_v=self.apart.volts(before, self.output_net),
        )

    def with_resistor(self, net: str, ohms: float, *, instead_of: float = 0.0) -> "Bypassed":
        """The same with a resistor from a net to ground, in place of one of `instead_of` ohms (0: one
        more).
        """
        siemens = 1 / ohms - (1 / instead_of if instead_of else 0.0)
        if siemens == 0:
            return self
        apart, together = (
            one.with_branch(net, ohms=1 / siemens, farads=0.0) for one in (self.apart, self.together)
        )
        return Bypassed(apart, together, self.input_net, self.output_net)


def bypassed(analysis: Analysis) -> Bypassed:
    """A pedal behind a foot switch that lifts both its jacks; powered, and settled before the switch moves.

    What its capacitors leak stands on the jacks then. Raises NotCertified, and ValueError without an output.
    """
    source, output = analysis.circuit.input, analysis.circuit.output
    if output is None:
        raise ValueError("There is no output jack.")
    apart = linear_of(analysis, lifted=[OUTPUT_LOAD, INPUT])
    together = linear_of(analysis, lifted=[OUTPUT_LOAD])
    together = together.with_branch(output.net, ohms=NEXT_OHMS, farads=NEXT_FARADS)
    return Bypassed(apart, together, source.net if source is not None else "", output.net)


def bypass_pop(analysis: Analysis) -> Pop:
    """The click when a foot switch puts the pedal between guitar and amplifier.

    Raises NotCertified, Unstable, and ValueError without an output.
    """
    return bypassed(analysis).pop()


def throw_pop(before: Analysis, after: Analysis) -> Pop:
    """The click when a switch of the circuit is thrown: the same circuit in two of its positions.

    Every capacitor keeps its charge. Raises NotCertified, Unstable, and ValueError without an output.
    """
    return throw_pops(before, after)[0]


def throw_pops(one: Analysis, other: Analysis) -> tuple[Pop, Pop]:
    """The clicks of a switch thrown from one position to another, and back. Raises as `throw_pop` does."""
    output = other.circuit.output
    if output is None:
        raise ValueError("There is no output jack.")
    held = oscillating(one)
    here, there = linear_of(one, held=held), linear_of(other, held=held)
    return _thrown(here, there, output.net), _thrown(there, here, output.net)


def _thrown(old: Linear, new: Linear, net: str) -> Pop:
    state = old.network.rest()
    stood = old.volts(state, net)
    wave = new.network.released(_carried(old, new, state), new.small.row(net))
    return pop_of(wave - stood, output_v=stood)


def _carried(old: Linear, new: Linear, state: FloatArray) -> FloatArray:
    """The charges of one position's state on the capacitors (and coils) of another."""
    full = np.append(state, 0.0)
    here, there = old.small, new.small
    places = {here.names[place]: place for place in here.reactive}
    charge = np.zeros(there.size + 1)
    for place in there.reactive:
        known = places.get(there.names[place])
        if known is None:
            continue
        across = full[here.stamps.column_plus[known]] - full[here.stamps.column_minus[known]]
        moved = there.weights[place] * across
        charge[there.stamps.row_plus[place]] += moved
        charge[there.stamps.row_minus[place]] -= moved
    return np.asarray(charge[:-1])


def lamp_pop(analysis: Analysis, net: str, amperes: float, *, lamp: Iterable[str] = ()) -> Pop:
    """The click when a lamp begins to draw a current from a net; `lamp` names what stands in its way there,
    which is lifted off first. Raises as `bypass_pop` does.
    """
    output = analysis.circuit.output
    if output is None:
        raise ValueError("There is no output jack.")
    dark = linear_of(analysis, lifted=lamp)
    state = dark.network.rest()
    lit = dark.with_draw(net, amperes)
    wave = lit.network.released(dark.network.c @ state, lit.small.row(output.net))
    return pop_of(wave - dark.volts(state, output.net))


def switch_on_thump(analysis: Analysis) -> Pop:
    """The thump at the output when the supply comes on, every capacitor empty: an estimate.

    Amplifiers and transistors are taken to work from the first instant as they do at rest. Raises as
    `bypass_pop` does.
    """
    output = analysis.circuit.output
    if output is None:
        raise ValueError("There is no output jack.")
    whole = linear_of(analysis)
    wave = whole.network.released(np.zeros(whole.small.size), whole.small.row(output.net))
    most = max((abs(supply.volts) for supply in analysis.circuit.supplies), default=0.0)
    return pop_of(np.clip(wave, -most, most))


def offset_at(analysis: Analysis, net: str) -> float:
    """How far the amplifiers' input offsets together may move a net at rest, in volts: all against one
    side.
    """
    whole = linear_of(analysis)
    row = whole.small.row(net)
    if row == whole.small.size:
        return 0.0
    weights = np.linalg.solve(whole.network.g.T, np.eye(whole.small.size)[row])
    branches = [
        whole.small.system.branches[one.name]
        for one in analysis.primitives
        if isinstance(one, ClippingAmplifier) and one.name in whole.small.system.branches
    ]
    return float(np.sum(np.abs(weights[branches]))) * OFFSET_V


def shared_step_v(stands_v: float, farads: float, next_farads: float = NEXT_FARADS) -> float:
    """The step when a capacitor meets an empty one: V C/(C + C2), charge sharing (circuit theory).

    >>> print(f"{shared_step_v(0.2, 1e-6):.6f}")
    0.199900
    """
    return stands_v * farads / (farads + next_farads)


def standing_v(bias_v: float, pull_down_ohms: float, leak_ohms: float) -> float:
    """What stands behind a leaking capacitor: the divider of its leakage and the pull-down (Ohm's law).

    >>> print(f"{standing_v(4.5, 1e6, 45e6):.4f}")
    0.0978
    """
    return bias_v * pull_down_ohms / (pull_down_ohms + leak_ohms)
