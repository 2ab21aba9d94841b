"""Where a builder puts the probe, named as a builder names it: supplies and test points, chips pin by pin in
the order of the package, transistors leg by leg.
"""

from collections.abc import Iterable

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.voltages.records import Place, SupplyUsed
from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.devices.device import Pin
from pedalwright.stages.nets import NetClasses

POINTS = "Supplies and test points"
PACKAGES = ("opamp", "echo-chip", "regulator", "optocoupler")
TRANSISTORS = ("bipolar", "fet")


def places(analysis: Analysis, supplies: Iterable[SupplyUsed]) -> tuple[Place, ...]:
    """Every place worth a probe: supplies and test points, then chips, then transistors, each in the order of
    the text.
    """
    parts = analysis.circuit.parts
    chips = [part for part in parts if device(part.kind).family in PACKAGES]
    legs = [part for part in parts if device(part.kind).family in TRANSISTORS]
    pins = (place for part in (*chips, *legs) for place in _of_part(analysis, part))
    return (*_points(analysis, supplies), *pins)


def _points(analysis: Analysis, supplies: Iterable[SupplyUsed]) -> Iterable[Place]:
    said = {supply.net: f"supply, {supply.source}" for supply in supplies}
    for point in analysis.circuit.points:
        said.setdefault(point.net, point.text)
    for net, says in said.items():
        key = spoken(net)
        yield Place(key=key, group=POINTS, ref="", number="", name=key, net=net, says=says)


def _of_part(analysis: Analysis, part: Part) -> Iterable[Place]:
    entry = device(part.kind)
    group = " ".join(filter(None, (part.ref, part.type or part.value_text, f"({entry.title.lower()})")))
    pins = entry.pins_for(part)
    for pin in sorted(pins, key=lambda one: int(number_of(one) or 0)):
        number = number_of(pin)
        yield Place(
            key=f"{part.ref}.{number or pin.name}",
            group=group,
            ref=part.ref,
            number=number,
            name=_name(part, pin),
            net=part.net(pin.name),
            says=_says(analysis, part, pin),
        )


def number_of(pin: Pin) -> str:
    """The pin's place on the package: its name or an alias that is a number; empty when it has none."""
    return next((word for word in (pin.name, *pin.aliases) if word.isascii() and word.isdigit()), "")


def _name(part: Part, pin: Pin) -> str:
    """The pin's name without its number: ``a.out`` as ``out a``, pin 6 of the echo chip as ``time``."""
    word = pin.name if not pin.name.isdigit() else next(iter(pin.aliases), pin.name)
    section, dot, rest = word.partition(".")
    if dot and section in device(part.kind).sections:
        return f"{part.ref}{section} {rest}"
    return word


def _says(analysis: Analysis, part: Part, pin: Pin) -> str:
    """What the pin is for, and the name of its net where the text gives one."""
    net = part.net(pin.name)
    point = next((point.text for point in analysis.circuit.points if point.net == net), "")
    called = net_word(net, analysis.bench.classes)
    known = point or called
    says = pin.says.partition(";")[0]
    if net == GROUND:
        return says if "ground" in says else f"{says}, on ground"
    return f"{says} ({known})" if known else says


def net_word(net: str, classes: NetClasses) -> str:
    """What a net is by the look of the circuit, with its name."""
    name = net if "/" not in net and "~" not in net else ""
    if net in classes.rails:
        return f"supply rail {name}".strip()
    if net in classes.bias:
        return f"half supply {name}" if name else ""
    return name
