"""How the circuit meets the world: supplies, the signal source, the load; and what its writer wants of it."""

from dataclasses import dataclass

from pedalwright.circuit.span import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """A DC supply feeding `net` against ground.

    `source` is ``wall`` or ``battery``; `low_v`..`high_v` its stated range.
    """

    net: str
    volts: float
    source: str
    low_v: float
    high_v: float
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class SignalInput:
    """What drives the pedal at `net`: ``pickup``, ``buffered``, ``line`` or ``custom``.

    A ``custom`` input has its `ohms` and `level_v` written in the text.
    `level_v` is the peak level the source is expected to reach, in volts.
    """

    net: str
    source: str
    ohms: float
    level_v: float
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class SignalOutput:
    """The load of whatever follows the pedal at `net`, in ohms."""

    net: str
    ohms: float
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Want:
    """One line of the brief: the quantity (``delay.min``) must lie within `low`..`high`, in SI units.

    Either end may be None.
    """

    quantity: str
    low: float | None
    high: float | None
    unit: str
    text: str
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class TestPoint:
    """A net the builder will put a probe on, with the name the documents use."""

    net: str
    text: str
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A heading of the text; serves documents only."""

    title: str
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """A finding of the review that the writer knows about and accepts, with the reason.

    `code` is a rule's code or name as written; `parts` narrow it to findings about these (none: all of them).
    """

    code: str
    reason: str
    parts: tuple[str, ...]
    span: Span
