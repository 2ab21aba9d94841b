"""What operational amplifiers share, whether one, two or four sit in the package."""

from collections.abc import Callable, Mapping

from pedalwright.circuit.noise import OwnNoise
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import ClippingAmplifier, CurrentSource, Primitive, SupplyDraw
from pedalwright.devices.device import AmplifierUnit, Device, Figure, Pin, Worked, is_unused
from pedalwright.devices.kinds._opamp_ratings import RATINGS
from pedalwright.devices.kinds._opamp_types import Types
from pedalwright.devices.part_facts import (
    Sentences,
    figure,
    known_type,
    option_mistakes,
    option_number,
)
from pedalwright.devices.ratings import rated
from pedalwright.units.values import Quantity

PIN_SAYS = {"inv": "inverting input", "non": "non-inverting input", "out": "output"}
OPTIONS = {
    "dc-gain": "open-loop gain at rest, as the sheet in hand has it",
    "gbw": "gain-bandwidth product, as the sheet in hand has it",
}
SUPPLY_PINS = {"v+": "the more positive supply pin", "v-": "the more negative supply pin"}


def opamp_device(
    *,
    kind: str,
    title: str,
    says: str,
    sections: str,
    types: Types,
    numbers: dict[str, str],
    worked: tuple[Worked, ...],
    page: str,
) -> Device:
    """An entry for a package with these sections (an empty string for a single) and package pin numbers."""
    default_type = next(iter(types))

    def amplifiers(part: Part) -> tuple[AmplifierUnit, ...]:
        return tuple(_unit(part, section) for section in (sections or ("",)))

    def expand(part: Part) -> tuple[Primitive, ...]:
        units = [unit for unit in amplifiers(part) if not _is_idle(part, unit)]
        amplifying = [primitive for unit in units for primitive in _section(unit, types, default_type)]
        each_a = figure(part, "supply_a", types, default_type)
        return (*amplifying, _draw(part, each_a * max(len(sections), 1)))

    def noise(part: Part) -> tuple[OwnNoise, ...]:
        known = types[part.type or default_type]
        return tuple(_hiss(unit.ref, known) for unit in amplifiers(part) if not _is_idle(part, unit))

    return Device(
        kind=kind,
        title=title,
        says=says,
        letters=("U",),
        family="opamp",
        pins=_pins(sections, numbers),
        types=rated(types, {name: RATINGS[name] for name in types}),
        default_type=default_type,
        sections=tuple(sections),
        expand=expand,
        amplifiers=amplifiers,
        noise=noise,
        check=_checker(types),
        options=OPTIONS,
        worked=worked,
        page=page,
    )


def _pins(sections: str, numbers: dict[str, str]) -> tuple[Pin, ...]:
    names = [f"{section}.{pin}" if section else pin for section in (sections or ("",)) for pin in PIN_SAYS]
    says = PIN_SAYS | SUPPLY_PINS
    return tuple(
        Pin(
            name=name, aliases=(numbers[name],) if name in numbers else (), says=says[name.rpartition(".")[2]]
        )
        for name in (*names, *SUPPLY_PINS)
    )


def _unit(part: Part, section: str) -> AmplifierUnit:
    prefix = f"{section}." if section else ""
    return AmplifierUnit(
        ref=part.ref + section,
        part=part,
        non_inverting=part.net(f"{prefix}non"),
        inverting=part.net(f"{prefix}inv"),
        output=part.net(f"{prefix}out"),
    )


def _is_idle(part: Part, unit: AmplifierUnit) -> bool:
    """True for a section the text never mentions: it still draws its supply current but touches no net."""
    prefix = f"{part.ref}/"
    return all(net.startswith(prefix) for net in (unit.non_inverting, unit.inverting, unit.output))


def _draw(part: Part, supply_a: float) -> SupplyDraw:
    return SupplyDraw(
        owner=part.ref, name=f"{part.ref}/supply", plus=part.net("v+"), minus=part.net("v-"), dc_a=supply_a
    )


def _section(unit: AmplifierUnit, types: Types, default_type: str) -> list[Primitive]:
    part = unit.part

    def of_type(name: str) -> float:
        return figure(part, name, types, default_type)

    amplifier = ClippingAmplifier(
        owner=unit.ref,
        name=unit.ref,
        non_inverting=unit.non_inverting,
        inverting=unit.inverting,
        output=unit.output,
        positive_rail=part.net("v+"),
        negative_rail=part.net("v-"),
        dc_gain=option_number(part, "dc-gain", Quantity.NUMBER) or of_type("dc_gain"),
        gain_bandwidth_hz=option_number(part, "gbw", Quantity.FREQUENCY) or of_type("gain_bandwidth_hz"),
        high_headroom_v=of_type("high_headroom_v"),
        low_headroom_v=of_type("low_headroom_v"),
        slew_v_per_s=of_type("slew_v_per_s"),
    )
    bias = of_type("bias_a")
    return [amplifier, _bias(unit, "+", unit.non_inverting, bias), _bias(unit, "-", unit.inverting, bias)]


def _hiss(name: str, known: Mapping[str, Figure]) -> OwnNoise:
    """The noise of one section, flat and below its corners; the figures' source is that of the voltage."""
    return OwnNoise(
        name=name,
        volts_per_rthz=known["noise_v_per_root_hz"].value,
        volts_corner_hz=known["noise_corner_hz"].value,
        amperes_per_rthz=known["noise_a_per_root_hz"].value,
        amperes_corner_hz=known["noise_current_corner_hz"].value,
        source=known["noise_v_per_root_hz"].source,
    )


def _bias(unit: AmplifierUnit, sign: str, net: str, bias_a: float) -> CurrentSource:
    """Current into the pin comes out at the negative supply; current out of it was drawn from the positive
    one.
    """
    name = f"{unit.ref}/bias{sign}"
    if bias_a >= 0:
        return CurrentSource(owner=unit.ref, name=name, a=net, b=unit.part.net("v-"), dc_a=bias_a)
    return CurrentSource(owner=unit.ref, name=name, a=unit.part.net("v+"), b=net, dc_a=-bias_a)


def _checker(types: Types) -> Callable[[Part], tuple[Sentences, ...]]:
    def check(part: Part) -> tuple[Sentences, ...]:
        found = [
            *known_type(part, types),
            *option_mistakes(part, {"dc-gain": Quantity.NUMBER, "gbw": Quantity.FREQUENCY}),
        ]
        for pin, example in (("v+", "v+=VA"), ("v-", "v-=gnd")):
            if is_unused(part, pin):
                cure = f"Add {example} (with the net that feeds it) to the line of {part.ref}."
                why = "An amplifier without a supply does nothing."
                found.append((f"{part.ref} has no {pin} pin written.", why, cure))
        return tuple(found)

    return check
