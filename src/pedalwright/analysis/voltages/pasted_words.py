"""A pasted list taken apart into words, voltages and signs, whatever its punctuation."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from math import isfinite

LONGEST_TEXT = 100_000
"""characters of a pasted list that are looked at"""
UNITS = {
    "": 1.0, "v": 1.0, "vdc": 1.0, "volt": 1.0, "volts": 1.0,
    "mv": 1e-3, "millivolt": 1e-3, "millivolts": 1e-3,
    "uv": 1e-6, "µv": 1e-6, "kv": 1e3,
}  # fmt: skip
_UNIT = r"(?:millivolts?|volts?|vdc|[mukµ]?v)"
_NUMBER = rf"""
    (?P<sign>(?<![\w.,)])[+-])?
    (?: (?P<whole>\d+)v(?P<rest>\d+)(?![\w])
      | (?P<digits>\d+\.\d+ | \d+,\d+(?!\s*[=:])(?!,\d) | \d+ | (?<![\w])\.\d+)
        (?:\s?(?P<unit>{_UNIT}))?(?![\w])
    )"""
_WORD = r"~?[a-z_][\w~]*(?:[./\#-][\w~]+[+-]?|[+-](?![\w.,]))*"
_TOKEN = re.compile(
    rf"(?P<number>{_NUMBER}) | (?P<dash>-(?=\s|\d|\.\d)|\.\.+|\bto\b) | (?P<word>{_WORD}) "
    rf"| (?P<sign_only>[=:|;,()\[\]<>{{}}*_.!?\"'≈~@&%$^+\\/-]) | (?P<junk>[^\s=:|;,()\[\]<>]+)",
    re.IGNORECASE | re.VERBOSE,
)


class Sort(Enum):
    """What a piece of a pasted list is."""

    NUMBER = "number"
    WORD = "word"
    DASH = "dash"
    SIGN = "sign"
    JUNK = "junk"


@dataclass(frozen=True, slots=True, kw_only=True)
class Token:
    """One piece: its `text` as pasted; for a number its value in `volts`, whether it can only be a voltage
    (it has a unit, a point or a sign) or can only be a pin (``=`` or ``:`` follows).
    """

    sort: Sort
    text: str
    volts: float = 0.0
    is_voltage: bool = False
    is_pin: bool = False


def tokens(text: str) -> Iterator[Token]:
    """The pieces of a text, in order; nothing is lost but blanks."""
    plain = text[:LONGEST_TEXT].translate({0x2212: "-", 0x2013: "-", 0x2014: "-", 0xA0: " ", 0x3BC: "µ"})
    for found in _TOKEN.finditer(plain):
        if found["number"]:
            yield _number(found, plain[found.end() : found.end() + 3].lstrip()[:1])
        elif found["word"]:
            yield Token(sort=Sort.WORD, text=found["word"])
        elif found["dash"]:
            yield Token(sort=Sort.DASH, text=found["dash"])
        elif found["sign_only"]:
            yield Token(sort=Sort.SIGN, text=found["sign_only"])
        else:
            yield Token(sort=Sort.JUNK, text=found["junk"])


def _number(found: re.Match[str], following: str) -> Token:
    digits = f"{found['whole']}.{found['rest']}" if found["whole"] else found["digits"].replace(",", ".")
    try:
        volts = float(digits) * UNITS[(found["unit"] or "").lower()]
    except (ValueError, OverflowError):
        volts = float("inf")
    volts = -volts if found["sign"] == "-" else volts
    sure = bool(found["whole"] or found["unit"] or found["sign"] or "." in digits)
    sure = sure or not isfinite(volts)
    return Token(
        sort=Sort.NUMBER,
        text=found["number"].strip(),
        volts=volts,
        is_voltage=sure,
        is_pin=not sure and following in ("=", ":"),
    )
