"""Resistors in a row: two or more with nothing on the nets between them act as one, and are told as one."""

from collections.abc import Iterable, Mapping

from pedalwright.stages.branch import Leaf


def rows_of(leaves: Iterable[Leaf], joints: frozenset[str]) -> Mapping[tuple[str, ...], Leaf]:
    """Every row of leaves that meet at `joints`: the designators in order, and one leaf in place of all.

    The leaf carries the name of the first, the sum of the values in ohms and the outer nets. A ring of leaves
    with no outer net is no row.
    """
    at: dict[str, list[Leaf]] = {}
    members = [leaf for leaf in leaves if leaf.a in joints or leaf.b in joints]
    for leaf in members:
        for net in (leaf.a, leaf.b):
            at.setdefault(net, []).append(leaf)
    found: dict[tuple[str, ...], Leaf] = {}
    seen: set[str] = set()
    for leaf in members:
        outer = [net for net in (leaf.a, leaf.b) if net not in joints]
        if leaf.name in seen or len(outer) != 1:
            continue
        row, end = _along(leaf, outer[0], at, joints)
        seen |= {link.name for link in row}
        if len(row) > 1 and end != outer[0]:
            found[tuple(link.ref for link in row)] = _one(row, outer[0], end)
    return found


def _along(
    first: Leaf, start: str, at: Mapping[str, list[Leaf]], joints: frozenset[str]
) -> tuple[list[Leaf], str]:
    row, here = [first], first.other(start)
    while here in joints:
        onward = next((leaf for leaf in at[here] if leaf.name != row[-1].name), None)
        if onward is None:
            break
        row.append(onward)
        here = onward.other(here)
    return row, here


def _one(row: list[Leaf], start: str, end: str) -> Leaf:
    total = sum(link.value for link in row)
    return Leaf(ref=row[0].ref, name=row[0].name, sort="R", a=start, b=end, value=total)
