"""The circuit while it is being understood: what each statement added, not yet joined up."""

from dataclasses import dataclass, field

from pedalwright.circuit.part import Part
from pedalwright.circuit.ports import Acceptance, Section, SignalInput, SignalOutput, Supply, Want
from pedalwright.circuit.span import Span
from pedalwright.devices.device import Device, Pin
from pedalwright.notation.notebook import Notebook


@dataclass(frozen=True, slots=True)
class Node:
    """A net or pin as mentioned somewhere: ``VA``, ``U1a.inv``."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftPart:
    """A part without its nets; the fields are those of `Part`."""

    ref: str
    kind: str
    span: Span
    device: Device
    type: str = ""
    value: float | None = None
    value_text: str = ""
    notes: tuple[str, ...] = ()
    options: tuple[tuple[str, str], ...] = ()
    law: str = ""
    setting: float | str | None = None
    section: str = ""
    value_span: Span | None = None
    pin_names: tuple[str, ...] = ()
    """the pins of a switch, which are named by the text"""

    def as_part(self, pins: tuple[tuple[str, str], ...] = ()) -> Part:
        """The part as the circuit knows it."""
        return Part(
            ref=self.ref,
            kind=self.kind,
            span=self.span,
            type=self.type,
            value=self.value,
            value_text=self.value_text,
            pins=pins,
            notes=self.notes,
            options=self.options,
            law=self.law,
            setting=self.setting,
            section=self.section,
        )

    @property
    def pins(self) -> tuple[Pin, ...]:
        """Its pins, in the device's order."""
        if self.pin_names:
            return tuple(Pin(name=name) for name in self.pin_names)
        if self.device.pins_of is None:
            return self.device.pins
        return self.device.pins_for(self.as_part())


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftPort:
    """A supply, input or output whose net is not yet resolved; `what` holds the net as written."""

    node: Node
    what: Supply | SignalInput | SignalOutput


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftPoint:
    """A test point whose net is not yet resolved."""

    node: Node
    text: str
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftAcceptance:
    """An acceptance whose parts and nets are not yet known to exist: `nodes` are its parts as written."""

    nodes: tuple[Node, ...]
    what: Acceptance


@dataclass(slots=True)
class Draft:
    """Everything read so far; filled statement by statement, then joined up by `joining`."""

    notebook: Notebook
    title: str | None = None
    about: list[str] = field(default_factory=list)
    sections: list[Section] = field(default_factory=list)
    parts: dict[str, DraftPart] = field(default_factory=dict)
    ports: list[DraftPort] = field(default_factory=list)
    points: list[DraftPoint] = field(default_factory=list)
    wants: list[Want] = field(default_factory=list)
    accepts: list[DraftAcceptance] = field(default_factory=list)
    joins: list[tuple[Node, Node]] = field(default_factory=list)
    doubtful: set[str] = field(default_factory=set)
    """words of lines that could not be used; nothing is said about parts named there"""

    @property
    def section(self) -> str:
        """The title of the section being read."""
        return self.sections[-1].title if self.sections else ""

    def declare(self, part: DraftPart) -> bool:
        """Add a part; a second one of the same name is a mistake."""
        earlier = self.parts.get(part.ref)
        if earlier is None:
            self.parts[part.ref] = part
            return True
        self.notebook.mistake(
            "part.twice",
            part.span,
            f"{part.ref} is already there: line {earlier.span.line} says what it is.",
            "A part gets its value once; every later mention says one of its pins.",
            f"Give this one another number, or mention a pin: {mention(part.ref, part.pins[0].name)}",
        )
        return False


def mention(ref: str, pin: str) -> str:
    """How a text mentions a pin: ``U1.v+``, and ``U1a.inv`` for the pin ``a.inv`` of a section."""
    return f"{ref}{pin}" if pin[1:2] == "." else f"{ref}.{pin}"
