"""Branches between nets, and their reduction: parallel ones joined, nets with just two branches taken out."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from pedalwright.stages.branch import Branch, parallel, series


@dataclass(frozen=True, slots=True)
class Edge:
    """One reduced branch between two nets; every steady net appears as ``gnd``."""

    a: str
    b: str
    branch: Branch

    def other(self, net: str) -> str:
        """The far end."""
        return self.b if net == self.a else self.a


def reduce_edges(edges: Iterable[Edge], inner: Collection[str]) -> tuple[tuple[Edge, ...], tuple[str, ...]]:
    """Series and parallel reduction over the `inner` nets; gives what is left of both.

    An inner net with one branch only carries no current: the branch is left out.
    """
    left, free = list(edges), list(dict.fromkeys(inner))
    while True:
        left = _join_parallel(left)
        net = next((net for net in free if len(_at(left, net)) <= 2), None)
        if net is None:
            return tuple(left), tuple(free)
        here = _at(left, net)
        left = [edge for edge in left if edge not in here]
        if len(here) == 2:
            first, second = here
            joined = series(first.branch, second.branch)
            left.append(Edge(first.other(net), second.other(net), joined))
        free.remove(net)


def _at(edges: Iterable[Edge], net: str) -> list[Edge]:
    return [edge for edge in edges if net in (edge.a, edge.b)]


def _join_parallel(edges: Iterable[Edge]) -> list[Edge]:
    groups: dict[frozenset[str], list[Edge]] = {}
    for edge in edges:
        groups.setdefault(frozenset((edge.a, edge.b)), []).append(edge)
    return [
        Edge(group[0].a, group[0].b, parallel(*(edge.branch for edge in group)))
        for ends, group in groups.items()
        if len(ends) == 2
    ]
