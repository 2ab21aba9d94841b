"""What a builder wants to know of the parts in the supply: the current through each, and its heat."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.primitives import Junction, Primitive, RegulatedOutput, Resistance
from pedalwright.stages.recognise import kind_named
from pedalwright.stages.stage import Number, Stage

SOURCE = "rest point"
WORTH_A, WORTH_W = 1e-5, 5e-3
"""smaller currents and less heat are not worth a line (house rule)"""
LAMP = "indicator"
LIT = "current when lit"


def with_supply_figures(analysis: Analysis, stage: Stage, numbers: Sequence[Number]) -> tuple[Number, ...]:
    """A supply stage's figures, with the solved currents and the heat of its parts after them."""
    if kind_named(stage.kind).group != "supply" or not analysis.rest.certificate.ok:
        return tuple(numbers)
    found = [number for member in stage.roles for number in _of_part(analysis, member.ref)]
    if stage.kind != LAMP:
        return (*numbers, *found)
    lit = max((number.full or 0.0 for number in found if number.unit == "A"), default=None)
    told = (replace(number, full=lit) if number.name == LIT else number for number in numbers)
    return (*told, *(number for number in found if number.unit == "W"))


def _of_part(analysis: Analysis, ref: str) -> Iterable[Number]:
    """Current through a resistor, a diode or a regulator, and what all of it turns into heat."""
    flows = [_flow(analysis, one) for one in analysis.primitives if one.owner == ref]
    amperes = max((abs(current) for _, current in flows), default=0.0)
    if amperes < WORTH_A:
        return
    yield Number(name=f"current through {ref}", unit="A", closed=None, full=amperes, source=SOURCE)
    heat_w = sum(abs(drop * current) for drop, current in flows)
    if heat_w > WORTH_W:
        yield Number(name=f"heat in {ref}", unit="W", closed=None, full=heat_w, source=SOURCE)


def _flow(analysis: Analysis, primitive: Primitive) -> tuple[float, float]:
    """Volts across and amperes through; nothing for what is no resistance, junction or regulator."""
    rest = analysis.rest
    if isinstance(primitive, Resistance):
        plus, minus = primitive.a, primitive.b
    elif isinstance(primitive, Junction):
        plus, minus = primitive.anode, primitive.cathode
    elif isinstance(primitive, RegulatedOutput):
        plus, minus = primitive.input, primitive.output
    else:
        return 0.0, 0.0
    return rest.volts(plus) - rest.volts(minus), rest.amperes(primitive.name)
