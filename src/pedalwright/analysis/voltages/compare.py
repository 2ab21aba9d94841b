"""Readings somebody took, held against the table: each one fine, or how far off and what that would fit."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from math import hypot, sqrt

from pedalwright.analysis.voltages.fitting import agreeing, fits
from pedalwright.analysis.voltages.measured_nets import MOST_V
from pedalwright.analysis.voltages.pasted import NotUnderstood, Pasted, read_pasted
from pedalwright.analysis.voltages.records import (
    METER_SHARE,
    METER_V,
    Expected,
    State,
    SupplyUsed,
    VoltageTable,
)
from pedalwright.circuit.circuit import Circuit

WIDE_SHARE, WIDE_V = 0.5, 0.5
"""A band wider than this share of its typical figure, and than this, says little."""
LEAST_SHARE = 0.5
"""a supply that reads less than this share of its voltage is not there to stand on"""


class Verdict(Enum):
    """What became of one reading."""

    FINE = "fine"
    LOW = "low"
    HIGH = "high"
    NOTHING = "tells nothing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One reading against its band. `off_v` is how far it lies outside (negative: below; 0 inside), `z` how
    many standard deviations from typical, meter included; None where the table has none. `fits` are the
    single faults that would give about this reading.
    """

    text: str
    key: str
    net: str
    volts: float
    other_v: float | None
    expected: Expected
    verdict: Verdict
    off_v: float
    z: float | None
    sentence: str
    fits: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """A pasted list against a table, every piece of it once. `agree` are the single faults that would give
    all of the readings, where some are wrong.
    """

    readings: tuple[Compared, ...]
    not_understood: tuple[NotUnderstood, ...]
    notes: tuple[str, ...] = ()
    agree: tuple[str, ...] = ()

    @property
    def wrong(self) -> tuple[Compared, ...]:
        """The readings outside their bands."""
        return tuple(one for one in self.readings if one.verdict in (Verdict.LOW, Verdict.HIGH))

    @property
    def all_fine(self) -> bool:
        """Whether no reading lies outside its band."""
        return not self.wrong


def compare_readings(table: VoltageTable, text: str, chip: str = "") -> Comparison:
    """A pasted list against a table; nothing in `text` raises.

    `chip` is the chip bare pin numbers belong to; UnknownChip (a ValueError) when there is none so named.
    """
    pasted = read_pasted(table.circuit, text, chip)
    rows = {row.place.key: row.expected for row in table.rows}
    nothing = Expected(state=State.ANYTHING)
    supplies = {one.net: _supplied(one) for one in table.supplies if one.measured_v is not None}
    found = []
    for one in pasted.readings:
        expected = supplies.get(one.net) or rows.get(one.key) or table.nets.get(one.net, nothing)
        found.append(_compared(table, one, expected))
    return Comparison(
        readings=tuple(found),
        not_understood=pasted.not_understood,
        notes=pasted.notes,
        agree=_agreeing(table, found),
    )


def supplies_read(circuit: Circuit, text: str, chip: str = "") -> Mapping[str, float]:
    """The voltages of supplies in a pasted list, by net: what the bands should stand on. A supply read twice
    counts as read last; one that reads next to nothing, or has the other sign, is not there to stand on.
    """
    usual = {supply.net: supply.volts for supply in circuit.supplies}
    return {
        one.net: one.volts
        for one in read_pasted(circuit, text, chip).readings
        if one.net in usual
        and one.other_v is None
        and one.volts / usual[one.net] >= LEAST_SHARE
        and abs(one.volts) <= MOST_V
    }


def _supplied(supply: SupplyUsed) -> Expected:
    """What a supply should read when the bands stand on what it did read: its own range."""
    return Expected(
        state=State.STEADY,
        low_v=supply.low_v,
        typical_v=supply.volts,
        high_v=supply.high_v,
        deviation_v=(supply.high_v - supply.low_v) / sqrt(12.0),
    )


def _compared(table: VoltageTable, one: Pasted, expected: Expected) -> Compared:
    ends = (one.volts,) if one.other_v is None else (one.volts, one.other_v)
    off_v = max((_off(volts, expected) for volts in ends), key=abs)
    z = _deviations(ends[0], expected)
    verdict = _verdict(expected, off_v)
    fitting = fits(table, one.net, ends) if verdict in (Verdict.LOW, Verdict.HIGH) else ()
    return Compared(
        text=one.text,
        key=one.key,
        net=one.net,
        volts=one.volts,
        other_v=one.other_v,
        expected=expected,
        verdict=verdict,
        off_v=off_v,
        z=z,
        sentence=_sentence(ends, expected, off_v, z),
        fits=fitting,
    )


