"""How one build of a circuit differs from the next: every value drawn from the spread of its kind.

Each value has a stream of chance of its own, made from the seed and its name, so that neither the order of
the text nor a part added elsewhere changes what is drawn. The first build is always the circuit as written.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import log
from zlib import crc32

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.voltages.chip_facts import chip_spreads
from pedalwright.analysis.voltages.population import Versions
from pedalwright.analysis.voltages.type_spreads import (
    BIAS_FACTOR,
    FORWARD_FACTOR,
    GAIN_FACTOR,
    GAIN_SPREAD,
    JFET_BOX,
    JFET_FACTOR,
    OFFSET_V,
    OTHER_OFFSET_V,
)
from pedalwright.circuit.part import Part
from pedalwright.circuit.ports import Supply
from pedalwright.circuit.primitives import (
    BipolarTransistor,
    ClippingAmplifier,
    FieldEffectTransistor,
    Junction,
    Primitive,
    RegulatedOutput,
    Resistance,
    SupplyDraw,
)
from pedalwright.devices.catalogue import device
from pedalwright.devices.ports import supply_name
from pedalwright.echo.tolerance import tolerance_of
from pedalwright.solve.arrays import FloatArray

SEED = 5
WALL_SHARE = 0.05
"""of a regulated adaptor whose range is not written: common practice, no source"""
BATTERY_SHARES = (0.78, 1.07)
"""of a battery whose range is not written: a 9 V block goes from 9.6 V to about 7 V (from memory)"""
REGULATOR_SHARE = 0.04
"""4.8 to 5.2 V for a 78L05 (its sheet, from memory); the same share for other regulators"""
DRAW_SHARES = (0.6, 1.8)
"""of the supply current of amplifiers and regulators, against the typical one (from memory)"""
LEAKAGE_FACTOR = 3.0
"""either way, of an electrolytic's leakage: common practice, no source"""
CELL_FACTOR = 2.0
"""either way, of a light-dependent cell (common practice, no source)"""


@dataclass(frozen=True)
class Draws:
    """Streams of chance, one for each name; the first build of each stands in the middle."""

    seed: int
    count: int

    def even(self, name: str) -> FloatArray:
        """Evenly spread from -1 to 1 (count,), the first 0."""
        stream = np.random.default_rng([self.seed, crc32(name.encode("utf-8"))])
        found = stream.uniform(-1.0, 1.0, self.count)
        found[0] = 0.0
        return found

    def share(self, name: str, share: float) -> FloatArray:
        """Factors within `share` either side of one."""
        return np.asarray(1.0 + share * self.even(name))

    def factor(self, name: str, factor: float) -> FloatArray:
        """Factors from 1/factor to factor, evenly in the logarithm."""
        return np.asarray(np.exp(log(factor) * self.even(name)))

    def between(self, name: str, low: float, middle: float, high: float) -> FloatArray:
        """From `low` to `high`, evenly on either side of `middle`, half of them on each."""
        u = self.even(name)
        return np.asarray(np.where(u < 0.0, middle + u * (middle - low), middle + u * (high - middle)))

    def within(self, name: str, low: float, start: float, high: float) -> FloatArray:
        """Evenly from `low` to `high`; the first is `start`."""
        found = low + (high - low) * 0.5 * (1.0 + self.even(name))
        found[0] = start
        return found


def drawn(analysis: Analysis, draws: Draws, measured: Mapping[str, float]) -> Versions:
    """The builds: every value that spreads, with supplies and regulators at what was measured where it
    was.
    """
    changes: dict[str, FloatArray] = {}
    bias = np.zeros((draws.count, analysis.system.size))
    parts = analysis.circuit.by_ref
    for one in analysis.primitives:
        part = parts.get(one.owner)
        if part is not None:
            changes |= dict(_of(one, part, draws))
        if isinstance(one, ClippingAmplifier) and not one.ideal and one.name in analysis.system.branches:
            limit_v = OFFSET_V.get(part.type, OTHER_OFFSET_V) if part is not None else OTHER_OFFSET_V
            bias[:, analysis.system.branches[one.name]] = limit_v * draws.even(f"{one.name} offset")
    for chip in analysis.view.parts_of("echo-chip"):
        changes |= chip_spreads(analysis, chip, draws.even)
    for supply in analysis.circuit.supplies:
        changes |= dict(_supply(supply, draws, measured.get(supply.net)))
    known = _known(analysis)
    changes |= dict(_held_regulators(analysis, draws.count, measured))
    kept = {name: array for name, array in changes.items() if name in known}
    return Versions(count=draws.count, changes=kept, bias=bias)


