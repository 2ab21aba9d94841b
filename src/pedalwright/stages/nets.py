"""Which nets stand still for signals: ground, supply rails and bias nets, found by going round until
nothing changes.
"""

from collections.abc import Collection
from dataclasses import dataclass, field

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.branch import Leaf
from pedalwright.stages.rails import RAIL_CAPACITOR_F, capacitance, has_signal_pin, rails_of
from pedalwright.stages.view import Amplifier, View

LOW_E_RAD_PER_S = 2 * 3.141592653589793 * 82.4
"""the lowest string of a guitar in standard tuning: a bias net must be still from there up"""
STILL_RATIO = 3.0
"""a bias net is still when its own path to ground is this many times stronger than any part hung on it"""


@dataclass(frozen=True)
class NetClasses:
    """Rails and bias nets of a circuit; `rail_parts` are the parts the rail search passed through, with
    their ends.
    """

    rails: frozenset[str]
    bias: frozenset[str]
    feeds: tuple[tuple[str, str, str], ...] = field(default=())
    """(designator, from rail net, to rail net) of every part that makes one rail from another"""

    @property
    def still(self) -> frozenset[str]:
        """Every net that is ground for signals."""
        return self.rails | self.bias | {GROUND}

    def is_still(self, net: str) -> bool:
        """True when a net does not move with the signal."""
        return net == GROUND or net in self.rails or net in self.bias


def classify(view: View) -> NetClasses:
    """Rails from the supplies outward, then bias nets until nothing changes."""
    rails, feeds = rails_of(view)
    bias: set[str] = set()
    while True:
        found = {
            net for net in _candidates(view) if net not in bias | rails and _is_bias(view, net, rails, bias)
        }
        if not found:
            return NetClasses(frozenset(rails), frozenset(bias), tuple(feeds))
        bias |= found


def _candidates(view: View) -> tuple[str, ...]:
    outputs = frozenset(amp.out for amp in view.amplifiers)
    driven = {amp.out for amp in view.amplifiers if not _follows(amp)}
    driven |= {amp.inv for amp in view.amplifiers if not _follows(amp) and _is_fed_back(view, amp, outputs)}
    driven |= {t.top for t in view.transistors if t.family != "fet" or not _holds(view, t.top)} | {
        t.bottom for t in view.transistors if not (_holds(view, t.bottom) or pushed_followers(view, t.bottom))
    }
    driven |= view.ports
    return tuple(net for net in dict.fromkeys(view.joined.values()) if net not in driven)


def _is_fed_back(view: View, amp: Amplifier, outputs: frozenset[str]) -> bool:
    """Parts lead from the output to the inverting input past no other output, supply or ground."""
    walls = outputs - {amp.out} | {view.joined[supply.net] for supply in view.circuit.supplies} | {GROUND}
    seen, pending = {amp.inv}, [amp.inv]
    while pending:
        here = pending.pop()
        for leaf in view.on(here):
            far = leaf.other(here)
            if far == amp.out:
                return True
            if far not in seen and far not in walls:
                seen.add(far)
                pending.append(far)
    return False


def _holds(view: View, net: str) -> bool:
    return capacitance(view.on(net), {GROUND}) >= 10 * RAIL_CAPACITOR_F


def _is_bias(view: View, net: str, rails: set[str], bias: set[str]) -> bool:
    if _is_chip_reference(view, net) or _follows_bias(view, net, rails, bias):
        return True
    if any(_bare(view, amp.non, rails, bias) for amp in pushed_followers(view, net)):
        return True
    if _is_held_input(view, net, rails | bias | {GROUND}):
        return True
    leaves = view.on(net)
    fixed = rails | bias | {GROUND}
    ends = {row_end(row, net) for leaf in leaves if (row := steady_row(view, leaf, net, fixed))}
    clamped = any(diode_row(view, leaf, net) for leaf in leaves) and _is_used(view, net, leaves, fixed)
    divider = (bool(ends & rails) and (GROUND in ends or clamped)) or (bool(ends & bias) and GROUND in ends)
    filtered = bool(ends & bias) and capacitance(leaves, {GROUND}) >= RAIL_CAPACITOR_F
    return (divider or filtered) and _is_quiet(view, net, leaves, fixed)


def steady_row(view: View, first: Leaf, net: str, fixed: Collection[str]) -> tuple[Leaf, ...]:
    """Resistances in a row from a net to a fixed one with nothing between; none when it leads elsewhere."""
    row, here = [first], first.other(net)
    while first.sort == "R" and here not in fixed:
        onward = [leaf for leaf in view.on(here) if leaf not in row]
        if len(onward) != 1 or onward[0].sort != "R" or view.active_pins.get(here) or here in view.ports:
            return ()
        row.append(onward[0])
        here = onward[0].other(here)
    return tuple(row) if first.sort == "R" else ()


