"""What every device file says about its device."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive
from pedalwright.circuit.span import Span  # noqa: F401  (re-exported for entries)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """One pin: its `name`, other names it may be written with, and the net it is on when the text does not say.

    `default` may be a net name such as ``gnd``; empty means: unconnected unless written.
    """

    name: str
    aliases: tuple[str, ...] = ()
    default: str = ""
    says: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure of a type: its value in SI units, and where it comes from (a source key or ``from memory``)."""

    value: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AmplifierUnit:
    """One amplifier inside a part, as recognisers see it: section designator, nets of its pins."""

    ref: str
    part: Part
    non_inverting: str
    inverting: str
    output: str
    role: str = "opamp"
    """``opamp`` for an ordinary section; inside the echo chip: input-filter, output-filter, coder, decoder"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """A test circuit of the device with DC voltages it must show, and where these come from."""

    text: str
    volts: Mapping[str, float]
    within_v: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """One entry of the family.

    `kind` is the word of the notation; `letters` the designator letters it may carry (IEEE 315 / IEC 81346);
    `family` groups kinds that recognisers treat alike (resistor, capacitor, inductor, diode, bipolar, fet, opamp,
    regulator, echo-chip, knob, switch, jack, source, indicator ...). `types` maps a type number to its figures; `pins`
    are in order (a device whose pins depend on the text computes them in `pins_of`). `expand` gives the
    primitives of one part, `amplifiers` its amplifier sections. `check` returns sentences (what, why, cure) about
    a part whose value, type or option cannot be used.
    """

    kind: str
    title: str
    says: str
    letters: tuple[str, ...]
    family: str
    pins: tuple[Pin, ...]
    expand: Callable[[Part], tuple[Primitive, ...]]
    types: Mapping[str, Mapping[str, Figure]] = field(default_factory=dict)
    default_type: str = ""
    value_of: str = ""
    """the quantity the part's value is: resistance, capacitance, inductance, voltage; empty when it takes none"""
    sections: tuple[str, ...] = ()
    """letters of the sections of a package (``a``, ``b``); their pins are written U1a.inv"""
    amplifiers: Callable[[Part], tuple[AmplifierUnit, ...]] = lambda part: ()
    pins_of: Callable[[Part], tuple[Pin, ...]] | None = None
    check: Callable[[Part], tuple[tuple[str, str, str], ...]] = lambda part: ()
    worked: tuple[Worked, ...] = ()
