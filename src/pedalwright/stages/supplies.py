"""Questions about the way the supply takes: what feeds a rail, what hangs on it, what rests on it."""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.stage import Stage

LARGE_FARADS = 10e-6
"""from here up a capacitor on a rail is a store and not only a short-cut for hiss (common practice, no
source)
"""


def feeds_of(claimed: Claimed, *families: str) -> tuple[tuple[Part, str, str], ...]:
    """The free parts of some families that make one rail from another: (part, from rail, to rail)."""
    view = claimed.view
    return tuple(
        (view.circuit.by_ref[ref], near, far)
        for ref, near, far in claimed.classes.feeds
        if claimed.free(ref) and view.family[ref] in families
    )


def leads_inward(claimed: Claimed, near: str, far: str) -> bool:
    """True when a supply reaches `near` without passing `far`: what lies between leads inward, not back."""
    view, classes = claimed.view, claimed.classes
    reached = {view.joined[supply.net] for supply in view.circuit.supplies}
    if not reached:
        return True
    if far in reached:
        return False
    while True:
        more = {end for _, start, end in classes.feeds if start in reached and end != far} - reached
        if not more:
            return near in reached
        reached |= more


def rail_capacitors(claimed: Claimed, net: str) -> tuple[Leaf, ...]:
    """The free capacitors from a rail to ground or to another rail."""
    ends = claimed.classes.rails | {GROUND}
    return tuple(leaf for leaf in claimed.free_on(net) if leaf.sort == "C" and leaf.other(net) in ends)


def largest(leaves: Iterable[Leaf]) -> tuple[Leaf, ...]:
    """The leaf with the largest value; all of them when several share it."""
    found = tuple(leaves)
    top = max((leaf.value for leaf in found), default=0.0)
    return tuple(leaf for leaf in found if leaf.value == top)


def kind_of(bench_or_claimed: Bench | Claimed, ref: str) -> str:
    """The device word of a part."""
    return bench_or_claimed.view.circuit.by_ref[ref].kind


def anode(leaf: Leaf) -> str:
    """The net on a diode's anode."""
    return leaf.a


def cathode(leaf: Leaf) -> str:
    """The net on a diode's cathode."""
    return leaf.b


def figure_of(bench: Bench, ref: str, name: str) -> float | None:
    """A figure of a part's type, or None when its card does not hold it."""
    part = bench.view.circuit.by_ref[ref]
    entry = device(part.kind)
    found = entry.types.get(part.type or entry.default_type, {}).get(name)
    return None if found is None else found.value


def zener_volts(bench: Bench, ref: str) -> float | None:
    """The voltage a zener diode holds, written or from its type's card."""
    part = bench.view.circuit.by_ref[ref]
    if part.value is not None:
        return part.value
    for name in ("zener_v", "volts", "breakdown_v"):
        found = figure_of(bench, ref, name)
        if found is not None:
            return found
    return None


def supply_volts(bench: Bench) -> float | None:
    """The largest voltage of the supplies written in the text."""
    return max((abs(supply.volts) for supply in bench.view.circuit.supplies), default=None)


def drop_volts(bench: Bench, near: str, far: str) -> float | None:
    """How far apart two nets rest, in volts, never negative; None when the rest point is not certified."""
    first, second = bench.volts(near), bench.volts(far)
    return None if first is None or second is None else abs(first - second)


def role_of(stage: Stage, ref: str) -> str:
    """The role of a part in a stage."""
    return next((member.role for member in stage.roles if member.ref == ref), "")
