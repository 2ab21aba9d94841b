"""Resistors that carry no signal but give a net its resting voltage: ladders from rails and ground to an
input.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from pedalwright.stages.branch import Leaf
from pedalwright.stages.interstage import Interstage


@dataclass(frozen=True, slots=True, kw_only=True)
class Ladder:
    """The free resistances that lead from one net to steady nets, over nets with nothing else on them.

    `upper` end on rails (or bias nets), `lower` on ground; `between` are knobs whose track lies in the
    ladder.
    """

    net: str
    upper: tuple[Leaf, ...]
    lower: tuple[Leaf, ...]
    between: tuple[Leaf, ...]
    inner: tuple[str, ...]
    reaches_rail: bool
    reaches_ground: bool


def ladder_at(inter: Interstage, net: str) -> Ladder:
    """Gather the ladder of a net; parts it shares with the signal are left out."""
    upper: dict[str, Leaf] = {}
    lower: dict[str, Leaf] = {}
    between: dict[str, Leaf] = {}
    inner: list[str] = []
    grounds: set[bool] = set()
    for first in inter.on(net):
        if first.sort != "R":
            continue
        for way in _ways(inter, net, first):
            ground = not _on_rail(inter, way)
            grounds.add(ground)
            for leaf in way:
                place = between if leaf.variable else lower if ground else upper
                place.setdefault(leaf.name, leaf)
            inner += [n for leaf in way for n in (leaf.a, leaf.b) if n != net and not inter.still(n)]
    return Ladder(
        net=net,
        upper=tuple(upper.values()),
        lower=tuple(lower.values()),
        between=tuple(between.values()),
        inner=tuple(dict.fromkeys(inner)),
        reaches_rail=False in grounds,
        reaches_ground=True in grounds,
    )


def _on_rail(inter: Interstage, way: tuple[Leaf, ...]) -> bool:
    last = way[-1]
    classes = inter.claimed.classes
    return any(end in classes.rails or end in classes.bias for end in (last.a, last.b))


def _ways(inter: Interstage, net: str, first: Leaf) -> Iterable[tuple[Leaf, ...]]:
    """Rows of resistances from a net to a steady one, over plain nets that hold no other sort of part."""
    way, here = [first], first.other(net)
    seen = {net}
    while not inter.still(here):
        onward = [leaf for leaf in inter.on(here) if leaf.name not in {link.name for link in way}]
        resistive = all(leaf.sort == "R" for leaf in onward)
        if here in seen or not inter.is_plain(here) or len(onward) != 1 or not resistive:
            return
        seen.add(here)
        way.append(onward[0])
        here = onward[0].other(here)
    yield tuple(way)


def parallel_ohms_of(leaves: Iterable[Leaf]) -> float:
    """Resistance of leaves side by side in ohms; infinite for none."""
    siemens = sum(1.0 / leaf.value for leaf in leaves)
    return 1.0 / siemens if siemens else float("inf")
