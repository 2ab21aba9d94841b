"""The nonlinear parts of a circuit as the compiled loops know them.

Laws, figures, controls and outputs as columns.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from pedalwright.circuit.primitives import (
    BipolarTransistor,
    ClippingAmplifier,
    FieldEffectTransistor,
    Junction,
    Primitive,
    RegulatedOutput,
    SupplyDraw,
)
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.banks import Bank
from pedalwright.solve.laws.junction import NEVER_V
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.rest import OperatingPoint
from pedalwright.solve.time import codes

Pair = tuple[int, int]


@dataclass(frozen=True, kw_only=True, eq=False)
class Port:
    """One device. `controls` and `outputs` are pairs of rows (size is ground), `aux` the rows of its supply.

    An output's remainder flows from its first row to its second, counted `polarity` times.
    """

    name: str
    owner: str
    code: int
    controls: tuple[Pair, ...]
    outputs: tuple[Pair, ...]
    aux: Pair | None
    polarity: float
    figures: FloatArray


def _figures(*values: float) -> FloatArray:
    row = np.zeros(codes.FIGURES)
    row[: len(values)] = values
    return row


@dataclass(frozen=True, kw_only=True, eq=False)
class _At:
    """One device of a bank at rest.

    Its parameters, controls `w`, outputs `i` and slopes `g` (outputs, controls).
    """

    part: Primitive
    bank: Bank
    place: int
    p: Mapping[str, float]
    w: FloatArray
    i: FloatArray
    g: FloatArray
    thermal_v: float
    small: SmallSignal

    def pair(self, plus: str, minus: str) -> Pair:
        """The rows of two terminals."""
        return int(self.bank.terminals[plus][self.place]), int(self.bank.terminals[minus][self.place])

    def port(self, code: int, figures: FloatArray, outputs: int, controls: int = 0) -> Port:
        """The device with the bank's own first controls and outputs."""
        count = controls or self.bank.plus.shape[1]
        rows = range(count)
        return Port(
            name=self.part.name,
            owner=self.part.owner,
            code=code,
            controls=tuple(
                (int(self.bank.plus[self.place, c]), int(self.bank.minus[self.place, c])) for c in rows
            ),
            outputs=tuple(
                (int(self.bank.out_plus[self.place, o]), int(self.bank.out_minus[self.place, o]))
                for o in range(outputs)
            ),
            aux=None,
            polarity=float(self.bank.polarity[self.place]),
            figures=figures,
        )


def _junction(at: _At) -> Port:
    p, vt = at.p, at.thermal_v
    breakdown = min(p["breakdown_v"], NEVER_V)
    rest = (at.w[0], at.i[0], at.g[0, 0])
    return at.port(
        codes.JUNCTION, _figures(p["saturation_a"], p["emission"] * vt, breakdown, vt, *rest), outputs=1
    )


def _two_currents(at: _At) -> tuple[float, ...]:
    """Rest volts, then currents and slopes of two outputs.

    Those of the first output less the third, and of the second more the third.
    """
    first, second = at.i[0] - at.i[2], at.i[1] + at.i[2]
    slopes = (*(at.g[0] - at.g[2]), *(at.g[1] + at.g[2]))
    return (*at.w[:2], first, second, *slopes)


def _bipolar(at: _At) -> Port:
    p, vt = at.p, at.thermal_v
    law = (p["saturation_a"], vt, p["forward_beta"], p["reverse_beta"], p["early_v"])
    leak = (p["leak_a"], p["leak_emission"] * vt)
    return at.port(codes.BIPOLAR, _figures(*law, *leak, *_two_currents(at)), outputs=2)


def _field_effect(at: _At) -> Port:
    p = at.p
    law = (p["beta"], p["threshold_v"], p["modulation"])
    gate = (p["gate_saturation_a"], p["gate_emission"] * at.thermal_v)
    outputs = 2 if p["gate_saturation_a"] > 0.0 else 1
    return at.port(codes.FIELD_EFFECT, _figures(*law, *gate, *_two_currents(at)), outputs=outputs)


