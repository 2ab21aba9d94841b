"""Simpler circuits for proofs: ideal amplifiers, no bias currents, no junctions, chosen nets at ground."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.primitives import (
    ClippingAmplifier,
    CurrentSource,
    DelayedCopy,
    Junction,
    Primitive,
    RegulatedOutput,
    Short,
    SupplyDraw,
    VoltageSource,
)
from pedalwright.solve.merging import shorted


def idealise(
    primitives: Iterable[Primitive], keep: Collection[str] = (), *, junctions: bool = False
) -> tuple[Primitive, ...]:
    """The same circuit with ideal amplifiers, without bias and supply currents, and without junctions.

    `keep` names primitives or owners left as they are; `junctions` keeps all diodes. A voltage source stays:
    it is a short for signals.
    """
    gone = (CurrentSource, SupplyDraw) if junctions else (CurrentSource, SupplyDraw, Junction)
    found: list[Primitive] = []
    for part in primitives:
        if part.name in keep or part.owner in keep:
            found.append(part)
        elif isinstance(part, ClippingAmplifier):
            found.append(replace(part, ideal=True))
        elif not isinstance(part, gone):
            found.append(part)
    return tuple(found)


def ground_nets(primitives: Sequence[Primitive], nets: Iterable[str]) -> tuple[Primitive, ...]:
    """The same circuit with `nets` shorted to ground, less whatever would then only hold ground at ground.

    Left out are amplifiers, regulators, delays and voltage sources whose output has become their own
    reference: with them the equations would be singular. The shorts are named ``gnd/NET``.
    """
    shorts = tuple(
        Short(owner=GROUND, name=f"{GROUND}/{net}", a=net, b=GROUND) for net in nets if net != GROUND
    )
    merger = shorted((*primitives, *shorts))

    def one(a: str, b: str) -> bool:
        return merger.find(a) == merger.find(b)

    def idle(part: Primitive) -> bool:
        match part:
            case ClippingAmplifier():
                return one(part.output, GROUND)
            case RegulatedOutput():
                return one(part.output, part.ground)
            case DelayedCopy():
                return one(part.output, part.reference)
            case VoltageSource():
                return one(part.plus, part.minus)
        return False

    return (*(part for part in primitives if not idle(part)), *shorts)
