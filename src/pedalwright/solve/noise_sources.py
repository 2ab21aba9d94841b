"""What hisses in a circuit at rest: every noise source as a drive of the circuit's equations.

Resistances have the thermal noise of Nyquist (Phys. Rev. 32, 1928), 4 k T / R. A junction has shot noise
(Schottky, 1918), here 2 q I coth(q V / 2 k T): 2 q I when it conducts, and 4 k T G at no voltage, as
thermodynamics asks; in a transistor the same holds for each of its three currents between the terminals they
flow between. The channel of a square-law field-effect transistor has
(16/3) k T beta (a^2 + a b + b^2)/(a + b), of its gate's overdrives a and b at both ends (van der Ziel;
Klaassen and Prins, 1967): two thirds of 4 k T gm where the current is saturated, 4 k T times its conductance
where the channel serves as a resistor.
Junction and channel formulas from memory. What amplifiers and regulators add is published, and comes as
`OwnNoise`. Not counted, for nothing is published: excess noise of resistors with direct current, 1/f noise
of transistors, base resistance, and the avalanche of a conducting zener diode.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum

import numpy as np

from pedalwright.circuit.noise import OwnNoise
from pedalwright.circuit.primitives import (
    BipolarTransistor,
    ClippingAmplifier,
    FieldEffectTransistor,
    Junction,
    Primitive,
    RegulatedOutput,
    Resistance,
)
from pedalwright.solve.arrays import FloatArray, IndexArray, indices
from pedalwright.solve.banks import Bank
from pedalwright.solve.rest import OperatingPoint
from pedalwright.solve.system import System

BOLTZMANN_J_PER_K, ELECTRON_C = 1.380649e-23, 1.602176634e-19
NO_VOLTAGE = 1e-6
"""q V / 2 k T below which x coth(x) is one"""


class Cause(Enum):
    """Why a source hisses."""

    THERMAL = "thermal noise"
    SHOT = "shot noise"
    CHANNEL = "channel noise"
    INPUT_VOLTAGE = "input voltage noise"
    INPUT_CURRENT = "input current noise"
    OUTPUT_VOLTAGE = "output voltage noise"


@dataclass(frozen=True, slots=True, kw_only=True)
class NoiseSource:
    """One source: a unit of it adds one to the equation in row `plus` and takes one from that in `minus`.

    `density` is its flat power density [A^2/Hz in the current law of a net, V^2/Hz in the equation of a
    branch]; below `corner_hz` it rises as 1/f. `name` and `owner` are those of the primitive.
    """

    name: str
    owner: str
    cause: Cause
    plus: int
    minus: int
    density: float
    corner_hz: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NoiseSources:
    """All sources of a circuit, none related to any other; the row of ground is the system's `size`."""

    each: tuple[NoiseSource, ...]

    @property
    def plus(self) -> IndexArray:
        """Rows added to (sources,)."""
        return indices([one.plus for one in self.each])

    @property
    def minus(self) -> IndexArray:
        """Rows taken from (sources,)."""
        return indices([one.minus for one in self.each])

    def densities(self, frequencies_hz: FloatArray) -> FloatArray:
        """Power densities (sources, frequencies)."""
        flat = np.array([one.density for one in self.each])
        corners = np.array([one.corner_hz for one in self.each])
        return np.asarray(flat[:, None] * (1.0 + corners[:, None] / np.asarray(frequencies_hz)))


def noise_sources(system: System, rest: OperatingPoint, own: Mapping[str, OwnNoise]) -> NoiseSources:
    """Every noise source of a circuit at its rest point, at that point's temperature.

    `own` holds the published noise of amplifiers and regulators by the name of their primitive; without an
    entry they are silent. Raises NotCertified for a rest point that is not certified.
    """
    rest.checked()
    found: list[NoiseSource] = []
    for part in system.primitives:
        found += _of_primitive(system, part, own, rest.temperature_k)
    for bank in system.banks:
        found += _of_bank(bank, rest)
    return NoiseSources(each=tuple(one for one in found if one.plus != one.minus and one.density > 0.0))


