"""What field-effect transistors share: a square law between gate voltage and channel current."""

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Capacitance, FieldEffectTransistor, Junction, Primitive
from pedalwright.devices.device import Device, Pin
from pedalwright.devices.kinds._transistor import Transistor
from pedalwright.devices.part_facts import Sentences, option_mistakes, option_number
from pedalwright.units.values import Quantity

PINS = (
    Pin(name="d", aliases=("drain",), says="drain"),
    Pin(name="g", aliases=("gate",), says="gate"),
    Pin(name="s", aliases=("source",), says="source"),
)
JFET_OPTIONS = {
    "idss": "drain current at zero gate voltage, measured on the part in hand",
    "vp": "gate voltage that just stops the channel, measured on the part in hand",
    "modulation": "channel-length modulation in 1/V; 0 for the textbook's flat curves",
}
MOSFET_OPTIONS = {"vth": "threshold voltage measured on the part in hand"}
BODY_SATURATION_A = 1e-13
"""of the diode between body and drain (from memory)"""


def jfet_device(entry: Transistor) -> Device:
    """An entry for a junction field-effect transistor of one polarity."""
    return entry.device(
        family="fet", pins=PINS, options=JFET_OPTIONS, expand=_jfet, check_options=_jfet_mistakes
    )


def mosfet_device(entry: Transistor) -> Device:
    """An entry for an enhancement MOSFET of one polarity, with the diode between its drain and its body."""
    return entry.device(
        family="fet", pins=PINS, options=MOSFET_OPTIONS, expand=_mosfet, check_options=_mosfet_mistakes
    )


def _jfet(entry: Transistor, part: Part) -> tuple[Primitive, ...]:
    idss_a = option_number(part, "idss", Quantity.CURRENT) or entry.figure(part, "idss_a")
    pinch_off_v = abs(option_number(part, "vp", Quantity.VOLTAGE) or entry.figure(part, "pinch_off_v"))
    modulation = option_number(part, "modulation", Quantity.NUMBER)
    channel = _channel(
        entry,
        part,
        beta=idss_a / pinch_off_v**2,
        threshold_v=-pinch_off_v,
        modulation=entry.figure(part, "modulation") if modulation is None else modulation,
        gate_saturation_a=entry.figure(part, "gate_saturation_a"),
    )
    return (channel, *_gate_capacitances(entry, part))


def _mosfet(entry: Transistor, part: Part) -> tuple[Primitive, ...]:
    threshold_v = option_number(part, "vth", Quantity.VOLTAGE) or entry.figure(part, "threshold_v")
    channel = _channel(entry, part, beta=entry.figure(part, "beta"), threshold_v=abs(threshold_v))
    return (channel, _body_diode(part, entry.polarity), *_gate_capacitances(entry, part))


def _channel(entry: Transistor, part: Part, **card: float) -> FieldEffectTransistor:
    return FieldEffectTransistor(
        owner=part.ref,
        name=part.ref,
        drain=part.net("d"),
        gate=part.net("g"),
        source=part.net("s"),
        polarity=entry.polarity,
        **card,
    )


def _jfet_mistakes(part: Part) -> tuple[Sentences, ...]:
    return (
        *option_mistakes(part, {"idss": Quantity.CURRENT}),
        *option_mistakes(part, {"vp": Quantity.VOLTAGE, "modulation": Quantity.NUMBER}, above_zero=False),
        *_zero_mistake(part, "vp"),
        *_negative_modulation(part),
    )


def _mosfet_mistakes(part: Part) -> tuple[Sentences, ...]:
    return (
        *option_mistakes(part, {"vth": Quantity.VOLTAGE}, above_zero=False),
        *_zero_mistake(part, "vth"),
    )


def _zero_mistake(part: Part, key: str) -> tuple[Sentences, ...]:
    """A voltage that may have either sign, but not none."""
    if option_number(part, key, Quantity.VOLTAGE) != 0:
        return ()
    what = f"{part.ref}: {key}={part.option(key)} is zero."
    return ((what, "The gate steers by this voltage.", f"Write the measured {key}, or leave it away."),)


def _negative_modulation(part: Part) -> tuple[Sentences, ...]:
    if (option_number(part, "modulation", Quantity.NUMBER) or 0.0) >= 0:
        return ()
    what = f"{part.ref}: modulation={part.option('modulation')} is negative."
    return ((what, "Current never falls with drain voltage.", "Write modulation=0.01 for instance, or 0."),)


def _gate_capacitances(entry: Transistor, part: Part) -> tuple[Capacitance, Capacitance]:
    """Gate to drain (multiplied by the stage's gain) and gate to source."""
    gate = part.net("g")
    return (
        Capacitance(
            owner=part.ref, name=f"{part.ref}/gate-drain", a=gate, b=part.net("d"),
            farads=entry.figure(part, "gate_drain_f"),
        ),
        Capacitance(
            owner=part.ref, name=f"{part.ref}/gate-source", a=gate, b=part.net("s"),
            farads=entry.figure(part, "gate_source_f"),
        ),
    )  # fmt: skip


def _body_diode(part: Part, polarity: int) -> Junction:
    """The body is tied to the source; its junction to the drain conducts when the drain is driven the wrong
    way.
    """
    source, drain = part.net("s"), part.net("d")
    anode, cathode = (source, drain) if polarity > 0 else (drain, source)
    return Junction(
        owner=part.ref, name=f"{part.ref}/body", anode=anode, cathode=cathode,
        saturation_a=BODY_SATURATION_A, emission=1.0,
    )  # fmt: skip
