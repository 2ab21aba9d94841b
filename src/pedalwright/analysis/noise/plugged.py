"""A circuit with its input shorted, with the stated source plugged in, or left open."""

from collections.abc import Sequence

from pedalwright.circuit.circuit import GROUND, Circuit
from pedalwright.circuit.primitives import Primitive, VoltageSource
from pedalwright.devices.ports import INPUT

SHORTED, PICKUP, OPEN = "shorted", "pickup", "open"
STATES = (SHORTED, PICKUP, OPEN)
"""``pickup`` is what the text says is plugged in, whatever that is"""
SOURCE_WORDS = {
    "pickup": "a magnetic pickup",
    "buffered": "another pedal",
    "line": "a line output",
}


def plugged(primitives: Sequence[Primitive], circuit: Circuit, state: str) -> tuple[Primitive, ...]:
    """The primitives with something else, or nothing, at the input jack; as they are for ``pickup``.

    Raises ValueError for a word that is none of STATES.
    """
    if state not in STATES:
        raise ValueError(f"'{state}' is none of {', '.join(STATES)}.")
    if state == PICKUP or circuit.input is None:
        return tuple(primitives)
    rest = tuple(part for part in primitives if part.owner != INPUT)
    if state == OPEN:
        return rest
    # A source of nothing is a short, and the signal's gain can still be asked for.
    short = VoltageSource(owner=INPUT, name=INPUT, plus=circuit.input.net, minus=GROUND, dc_v=0.0)
    return (*rest, short)


def state_words(circuit: Circuit, state: str) -> str:
    """What is at the input jack, for reading."""
    if circuit.input is None:
        return "no input jack"
    if state == SHORTED:
        return "the input shorted"
    if state == OPEN:
        return "nothing plugged in"
    return f"{SOURCE_WORDS.get(circuit.input.source, 'the stated source')} plugged in"
