"""What no kind with a shape of its own has wanted: how it hangs together, and resistors alone in the way."""

from collections.abc import Iterable

from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.interstage import Interstage
from pedalwright.stages.loose_ends import leads_nowhere

CABLE_F = 500e-12
"""a cable at the output: 5 m at 100 pF/m (common practice, no source)"""
INPUT_F = 10e-12
"""the input of an amplifier, or a gate (common practice, no source)"""


def groups_left(inter: Interstage) -> Iterable[tuple[Leaf, ...]]:
    """Free parts joined by moving nets that nothing drives; all halves of a knob go together."""
    left = dict.fromkeys(inter.leaves)
    while left:
        first = next(iter(left))
        group, pending = {first: None}, [first]
        while pending:
            leaf = pending.pop()
            for other in left:
                if other not in group and _hang_together(inter, leaf, other):
                    group[other] = None
                    pending.append(other)
        for leaf in group:
            left.pop(leaf)
        yield tuple(group)


def _hang_together(inter: Interstage, leaf: Leaf, other: Leaf) -> bool:
    common = {leaf.a, leaf.b} & {other.a, other.b}
    joined = any(not inter.still(net) and net not in inter.flow.sources for net in common)
    return leaf.ref == other.ref or joined


def lone_resistors(inter: Interstage) -> tuple[Leaf, ...]:
    """Plain resistors with both ends on moving nets that hang together with nothing else left over."""
    groups = (group for group in groups_left(inter) if len(group) == 1)
    return tuple(
        leaf
        for (leaf,) in groups
        if leaf.sort == "R" and not leaf.variable and inter.flow.upstream_end(leaf) is not None
        if not _leads_nowhere(inter, leaf)
    )


def _leads_nowhere(inter: Interstage, leaf: Leaf) -> bool:
    view = inter.claimed.view
    return any(leads_nowhere(view, leaf.name, end, leaf.other(end)) for end in (leaf.a, leaf.b))


def capacitance_behind(bench: Bench, net: str) -> tuple[str, float] | None:
    """What takes treble behind a series resistor at `net`: in words, and in farads; None when nothing does.

    Coupling capacitors are passed; the first of a cable, capacitors to steady nets, and a bare input counts.
    """
    seen, pending = {net}, [net]
    while pending:
        here = pending.pop(0)
        found = _capacitance_at(bench, here)
        if found is not None:
            return found
        for leaf in bench.view.on(here):
            far = leaf.other(here)
            if leaf.sort == "C" and far not in seen and not bench.classes.is_still(far):
                seen.add(far)
                pending.append(far)
    return None


def _capacitance_at(bench: Bench, net: str) -> tuple[str, float] | None:
    if net == bench.view.output_net:
        return "500 pF of cable", CABLE_F
    shunts = [
        leaf for leaf in bench.view.on(net) if leaf.sort == "C" and bench.classes.is_still(leaf.other(net))
    ]
    if shunts:
        return " and ".join(leaf.ref for leaf in shunts), sum(leaf.value for leaf in shunts)
    bases = {item.control for item in bench.view.transistors if item.family == "bipolar"}
    if net in bench.flow.controls - bases:  # a base takes current: what it draws outweighs its capacitance
        return "about 10 pF of the input behind it", INPUT_F
    return None
