"""The shapes words can have: designator, net name, pin; and how a word is shown in a sentence."""

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from pedalwright.notation.limits import LONGEST_NAME

KEYWORDS = (
    "pedal",
    "about",
    "supply",
    "input",
    "output",
    "part",
    "knob",
    "trim",
    "switch",
    "section",
    "want",
    "accept",
    "point",
)
FORMS = {
    "pedal": "pedal NAME OF THE PEDAL",
    "about": "about ANY TEXT",
    "section": "section ANY TEXT",
    "supply": "supply VIN 9V wall",
    "input": "input IN pickup",
    "output": "output OUT 1M",
    "part": "part U1 dual-opamp TL072 v+=VA v-=gnd",
    "knob": "knob TIME 50k linear at 5",
    "trim": "trim BIAS 10k linear at 5",
    "switch": "switch MODE short long at short",
    "want": "want delay.min < 60ms",
    "accept": "accept S01 C4 because it never stands there long",
    "point": "point VB half the supply",
}
VALUE_EXAMPLES = {"R": "10k", "C": "100n", "L": "1H", "D": "1N4148", "F": "500mA", "BT": "9V"}
"""what a value looks like, by designator letters, for parts that lie in a walk"""
YOUNGER = frozenset({"accept"})
"""keywords that texts older than they are may use as names, and still may"""
RESERVED = frozenset({*KEYWORDS, "at"}) - YOUNGER
HABITS = {
    "pot": "knob",
    "potentiometer": "knob",
    "mosfet": "n-mosfet",
    "jfet": "n-jfet",
    "+": "non",
    "-": "inv",
}
"""what builders write out of habit, and the word for it here, where that word may stand"""
GROUND_SPELLINGS = frozenset({"gnd", "ground", "grnd", "0", "0v", "earth"})
_DESIGNATOR = re.compile(r"(SW|BT|[RCLDQUFJ])([0-9]{1,4})([a-z]?)", re.ASCII)
_NAME = re.compile(r"[^\W\d][\w+\-]*")
_LAST_LATIN_LETTER = "\u024f"


class Designator(NamedTuple):
    """``U1a`` taken apart: letters U, number 1, section a."""

    letters: str
    number: str
    section: str


def designator(word: str) -> Designator | None:
    """The parts of a designator such as R5, SW2 or U1a; None for any other word."""
    match = _DESIGNATOR.fullmatch(word)
    return Designator(*match.groups()) if match else None


def is_name(word: str) -> bool:
    """True when a net, knob or switch may have this name: letters of a Latin script, digits, ``_ + -``."""
    return (
        len(word) <= LONGEST_NAME
        and _NAME.fullmatch(word) is not None
        and (word.isascii() or all(letter <= _LAST_LATIN_LETTER for letter in word))
    )


def shown(text: str, longest: int = 32) -> str:
    """The word in quotes, cut when long, with everything unprintable made visible."""
    cut = text if len(text) <= longest else text[: longest - 3] + "..."
    return "'" + "".join(c if c.isprintable() else f"<U+{ord(c):04X}>" for c in cut) + "'"


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like this one, or None when none is like it."""
    return _nearest(word, tuple(known))


@lru_cache(maxsize=512)
def _nearest(word: str, known: tuple[str, ...]) -> str | None:
    # Remembered, because a file with one mistake often has it on a thousand lines.
    from difflib import get_close_matches  # only mistakes need it

    by_folded = {name.casefold(): name for name in known}
    section, dot, last = word.casefold().rpartition(".")
    habit = by_folded.get(f"{section}{dot}{HABITS.get(last)}")
    if habit:
        return habit
    found = get_close_matches(word[:LONGEST_NAME].casefold(), by_folded, n=1, cutoff=0.6)
    return by_folded[found[0]] if found else None


def did_you_mean(word: str, known: Iterable[str], otherwise: str) -> str:
    """A cure that names the nearest known word, or `otherwise`."""
    found = nearest(word, known)
    return f"Did you mean {found}? {otherwise}" if found else otherwise


def with_article(word: str) -> str:
    """The word with a or an before it."""
    return f"{'an' if word[:1].lower() in 'aeio' else 'a'} {word}"


def listed(names: Iterable[str], most: int = 12) -> str:
    """Names in a row with commas, cut after `most`."""
    names = list(names)
    return ", ".join(names[:most]) + (f" and {len(names) - most} more" if len(names) > most else "")