def _of_primitive(
    system: System, part: Primitive, own: Mapping[str, OwnNoise], temperature_k: float
) -> Iterable[NoiseSource]:
    if isinstance(part, Resistance):
        density = 4.0 * BOLTZMANN_J_PER_K * temperature_k / part.ohms
        a, b = system.row(part.a), system.row(part.b)
        yield NoiseSource(
            name=part.name, owner=part.owner, cause=Cause.THERMAL, plus=a, minus=b, density=density
        )
    hiss = own.get(part.name)
    if hiss is None:
        return
    if isinstance(part, ClippingAmplifier):
        yield _in_branch(system, part, Cause.INPUT_VOLTAGE, hiss)
        for net in (part.non_inverting, part.inverting):
            yield NoiseSource(
                name=part.name,
                owner=part.owner,
                cause=Cause.INPUT_CURRENT,
                plus=system.row(net),
                minus=system.size,
                density=hiss.amperes_per_rthz**2,
                corner_hz=hiss.amperes_corner_hz,
            )
    elif isinstance(part, RegulatedOutput):
        yield _in_branch(system, part, Cause.OUTPUT_VOLTAGE, hiss)


def _in_branch(system: System, part: Primitive, cause: Cause, hiss: OwnNoise) -> NoiseSource:
    """A voltage in series, which is what an amplifier's or regulator's own equation is about."""
    return NoiseSource(
        name=part.name,
        owner=part.owner,
        cause=cause,
        plus=system.branches[part.name],
        minus=system.size,
        density=hiss.volts_per_rthz**2,
        corner_hz=hiss.volts_corner_hz,
    )


def _of_bank(bank: Bank, rest: OperatingPoint) -> Iterable[NoiseSource]:
    """The junctions and channels of one kind of part; amplifiers, regulators and supply draws have none."""
    if bank.law.kind not in (Junction, BipolarTransistor, FieldEffectTransistor):
        return
    densities = _shot(bank, rest)
    causes = [Cause.SHOT] * densities.shape[1]
    if bank.law.kind is FieldEffectTransistor:
        densities[:, 0] = _channel(bank, rest)
        causes[0] = Cause.CHANNEL
    for place, part in enumerate(bank.parts):
        for output, cause in enumerate(causes):
            yield NoiseSource(
                name=part.name,
                owner=part.owner,
                cause=cause,
                plus=int(bank.out_plus[place, output]),
                minus=int(bank.out_minus[place, output]),
                density=float(densities[place, output]),
            )


def _shot(bank: Bank, rest: OperatingPoint) -> FloatArray:
    """2 q I coth(V / 2 Vt) of every current (parts, outputs): never below that of the conductance I/V."""
    controls = bank.controls(rest.x[None])
    currents, slopes = (found[0] for found in bank.law.evaluate(controls, bank.parameters, rest.conditions))
    near = controls[0]
    if bank.law.kind is Junction:
        volts, siemens = near, slopes[..., 0]
    else:
        volts = np.column_stack([near[:, 0] - near[:, 1], near])
        siemens = np.column_stack([-slopes[:, 0, 1], slopes[:, 1, 0], slopes[:, 2, 1]])
    x = np.abs(volts) / (2.0 * rest.conditions.thermal_v)
    with np.errstate(all="ignore"):
        flowing = np.abs(currents) / np.tanh(x)
    still = 2.0 * rest.conditions.thermal_v * siemens
    return np.asarray(2.0 * ELECTRON_C * np.where(x > NO_VOLTAGE, flowing, still))


def _channel(bank: Bank, rest: OperatingPoint) -> FloatArray:
    """Of the channels (parts,), from the overdrive at source and drain."""
    controls = bank.controls(rest.x[None])[0]
    near, far = (np.maximum(controls[:, place] - bank.parameters["threshold_v"], 0.0) for place in (0, 1))
    total = near + far
    with np.errstate(all="ignore"):
        mean = np.where(total > 0.0, (near**2 + near * far + far**2) / total, 0.0)
    stretch = 1.0 + bank.parameters["modulation"] * np.abs(controls[:, 0] - controls[:, 1])
    siemens = 4.0 / 3.0 * bank.parameters["beta"] * mean * stretch
    return np.asarray(4.0 * BOLTZMANN_J_PER_K * rest.temperature_k * siemens)
