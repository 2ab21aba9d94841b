"""What npn and pnp transistors share."""

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import BipolarTransistor, Capacitance, Junction, Primitive
from pedalwright.devices.device import Device, Pin
from pedalwright.devices.kinds._transistor import Transistor
from pedalwright.devices.part_facts import option_mistakes, option_number
from pedalwright.units.values import Quantity

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


def bipolar_device(entry: Transistor) -> Device:
    """An entry for one polarity."""
    return entry.device(
        family="bipolar",
        pins=PINS,
        options=OPTIONS,
        expand=_expand,
        check_options=lambda part: option_mistakes(part, OPTION_QUANTITIES),
    )


def _expand(entry: Transistor, part: Part) -> tuple[Primitive, ...]:
    return (_transistor(entry, part), _feedback(entry, part), *_leakage(entry, part))


def _transistor(entry: Transistor, part: Part) -> BipolarTransistor:
    beta, saturation_a, early_v = (
        option_number(part, key, quantity) for key, quantity in OPTION_QUANTITIES.items()
    )
    return BipolarTransistor(
        owner=part.ref,
        name=part.ref,
        collector=part.net("c"),
        base=part.net("b"),
        emitter=part.net("e"),
        polarity=entry.polarity,
        saturation_a=saturation_a or entry.figure(part, "saturation_a"),
        forward_beta=beta or entry.figure(part, "forward_beta"),
        reverse_beta=entry.figure(part, "reverse_beta"),
        early_v=early_v or entry.figure(part, "early_v"),
        # A measured gain is the gain at the current in hand: nothing is left to fall off.
        leak_a=0.0 if beta else entry.figure(part, "leak_a"),
        leak_emission=entry.figure(part, "leak_emission"),
    )


def _feedback(entry: Transistor, part: Part) -> Capacitance:
    return Capacitance(
        owner=part.ref,
        name=f"{part.ref}/base-collector",
        a=part.net("b"),
        b=part.net("c"),
        farads=entry.figure(part, "base_collector_f"),
    )


def _leakage(entry: Transistor, part: Part) -> tuple[Primitive, ...]:
    """Collector-base leakage of a germanium part: a reversed junction that saturates at the cut-off
    current.
    """
    cutoff_a = entry.figure(part, "cutoff_a")
    if not cutoff_a:
        return ()
    base, collector = part.net("b"), part.net("c")
    anode, cathode = (base, collector) if entry.polarity > 0 else (collector, base)
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
