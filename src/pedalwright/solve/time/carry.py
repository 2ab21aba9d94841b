"""What every capacitor and coil holds, by name: to carry it over to the same circuit with a switch thrown.

Charge is kept: capacitors that a switch has laid side by side share theirs at once, and loops of capacitors
are brought into agreement by the projection onto the states (see `state_space`).
"""

from collections.abc import Mapping

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.time import codes
from pedalwright.solve.time.machine import Clockwork
from pedalwright.solve.time.remainders import swing
from pedalwright.solve.time.state_space import across
from pedalwright.solve.time.tables import AT_ONCE, State

Held = Mapping[str, float]
"""volts across a capacitance, amperes through an inductance, by its name"""


def held(work: Clockwork, state: State) -> Held:
    """What everything holds now."""
    ports = at_rest(work) + work.space.leaving @ state.z
    return dict(zip(_names(work), work.small.ports.gathers @ ports, strict=True))


def state_holding(work: Clockwork, wanted: Held) -> State:
    """A fresh state in which everything holds what it is said to hold; what is not named is as at rest."""
    small, state, rest = work.small, work.state_at_rest(), at_rest(work)
    weights = np.abs(small.weights[small.reactive])
    gathers = small.ports.gathers
    each = np.array(
        [wanted.get(name, value) for name, value in zip(_names(work), gathers @ rest, strict=True)]
    )
    shared = (each * weights) @ gathers / (weights @ gathers)
    state.z[:] = work.space.entry @ (shared - rest)
    # What the devices do at the first moment is not known: a part that takes no time finds it out.
    state.level[0] = AT_ONCE
    return state


def nothing(work: Clockwork) -> Held:
    """Every capacitor empty and every coil without current: a pedal that has been off for a night."""
    found = dict.fromkeys(_names(work), 0.0)
    for port in work.ports:
        pole = f"{port.name}/bandwidth"
        if port.code == codes.AMPLIFIER and pole in found:
            # Without a supply an amplifier's output has next to no room: it begins in the middle of it.
            half_v, low_v = swing(port.figures[1], port.figures[2], 0.0)
            found[pole] = low_v + half_v
    return found


def _names(work: Clockwork) -> tuple[str, ...]:
    return tuple(work.small.names[place] for place in work.small.reactive)


def at_rest(work: Clockwork) -> FloatArray:
    """What the reactive ports hold at rest."""
    return across(work.rest.x, work.small.ports.stamps)
