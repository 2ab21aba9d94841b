"""The elements of the idealised circuit one by one, for asking what each does."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.primitives import Capacitance, Inductance, Primitive, Resistance, Transconductance
from pedalwright.stages.branch import passive_admittance

ComplexArray = NDArray[np.complex128]


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """A current from row `a` to row `b`, proportional to the voltage from row `plus` to row `minus` (-1 is
    ground).

    `sort` is ``R C L`` or ``G`` for a controlled source; `value` in SI units.
    """

    name: str
    sort: str
    value: float
    a: int
    b: int
    plus: int
    minus: int

    def admittance(self, s: ComplexArray) -> ComplexArray:
        """Siemens at each complex frequency."""
        if self.sort == "G":
            return np.full_like(s, self.value)
        return passive_admittance(self.sort, self.value, s)

    def across(self, volts: ComplexArray) -> ComplexArray:
        """The controlling voltage, from unknowns of shape (frequencies, unknowns)."""
        return _pick(volts, self.plus) - _pick(volts, self.minus)

    def push(self, inverse: ComplexArray) -> ComplexArray:
        """The unknowns that one ampere from `a` to `b` through the element would take away: shape
        (frequencies, unknowns).
        """
        columns = np.zeros(inverse.shape[:2], dtype=complex)
        if self.a >= 0:
            columns = columns + inverse[:, :, self.a]
        if self.b >= 0:
            columns = columns - inverse[:, :, self.b]
        return columns

    def into(self, row: int, s: ComplexArray, volts: ComplexArray) -> ComplexArray:
        """The current this element pushes into one net's row, in amperes."""
        sign = (self.b == row) * 1.0 - (self.a == row) * 1.0
        return sign * self.admittance(s) * self.across(volts)


def _pick(volts: ComplexArray, row: int) -> ComplexArray:
    return volts[:, row] if row >= 0 else np.zeros(volts.shape[0], dtype=complex)


def elements_of(primitives: Sequence[Primitive], rows: Mapping[str, int]) -> Iterable[Element]:
    """Every linear element of the primitives, with its rows."""

    def row(net: str) -> int:
        return rows.get(net, -1)

    for primitive in primitives:
        if isinstance(primitive, Resistance):
            sort, value = "R", primitive.ohms
        elif isinstance(primitive, Capacitance):
            sort, value = "C", primitive.farads
        elif isinstance(primitive, Inductance):
            sort, value = "L", primitive.henries
        elif isinstance(primitive, Transconductance):
            yield Element(
                name=primitive.name,
                sort="G",
                value=primitive.siemens,
                a=row(primitive.a),
                b=row(primitive.b),
                plus=row(primitive.control_plus),
                minus=row(primitive.control_minus),
            )
            continue
        else:
            continue
        a, b = row(primitive.a), row(primitive.b)
        yield Element(name=primitive.name, sort=sort, value=value, a=a, b=b, plus=a, minus=b)
