"""What npn and pnp transistors share."""

from collections.abc import Mapping

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import BipolarTransistor, Capacitance, Junction, Primitive
from pedalwright.devices.device import Device, Figure, Pin, Worked
from pedalwright.devices.part_facts import figure, known_type, option_mistakes, option_number
from pedalwright.units.values import Quantity

Types = Mapping[str, Mapping[str, Figure]]
OPTIONS = {
    "beta": "current gain measured on the part in hand",
    "saturation": "saturation current fitted to the part in hand",
    "early": "Early voltage fitted to the part in hand; a large one for flat curves",
}
OPTION_QUANTITIES = {
    "beta": Quantity.NUMBER,
    "saturation": Quantity.CURRENT,
    "early": Quantity.VOLTAGE,
}
PINS = (
    Pin(name="c", aliases=("collector",), says="collector"),
    Pin(name="b", aliases=("base",), says="base"),
    Pin(name="e", aliases=("emitter",), says="emitter"),
)


def bipolar_device(
    *, kind: str, title: str, says: str, polarity: int, types: Types, worked: tuple[Worked, ...], page: str
) -> Device:
    """An entry for one polarity; the first type is the default."""
    default_type = next(iter(types))

    def expand(part: Part) -> tuple[Primitive, ...]:
        def of_type(name: str) -> float:
            return figure(part, name, types, default_type)

        collector, base, emitter = (part.net(pin) for pin in "cbe")
        beta, saturation_a, early_v = (
            option_number(part, key, quantity) for key, quantity in OPTION_QUANTITIES.items()
        )
        transistor = BipolarTransistor(
            owner=part.ref,
            name=part.ref,
            collector=collector,
            base=base,
            emitter=emitter,
            polarity=polarity,
            saturation_a=saturation_a or of_type("saturation_a"),
            forward_beta=beta or of_type("forward_beta"),
            reverse_beta=of_type("reverse_beta"),
            early_v=early_v or of_type("early_v"),
            # A measured gain is the gain at the current in hand: nothing is left to fall off.
            leak_a=0.0 if beta else of_type("leak_a"),
            leak_emission=of_type("leak_emission"),
        )
        feedback = Capacitance(
            owner=part.ref,
            name=f"{part.ref}/base-collector",
            a=base,
            b=collector,
            farads=of_type("base_collector_f"),
        )
        return (transistor, feedback, *_leakage(part, of_type("cutoff_a"), base, collector, polarity))

    return Device(
        kind=kind,
        title=title,
        says=says,
        letters=("Q",),
        family="bipolar",
        pins=PINS,
        types=types,
        default_type=default_type,
        expand=expand,
        check=lambda part: (*known_type(part, types), *option_mistakes(part, OPTION_QUANTITIES)),
        options=OPTIONS,
        worked=worked,
        page=page,
    )


def _leakage(part: Part, cutoff_a: float, base: str, collector: str, polarity: int) -> tuple[Primitive, ...]:
    """Collector-base leakage of a germanium part: a reversed junction that saturates at the cut-off
    current.
    """
    if not cutoff_a:
        return ()
    anode, cathode = (base, collector) if polarity > 0 else (collector, base)
    return (
        Junction(
            owner=part.ref,
            name=f"{part.ref}/leakage",
            anode=anode,
            cathode=cathode,
            saturation_a=cutoff_a,
            emission=1.0,
        ),
    )