def supply_range(supply: Supply) -> tuple[float, float]:
    """The range a supply is expected in [V]: as written, or the usual one of its source."""
    if supply.low_v < supply.high_v:
        return supply.low_v, supply.high_v
    low, high = BATTERY_SHARES if supply.source == "battery" else (1 - WALL_SHARE, 1 + WALL_SHARE)
    ends = sorted((supply.volts * low, supply.volts * high))
    return ends[0], ends[1]


def _known(analysis: Analysis) -> frozenset[str]:
    banks = analysis.system.banks
    laws = (f"{name}.{key}" for bank in banks for name in bank.names for key in bank.parameters)
    return frozenset((*analysis.system.names, *laws))


def _of(one: Primitive, part: Part, draws: Draws) -> Iterable[tuple[str, FloatArray]]:
    """The values of one primitive that spread, by name."""
    match one:
        case Resistance():
            yield from _resistance(one, part, draws)
        case RegulatedOutput():
            yield f"{one.name}.volts", one.volts * draws.share(one.name, REGULATOR_SHARE)
        case Junction():
            factor = draws.factor(one.name, FORWARD_FACTOR.get(part.kind, FORWARD_FACTOR[""]))
            yield f"{one.name}.saturation_a", one.saturation_a * factor
        case BipolarTransistor():
            yield from _bipolar(one, part, draws)
        case FieldEffectTransistor():
            yield from _field_effect(one, part, draws)
        case SupplyDraw() if part.kind != "echo-chip":
            low, high = DRAW_SHARES
            yield f"{one.name}.dc_a", one.dc_a * draws.between(one.name, low, 1.0, high)
        case _ if one.name.endswith(("/bias+", "/bias-")):
            yield one.name, getattr(one, "dc_a", 0.0) * draws.factor(one.name, BIAS_FACTOR)


def _resistance(one: Resistance, part: Part, draws: Draws) -> Iterable[tuple[str, FloatArray]]:
    share = tolerance_of(part)
    family = device(part.kind).family
    if family == "knob" and share is not None:
        # Both halves of a track are of one piece.
        yield one.name, one.ohms * draws.share(part.ref, share)
    elif family == "resistor" and share is not None and one.name == part.ref:
        yield one.name, one.ohms * draws.share(one.name, share)
    elif family == "capacitor":
        yield one.name, one.ohms * draws.factor(one.name, LEAKAGE_FACTOR)
    elif family == "optocoupler" and one.name == part.ref:
        yield one.name, one.ohms * draws.factor(one.name, CELL_FACTOR)


def _bipolar(one: BipolarTransistor, part: Part, draws: Draws) -> Iterable[tuple[str, FloatArray]]:
    """Gain at every current by one factor, forward voltage by another."""
    gain = draws.factor(f"{one.name} gain", GAIN_FACTOR.get(part.type, GAIN_SPREAD))
    if part.option("beta"):
        gain = np.ones(draws.count)
    volts = draws.factor(f"{one.name} junction", FORWARD_FACTOR[""])
    yield f"{one.name}.saturation_a", one.saturation_a * volts
    yield f"{one.name}.forward_beta", one.forward_beta * gain
    yield f"{one.name}.leak_a", one.leak_a * volts / gain


def _field_effect(one: FieldEffectTransistor, part: Part, draws: Draws) -> Iterable[tuple[str, FloatArray]]:
    """Current and pinch-off rise together; a figure measured on the part in hand does not spread."""
    if "mosfet" in part.kind:
        if not part.option("vth"):
            yield f"{one.name}.threshold_v", one.threshold_v * draws.share(one.name, 0.25)
        return
    low, high = JFET_BOX.get(part.type, JFET_FACTOR)
    spread = draws.even(one.name)
    idss = np.exp(np.where(spread < 0, -spread * log(low[0]), spread * log(high[0])))
    pinch = np.exp(np.where(spread < 0, -spread * log(low[1]), spread * log(high[1])))
    idss = np.ones(draws.count) if part.option("idss") else idss
    pinch = np.ones(draws.count) if part.option("vp") else pinch
    yield f"{one.name}.threshold_v", one.threshold_v * pinch
    yield f"{one.name}.beta", one.beta * idss / pinch**2


def _supply(supply: Supply, draws: Draws, measured_v: float | None) -> Iterable[tuple[str, FloatArray]]:
    name = supply_name(supply)
    low, high = supply_range(supply) if measured_v is None else (measured_v, measured_v)
    yield name, draws.within(name, low, supply.volts, high)


def _held_regulators(
    analysis: Analysis, count: int, measured: Mapping[str, float]
) -> Iterable[tuple[str, FloatArray]]:
    for one in analysis.primitives:
        if isinstance(one, RegulatedOutput) and one.output in measured:
            drop_v = one.output_ohms * analysis.rest.amperes(one.name)
            held_v = measured[one.output] - analysis.rest.volts(one.ground) + drop_v
            yield f"{one.name}.volts", np.full(count, held_v)
