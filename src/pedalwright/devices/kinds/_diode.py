"""What all diodes share: an exponential junction behind the resistance of the crystal and its leads."""

from collections.abc import Callable, Mapping

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Junction, Primitive, Resistance
from pedalwright.devices.device import Figure
from pedalwright.devices.part_facts import (
    Sentences,
    figure,
    known_type,
    option_mistakes,
    option_number,
)
from pedalwright.units.values import Quantity

Types = Mapping[str, Mapping[str, Figure]]
CARD_OPTIONS = {
    "saturation": "saturation current fitted to the part in hand",
    "emission": "emission coefficient fitted to the part in hand",
    "series": "series resistance fitted to the part in hand; 0 for none",
}


def junction_and_series(
    part: Part, saturation_a: float, emission: float, series_ohms: float, breakdown_v: float | None = None
) -> tuple[Primitive, ...]:
    """The junction under the part's own name, and its series resistance on the cathode side."""
    anode, cathode = part.nets
    inner = f"{part.ref}/inner" if series_ohms else cathode
    junction = Junction(
        owner=part.ref,
        name=part.ref,
        anode=anode,
        cathode=inner,
        saturation_a=saturation_a,
        emission=emission,
        breakdown_v=breakdown_v,
    )
    if not series_ohms:
        return (junction,)
    return junction, Resistance(
        owner=part.ref, name=f"{part.ref}/series", a=inner, b=cathode, ohms=series_ohms
    )


def diode_of(types: Types, default_type: str) -> Callable[[Part], tuple[Primitive, ...]]:
    """The expansion of a kind whose types are cards of saturation current, emission and series resistance.

    The part's own options go before its card.
    """

    def expand(part: Part) -> tuple[Primitive, ...]:
        def fitted(option: str, quantity: Quantity, name: str) -> float:
            written = option_number(part, option, quantity)
            return figure(part, name, types, default_type) if written is None else written

        return junction_and_series(
            part,
            fitted("saturation", Quantity.CURRENT, "saturation_a"),
            fitted("emission", Quantity.NUMBER, "emission"),
            fitted("series", Quantity.RESISTANCE, "series_ohms"),
        )

    return expand


def check_of(types: Types) -> Callable[[Part], tuple[Sentences, ...]]:
    """The check of such a kind: a known type, and options that are numbers."""
    above_zero = {"saturation": Quantity.CURRENT, "emission": Quantity.NUMBER}

    def check(part: Part) -> tuple[Sentences, ...]:
        return (
            *known_type(part, types),
            *option_mistakes(part, above_zero),
            *option_mistakes(part, {"series": Quantity.RESISTANCE}, above_zero=False),
        )

    return check
