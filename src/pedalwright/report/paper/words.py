"""Texts made fit for paper: nothing that cannot be seen, and no word longer than a line."""

import re

from pedalwright.report.plain_text import plain

LONGEST_WORD = 24
"""characters that any column holds unbroken"""
_LONG = re.compile(rf"\S{{{LONGEST_WORD + 1},}}")
BREAK_HERE = "\u200b"


def printable(text: str) -> str:
    """The text as `plain` leaves it, with places to break in words longer than a column.

    >>> printable("short words stay")
    'short words stay'
    >>> printable("x" * 30).count(BREAK_HERE)
    2
    """
    return _LONG.sub(_with_breaks, plain(text))


def shortened(text: str, characters: int) -> str:
    """The text as `printable` leaves it, cut where one line has no more room.

    >>> shortened("a rather long title", 12)
    'a rather lo…'
    """
    said = plain(text)
    return printable(said if len(said) <= characters else f"{said[: characters - 1]}…")


def _with_breaks(found: re.Match[str]) -> str:
    word = found[0]
    step = LONGEST_WORD // 2
    return BREAK_HERE.join(word[place : place + step] for place in range(0, len(word), step))
