"""The power budget: every rail from the supplies outward, what enters it and where it goes."""

from collections.abc import Iterable, Mapping

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.bench import power_bench
from pedalwright.analysis.power.label import adaptor_for
from pedalwright.analysis.power.ranges import PLAIN, healthy, is_stated, main_supply, range_v, spread
from pedalwright.analysis.power.records import Load, PowerBudget, Rail, Spread
from pedalwright.analysis.power.trials import Tried
from pedalwright.analysis.power.wording import part_says
from pedalwright.devices.catalogue import device
from pedalwright.devices.ports import supply_name
from pedalwright.solve.arrays import FloatArray

WORTH_A = 5e-6
"""smaller loads of a rail are told together (house rule)"""
THE_REST = ""
"""the designator of small loads told together"""


def budget(analysis: Analysis) -> PowerBudget:
    """Current of every rail: least, typical, most. Empty without a supply; refusals where not certified."""
    tried = healthy(analysis)
    if tried is None or not tried.ok.all():
        return _nothing(analysis, tried)
    supplies = analysis.circuit.supplies
    given = tuple((one.net, _supply_a(tried, supply_name(one))) for one in supplies)
    main = main_supply(analysis)
    most = dict(given)[main.net].most if main is not None else 0.0
    return PowerBudget(
        rails=tuple(_rail(analysis, tried, net) for net in rail_nets(analysis)),
        supply_a=given,
        range_v=tuple((one.net, *range_v(one)) for one in supplies),
        range_stated=any(is_stated(one) for one in supplies),
        adaptor=None if main is None else adaptor_for(analysis, main, most),
        notes=tuple(_notes(analysis)),
    )


def rail_nets(analysis: Analysis) -> tuple[str, ...]:
    """The nets that carry the supply, from the supplies outward."""
    view, classes = analysis.view, analysis.bench.classes
    order = [view.joined[supply.net] for supply in analysis.circuit.supplies]
    depth = dict.fromkeys(order, 0)
    while True:
        more = {far: depth[near] + 1 for _, near, far in classes.feeds if near in depth and far not in depth}
        if not more:
            break
        depth |= more
    return tuple(dict.fromkeys([*depth, *sorted(classes.rails, key=analysis.circuit.nets.index)]))


def _nothing(analysis: Analysis, tried: Tried | None) -> PowerBudget:
    supplies = analysis.circuit.supplies
    refusals = ("The circuit could not be solved at rest over its supply's range.",) if supplies else ()
    notes = () if supplies else ("The text names no supply: nothing is fed.",)
    return PowerBudget(
        rails=(),
        supply_a=(),
        range_v=tuple((one.net, *range_v(one)) for one in supplies),
        range_stated=any(is_stated(one) for one in supplies),
        adaptor=None,
        notes=notes,
        refusals=refusals,
    )


def _supply_a(tried: Tried, name: str) -> Spread:
    return spread(np.abs(tried.named(name)))


def _rail(analysis: Analysis, tried: Tried, net: str) -> Rail:
    # Below ground the supply takes what the loads give: turned round, it reads as above ground.
    sign = -1.0 if tried.volts(net)[PLAIN] < 0.0 else 1.0
    brought = {ref: sign * amps for ref, amps in tried.amps_into(tried.system.row(net)).items()}
    feeds = tuple(ref for ref, amps in brought.items() if amps[PLAIN] > 0.0 and amps.max() > WORTH_A)
    entering = np.sum([amps for ref, amps in brought.items() if ref in feeds], axis=0) + np.zeros(
        len(tried.ok)
    )
    leaving = {ref: -amps for ref, amps in brought.items() if ref not in feeds}
    return Rail(
        net=net,
        volts=spread(tried.volts(net)),
        amps=spread(entering),
        feeds=tuple(ref for ref in feeds if ref in analysis.circuit.by_ref),
        from_nets=_origins(analysis, net, feeds),
        loads=tuple(_loads(analysis, net, leaving)),
        limit_a=_limit_a(analysis, feeds),
    )


def _origins(analysis: Analysis, net: str, feeds: Iterable[str]) -> tuple[str, ...]:
    found = (near for ref, near, far in analysis.bench.classes.feeds if far == net and ref in feeds)
    return tuple(dict.fromkeys(found))


def _loads(analysis: Analysis, net: str, leaving: Mapping[str, FloatArray]) -> Iterable[Load]:
    """The loads by falling current; the small ones as one, so that they always add up."""
    onward = {ref: far for ref, near, far in analysis.bench.classes.feeds if near == net}
    large = {ref: amps for ref, amps in leaving.items() if np.abs(amps).max() >= WORTH_A}
    for ref, amps in sorted(large.items(), key=lambda item: -float(item[1][PLAIN])):
        yield Load(ref=ref, says=part_says(analysis, ref), amps=spread(amps), onward=onward.get(ref, ""))
    small = [amps for ref, amps in leaving.items() if ref not in large]
    if small:
        yield Load(ref=THE_REST, says="everything else", amps=spread(np.sum(small, axis=0)))


def _limit_a(analysis: Analysis, feeds: Iterable[str]) -> float | None:
    parts = [analysis.circuit.by_ref[ref] for ref in feeds if ref in analysis.circuit.by_ref]
    known = [device(part.kind).figures_for(part) for part in parts if device(part.kind).family == "regulator"]
    return min((one["most_a"].value for one in known if "most_a" in one), default=None)


def _notes(analysis: Analysis) -> Iterable[str]:
    if analysis.rest.stays:
        return
    if power_bench(analysis).flipping:
        yield (
            "The circuit holds an oscillator that flips: typical is the mean of its two ends, least and most "
            "hold both."
        )
    else:
        yield (
            "The circuit holds an oscillator, which is reckoned at the middle of its swing: its current goes "
            "up and down around the typical figure."
        )
