"""Where remarks are noted down while a text is read."""

from pedalwright.circuit.remark import Remark, Severity
from pedalwright.circuit.span import Span


class Notebook:
    """Collects remarks; one per code and place."""

    def __init__(self) -> None:
        self._remarks: dict[tuple[str, Span | None], Remark] = {}
        self._mistakes = 0

    def mistake(self, code: str, span: Span | None, what: str, why: str, cure: str) -> None:
        """Note something that must be mended before the circuit can be used."""
        self.add(Remark(code=code, span=span, what=what, why=why, cure=cure))

    def caution(self, code: str, span: Span | None, what: str, why: str, cure: str) -> None:
        """Note something that does not stop the circuit but deserves a look."""
        self.add(Remark(code=code, span=span, what=what, why=why, cure=cure, severity=Severity.CAUTION))

    def add(self, remark: Remark) -> None:
        """Keep a remark made elsewhere."""
        key = (remark.code, remark.span)
        if key not in self._remarks:
            self._remarks[key] = remark
            self._mistakes += remark.severity is Severity.MISTAKE

    def has_mistakes(self) -> bool:
        """True when any remark stops the circuit."""
        return self.mistakes > 0

    @property
    def mistakes(self) -> int:
        """How many remarks stop the circuit."""
        return self._mistakes

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """Every remark in the order of the text; those about the whole text come last, mistakes first."""
        return tuple(sorted(self._remarks.values(), key=_place))


def _place(remark: Remark) -> tuple[Span, bool]:
    return remark.span or Span(10**9, 0, 0), remark.severity is not Severity.MISTAKE
