"""How long a nine-volt battery lasts: down to the first thing that fails, found on the circuit itself."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.cells import CHEMISTRIES, SOURCE, Chemistry
from pedalwright.analysis.power.margins import Margin, Peak, margins, peaks
from pedalwright.analysis.power.ranges import all_feed
from pedalwright.analysis.power.records import BatteryLife, Cell, Failing
from pedalwright.analysis.power.trials import Trial, Tried
from pedalwright.analysis.power.trying import try_all
from pedalwright.circuit.ports import Supply
from pedalwright.devices.ports import supply_name
from pedalwright.solve.arrays import FloatArray

LOWEST_V, HIGHEST_V = 8.0, 10.0
"""supplies a nine-volt battery can stand for"""
FULL_V, EMPTY_V, STEPS = 9.0, 4.8, 7
CLOSE_V = 2e-3
"""how well a failing voltage is known"""
ROUNDS = 6
SHARES = np.linspace(0.0, 1.0, 401)


def battery_life(analysis: Analysis) -> BatteryLife | None:
    """Life on a 9 V battery; None with no supply or several, another voltage, or no certified rest point.

    The voltage meant is that at the battery's clips, under load.
    """
    kept = analysis.kept
    if "power battery" not in kept:
        kept["power battery"] = _battery_life(analysis)
    found = kept["power battery"]
    assert found is None or isinstance(found, BatteryLife)
    return found


def _battery_life(analysis: Analysis) -> BatteryLife | None:
    supplies = analysis.circuit.supplies
    if len(supplies) != 1 or not LOWEST_V <= abs(supplies[0].volts) <= HIGHEST_V:
        return None
    if not analysis.rest.certificate.ok or not all_feed(analysis):
        return None
    search = _Search(analysis, supplies[0])
    failing, already = search.failing()
    first = failing[0] if failing else None
    end_v = first.at_v if first else EMPTY_V
    volts, amps = search.known_amps()
    return BatteryLife(
        net=supplies[0].net,
        stated=supplies[0].source == "battery",
        amps=float(np.interp(FULL_V, volts, amps)),
        end_v=end_v,
        first=first,
        failing=failing,
        already=already,
        cells=tuple(cell(one, end_v, volts, amps) for one in CHEMISTRIES),
    )


def cell(sort: Chemistry, end_v: float, volts: FloatArray, amps: FloatArray) -> Cell:
    """One sort of battery down to `end_v`, for the current `amps` drawn at rising `volts`.

    The charge is that of the mean current; time is the sum of charge over current along the curve.
    """
    share = sort.share_at(end_v)
    taken = SHARES * share
    drawn = np.interp(sort.volts_at(taken), volts, amps)
    whole = sort.capacity_ah(float(drawn.mean()))
    hours = whole * float(np.trapezoid(1.0 / np.maximum(drawn, 1e-9), taken))
    return Cell(
        name=sort.name,
        hours=hours,
        end_v=max(end_v, sort.empty_v),
        used_ah=whole * share,
        whole_ah=whole,
        source=SOURCE,
    )


class _Search:
    """Trials at falling voltages, and closer ones where something fails between two of them."""

    def __init__(self, analysis: Analysis, supply: Supply) -> None:
        self._analysis, self._supply = analysis, supply
        self._loud: tuple[Peak, ...] = peaks(analysis)
        self._volts: list[float] = []
        self._amps: list[float] = []
        self._margins: list[tuple[float, tuple[Margin, ...], int]] = []
        self._try(np.linspace(FULL_V, EMPTY_V, STEPS))

    def known_amps(self) -> tuple[FloatArray, FloatArray]:
        """Rising voltages and the current at each [V], [A]."""
        order = np.argsort(self._volts)
        return np.array(self._volts)[order], np.array(self._amps)[order]

    def failing(self) -> tuple[tuple[Failing, ...], tuple[Failing, ...]]:
        """What fails on the way down, highest voltage first; and what fails at the full voltage."""
        for _ in range(ROUNDS):
            wanted = {at for place in range(self._count) for at in self._between(place)}
            if not wanted:
                break
            self._try(np.array(sorted(wanted)))
        found = [self._found(place) for place in range(self._count)]
        on_the_way = sorted(
            (one for one in found if one is not None and one.at_v < FULL_V), key=lambda one: -one.at_v
        )
        return tuple(on_the_way), tuple(one for one in found if one is not None and one.at_v >= FULL_V)

    @property
    def _count(self) -> int:
        return len(self._margins[0][1]) if self._margins else 0

    def _try(self, volts: FloatArray) -> None:
        sign = 1.0 if self._supply.volts > 0 else -1.0
        trials = [Trial(volts={self._supply.net: sign * float(at)}, at_terminals=True) for at in volts]
        tried: Tried = try_all(self._analysis, trials)
        table = margins(self._analysis, tried, self._loud)
        amps = np.abs(tried.named(supply_name(self._supply)))
        for place, at in enumerate(volts):
            if tried.ok[place]:
                self._volts.append(float(at))
                self._amps.append(float(amps[place]))
                self._margins.append((float(at), table, place))

    def _points(self, place: int) -> Sequence[tuple[float, float]]:
        """Voltages and margins of one thing, the highest voltage first."""
        found = [(at, float(table[place].values[row])) for at, table, row in self._margins]
        return sorted((pair for pair in found if np.isfinite(pair[1])), reverse=True)

    def _bracket(self, place: int) -> tuple[tuple[float, float], tuple[float, float]] | None:
        """The last voltage at which it works and the next at which it fails; None when it never does both."""
        points = self._points(place)
        for above, below in pairwise(points):
            if above[1] >= 0.0 > below[1]:
                return above, below
        return None

    def _between(self, place: int) -> tuple[float, ...]:
        """Where to look next: on both sides of where the straight line between the two crosses nothing."""
        bracket = self._bracket(place)
        if bracket is None or bracket[0][0] - bracket[1][0] <= CLOSE_V:
            return ()
        (high_v, high), (low_v, low) = bracket
        guess = high_v - (high_v - low_v) * high / (high - low)
        room, side = 0.05 * (high_v - low_v), 0.45 * CLOSE_V
        return tuple(float(np.clip(at, low_v + room, high_v - room)) for at in (guess - side, guess + side))

    def _found(self, place: int) -> Failing | None:
        one = self._margins[0][1][place]
        points = self._points(place)
        if not points:
            return None
        if points[0][1] < 0.0:
            return Failing(rule=one.rule, ref=one.ref, at_v=points[0][0], says=one.says)
        bracket = self._bracket(place)
        if bracket is None:
            return None
        return Failing(rule=one.rule, ref=one.ref, at_v=bracket[0][0], says=one.says)
