"""Readings somebody took, held against the table: each one fine, or how far off and what that would fit."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from math import hypot

from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.voltages.measured_nets import MOST_V
from pedalwright.analysis.voltages.pasted import NotUnderstood, Pasted, read_pasted
from pedalwright.analysis.voltages.records import METER_SHARE, METER_V, Expected, State, VoltageTable
from pedalwright.circuit.circuit import Circuit

WIDE_SHARE, WIDE_V = 0.5, 0.5
"""A band wider than this share of its typical figure, and than this, says little."""
LEAST_SHARE = 0.5
"""a supply that reads less than this share of its voltage is not there to stand on"""
ALIKE_V, ALIKE_SHARE = 0.15, 0.05
"""A fault fits a reading when its own differs by less."""


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
    """A pasted list against a table, every piece of it once."""

    readings: tuple[Compared, ...]
    not_understood: tuple[NotUnderstood, ...]
    notes: tuple[str, ...] = ()

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
    return Comparison(
        readings=tuple(
            _compared(one, rows.get(one.key) or table.nets.get(one.net, nothing)) for one in pasted.readings
        ),
        not_understood=pasted.not_understood,
        notes=pasted.notes,
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


def _compared(one: Pasted, expected: Expected) -> Compared:
    ends = (one.volts,) if one.other_v is None else (one.volts, one.other_v)
    off_v = max((_off(volts, expected) for volts in ends), key=abs)
    z = _deviations(ends[0], expected)
    verdict = _verdict(expected, off_v)
    fits = _fits(ends, expected) if verdict in (Verdict.LOW, Verdict.HIGH) else ()
    return Compared(
        text=one.text,
        key=one.key,
        net=spoken(one.net),
        volts=one.volts,
        other_v=one.other_v,
        expected=expected,
        verdict=verdict,
        off_v=off_v,
        z=z,
        sentence=_sentence(ends, expected, off_v, z),
        fits=fits,
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
    if not expected.low_v - error <= volts <= expected.high_v + error:
        knobs = " or ".join(move.knob for move in expected.knobs)
        return f"fine if {knobs} stands elsewhere than written"
    width = expected.high_v - expected.low_v
    typical = expected.typical_v or 0.0
    if width > WIDE_V and width > WIDE_SHARE * abs(typical):
        return "fine, but healthy builds differ so much here that it says little"
    if abs(volts - typical) <= error:
        return "fine: as near to typical as a meter can tell"
    if z is not None and abs(z) > 2:
        return f"fine, towards the {'low' if z < 0 else 'high'} end of healthy builds"
    return "fine"


def _fits(ends: tuple[float, ...], expected: Expected) -> tuple[str, ...]:
    found = [
        fault
        for suspect in expected.suspects
        for fault in suspect.faults
        if any(abs(volts - suspect.volts) <= ALIKE_V + ALIKE_SHARE * abs(volts) for volts in ends)
    ]
    return tuple(dict.fromkeys(found))
