"""The circuit as understood: complete, checked, frozen."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from pedalwright.circuit.part import Part
from pedalwright.circuit.ports import Acceptance, Section, SignalInput, SignalOutput, Supply, TestPoint, Want
from pedalwright.circuit.remark import Remark

GROUND = "gnd"


@dataclass(frozen=True, slots=True)
class PinOf:
    """One pin of one part."""

    part: Part
    pin: str


@dataclass(frozen=True, kw_only=True)
class Circuit:
    """Everything a text says about a pedal.

    `parts` keeps the order of the text; `cautions` are the remarks that do not stop it.
    """

    title: str
    parts: tuple[Part, ...]
    about: tuple[str, ...] = ()
    supplies: tuple[Supply, ...] = ()
    input: SignalInput | None = None
    output: SignalOutput | None = None
    sections: tuple[Section, ...] = ()
    wants: tuple[Want, ...] = ()
    points: tuple[TestPoint, ...] = ()
    accepts: tuple[Acceptance, ...] = ()
    cautions: tuple[Remark, ...] = ()

    @cached_property
    def by_ref(self) -> Mapping[str, Part]:
        """Every part under its designator or name."""
        return {part.ref: part for part in self.parts}

    @cached_property
    def nets(self) -> tuple[str, ...]:
        """Every net a pin, supply, input or output is on: ground first, then in the order of the text."""
        ports = [port.net for port in (*self.supplies, self.input, self.output) if port is not None]
        pins = [net for part in self.parts for net in part.nets]
        return tuple(dict.fromkeys([GROUND, *ports, *pins]))

    @cached_property
    def pins_on(self) -> Mapping[str, tuple[PinOf, ...]]:
        """The pins on each net, in the order of the text."""
        found: dict[str, list[PinOf]] = {net: [] for net in self.nets}
        for part in self.parts:
            for pin, net in part.pins:
                found[net].append(PinOf(part, pin))
        return {net: tuple(pins) for net, pins in found.items()}

    @property
    def knobs(self) -> tuple[Part, ...]:
        """Knobs and trims, in the order of the text."""
        return tuple(part for part in self.parts if part.kind in ("knob", "trim"))

    @property
    def switches(self) -> tuple[Part, ...]:
        """Switches, in the order of the text."""
        return tuple(part for part in self.parts if part.kind == "switch")

    def with_settings(self, settings: Mapping[str, float | str]) -> "Circuit":
        """The same circuit with knobs or switches moved; KeyError for a name that is neither."""
        movable = {part.ref for part in (*self.knobs, *self.switches)}
        unknown = sorted(set(settings) - movable)
        if unknown:
            raise KeyError(unknown[0])
        return self.with_parts(
            {ref: replace(self.by_ref[ref], setting=setting) for ref, setting in settings.items()}
        )

    def with_value(self, ref: str, value: float) -> "Circuit":
        """The same circuit with one part's value changed (SI units)."""
        return self.with_parts({ref: replace(self.by_ref[ref], value=value)})

    def with_parts(self, changed: Mapping[str, Part]) -> "Circuit":
        """The same circuit with some parts replaced, order kept."""
        return replace(self, parts=tuple(changed.get(part.ref, part) for part in self.parts))
