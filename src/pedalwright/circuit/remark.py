"""What is wrong, or worth saying, about a circuit's text: data, never an exception."""

from dataclasses import dataclass
from enum import Enum

from pedalwright.circuit.span import Span


class Severity(Enum):
    """How much a remark matters."""

    MISTAKE = "mistake"
    """the text cannot be used until this is mended"""
    CAUTION = "caution"
    """the text can be used, but the writer probably wants to look here"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """One sentence about one place in the text, with its reason and what to write instead.

    `code` is stable and speaking, for example ``value.decimal-comma``.
    """

    code: str
    span: Span | None
    what: str
    why: str
    cure: str
    severity: Severity = Severity.MISTAKE


class UnusableCircuit(Exception):
    """The text holds mistakes, so there is no circuit.

    Carries every remark found, in the order of the text.
    """

    def __init__(self, remarks: tuple[Remark, ...], source: str = "", text: str = "") -> None:
        super().__init__("; ".join(remark.what for remark in remarks))
        self.remarks = remarks
        self.source = source
        self.text = text
