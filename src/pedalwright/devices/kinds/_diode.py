"""What all diodes share: an exponential junction behind the resistance of the crystal and its leads."""

from collections.abc import Callable, Mapping

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Junction, Primitive, Resistance
from pedalwright.devices.device import Figure
from pedalwright.devices.part_facts import figure

Types = Mapping[str, Mapping[str, Figure]]


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
    """The expansion of a kind whose types are cards of saturation current, emission and series resistance."""

    def expand(part: Part) -> tuple[Primitive, ...]:
        saturation_a, emission, series_ohms = (
            figure(part, name, types, default_type) for name in ("saturation_a", "emission", "series_ohms")
        )
        return junction_and_series(part, saturation_a, emission, series_ohms)

    return expand
