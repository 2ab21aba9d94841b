"""The table of voltages as data: what every pin should read, how far it may be off, and what moves it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from pedalwright.analysis.records import Certified
from pedalwright.circuit.circuit import Circuit
from pedalwright.solve.arrays import FloatArray

METER_SHARE, METER_V = 0.005, 0.003
"""Error of an ordinary digital meter: half a per cent and three millivolts (common practice, no source)."""


class State(Enum):
    """What kind of reading a place gives."""

    STEADY = "steady"
    MOVES = "moves"
    """an oscillator moves it, between the ends of `swing_v` where these are known"""
    ANYTHING = "anything"
    """nothing holds it: whatever a meter shows there says nothing"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a probe is put. `key` is how it is written (``U1.3``, ``Q1.c``, ``VB``); `group` heads its rows
    (``U1 TL072``); `number` is the pin's place on the package where all types agree on it, else empty; `name`
    the pin's name; `says` what it is there for.
    """

    key: str
    group: str
    ref: str
    number: str
    name: str
    net: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KnobMove:
    """How a reading goes with one knob (0 to 10) or switch: its lowest and highest reading on the way, all
    other knobs as they stand. `ends_v` are the readings at the ends of the dial, for a switch at its
    positions, which `ends` name.
    """

    knob: str
    low_v: float
    high_v: float
    ends: tuple[str, ...]
    ends_v: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A wrong reading and the single faults that would give it, in words."""

    volts: float
    faults: tuple[str, ...]
    parts: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, eq=False)
class FaultReadings:
    """What a meter reads with each single fault: `volts` (faults, nets) [V], nan where a fault could not be
    solved or would pull the supply down. `faults` are in words, `parts` the part of each (empty: a supply);
    columns are in the order of `nets`.
    """

    faults: tuple[str, ...]
    parts: tuple[str, ...]
    nets: tuple[str, ...]
    volts: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What a meter should read [V]. None where it is not known; `deviation_v` is one standard deviation over
    the builds. `meter_v` is how far the meter itself moves the reading. `swing_v` are the ends between which
    an oscillator moves the place in the circuit as written: `low_v` and `high_v` then hold the spread of
    parts as well, and `typical_v` is the middle. `source` is set where a figure is not from this circuit but
    published or proposed. `facts` are sentences about a wrong reading.
    """

    state: State
    low_v: float | None = None
    typical_v: float | None = None
    high_v: float | None = None
    deviation_v: float | None = None
    meter_v: float = 0.0
    swing_v: tuple[float, float] | None = None
    knobs: tuple[KnobMove, ...] = ()
    suspects: tuple[Suspect, ...] = ()
    facts: tuple[str, ...] = ()
    source: str = ""

    @property
    def knob_range(self) -> tuple[float, float] | None:
        """Lowest and highest [V] with any one knob anywhere, spread of parts included; None when no knob
        matters or nothing is known.
        """
        if not self.knobs or self.low_v is None or self.high_v is None or self.typical_v is None:
            return None
        below, above = self.typical_v - self.low_v, self.high_v - self.typical_v
        low = min(self.low_v, *(move.low_v - below for move in self.knobs))
        return low, max(self.high_v, *(move.high_v + above for move in self.knobs))


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of the table."""

    place: Place
    expected: Expected


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyUsed:
    """A supply as the table takes it: drawn from `low_v` to `high_v`, or `measured_v` when it was read."""

    net: str
    volts: float
    source: str
    low_v: float
    high_v: float
    measured_v: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class VoltageTable:
    """What a meter reads on every pin and test point.

    `nets` has every net that is computed, `rows` the places worth a probe in the order of the bench, `faults`
    the readings of every net with each single fault. With
    `refusals` there may be no rows at all. `rate_hz` is that of an oscillator, when there is one that could
    be followed.
    """

    title: str
    text_sha256: str
    circuit: Circuit
    settings: tuple[tuple[str, str], ...]
    supplies: tuple[SupplyUsed, ...]
    measured: Mapping[str, float]
    meter_ohms: float
    builds: int
    asked: int
    seed: int
    rows: tuple[Row, ...] = ()
    nets: Mapping[str, Expected] = field(default_factory=dict)
    faults: FaultReadings | None = None
    oscillates: bool = False
    rate_hz: float | None = None
    conditions: tuple[str, ...] = ()
    refusals: tuple[str, ...] = ()
    certified: Certified | None = None

    @property
    def is_sound(self) -> bool:
        """Whether there is a table, and every figure in it certified."""
        return not self.refusals

    def row(self, key: str) -> Row:
        """The row of a place such as ``U1.3``; KeyError when there is none."""
        for row in self.rows:
            if row.place.key == key:
                return row
        raise KeyError(key)
