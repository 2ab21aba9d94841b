"""A second opinion: linear circuits solved by nodal analysis in 50-digit arithmetic, written apart from the
solver.

Inductances enter as admittances (the solver gives them a current of their own), an amplifier of finite gain
as a voltage-controlled source A(s) = 1/(1/A0 + s/(2 pi f_t)), an ideal one as equality of its inputs.
"""

from collections.abc import Mapping, Sequence

import mpmath
from mpmath import mpc, mpf

from pedalwright.circuit.primitives import (
    Capacitance,
    ClippingAmplifier,
    CurrentSource,
    Inductance,
    Primitive,
    Resistance,
    Transconductance,
    VoltageSource,
)

DIGITS = 50
GROUND = "gnd"


def exact_volts(
    parts: Sequence[Primitive], driven: str, frequency_hz: float, gains: Mapping[str, float] | None = None
) -> dict[str, complex]:
    """Every net's voltage for one volt from the source `driven`, the other sources dead.

    `gains` replaces the open-loop gain at rest of named amplifiers.
    """
    with mpmath.workdps(DIGITS):
        return _volts(parts, driven, mpc(0, 2 * mpmath.pi * mpf(frequency_hz)), gains or {})


class _Nodal:
    """The equations being written: one for each net, one for each held voltage."""

    def __init__(self, nets: Sequence[str], held: int) -> None:
        self.row = {net: number for number, net in enumerate(nets)}
        self.a = mpmath.zeros(len(nets) + held)
        self.b = mpmath.zeros(len(nets) + held, 1)

    def add(self, row: str | int, column: str | int, value: mpc) -> None:
        if GROUND not in (row, column):
            self.a[self.place(row), self.place(column)] += value

    def place(self, key: str | int) -> int:
        return self.row[key] if isinstance(key, str) else key


def _volts(parts: Sequence[Primitive], driven: str, s: mpc, gains: Mapping[str, float]) -> dict[str, complex]:
    nets = sorted({net for part in parts for net in _nets(part)} - {GROUND})
    held = [part for part in parts if isinstance(part, VoltageSource | ClippingAmplifier)]
    nodal = _Nodal(nets, len(held))
    for part in parts:
        for row, column, value in _currents(part, s):
            nodal.add(row, column, value)
    for line, part in enumerate(held, start=len(nets)):
        plus, minus = (part.plus, part.minus) if isinstance(part, VoltageSource) else (part.output, GROUND)
        nodal.add(plus, line, mpf(1))
        nodal.add(minus, line, mpf(-1))
        for net, value in _equation(part, s, gains):
            nodal.add(line, net, value)
        nodal.b[line] = 1 if part.name == driven else 0
    x = mpmath.lu_solve(nodal.a, nodal.b)
    return {net: complex(x[number]) for net, number in nodal.row.items()}


def _currents(part: Primitive, s: mpc) -> list[tuple[str, str, mpc]]:
    """What a part adds to the current law: row net, column net, siemens."""
    if isinstance(part, Resistance | Capacitance | Inductance):
        y = _admittance(part, s)
        return [(part.a, part.a, y), (part.b, part.b, y), (part.a, part.b, -y), (part.b, part.a, -y)]
    if isinstance(part, Transconductance):
        g, plus, minus = mpf(part.siemens), part.control_plus, part.control_minus
        return [(part.a, plus, g), (part.a, minus, -g), (part.b, plus, -g), (part.b, minus, g)]
    return []


def _equation(
    part: VoltageSource | ClippingAmplifier, s: mpc, gains: Mapping[str, float]
) -> list[tuple[str, mpc]]:
    """The equation of a held voltage: net and coefficient."""
    if isinstance(part, VoltageSource):
        return [(part.plus, mpf(1)), (part.minus, mpf(-1))]
    inverse = mpf(0)
    if not part.ideal:
        inverse = 1 / mpf(gains.get(part.name, part.dc_gain))
        if part.gain_bandwidth_hz is not None:
            inverse += s / (2 * mpmath.pi * mpf(part.gain_bandwidth_hz))
    return [(part.non_inverting, mpf(1)), (part.inverting, mpf(-1)), (part.output, -inverse)]


def _admittance(part: Resistance | Capacitance | Inductance, s: mpc) -> mpc:
    if isinstance(part, Resistance):
        return 1 / mpf(part.ohms)
    return s * mpf(part.farads) if isinstance(part, Capacitance) else 1 / (s * mpf(part.henries))


def _nets(part: Primitive) -> tuple[str, ...]:
    if isinstance(part, VoltageSource):
        return (part.plus, part.minus)
    if isinstance(part, Transconductance):
        return (part.a, part.b, part.control_plus, part.control_minus)
    if isinstance(part, ClippingAmplifier):
        return (part.non_inverting, part.inverting, part.output)
    assert isinstance(part, Resistance | Capacitance | Inductance | CurrentSource)
    return (part.a, part.b)
