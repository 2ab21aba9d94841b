"""How much each value matters: the adjoint circuit, two solutions for the sensitivities to everything.

A x = b and A^T y = e(output) give dV/dp = -y^T (dA/dp) x, and every value enters A by one rank-one stamp.
Director and Rohrer, IEEE Trans. Circuit Theory 16, 1969 (from memory).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pedalwright.solve.answer import answer
from pedalwright.solve.arrays import AnyArray, ComplexArray, FloatArray
from pedalwright.solve.banks import Bank
from pedalwright.solve.certificate import Certificate, NotCertified
from pedalwright.solve.entry import POWER, Enters
from pedalwright.solve.equations import Aid, equations, solve_each
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.response import Drive, drive_vector
from pedalwright.solve.rest import OperatingPoint
from pedalwright.solve.stamps import Stamps
from pedalwright.solve.system import System

PARAMETER_STEP = 1e-5
"""relative step of the central difference along a nonlinear law's own parameter; its error goes as the
square"""


@dataclass(frozen=True, kw_only=True, eq=False)
class Sensitivities:
    """`relative` (elements, frequencies): d ln V / d ln p, complex.

    The real part is the relative change of level, the imaginary part the change of phase [rad], both for a
    relative change of the value. `volts` (frequencies,) is the output itself. Not a number where the output
    is zero.
    """

    names: tuple[str, ...]
    owners: tuple[str, ...]
    frequencies_hz: FloatArray
    volts: ComplexArray
    relative: ComplexArray
    certificate: Certificate

    @cached_property
    def _places(self) -> Mapping[str, int]:
        return {name: place for place, name in enumerate(self.names)}

    def of(self, name: str) -> ComplexArray:
        """The sensitivity to one value (frequencies,); KeyError for an unknown name."""
        return np.asarray(self.relative[self._places[name]])


def sensitivities(
    small: SmallSignal, drive: Drive, output: str, frequencies_hz: FloatArray, *, open_delays: bool = False
) -> Sensitivities:
    """The sensitivities of the voltage at `output` to every linear value and small-signal parameter.

    Raises NotCertified when either solution is, KeyError for an unknown net or source.
    """
    frequencies = np.atleast_1d(np.asarray(frequencies_hz, dtype=float))
    s = 2j * np.pi * frequencies
    forward = answer(small, drive_vector(small, drive), s, delays=not open_delays)
    wanted = drive_vector(small, Drive(injections={output: 1.0}))
    backward = answer(small.turned, wanted, s, delays=not open_delays)
    certificates = [found.certificate() for found in (forward, backward)]
    for certificate in certificates:
        if not certificate.ok:
            raise NotCertified(certificate)
    volts = _with_ground(forward.x)[small.row(output)]
    products = _products(small.stamps, _with_ground(backward.x), _with_ground(forward.x))
    in_c = small.kinds > Enters.IN_G
    rate = np.where(in_c[:, None], s, 1.0)
    with np.errstate(all="ignore"):
        relative = -(small.weights * POWER[small.kinds])[:, None] * rate * products / volts
    return Sensitivities(
        names=small.names,
        owners=small.owners,
        frequencies_hz=frequencies,
        volts=volts,
        relative=relative,
        certificate=max(certificates, key=lambda found: found.error),
    )


def _with_ground(x: AnyArray) -> AnyArray:
    return np.concatenate([x, np.zeros((1, *x.shape[1:]), dtype=x.dtype)])


def _products(stamps: Stamps, y: AnyArray, x: AnyArray) -> AnyArray:
    """(r^T y)(c^T x) of every stamp."""
    left = y[stamps.row_plus] - y[stamps.row_minus]
    right = x[stamps.column_plus] - x[stamps.column_minus]
    return left * right


@dataclass(frozen=True, kw_only=True, eq=False)
class RestSensitivities:
    """`volts` (elements,): change of the resting voltage for a relative change of each value, dV / d ln p
    [V].

    Linear values by their names, the parameters of nonlinear parts as ``NAME.parameter``.
    """

    net: str
    names: tuple[str, ...]
    volts: FloatArray

    def of(self, name: str) -> float:
        """The sensitivity to one value [V]; KeyError for an unknown name."""
        return float(dict(zip(self.names, self.volts, strict=True))[name])


def rest_sensitivities(system: System, rest: OperatingPoint, net: str) -> RestSensitivities:
    """The sensitivities of the resting voltage of `net` to every value.

    Raises NotCertified for an uncertified rest point, KeyError for an unknown net.
    """
    x = rest.checked().x
    batch = equations(system, {}, rest.temperature_k)
    _, jacobian = batch.evaluate(x[None], batch.controls(x[None]), Aid())
    wanted = np.zeros((1, system.size + 1))
    wanted[0, system.row(net)] = 1.0
    y = np.zeros(system.size + 1)
    y[: system.size] = solve_each(np.swapaxes(jacobian, 1, 2), wanted[:, : system.size])[0]
    names, volts = list(system.names), [_linear(system, x, y)]
    for bank in system.banks:
        for key in bank.parameters:
            names += [f"{name}.{key}" for name in bank.names]
            volts.append(_along(bank, key, rest, y))
    return RestSensitivities(net=net, names=tuple(names), volts=np.concatenate(volts))


def _linear(system: System, x: FloatArray, y: FloatArray) -> FloatArray:
    weights = system.weights(system.values[None])[0]
    products = _products(system.stamps, y, x)
    # A source stands on the right-hand side, a reactive value nowhere in the equations at rest.
    driving = y[system.stamps.row_plus] - y[system.stamps.row_minus]
    passive = np.where(system.kinds <= Enters.IN_G, -weights * POWER[system.kinds] * products, 0.0)
    return np.where(system.kinds == Enters.SOURCE, system.values * driving, passive)


def _along(bank: Bank, key: str, rest: OperatingPoint, y: FloatArray) -> FloatArray:
    """dV / d ln p along one parameter of a law, by a central difference of the law alone."""
    controls = bank.controls(rest.x[None])
    value = bank.parameters[key]
    sides = []
    for factor in (1.0 + PARAMETER_STEP, 1.0 - PARAMETER_STEP):
        i, _ = bank.law.evaluate(controls, {**bank.parameters, key: value * factor}, rest.conditions)
        sides.append(i[0] * bank.polarity[:, None])
    slope = (sides[0] - sides[1]) / (2.0 * PARAMETER_STEP)
    return np.asarray(-(slope * (y[bank.out_plus] - y[bank.out_minus])).sum(axis=1))