def _supply_draw(at: _At) -> Port:
    p = at.p
    figures = _figures(p["dc_a"], p["knee_v"], at.w[0], at.i[0], at.g[0, 0])
    return at.port(codes.SUPPLY_DRAW, figures, outputs=1)


def _regulator(at: _At) -> Port:
    p = at.p
    figures = _figures(p["volts"], p["dropout_v"], at.w[0], at.i[0], at.g[0, 0])
    return at.port(codes.REGULATOR, figures, outputs=1)


def _amplifier(at: _At) -> Port:
    """Its tangent may have been replaced in the linear circuit: what counts is what stands there."""
    part, p, small = at.part, at.p, at.small
    assert isinstance(part, ClippingAmplifier)
    size, rows = small.size, small.system.rows
    hungry_v = 0.0
    if part.slew_v_per_s is not None and part.gain_bandwidth_hz is not None:
        hungry_v = part.slew_v_per_s / (2.0 * np.pi * part.gain_bandwidth_hz)
    slope = -1.0 / small.parameter(f"{part.name}/gain")
    supply_slope = small.parameter(f"{part.name}/supply")
    law = (p["dc_gain"], p["high_headroom_v"], p["low_headroom_v"], hungry_v)
    figures = _figures(*law, at.w[0], at.w[1], -at.i[0], at.i[0], slope, supply_slope)
    difference = (rows[part.non_inverting], rows[part.inverting])
    output = at.pair("output", "negative_rail")
    return Port(
        name=part.name,
        owner=part.owner,
        code=codes.AMPLIFIER,
        controls=(output, difference) if hungry_v else (output,),
        outputs=((int(at.bank.terminals["branch"][at.place]), size),),
        aux=at.pair("positive_rail", "negative_rail"),
        polarity=1.0,
        figures=figures,
    )


WAYS: Mapping[type[Primitive], Callable[[_At], Port]] = {
    Junction: _junction,
    BipolarTransistor: _bipolar,
    FieldEffectTransistor: _field_effect,
    SupplyDraw: _supply_draw,
    RegulatedOutput: _regulator,
    ClippingAmplifier: _amplifier,
}


def ports_at(small: SmallSignal, rest: OperatingPoint) -> tuple[Port, ...]:
    """Every nonlinear part of a circuit, at its rest point and with the tangents that `small` holds.

    Raises NotCertified for a rest point that is not certified.
    """
    conditions, x = rest.checked().conditions, rest.x[None]
    found = []
    for bank in rest.system.banks:
        w = bank.controls(x)
        i, g = bank.law.evaluate(w, bank.parameters, conditions)
        for place, part in enumerate(bank.parts):
            p = {key: float(array[place]) for key, array in bank.parameters.items()}
            at = _At(
                part=part, bank=bank, place=place, p=p, w=w[0, place], i=i[0, place], g=g[0, place],
                thermal_v=conditions.thermal_v, small=small,
            )  # fmt: skip
            found.append(WAYS[type(part)](at))
    return tuple(port for port in found if port.outputs[0][0] != port.outputs[0][1])


def conductance_port(small: SmallSignal, rest: OperatingPoint, name: str, owner: str) -> Port:
    """A resistance that may be moved while time runs. KeyError when there is none of that name."""
    place = small.element(name)
    a, b = int(small.stamps.row_plus[place]), int(small.stamps.row_minus[place])
    siemens = float(small.weights[place])
    drop = float(rest.checked().x[a] - rest.x[b])
    return Port(
        name=name, owner=owner, code=codes.CONDUCTANCE, controls=((a, b),), outputs=((a, b),), aux=None,
        polarity=1.0, figures=_figures(siemens, siemens, drop),
    )  # fmt: skip
