"""What every device file says about its device."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from pedalwright.circuit.noise import OwnNoise
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive


def unused_net(ref: str, pin: str) -> str:
    """The net of a pin the text never mentions: ``U1/b.out``. The notation cannot write a slash, so it is
    alone there.
    """
    return f"{ref}/{pin}"


def is_unused(part: Part, pin: str) -> bool:
    """True when the text leaves the pin unconnected."""
    return part.net(pin) == unused_net(part.ref, pin)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """One pin: its `name`, other names it may be written with, and the net it is on when the text does not
    say.

    A pin of a section is named ``a.inv`` and written ``U1a.inv``; `aliases` hold package numbers where all
    types of the kind agree on them. `default` may be a net name such as ``gnd``; empty means: unconnected
    unless written (then its net is `unused_net`). `says` tells the builder what the pin is for.
    """

    name: str
    aliases: tuple[str, ...] = ()
    default: str = ""
    says: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure of a type: its value in SI units, and where it comes from (a source key or ``from
    memory``).
    """

    value: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AmplifierUnit:
    """One amplifier inside a part, as recognisers see it: the name of its primitive, and the nets of its
    pins.

    `ref` is the section's designator (``U1a``, ``U1`` for a single amplifier, ``U2/input-filter`` inside
    the echo chip) and at the same time the name of its clipping-amplifier primitive.
    """

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

    `kind` is the word of the notation; `letters` the designator letters it may carry (IEEE 315 / IEC 81346,
    none for parts with a name of their own); `family` groups kinds that recognisers treat alike (resistor,
    capacitor, inductor, diode, bipolar, fet, opamp, regulator, echo-chip, knob, switch, jack, source, fuse,
    optocoupler). `types` maps a type number to its figures; `pins` are in order (a device whose pins depend
    on the text computes them in `pins_of` from a part that has everything but its pins; ask `pins_for`).
    `options` are the ``key=value`` words it understands besides its pins. `expand` gives the primitives of
    one part, `amplifiers` its amplifier sections, `noise` the published noise of some of its primitives.
    `check` returns sentences (what, why, cure) about a part whose value, type, pins or options cannot be
    used; `expand` may be called only when `check` is silent. `page` is the module's docstring: the device's
    page in the manual.
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
    figures: Mapping[str, Figure] = field(default_factory=dict)
    """figures of a device without types"""
    value_of: str = ""
    """the quantity the part's value is: resistance, capacitance, inductance, voltage, current; empty when
    it takes none
    """
    sections: tuple[str, ...] = ()
    """letters of the sections of a package (``a``, ``b``); their pins are written U1a.inv"""
    amplifiers: Callable[[Part], tuple[AmplifierUnit, ...]] = lambda part: ()
    pins_of: Callable[[Part], tuple[Pin, ...]] | None = None
    noise: Callable[[Part], tuple[OwnNoise, ...]] = lambda part: ()
    check: Callable[[Part], tuple[tuple[str, str, str], ...]] = lambda part: ()
    options: Mapping[str, str] = field(default_factory=dict)
    """option word -> what it says"""
    worked: tuple[Worked, ...] = ()
    page: str = ""

    def pins_for(self, part: Part) -> tuple[Pin, ...]:
        """The pins of one part, in order; `part` needs no pins yet."""
        return self.pins_of(part) if self.pins_of is not None else self.pins

    def figures_for(self, part: Part) -> Mapping[str, Figure]:
        """Every figure known about one part, with its source: `figures`, and those of its type."""
        return {**self.figures, **self.types.get(part.type or self.default_type, {})}

    def type_named(self, word: str) -> str:
        """The type's own spelling of `word` (capitals do not matter), or an empty string."""
        return next((name for name in self.types if name.lower() == word.lower()), "")