def row_end(row: tuple[Leaf, ...], net: str) -> str:
    """The net at the far end of a row of parts that begins on a net."""
    for leaf in row:
        net = leaf.other(net)
    return net


def diode_row(view: View, first: Leaf, net: str) -> tuple[Leaf, ...]:
    """Diodes in a row from a net to ground with nothing between them; none when the row leads elsewhere."""
    row, here = [first], first.other(net)
    while first.sort == "D" and here != GROUND:
        onward = [leaf for leaf in view.on(here) if leaf not in row]
        if len(onward) != 1 or onward[0].sort != "D" or view.active_pins.get(here) or here in view.ports:
            return ()
        row.append(onward[0])
        here = onward[0].other(here)
    return tuple(row) if first.sort == "D" else ()


def _is_used(view: View, net: str, leaves: tuple[Leaf, ...], fixed: set[str]) -> bool:
    """Something beside its own supply and clamp is on the net: else it is only a lamp with its resistor."""
    return bool(view.active_pins.get(net)) or any(leaf.other(net) not in fixed for leaf in leaves)


def _is_chip_reference(view: View, net: str) -> bool:
    return any(view.family[ref] == "echo-chip" and pin == "2" for ref, pin in view.active_pins.get(net, ()))


def _is_held_input(view: View, net: str, fixed: set[str]) -> bool:
    """An amplifier's + input on which nothing but parts from steady nets act, one of them a resistor."""
    pins = view.active_pins.get(net, ())
    inputs = sum(amp.non == net for amp in view.amplifiers)
    leaves = view.on(net)
    return (
        net not in view.ports
        and 0 < len(pins) == inputs
        and all(leaf.other(net) in fixed for leaf in leaves)
        and any(leaf.sort == "R" for leaf in leaves)
    )


def _follows_bias(view: View, net: str, rails: set[str], bias: set[str]) -> bool:
    return any(
        amp.out == net and _follows(amp) and _bare(view, amp.non, rails, bias) for amp in view.amplifiers
    )


def pushed_followers(view: View, net: str) -> tuple[Amplifier, ...]:
    """Amplifiers that copy their + input to a net through transistors: emitter followers inside the loop."""
    found = []
    for amp in view.amplifiers:
        if amp.inv == net != amp.out:
            driven = {amp.out} | {leaf.other(amp.out) for leaf in view.on(amp.out) if leaf.sort == "R"}
            if any(item.control in driven and item.bottom == net for item in view.transistors):
                found.append(amp)
    return tuple(found)


def _follows(amp: Amplifier) -> bool:
    return amp.inv == amp.out


def _bare(view: View, net: str, rails: set[str], bias: set[str]) -> bool:
    """A net that stands still, or an amplifier's input that only steady nets act on."""
    fixed = rails | bias | {GROUND}
    return net in fixed or _is_held_input(view, net, fixed)


def _is_quiet(view: View, net: str, leaves: tuple[Leaf, ...], fixed: set[str]) -> bool:
    """The net's own path to ground outweighs every part that brings a signal to it, at the lowest string."""
    held = sum(_strength(view, leaf) for leaf in leaves if leaf.other(net) in fixed and leaf.sort in "RC")
    signal = [leaf for leaf in leaves if leaf.other(net) not in fixed and not _is_store(view, leaf, net)]
    holding = capacitance(leaves, fixed)
    coupled = max((leaf.value for leaf in signal if leaf.sort == "C"), default=0.0)
    if coupled and holding < 10 * coupled:
        return False
    return all(held >= STILL_RATIO * _strength(view, leaf) for leaf in signal if leaf.sort in "RL")


def _is_store(view: View, leaf: Leaf, net: str) -> bool:
    """A resistor into a large capacitor to ground: what lies there is filtered once more, and brings no
    signal back.
    """
    far = leaf.other(net)
    held = capacitance(view.on(far), {GROUND})
    coupled = max(
        (item.value for item in view.on(far) if item.sort == "C" and item.other(far) != GROUND), default=0.0
    )
    driven = far in view.ports or has_signal_pin(view, far)
    return leaf.sort == "R" and not driven and held >= max(RAIL_CAPACITOR_F, 10 * coupled)


def _strength(view: View, leaf: Leaf) -> float:
    """Magnitude of a part's admittance at the lowest string, in siemens; of a knob's half as at half a turn.

    What stands still must not depend on where a knob stands.
    """
    if leaf.sort == "R" and view.family[leaf.ref] == "knob":
        return 2.0 / (view.circuit.by_ref[leaf.ref].value or leaf.value)
    if leaf.sort == "R":
        return 1.0 / leaf.value
    if leaf.sort == "C":
        return LOW_E_RAD_PER_S * leaf.value
    return 1.0 / (LOW_E_RAD_PER_S * leaf.value)
