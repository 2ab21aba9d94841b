"""How far a supply's voltage goes, and the three healthy trials every other question starts from."""

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.bench import power_bench
from pedalwright.analysis.power.records import Spread
from pedalwright.analysis.power.trials import LEAST, MOST, TYPICAL, Trial, Tried
from pedalwright.analysis.power.trying import try_all
from pedalwright.circuit.ports import Supply
from pedalwright.devices.ports import supply_name
from pedalwright.solve.arrays import FloatArray

WALL_SHARE = 0.05
"""a regulated adaptor keeps its voltage within this (common practice, no source)"""
FRESH_SHARE, FLAT_SHARE = 9.6 / 9.0, 7.2 / 9.0
"""a fresh alkaline battery of six cells, and one near its end, against its name (from memory)"""
PLAIN, PLAIN_TRIALS = 1, 3
"""place of the trial as written, and how many trials there are without an oscillator's"""


def range_v(supply: Supply) -> tuple[float, float]:
    """The voltages of a supply nearest to and farthest from nothing: as stated, else as is usual [V]."""
    if is_stated(supply):
        low, high = sorted((supply.low_v, supply.high_v), key=abs)
    elif supply.source == "battery":
        low, high = supply.volts * FLAT_SHARE, supply.volts * FRESH_SHARE
    else:
        low, high = supply.volts * (1 - WALL_SHARE), supply.volts * (1 + WALL_SHARE)
    return low, high


def is_stated(supply: Supply) -> bool:
    """Whether the text gives a range."""
    return not supply.low_v == supply.high_v == supply.volts


def main_supply(analysis: Analysis) -> Supply | None:
    """The supply of the highest voltage, the first of several alike; None without any."""
    return max(analysis.circuit.supplies, key=lambda one: abs(one.volts), default=None)


def all_feed(analysis: Analysis) -> bool:
    """Whether every supply feeds something: none is joined to ground, or to another, without a resistance."""
    return all(supply_name(one) in analysis.system.names for one in analysis.circuit.supplies)


def healthy(analysis: Analysis) -> Tried | None:
    """Low supply and frugal chips, as written, high supply and thirsty chips: three trials, solved once. With
    an oscillator two more, as written with what flips held at either end.

    None without a supply, with a shorted one, or when the circuit at rest is not certified.
    """
    kept = analysis.kept
    if "power healthy" not in kept:
        kept["power healthy"] = _healthy(analysis)
    found = kept["power healthy"]
    assert found is None or isinstance(found, Tried)
    return found


def _healthy(analysis: Analysis) -> Tried | None:
    supplies = analysis.circuit.supplies
    if not supplies or not analysis.rest.certificate.ok or not all_feed(analysis):
        return None
    ends = {one.net: range_v(one) for one in supplies}
    low = {net: pair[0] for net, pair in ends.items()}
    high = {net: pair[1] for net, pair in ends.items()}
    trials = [Trial(volts=low, draw=LEAST), Trial(draw=TYPICAL), Trial(volts=high, draw=MOST)]
    if power_bench(analysis).flipping:
        with_ends = try_all(analysis, [*trials, Trial(swing=-1.0), Trial(swing=1.0)])
        if with_ends.ok.all():
            return with_ends
    return try_all(analysis, trials)


def spread(values: FloatArray) -> Spread:
    """A figure of the healthy trials: least and most of all, typical as written, which with an oscillator is
    the mean of its two ends.
    """
    typical = values[PLAIN] if len(values) <= PLAIN_TRIALS else values[PLAIN_TRIALS:].mean()
    return Spread(float(values.min()), float(typical), float(values.max()))
