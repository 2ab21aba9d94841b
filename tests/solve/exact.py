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


def exact_volts(
    parts: Sequence[Primitive], driven: str, frequency_hz: float, gains: Mapping[str, float] | None = None
) -> dict[str, complex]:
    """Every net's voltage for one volt from the source `driven`, the other sources dead.

    `gains` replaces the open-loop gain at rest of named amplifiers.
    """
    with mpmath.workdps(DIGITS):
        return _volts(parts, driven, mpc(0, 2 * mpmath.pi * mpf(frequency_hz)), gains or {})


def _volts(parts: Sequence[Primitive], driven: str, s: mpc, gains: Mapping[str, float]) -> dict[str, complex]:
    nets = sorted({net for part in parts for net in _nets(part)} - {"gnd"})
    held = [part for part in parts if isinstance(part, VoltageSource | ClippingAmplifier)]
    size = len(nets) + len(held)
    row = {net: number for number, net in enumerate(nets)}
    a, b = mpmath.zeros(size), mpmath.zeros(size, 1)

    def add(net_row: str, net_column: str, value: mpc) -> None:
        if net_row != "gnd" and net_column != "gnd":
            a[row[net_row], row[net_column]] += value

    for part in parts:
        if isinstance(part, Resistance | Capacitance | Inductance):
            y = _admittance(part, s)
            for p, q, sign in (
                (part.a, part.a, 1),
                (part.b, part.b, 1),
                (part.a, part.b, -1),
                (part.b, part.a, -1),
            ):
                add(p, q, sign * y)
        elif isinstance(part, Transconductance):
            for p, q, sign in (
                (part.a, part.control_plus, 1),
                (part.a, part.control_minus, -1),
                (part.b, part.control_plus, -1),
                (part.b, part.control_minus, 1),
            ):
                add(p, q, sign * mpf(part.siemens))
    for number, part in enumerate(held):
        line = len(nets) + number
        plus, minus = (part.plus, part.minus) if isinstance(part, VoltageSource) else (part.output, "gnd")
        for net, sign in ((plus, 1), (minus, -1)):
            if net != "gnd":
                a[row[net], line] += sign
        if isinstance(part, VoltageSource):
            coefficients = [(part.plus, mpf(1)), (part.minus, mpf(-1))]
            b[line] = 1 if part.name == driven else 0
        else:
            coefficients = [(part.non_inverting, mpf(1)), (part.inverting, mpf(-1))]
            if not part.ideal:
                inverse = 1 / mpf(gains.get(part.name, part.dc_gain))
                if part.gain_bandwidth_hz is not None:
                    inverse += s / (2 * mpmath.pi * mpf(part.gain_bandwidth_hz))
                coefficients.append((part.output, -inverse))
        for net, value in coefficients:
            if net != "gnd":
                a[line, row[net]] += value
    x = mpmath.lu_solve(a, b)
    return {net: complex(x[number]) for net, number in row.items()}


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
