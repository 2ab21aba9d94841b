"""A sound that cannot be made, read or written: remarks as a circuit's text gets them."""

from pedalwright.circuit.remark import Remark
from pedalwright.circuit.span import Span


class UnusableSound(Exception):
    """A wish for a sound, or a sound file, holds mistakes. Carries every remark found."""

    def __init__(self, remarks: tuple[Remark, ...]) -> None:
        super().__init__(" ".join(f"{remark.what} {remark.why} {remark.cure}".strip() for remark in remarks))
        self.remarks = remarks


def unusable(code: str, what: str, why: str, cure: str, *, span: Span | None = None) -> UnusableSound:
    """The exception with one remark: a stable speaking `code`, then three whole sentences."""
    return UnusableSound((Remark(code=code, span=span, what=what, why=why, cure=cure),))
