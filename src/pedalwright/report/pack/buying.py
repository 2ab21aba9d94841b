"""Every part as it is bought: its group, what is written on it, what it must stand, how high it stands."""

from dataclasses import dataclass

from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.devices.kinds.capacitor import dielectric, is_polarised, rated_v
from pedalwright.echo.tolerance import tolerance_of
from pedalwright.report.figures import figure
from pedalwright.report.pack.dossier import Dossier
from pedalwright.stages.ratings import standard_rating, strain_on
from pedalwright.units.value_writing import print_value

RESISTORS, CAPACITORS, INDUCTORS, DIODES = "Resistors", "Capacitors", "Inductors", "Diodes and LEDs"
TRANSISTORS, CHIPS, CONTROLS, OTHER = (
    "Transistors",
    "Chips and regulators",
    "Knobs and switches",
    "Other parts",
)
GROUPS = (RESISTORS, CAPACITORS, INDUCTORS, DIODES, TRANSISTORS, CHIPS, CONTROLS, OTHER)
GROUP_OF_FAMILY = {
    "resistor": RESISTORS,
    "capacitor": CAPACITORS,
    "inductor": INDUCTORS,
    "diode": DIODES,
    "bipolar": TRANSISTORS,
    "fet": TRANSISTORS,
    "opamp": CHIPS,
    "regulator": CHIPS,
    "echo-chip": CHIPS,
    "knob": CONTROLS,
    "switch": CONTROLS,
}
SORT_OF_KIND = {
    "opamp": "single op-amp",
    "dual-opamp": "dual op-amp",
    "quad-opamp": "quad op-amp",
    "led": "LED",
    "npn": "NPN transistor",
    "pnp": "PNP transistor",
    "n-jfet": "N-channel JFET",
    "p-jfet": "P-channel JFET",
    "n-mosfet": "N-channel MOSFET",
    "p-mosfet": "P-channel MOSFET",
}
UNIT_OF_GROUP = {RESISTORS: "ohm", CAPACITORS: "F", INDUCTORS: "H"}
HALF_WATT_FROM_W, QUARTER_W, HALF_W = 0.125, "0.25 W", "0.5 W or more"
"""a resistor is used to half of what it stands (common practice, no source)"""
SMALL_F, LARGE_F = 1e-9, 1e-6
"""below the one ceramic is usual, above the other electrolytic (common practice, no source)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """One part for the lists: texts as a buyer reads them. `value` alone tells it from others of its group
    together with `sort` and `rating`.
    """

    part: Part
    group: str
    value: str
    sort: str
    """``film``, ``linear``, ``npn``: what to ask for besides the value"""
    rating: str
    tolerance: str
    why: str
    """why this sort, one sentence"""

    @property
    def likeness(self) -> tuple[str, str, str, str]:
        """What makes two parts one line of the shopping list."""
        return self.group, self.value, self.sort, self.rating


def bought(dossier: Dossier) -> tuple[Bought, ...]:
    """Every part, in the order of the text."""
    return tuple(_bought(dossier, part) for part in dossier.circuit.parts)


def _bought(dossier: Dossier, part: Part) -> Bought:
    group = GROUP_OF_FAMILY.get(device(part.kind).family, OTHER)
    sort, why = _sort(part, group)
    tolerance = tolerance_of(part)
    return Bought(
        part=part,
        group=group,
        value=value_of(part, group),
        sort=sort,
        rating=_rating(dossier, part, group),
        tolerance="" if tolerance is None else f"{100 * tolerance:g} %",
        why=why,
    )


def value_of(part: Part, group: str) -> str:
    """The value, or the type number, or what kind of thing it is."""
    if part.kind == "echo-chip":
        return "echo chip"
    if part.kind == "regulator" and not part.type and part.value is not None:
        return f"{part.value:g} V ({device(part.kind).default_type} or alike)"
    if part.type:
        return part.type
    if part.kind in ("knob", "trim") and part.value is not None:
        return print_value(part.value, "ohm")
    unit = UNIT_OF_GROUP.get(group)
    if part.value is None or unit is None:
        return part.value_text or part.kind.replace("-", " ")
    return print_value(part.value, unit)


def _sort(part: Part, group: str) -> tuple[str, str]:
    if group == RESISTORS:
        return "metal film", "Metal film is quiet and keeps its value."
    if group == CAPACITORS:
        return _capacitor_sort(part)
    if part.kind in ("knob", "trim"):
        return f"{part.law} {'trimmer' if part.kind == 'trim' else 'potentiometer'}", _law_why(part)
    sort = SORT_OF_KIND.get(part.kind, part.kind.replace("-", " "))
    if group == CHIPS and part.kind != "regulator":
        return sort, "Chips in sockets can be taken out while the board is tested."
    return sort, ""


def _capacitor_sort(part: Part) -> tuple[str, str]:
    made_of = dielectric(part) or _usual_dielectric(part.value or 0.0)
    asked = "" if dielectric(part) else " The text leaves the sort open; this one is usual for the value."
    why = {
        "film": "Film keeps its value at any voltage and adds no distortion.",
        "ceramic": (
            "Ceramic is small and fast. Where sound goes through it take class 1 (C0G), whose value does not "
            "move with voltage."
        ),
        "electrolytic": "Electrolytic: much capacitance in little room; it has a plus end and leaks.",
        "tantalum": "Tantalum is small and leaks little; it has a plus end and forgives no reversal.",
    }[made_of]
    return made_of, why + asked


def _usual_dielectric(farads: float) -> str:
    if farads < SMALL_F:
        return "ceramic"
    return "film" if farads < LARGE_F else "electrolytic"


def _law_why(part: Part) -> str:
    return {
        "linear": "Linear: the resistance grows evenly with the turn.",
        "audio": "Audio: slow at first and fast at the end, as ears hear loudness.",
        "reverse-audio": "Reverse audio: fast at first and slow at the end.",
    }.get(part.law, "")


def _rating(dossier: Dossier, part: Part, group: str) -> str:
    if group == CAPACITORS:
        return _voltage_rating(dossier, part)
    if group == RESISTORS:
        return _watts_rating(dossier, part)
    return ""


def _voltage_rating(dossier: Dossier, part: Part) -> str:
    written = rated_v(part)
    if written is not None:
        return f"{written:g} V"
    strain = strain_on(dossier.analysis.bench, part.ref)
    needed = None if strain is None else standard_rating(strain.most_v)
    if needed is None:
        return ""
    floor = 16.0 if is_polarised(part) else 50.0
    return f"{max(needed, floor):g} V or more"


def _watts_rating(dossier: Dossier, part: Part) -> str:
    """From the heat at rest; a resistor that signals warm is not known here."""
    rest = dossier.analysis.rest
    if not rest.certificate.ok or not part.value:
        return QUARTER_W
    across = rest.volts(part.net("1")) - rest.volts(part.net("2"))
    watts = across**2 / part.value
    return QUARTER_W if watts < HALF_WATT_FROM_W else f"{HALF_W} ({figure(watts, 'W')} at rest)"
