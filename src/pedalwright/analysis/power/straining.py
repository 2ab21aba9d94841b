"""Every rating of every part as an array over trials: what it sees, and what it stands."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.bench import CHIP_PINS
from pedalwright.analysis.power.ratings import capacitor_rating_v, figure_of, has_plus_end, heat_rating
from pedalwright.analysis.power.trials import Tried
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.devices.device import is_unused
from pedalwright.devices.kinds._led_cards import TYPES as LAMPS
from pedalwright.solve.arrays import FloatArray
from pedalwright.stages.ratings import SURVIVED_V

SUBSTRATE_MOST_A = 0.05
"""what a chip put on a reversed supply is taken to stand for a moment; no sheet says (house choice)"""
NO_SHEET = "house choice: no sheet says"
BACKWARDS = "from memory: sheets of aluminium parts say 1 V to 1.5 V"
REVERSED_CHIP = "current through a reversed chip"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measure:
    """One rating: `values` (trials,) is what the part sees, in `unit`; never below zero."""

    part: Part
    rating: str
    unit: str
    limit: float
    source: str
    values: FloatArray
    blows: bool = False

    @property
    def factors(self) -> FloatArray:
        """Seen over stood (trials,)."""
        return self.values / self.limit


def measures(analysis: Analysis, tried: Tried) -> tuple[Measure, ...]:
    """Every rating that is known of every part."""
    return tuple(one for part in analysis.circuit.parts for one in _of(_Seen(part, tried)))


@dataclass(frozen=True, slots=True, eq=False)
class _Seen:
    """One part under all trials."""

    part: Part
    tried: Tried

    def across(self, plus: str, minus: str) -> FloatArray:
        """Volts between two pins."""
        return self.tried.volts(self.part.net(plus)) - self.tried.volts(self.part.net(minus))

    def through(self, name: str = "") -> FloatArray:
        """The current of the part's primitive of that name."""
        return np.where(self.tried.ok, self.tried.named(name or self.part.ref), np.nan)

    def against(self, figure: str, rating: str, unit: str, values: FloatArray) -> Iterable[Measure]:
        """A measure when the part has that figure."""
        found = figure_of(self.part, figure)
        if found is not None:
            yield self.measure(rating, unit, found.value, found.source, values)

    def measure(
        self, rating: str, unit: str, limit: float, source: str, values: FloatArray, *, blows: bool = False
    ) -> Measure:
        """A measure; what is below zero counts as nothing."""
        seen = np.where(np.isnan(values), np.nan, np.maximum(values, 0.0))
        return Measure(
            part=self.part, rating=rating, unit=unit, limit=limit, source=source, values=seen, blows=blows
        )


def _of(seen: _Seen) -> Iterable[Measure]:
    ways = {
        "capacitor": _capacitor, "diode": _diode, "bipolar": _bipolar, "fet": _field_effect, "opamp": _opamp,
        "echo-chip": _echo_chip, "regulator": _regulator, "fuse": _fuse, "optocoupler": _optocoupler,
    }  # fmt: skip
    family = device(seen.part.kind).family
    if family in ways:
        yield from ways[family](seen)
    if family not in ("capacitor", "fuse", "source", "optocoupler"):
        yield from _heat(seen)


def _heat(seen: _Seen) -> Iterable[Measure]:
    rating = heat_rating(seen.part)
    if rating.allowed_w:
        yield seen.measure("heat", "W", rating.allowed_w, rating.source, seen.tried.watts(seen.part.ref))


def _capacitor(seen: _Seen) -> Iterable[Measure]:
    plus, minus = (name for name, _ in seen.part.pins)
    volts = seen.across(plus, minus)
    rated = capacitor_rating_v(seen.part)
    if rated is not None:
        yield seen.measure("rated voltage", "V", rated, "written in the text", np.abs(volts))
    if has_plus_end(seen.part):
        yield seen.measure("voltage backwards", "V", SURVIVED_V, BACKWARDS, -volts)


def _diode(seen: _Seen) -> Iterable[Measure]:
    anode, cathode = (name for name, _ in seen.part.pins)
    yield from seen.against("most_forward_a", "forward current", "A", seen.through())
    yield from seen.against("most_reverse_v", "reverse voltage", "V", -seen.across(anode, cathode))


def _bipolar(seen: _Seen) -> Iterable[Measure]:
    sign = -1.0 if seen.part.kind == "pnp" else 1.0
    yield from seen.against("most_collector_v", "collector voltage", "V", np.abs(seen.across("c", "e")))
    yield from seen.against("most_collector_a", "collector current", "A", np.abs(seen.through()))
    reverse = -sign * seen.across("b", "e")
    yield from seen.against("most_base_reverse_v", "base-emitter voltage backwards", "V", reverse)


def _field_effect(seen: _Seen) -> Iterable[Measure]:
    gate = np.maximum(np.abs(seen.across("g", "s")), np.abs(seen.across("g", "d")))
    yield from seen.against("most_gate_v", "gate voltage", "V", gate)
    yield from seen.against("most_drain_v", "drain voltage", "V", np.abs(seen.across("d", "s")))
    yield from seen.against("most_drain_a", "drain current", "A", np.abs(seen.through()))


def _opamp(seen: _Seen) -> Iterable[Measure]:
    volts = seen.across("v+", "v-")
    yield from seen.against("destructive_supply_v", "supply voltage", "V", volts)
    yield from _substrate(seen)


def _echo_chip(seen: _Seen) -> Iterable[Measure]:
    yield from seen.against("destructive_supply_v", "supply voltage", "V", seen.across("1", "3"))
    yield from _substrate(seen)


def _regulator(seen: _Seen) -> Iterable[Measure]:
    if is_unused(seen.part, "gnd"):
        return
    yield from seen.against("most_input_v", "input voltage", "V", seen.across("in", "gnd"))
    yield from seen.against("most_a", "output current", "A", np.abs(seen.through()))
    yield from _substrate(seen)


def _substrate(seen: _Seen) -> Iterable[Measure]:
    """Current through a chip whose supply is reversed."""
    assert device(seen.part.kind).family in CHIP_PINS
    flowing = seen.through(f"{seen.part.ref}/substrate")
    yield seen.measure(REVERSED_CHIP, "A", SUBSTRATE_MOST_A, NO_SHEET, flowing)


def _fuse(seen: _Seen) -> Iterable[Measure]:
    if seen.part.value:
        flowing = np.abs(seen.through())
        yield seen.measure("rated current", "A", seen.part.value, "written in the text", flowing, blows=True)


def _optocoupler(seen: _Seen) -> Iterable[Measure]:
    lamp = LAMPS["red"]
    most = lamp["most_forward_a"]
    yield seen.measure("lamp current", "A", most.value, most.source, seen.through(f"{seen.part.ref}/lamp"))
    backwards = lamp["most_reverse_v"]
    reverse = seen.across("led-", "led+")
    yield seen.measure("lamp voltage backwards", "V", backwards.value, backwards.source, reverse)
