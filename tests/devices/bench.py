"""A test bench for single parts: put one on known sources and read its voltages and currents."""

from collections.abc import Iterable

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import CurrentSource, Primitive, VoltageSource
from pedalwright.circuit.span import Span
from pedalwright.devices.catalogue import device
from pedalwright.devices.device import unused_net
from pedalwright.solve.rest import OperatingPoint, operating_point
from pedalwright.solve.system import compile_system


def part(kind: str, ref: str = "X1", **facts: object) -> Part:
    """A part with all its pins unused, or on the nets given as `pins`."""
    nets = dict(facts.pop("pins", {}))  # type: ignore[call-overload]
    bare = Part(ref=ref, kind=kind, span=Span(1, 1, 1), **facts)  # type: ignore[arg-type]
    pins = tuple(
        (pin.name, nets.get(pin.name, pin.default or unused_net(ref, pin.name)))
        for pin in device(kind).pins_for(bare)
    )
    return Part(ref=ref, kind=kind, span=Span(1, 1, 1), pins=pins, **facts)  # type: ignore[arg-type]


def expand(*parts: Part) -> list[Primitive]:
    return [primitive for one in parts for primitive in device(one.kind).expand(one)]


def volts(net: str, dc_v: float) -> VoltageSource:
    return VoltageSource(owner=f"source {net}", name=f"source {net}", plus=net, minus="gnd", dc_v=dc_v)


def amperes_into(net: str, dc_a: float) -> CurrentSource:
    return CurrentSource(owner=f"feed {net}", name=f"feed {net}", a="gnd", b=net, dc_a=dc_a)


def rest(primitives: Iterable[Primitive]) -> OperatingPoint:
    return operating_point(compile_system(tuple(primitives)))


def forward_v(kind: str, type_name: str, current_a: float) -> float:
    """The voltage of a diode carrying `current_a` at 300.15 K."""
    diode = part(kind, type=type_name, pins={"1": "A", "2": "gnd"})
    return rest([*expand(diode), amperes_into("A", current_a)]).volts("A")