def meter_error_v(volts: float) -> float:
    """The most an ordinary digital meter is off at a reading [V]."""
    return METER_V + METER_SHARE * abs(volts)


def _limits(expected: Expected) -> tuple[float, float] | None:
    """The band a reading may lie in, knobs anywhere."""
    if expected.low_v is None or expected.high_v is None:
        return None
    return expected.knob_range or (expected.low_v, expected.high_v)


def _off(volts: float, expected: Expected) -> float:
    """How far beyond the band and the meter's own error; 0 inside."""
    limits = _limits(expected)
    if limits is None:
        return 0.0
    error = meter_error_v(volts)
    if volts < limits[0] - error:
        return volts - limits[0]
    return volts - limits[1] if volts > limits[1] + error else 0.0


def _beyond(volts: float, expected: Expected) -> float:
    """How far outside the band with the knobs as written; 0 inside."""
    if expected.low_v is None or expected.high_v is None:
        return 0.0
    return min(volts - expected.low_v, 0.0) or max(volts - expected.high_v, 0.0)


def _agreeing(table: VoltageTable, readings: list[Compared]) -> tuple[str, ...]:
    told = [one for one in readings if one.verdict is not Verdict.NOTHING]
    if not any(one.off_v for one in told):
        return ()
    return agreeing(table, [(one.net, one.volts, one.expected) for one in told])


def _deviations(volts: float, expected: Expected) -> float | None:
    if expected.typical_v is None or expected.deviation_v is None:
        return None
    spread = hypot(expected.deviation_v, meter_error_v(volts) / 2)
    return (volts - expected.typical_v) / spread


def _verdict(expected: Expected, off_v: float) -> Verdict:
    if expected.state is State.ANYTHING or _limits(expected) is None:
        return Verdict.NOTHING
    if off_v:
        return Verdict.LOW if off_v < 0 else Verdict.HIGH
    return Verdict.FINE


def _sentence(ends: tuple[float, ...], expected: Expected, off_v: float, z: float | None) -> str:
    if expected.state is State.ANYTHING:
        return "tells nothing: nothing holds this place, any value is right here"
    if expected.state is State.MOVES:
        return _of_moving(expected, off_v)
    if off_v:
        way = "low" if off_v < 0 else "high"
        return f"{abs(off_v):.2g} V too {way}{_how_far(z)}"
    return _of_fine(ends[0], expected, z)


def _how_far(z: float | None) -> str:
    if z is None:
        return ""
    if abs(z) >= 20:
        return ", far outside what builds read"
    return f", {abs(z):.0f} times the usual spread from typical"


def _of_moving(expected: Expected, off_v: float) -> str:
    if expected.low_v is None or expected.high_v is None:
        return "tells nothing yet: an oscillator moves this place, and how far is not known"
    ends = expected.swing_v or (expected.low_v, expected.high_v)
    where = f"between {ends[0]:.2f} V and {ends[1]:.2f} V"
    if off_v:
        return f"{abs(off_v):.2g} V too {'low' if off_v < 0 else 'high'}: this place should move {where}"
    return f"fine: this place moves {where}; a meter may show anything in between, and should wander"


def _of_fine(volts: float, expected: Expected, z: float | None) -> str:
    assert expected.low_v is not None and expected.high_v is not None
    error = meter_error_v(volts)
    if not expected.low_v <= volts <= expected.high_v:
        knobs = " or ".join(move.knob for move in expected.knobs)
        if expected.knobs and abs(_beyond(volts, expected)) > error:
            return f"fine if {knobs} stands elsewhere than written"
        return "fine: outside by less than the meter may be off"
    width = expected.high_v - expected.low_v
    typical = expected.typical_v or 0.0
    if width > WIDE_V and width > WIDE_SHARE * abs(typical):
        return "fine, but healthy builds differ so much here that it says little"
    if abs(volts - typical) <= error:
        return "fine: as near to typical as a meter can tell"
    if z is not None and abs(z) > 2:
        return f"fine, towards the {'low' if z < 0 else 'high'} end of healthy builds"
    return "fine"
