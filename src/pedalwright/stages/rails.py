"""Which nets carry the supply: from the supplies outward, over diodes, regulators, filters, transistors."""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.branch import Leaf
from pedalwright.stages.view import View

RAIL_RESISTOR_OHMS = 1000.0
"""a series resistor up to this size, into a large capacitor, still makes a rail (common practice, no source)
"""
RAIL_CAPACITOR_F = 0.9e-6
STAGE_RAIL_OHMS = 22e3
STAGE_RAIL_CORNER_RAD_PER_S = 2 * 3.141592653589793 * 10.0
"""a larger resistor still makes a rail for one small stage when ripple and signal are filtered out above this
(common practice, no source)"""


def rails_of(view: View) -> tuple[set[str], list[tuple[str, str, str]]]:
    """From the supplies outward first, so that every feed points away from them; then from chips nothing
    feeds.
    """
    rails: set[str] = set()
    feeds: list[tuple[str, str, str]] = []
    supplies = {view.joined[supply.net] for supply in view.circuit.supplies}
    batteries = {
        view.joined[net] for part in view.circuit.parts if part.kind == "battery" for net in part.nets
    }
    _spread(view, supplies | batteries, rails, feeds)
    _spread(view, {net for net in view.circuit.nets if _feeds_a_chip(view, net)}, rails, feeds)
    return rails, feeds


def _spread(view: View, starts: set[str], rails: set[str], feeds: list[tuple[str, str, str]]) -> None:
    pending = sorted(starts - rails - {GROUND}, key=view.circuit.nets.index)
    rails |= set(pending)
    while pending:
        net = pending.pop(0)
        for ref, far in _onward(view, net):
            if (ref, far, net) in feeds or (ref, net, far) in feeds:
                continue
            feeds.append((ref, net, far))
            if far not in rails:
                rails.add(far)
                pending.append(far)


def _feeds_a_chip(view: View, net: str) -> bool:
    """An amplifier's or echo chip's supply pin is on the net."""
    families = {"opamp": ("v+", "v-"), "echo-chip": ("1",)}
    return any(pin in families.get(view.family[ref], ()) for ref, pin in view.active_pins.get(net, ()))


def _onward(view: View, net: str) -> Iterable[tuple[str, str]]:
    for leaf in view.on(net):
        far = leaf.other(net)
        if far == GROUND or far in (view.input_net, view.output_net):
            continue
        if leaf.sort == "D" and _feeds_forward(view, leaf, net) and not has_signal_pin(view, far):
            yield leaf.ref, far
        if leaf.sort in "RL" and _makes_rail(view, leaf, far):
            yield leaf.ref, far
    for part in view.parts_of("regulator"):
        if view.net(part, "in") == net:
            yield part.ref, view.net(part, "out")
    yield from _through_fuses(view, net)
    yield from _through_transistors(view, net)


def _through_fuses(view: View, net: str) -> Iterable[tuple[str, str]]:
    for part in view.parts_of("fuse"):
        ends = [view.joined[end] for end in part.nets[:2]]
        if net in ends and GROUND not in ends:
            yield part.ref, ends[1 - ends.index(net)]


def _feeds_forward(view: View, leaf: Leaf, net: str) -> bool:
    positive = all(supply.volts >= 0 for supply in view.circuit.supplies if view.joined[supply.net] == net)
    kind = view.circuit.by_ref[leaf.ref].kind
    return kind not in ("led", "zener-diode") and net == (leaf.a if positive else leaf.b)


def _makes_rail(view: View, leaf: Leaf, far: str) -> bool:
    if leaf.sort == "R" and leaf.value > RAIL_RESISTOR_OHMS and not leaf.variable:
        return _feeds_a_stage(view, leaf, far)
    if has_signal_pin(view, far):
        return False
    return _feeds_a_chip(view, far) or capacitance(view.on(far), {GROUND}) >= RAIL_CAPACITOR_F


def _feeds_a_stage(view: View, leaf: Leaf, far: str) -> bool:
    """A large capacitor behind a larger resistor, and from there resistors onward into transistors alone."""
    leaves = [other for other in view.on(far) if other.name != leaf.name]
    store = capacitance(leaves, {GROUND})
    onward = [other for other in leaves if other.other(far) != GROUND]
    return (
        leaf.value <= STAGE_RAIL_OHMS
        and leaf.value * store * STAGE_RAIL_CORNER_RAD_PER_S >= 1.0
        and all(other.sort == "C" for other in leaves if other.other(far) == GROUND)
        and bool(onward)
        and all(other.sort in "RL" for other in onward)
        and not view.active_pins.get(far)
        and any(_loads_a_transistor(view, other, far) for other in onward)
    )


def _loads_a_transistor(view: View, leaf: Leaf, near: str) -> bool:
    """Resistors lead on to a collector or drain."""
    tops = {transistor.top for transistor in view.transistors}
    seen, pending = {near}, [leaf.other(near)]
    while pending:
        net = pending.pop()
        if net in tops:
            return True
        if net in seen or net == GROUND or has_signal_pin(view, net):
            continue
        seen.add(net)
        pending.extend(other.other(net) for other in view.on(net) if other.sort == "R")
    return False


def _through_transistors(view: View, net: str) -> Iterable[tuple[str, str]]:
    """A pass transistor: a capacitance multiplier or a MOSFET against reversed supply."""
    for transistor in view.transistors:
        near, far = transistor.top, transistor.bottom
        if transistor.family == "fet" and far == net:
            near, far = far, near
        if near != net or far == GROUND:
            continue
        steady = transistor.control == GROUND or _steady_control(view, transistor.control, net)
        if (
            steady
            and capacitance(view.on(far), {GROUND}) >= RAIL_CAPACITOR_F
            and not has_signal_pin(view, far)
        ):
            yield transistor.ref, far


def _steady_control(view: View, control: str, rail: str) -> bool:
    leaves = view.on(control)
    to_ground = [leaf for leaf in leaves if leaf.other(control) == GROUND]
    others = {leaf.other(control) for leaf in leaves} - {GROUND, rail}
    return (
        bool(to_ground)
        and len(others) <= 1
        and (capacitance(leaves, {GROUND}) >= RAIL_CAPACITOR_F or all(leaf.sort == "R" for leaf in to_ground))
    )


def has_signal_pin(view: View, net: str) -> bool:
    """An amplifier's or transistor's signal pin is on the net."""
    signal = {net for amp in view.amplifiers for net in (amp.non, amp.inv, amp.out)}
    controls = {transistor.control for transistor in view.transistors}
    return net in signal or net in controls


def capacitance(leaves: Iterable[Leaf], ends: set[str] | frozenset[str]) -> float:
    """The capacitors among some parts that lead to any of the `ends`, in farads."""
    return sum(leaf.value for leaf in leaves if leaf.sort == "C" and (leaf.a in ends or leaf.b in ends))
