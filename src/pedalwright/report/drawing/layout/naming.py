"""Which nodes of a picture need a flag of their own: those whose net has pins that are drawn elsewhere."""

from collections.abc import Iterable, Mapping

from pedalwright.report.drawing.layout.outline import Across, Node, Outline, Through
from pedalwright.report.drawing.layout.planner import Planner
from pedalwright.report.drawing.layout.strand import Strand
from pedalwright.report.drawing.units import Unit


def name_nodes(planner: Planner, *, ends_apart: bool) -> None:
    """Marks every node, and both ends of every further line. The first line's two ends are left to whoever
    puts the picture in its row, unless `ends_apart`.
    """
    for place, line in enumerate(planner.lines):
        _name(planner, line, free=place == 0 and not ends_apart)
        if place or ends_apart:
            _flag_ends(planner, line)


def name_box(planner: Planner, unit: Unit, nodes: Mapping[str, Node], pairs: Iterable[Strand]) -> None:
    """Marks the pins of a box in the middle of a picture that need a flag, and the ends of further lines."""
    strands = tuple(pairs)
    for node in nodes.values():
        count = 1 + sum(strand_pins(tree.strand, node.net) for tree in (*node.downs, *node.ups))
        count += sum(strand_pins(strand, node.net) for strand in strands)
        node.named = _is_short(planner, node.net, count)
    for line in planner.lines:
        _name(planner, line, free=False)
        _flag_ends(planner, line)


def pins_at(line: Outline, place: int) -> int:
    """How many pins of the circuit the picture joins at a node of its line."""
    node = line.nodes[place]
    count = sum(strand_pins(tree.strand, node.net) for tree in (*node.downs, *node.ups))
    if place > 0:
        count += _step_pins(line, place - 1, node.net)
    if place < len(line.steps):
        count += _step_pins(line, place, node.net)
    for arch in line.arches:
        if arch.first == place:
            count += _step_pins(arch.line, 0, node.net)
        if arch.last == place:
            count += _step_pins(arch.line, len(arch.line.steps) - 1, node.net)
    count += sum(
        _step_pins(entry.line, len(entry.line.steps) - 1, node.net)
        for entry in line.entries
        if entry.node == place
    )
    for (step, _), strands in line.loops.items():
        if step == place - 1:
            count += sum(strand_pins(strand, node.net) for strand in strands)
    count += sum(strand_pins(feed.strand, node.net) for feed in line.feeds if feed.node == place)
    count += sum(strand_pins(under.strand, node.net) for under in line.unders if under.node == place)
    return count + _tied(line, place)


def _tied(line: Outline, place: int) -> int:
    """Pins of the devices before and after that are on the same net and are drawn joined."""
    net, count = line.nodes[place].net, 0
    for (step, pin), side in line.sides.items():
        device = line.steps[step]
        if side.net != net or not isinstance(device, Through) or not _is_tied(device, pin, side.net):
            continue
        leads = net == device.unit.net(device.leave) if device.leave else False
        count += (step == place - 1) if leads else (step == place)
    return count


def _is_tied(device: Through, pin: str, net: str) -> bool:
    if device.unit.form == "amplifier":
        return True
    return device.unit.form == "transistor" and net == device.unit.net(device.enter)


def _step_pins(line: Outline, place: int, net: str) -> int:
    step = line.steps[place]
    if isinstance(step, Across):
        return strand_pins(step.strand, net)
    return sum(1 for pin, _, here in step.unit.pins if here == net and pin in (step.enter, step.leave))


def strand_pins(strand: Strand, net: str) -> int:
    """How many pins the ends of a strand have on a net."""
    ends = {id(link.unit): link.unit for link in (strand.links[0], strand.links[-1])}
    return sum(unit.nets.count(net) for unit in ends.values())


def _name(planner: Planner, line: Outline, *, free: bool) -> None:
    last = len(line.nodes) - 1
    for place, node in enumerate(line.nodes):
        if free and place in (0, last):
            continue
        if planner.is_still(node.net) or place in (0, last):
            continue
        node.named = _is_short(planner, node.net, pins_at(line, place))
    _name_sides(planner, line)
    for inner in (*(arch.line for arch in line.arches), *(entry.line for entry in line.entries)):
        _name_inner(planner, inner)
    for entry in line.entries:
        entry.line.left_flag = entry.line.nodes[0].net not in planner.wiring.alone


def _name_sides(planner: Planner, line: Outline) -> None:
    for (step, pin), side in line.sides.items():
        if not planner.standing.is_still(side.net):
            side.named = _side_named(planner, line, step, pin, side)
        elif side.net in planner.live:
            side.named = not (side.downs or side.ups)


def _name_inner(planner: Planner, line: Outline) -> None:
    for place, node in enumerate(line.nodes[1:-1], start=1):
        node.named = _is_short(planner, node.net, pins_at(line, place))


def _side_named(planner: Planner, line: Outline, step: int, pin: str, side: Node) -> bool:
    device = line.steps[step]
    assert isinstance(device, Through)
    if side.net in (
        device.unit.net(device.enter),
        device.leave and device.unit.net(device.leave),
    ) and _is_tied(device, pin, side.net):
        return False
    count = 1 + sum(strand_pins(tree.strand, side.net) for tree in (*side.downs, *side.ups))
    count += sum(strand_pins(strand, side.net) for strand in line.loops.get((step, pin), ()))
    count += sum(
        strand_pins(feed.strand, side.net) for feed in line.feeds if (feed.step, feed.pin) == (step, pin)
    )
    count += sum(strand_pins(under.strand, side.net) for under in line.unders if under.foot == (step, pin))
    return _is_short(planner, side.net, count)


def _is_short(planner: Planner, net: str, count: int) -> bool:
    """True when a net has pins elsewhere, or when the builder will look for its name."""
    return count < planner.wiring.pin_count.get(net, 0) or net in planner.standing.points


def _flag_ends(planner: Planner, line: Outline) -> None:
    first, last = line.nodes[0].net, line.nodes[-1].net
    if len(line.nodes) == 1:
        whole = not planner.standing.is_still(first) and not _is_short(planner, first, pins_at(line, 0))
        line.left_flag = not whole
        return
    line.left_flag = _needs_end(planner, line, 0, first)
    line.right_flag = _needs_end(planner, line, len(line.nodes) - 1, last)


def _needs_end(planner: Planner, line: Outline, place: int, net: str) -> bool:
    if planner.standing.is_still(net):
        return True
    return _is_short(planner, net, pins_at(line, place))
