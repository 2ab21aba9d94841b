"""What parts and supplies are called in the power tables."""

from pedalwright.analysis.memo import Analysis
from pedalwright.devices.catalogue import device
from pedalwright.devices.ports import supply_name
from pedalwright.units.values import print_value

UNITS = {"resistance": "Ω", "capacitance": "F", "inductance": "H", "voltage": "V", "current": "A"}


def part_says(analysis: Analysis, ref: str) -> str:
    """A part in a few words: ``TL072 dual operational amplifier``, ``4.7 kΩ resistor``; a supply as itself.

    Raises nothing: what is no part is named as it is.
    """
    part = analysis.circuit.by_ref.get(ref)
    if part is None:
        return _port_says(analysis, ref)
    entry = device(part.kind)
    title = entry.title[:1].lower() + entry.title[1:]
    if part.value is not None and entry.value_of in UNITS:
        return f"{print_value(part.value, UNITS[entry.value_of])} {title}"
    word = part.type or (entry.default_type if entry.family != "diode" else "")
    return f"{word} {title}" if word else title


def _port_says(analysis: Analysis, name: str) -> str:
    for supply in analysis.circuit.supplies:
        if name == supply_name(supply):
            return f"{abs(supply.volts):g} V {'battery' if supply.source == 'battery' else 'adaptor'}"
    return name
