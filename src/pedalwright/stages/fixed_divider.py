"""Dividers of plain resistors: what brings a signal to a net, and what leads part of it away."""

from collections.abc import Iterable

from pedalwright.stages.branch import Leaf
from pedalwright.stages.interstage import Interstage
from pedalwright.stages.network import acts_as_resistor
from pedalwright.stages.resting import parallel_ohms_of

NOTABLE_SHARE = 0.1
"""a resistor before an input, smaller than this share of its bias resistors, only stops (house rule)"""


def bias_shunts(inter: Interstage, net: str, arms: tuple[Leaf, ...]) -> tuple[Leaf, ...]:
    """Resistors to steady nets that bring a listening net its rest, where they draw a notable share."""
    if net not in inter.flow.sinks:
        return ()
    found = tuple(
        leaf
        for leaf in inter.claimed.view.on(net)
        if leaf.sort == "R"
        and not leaf.variable
        and inter.still(leaf.other(net))
        and not inter.claimed.free(leaf.ref)
    )
    return found if parallel_ohms_of(arms) > NOTABLE_SHARE * parallel_ohms_of(found) else ()


def channels_to_still(inter: Interstage, net: str) -> tuple[str, ...]:
    """Channels that work as resistors from the net to a steady one."""
    view, classes = inter.claimed.view, inter.claimed.classes
    return tuple(
        item.ref
        for item in view.transistors
        if net in (item.top, item.bottom)
        and inter.still(item.bottom if net == item.top else item.top)
        and acts_as_resistor(view, classes, item.ref)
    )


def is_fixed(inter: Interstage, leaf: Leaf) -> bool:
    """A plain part that nobody has taken."""
    return inter.claimed.free(leaf.ref) and not leaf.variable


def arriving_parts(inter: Interstage, net: str) -> tuple[Leaf, ...]:
    """Free parts and two-terminal controls that bring a signal to the net."""
    return tuple(
        leaf
        for leaf in inter.on(net)
        if inter.flow.brings_to(leaf, net) and not _is_divider_half(inter, leaf)
    )


def shunts_at(inter: Interstage, net: str) -> Iterable[Leaf]:
    """Resistances that hang from the net to steady ones and lead nowhere else."""
    met: set[str] = set()
    for first in inter.on(net):
        if first.name in met or first.sort != "R" or _is_divider_half(inter, first):
            continue
        hanging = inter.pendant(net, first)
        if hanging and all(leaf.sort == "R" for leaf in hanging) and _grounded(inter, hanging):
            for leaf in hanging:
                if leaf.name not in met:
                    met.add(leaf.name)
                    yield leaf


def _grounded(inter: Interstage, leaves: tuple[Leaf, ...]) -> bool:
    return any(inter.still(leaf.a) or inter.still(leaf.b) for leaf in leaves)


def _is_divider_half(inter: Interstage, leaf: Leaf) -> bool:
    """Half of a knob whose three lugs are on three nets."""
    view = inter.claimed.view
    part = view.circuit.by_ref[leaf.ref]
    return view.family[leaf.ref] == "knob" and len(set(view.knob_nets(part))) == 3
