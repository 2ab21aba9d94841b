"""The circuit with its power paths complete.

Two things are added to what the walk-through solves. What an operational amplifier's output gives comes out
of its positive supply pin, and what it takes goes into the negative one; and every chip has a diode from its
most negative pin to its supply pin (the substrate), silent until the supply is reversed. Amplifiers that flip
to and fro in an oscillator have a source in their input that can hold them at either end.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import (
    ClippingAmplifier,
    CurrentSource,
    Junction,
    Primitive,
    Resistance,
    SupplyDraw,
    VoltageSource,
)
from pedalwright.devices.catalogue import amplifiers, device
from pedalwright.solve.rest import OperatingPoint
from pedalwright.solve.system import System, compile_system

LEAST_SHARE = 0.5
"""what a frugal chip draws of the typical current: no sheet states a minimum (house choice)"""
MOST_SHARE = 1.5
"""what a thirsty chip draws of the typical current where no sheet states a maximum (house choice)"""
SUBSTRATE_A, SUBSTRATE_OHMS = 1e-15, 10.0
"""the diode in every chip between its supply pins, backwards, and what lies in series with it (house choice:
no sheet prints either)"""
CHIP_PINS = {"echo-chip": ("1", "3"), "opamp": ("v+", "v-"), "regulator": ("in", "gnd")}
"""family -> supply pin, most negative pin"""
FLIPPING_KINDS = ("schmitt-trigger", "relaxation-oscillator")


@dataclass(frozen=True, kw_only=True, eq=False)
class PowerBench:
    """The circuit with its power paths complete, ready for trials."""

    analysis: Analysis
    system: System
    nominal: OperatingPoint
    parts: Mapping[str, str]
    """owner of a primitive -> designator, for the sections of packages"""
    outputs: tuple[str, ...]
    """amplifiers whose output current is charged to their supply pins"""
    flipping: tuple[str, ...]
    """amplifiers that flip in an oscillator"""
    draws: Mapping[str, tuple[float, float, float]]
    """supply draw -> its current at least, typically, at most [A]"""


def power_bench(analysis: Analysis) -> PowerBench:
    """The bench of an analysis, made once."""
    kept = analysis.kept
    if "power bench" not in kept:
        kept["power bench"] = _power_bench(analysis)
    found = kept["power bench"]
    assert isinstance(found, PowerBench)
    return found


def _power_bench(analysis: Analysis) -> PowerBench:
    circuit = analysis.circuit
    units = [unit for unit in amplifiers(circuit) if device(unit.part.kind).family == "opamp"]
    there = {one.name for one in analysis.primitives}
    added = [
        *(one for unit in units if unit.ref in there for one in _output_paths(unit.ref, unit.part)),
        *(one for part in circuit.parts for one in _substrate(part)),
    ]
    flipping = _flipping(analysis)
    system = compile_system((*_pushable(analysis.primitives, flipping), *added))
    return PowerBench(
        analysis=analysis,
        system=system,
        nominal=_carried(analysis.rest, system),
        parts={unit.ref: unit.part.ref for unit in units},
        outputs=tuple(unit.ref for unit in units if unit.ref in there),
        flipping=flipping,
        draws=_draws(analysis),
    )


def _flipping(analysis: Analysis) -> tuple[str, ...]:
    """The amplifiers with hysteresis of a circuit that would leave its rest point by itself."""
    if analysis.rest.stays:
        return ()
    stages = (stage for stage in analysis.stages.stages if stage.kind in FLIPPING_KINDS)
    return tuple(ref for stage in stages for ref in stage.with_role("amplifier"))


def _pushable(primitives: Iterable[Primitive], flipping: tuple[str, ...]) -> Iterable[Primitive]:
    """The same, with a source of no voltage yet before the + input of the amplifiers that flip."""
    for one in primitives:
        if isinstance(one, ClippingAmplifier) and one.name in flipping:
            pushed = f"{one.name}/pushed"
            yield VoltageSource(
                owner=one.owner, name=f"{one.name}/push", plus=pushed, minus=one.non_inverting, dc_v=0.0
            )
            yield replace(one, non_inverting=pushed)
        else:
            yield one


def _output_paths(ref: str, part: Part) -> Iterable[Primitive]:
    """Sources of no current yet: from the positive supply pin, and into the negative one."""
    high, low = part.net("v+"), part.net("v-")
    yield CurrentSource(owner=part.ref, name=f"{ref}/gives", a=high, b=GROUND, dc_a=0.0)
    yield CurrentSource(owner=part.ref, name=f"{ref}/takes", a=GROUND, b=low, dc_a=0.0)


def _substrate(part: Part) -> Iterable[Primitive]:
    pins = CHIP_PINS.get(device(part.kind).family)
    if pins is None:
        return
    high, low = (part.net(pin) for pin in pins)
    inner, name = f"{part.ref}/substrate", f"{part.ref}/substrate"
    yield Junction(
        owner=part.ref, name=name, anode=low, cathode=inner, saturation_a=SUBSTRATE_A, emission=1.0
    )
    yield Resistance(owner=part.ref, name=f"{name}-ohms", a=inner, b=high, ohms=SUBSTRATE_OHMS)


def _carried(rest: OperatingPoint, system: System) -> OperatingPoint:
    """A rest point of the plain circuit as the place to start from in the completed one."""
    x = np.zeros(system.size + 1)
    for name, row in rest.system.rows.items():
        x[system.rows[name]] = rest.x[row]
    for name, row in rest.system.branches.items():
        x[system.branches[name]] = rest.x[row]
    for one in system.primitives:
        if isinstance(one, VoltageSource) and one.plus not in rest.system.rows:
            x[system.rows[one.plus]] = x[system.rows[one.minus]]
    return replace(rest, system=system, x=x)


def _draws(analysis: Analysis) -> Mapping[str, tuple[float, float, float]]:
    found = {}
    for one in analysis.primitives:
        part = analysis.circuit.by_ref.get(one.owner)
        if isinstance(one, SupplyDraw) and part is not None:
            typical, most = _typical_and_most(part)
            found[one.name] = (
                max(one.dc_a - (1.0 - LEAST_SHARE) * typical, 0.0), one.dc_a, one.dc_a + most - typical
            )  # fmt: skip
    return found


def _typical_and_most(part: Part) -> tuple[float, float]:
    """A chip's own supply current, all sections together [A]."""
    entry = device(part.kind)
    known = entry.figures_for(part)
    sections = max(len(entry.sections), 1)
    for typical, most in (("supply_a", "most_supply_a"), ("quiescent_a", "most_quiescent_a")):
        if typical in known:
            usual = known[typical].value
            top = known[most].value if most in known else MOST_SHARE * usual
            return usual * sections, top * sections
    return 0.0, 0.0
