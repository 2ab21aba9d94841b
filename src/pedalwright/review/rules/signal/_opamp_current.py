"""Currents that operational amplifiers give while they still reach their full swing, in amperes."""

from collections.abc import Mapping

Current = tuple[float, str]
MEMORY = "from memory"
_BIFET: Current = (5e-3, "data sheet: 10 V into 2 kohm (TI SLOS080M)")
_STRONG: Current = (20e-3, "data sheet: 12 V into 600 ohm (ON Semiconductor NE5532)")
LIMITS: Mapping[str, Current] = {
    "TL07": _BIFET,
    "TL08": (5e-3, MEMORY),
    "NE5532": _STRONG,
    "NE5534": (20e-3, MEMORY),
    "LM358": (10e-3, MEMORY),
    "LM324": (10e-3, MEMORY),
    "MCP600": (20e-3, MEMORY),
    "RC4558": (6e-3, "13 V into 2 kohm, from memory"),
    "4558": (6e-3, "13 V into 2 kohm, from memory"),
    "RC4580": (10e-3, MEMORY),
    "4580": (10e-3, MEMORY),
    "LM741": (5e-3, "10 V into 2 kohm, from memory"),
    "TLC27": (5e-3, MEMORY),
    "TLC227": (5e-3, MEMORY),
    "OPA": (15e-3, MEMORY),
}
"""beginning of a type number -> current, source"""
UNKNOWN: Current = (5e-3, "a careful figure for a part of which no other is at hand; house rule")


def limit_of(type_number: str) -> Current:
    """The current of a type with its source; a careful figure where none is known."""
    return next((limit for start, limit in LIMITS.items() if type_number.startswith(start)), UNKNOWN)
