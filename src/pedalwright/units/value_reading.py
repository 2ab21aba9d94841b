"""Reading a value the way builders write it: 4k7, 4.7k, R47, 2n2, 100uF, 9V, 60ms, -3dB.

Source: IEC 60062 (letter in the place of the decimal point), SI prefixes; capital U, N, P for micro, nano and
pico and K for kilo are common practice, no source. Every step is one pass over a text of bounded length.
"""

import math
import re
from typing import NoReturn

from pedalwright.units.mistake import ValueMistake
from pedalwright.units.quantity import POWER_OF_TEN, PREFIX_WORDS, Quantity

LONGEST_VALUE = 48
_ONE_LETTER = str.maketrans({"µ": "u", "μ": "u", "\u2126": "Ω", "−": "-", "\u00a0": " "})
_NUMBER = re.compile(r"([+-]?)([0-9]*)(\.[0-9]*)?([eE][+-]?[0-9]{1,3})?[ \t]*")
_TAIL = re.compile(r"([^0-9]*)([0-9]*)([^0-9]*)")
_WRITTEN_SMALL = {"U": "u", "N": "n", "P": "p", "K": "k"}
_OLD_MICRO = frozenset({"mf", "mfd", "mmf", "mmfd"})
_NEEDS_UNIT = (Quantity.CAPACITANCE, Quantity.INDUCTANCE)


def parse_value(text: str, quantity: Quantity) -> float:
    """Read `text` as a value of `quantity`; returns it in the base unit (ohms, farads, hertz, seconds ...).

    A fraction may be written 5% or 0.05 and comes back as 0.05. Zero is accepted (a wire link is a 0R).
    A bare number is refused for capacitors and inductors, where it says nothing about the unit, unless it is
    written with a power of ten. Anything that cannot be read raises `ValueMistake` and nothing else.

    >>> parse_value("4k7", Quantity.RESISTANCE), parse_value("100uF", Quantity.CAPACITANCE)
    (4700.0, 0.0001)
    """
    shown = _shown(text)
    plain = text[: LONGEST_VALUE + 1].translate(_ONE_LETTER).strip()
    _refuse_what_is_no_number(plain, shown, len(text), quantity)
    head = _NUMBER.match(plain)
    assert head is not None  # every part of the pattern may be empty
    sign, whole, decimals, power = (part or "" for part in head.groups())
    letters, after, unit = _tail_of(plain[head.end() :], shown, quantity)
    if not (whole or decimals.strip(".") or after):
        raise ValueMistake(f"{shown} has no digits in it.", _write_for_instance(quantity))
    if after:
        if decimals or power:
            raise ValueMistake(
                f"{shown} has both a decimal point and a letter in the place of the point.",
                "Use one of the two: 4.7k or 4k7.",
            )
        exponent = _exponent_at_the_point(letters, unit, shown, quantity)
        decimals = f".{after}"
    else:
        exponent = _exponent_of(letters, shown, quantity)
        if not letters and not power:
            _refuse_bare(whole + decimals, shown, quantity)
    mantissa = f"{sign}{whole or '0'}{decimals}"
    return _within_range(float(f"{mantissa}e{int(power[1:] or 0) + exponent}"), mantissa, shown, quantity)


def _shown(text: str) -> str:
    """The written text in quotes, cut and with anything unprintable made visible."""
    cut = text if len(text) <= 24 else text[:21] + "..."
    return "'" + "".join(c if c.isprintable() else "?" for c in cut) + "'"


def _write_for_instance(quantity: Quantity, *, start: str = "Write ") -> str:
    return f"{start}{quantity.a_noun} as, for instance, {quantity.value.example}."


def _refuse_what_is_no_number(plain: str, shown: str, length: int, quantity: Quantity) -> None:
    if length > LONGEST_VALUE:
        raise ValueMistake(f"{shown} is too long for a value.", _write_for_instance(quantity))
    if not plain:
        raise ValueMistake(f"{quantity.a_noun.capitalize()} is missing.", _write_for_instance(quantity))
    if plain.count(".") > 1:
        raise ValueMistake(f"{shown} has more than one point in it.", _write_for_instance(quantity))
    if "," in plain:
        raise ValueMistake(
            f"{shown} has a comma in it.",
            f"Write a point for the decimals and nothing between thousands: {plain.replace(',', '.')}.",
        )
    if plain.lower().lstrip("+-").startswith(("nan", "inf")):
        raise ValueMistake(f"{shown} is not a finite number.", _write_for_instance(quantity))


def _tail_of(tail: str, shown: str, quantity: Quantity) -> tuple[str, str, str]:
    """Letters, digits after them, and letters after those."""
    match = _TAIL.fullmatch(tail)
    if match is None:
        raise ValueMistake(f"{shown} is not one value.", _write_for_instance(quantity))
    letters, after, unit = match.groups()
    return letters.strip(), after, unit.strip()


def _prefix(letter: str, quantity: Quantity) -> str | None:
    """The prefix a letter stands for with this quantity, or None."""
    meant = letter if letter in quantity.value.prefixes else _WRITTEN_SMALL.get(letter, letter)
    return meant if meant and meant in quantity.value.prefixes else None


def _exponent_at_the_point(letters: str, unit: str, shown: str, quantity: Quantity) -> int:
    """Power of ten of a letter that stands in the place of the decimal point: 4k7, 2n2, 4R7, 5V1."""
    if len(letters) != 1:
        # 4uF7: the prefix alone belongs in the place of the point.
        if _readable_exponent(letters, quantity) is not None:
            raise ValueMistake(
                f"{shown} has more than one letter in the place of the point.",
                f"Put only the multiplier there, the unit at the end or nowhere: {quantity.value.example}.",
            )
        _explain_letters(letters, shown, quantity)
    at_point = letters.upper() in quantity.value.point_letters
    prefix = _prefix(letters, quantity)
    if prefix is None and not at_point:
        _explain_letters(letters, shown, quantity)
    _refuse_second_multiplier(unit, shown, quantity)
    return 0 if at_point or prefix is None else POWER_OF_TEN[prefix]


def _refuse_second_multiplier(unit: str, shown: str, quantity: Quantity) -> None:
    """After 4k7 only the unit may follow."""
    if not unit or unit.lower() in quantity.value.spellings:
        return
    if _prefix(unit[0], quantity) is not None:
        raise ValueMistake(
            f"{shown} has two multipliers.", _write_for_instance(quantity, start="Keep one; write ")
        )
    _explain_letters(unit, shown, quantity)


def _readable_exponent(letters: str, quantity: Quantity) -> int | None:
    """Power of ten of prefix and unit together ("uF", "k", "Hz"), or None when they do not fit."""
    if not letters or letters.lower() in quantity.value.spellings:
        return 0
    if quantity is Quantity.FRACTION and letters == "%":
        return -2
    prefix, unit = _prefix(letters[0], quantity), letters[1:].strip()
    if prefix is not None and (not unit or unit.lower() in quantity.value.spellings):
        return POWER_OF_TEN[prefix]
    return None


def _exponent_of(letters: str, shown: str, quantity: Quantity) -> int:
    if quantity is Quantity.CAPACITANCE:
        _refuse_doubtful_farads(letters, shown)
    exponent = _readable_exponent(letters, quantity)
    if exponent is None:
        _explain_letters(letters, shown, quantity)
    return exponent


def _refuse_doubtful_farads(letters: str, shown: str) -> None:
    """Old drawings write MF or mfd for microfarad and mmf for picofarad; a lone f is femto or farad."""
    if letters.lower() in _OLD_MICRO and letters != "mF":
        raise ValueMistake(
            f"{shown} can be read as microfarad (old drawings) or as milli- or megafarad.",
            "Write u for micro, p for pico or mF for millifarad: 100u, 100p, 1mF.",
        )
    if letters == "f":
        raise ValueMistake(f"{shown} can be femto or farad.", "Write F for farad, or p, n, u before it.")


def _refuse_bare(digits: str, shown: str, quantity: Quantity) -> None:
    if quantity in _NEEDS_UNIT and digits.strip("0."):
        unit = quantity.unit
        raise ValueMistake(
            f"{shown} does not say of what: pico, nano, micro or whole {unit}.",
            f"Add the letter: {digits}p, {digits}n, {digits}u or {digits}{unit}.",
        )


def _explain_letters(letters: str, shown: str, quantity: Quantity) -> NoReturn:
    """Say why these letters cannot follow the digits of this quantity."""
    if letters.lower().startswith("meg"):
        raise ValueMistake(
            f"{shown}: 'meg' is not a multiplier here.", "Write M for mega (1M) and m for milli."
        )
    other = next((q for q in Quantity if q is not quantity and _names_unit_of(letters, q)), None)
    if other is not None:
        raise ValueMistake(
            f"{shown} is {other.a_noun}, but {quantity.a_noun} belongs here.", _write_for_instance(quantity)
        )
    if len(letters) > 1 and all(_prefix(letter, quantity) for letter in letters):
        raise ValueMistake(
            f"{shown} has two multipliers.", _write_for_instance(quantity, start="Keep one; write ")
        )
    head = _WRITTEN_SMALL.get(letters[:1], letters[:1])
    if head in PREFIX_WORDS and _is_unit_or_nothing(letters[1:], quantity):
        raise ValueMistake(
            f"{shown}: '{letters[0]}' ({PREFIX_WORDS[head]}) is not used with {quantity.a_noun}.",
            _write_for_instance(quantity),
        )
    raise ValueMistake(f"{shown}: '{_shown(letters)[1:-1]}' is not a known unit or multiplier.",
                       _write_for_instance(quantity))  # fmt: skip


def _names_unit_of(letters: str, quantity: Quantity) -> bool:
    """True when the letters end in a unit of `quantity` and fit it."""
    spelled = letters.lower() in quantity.value.spellings or letters[1:].lower() in quantity.value.spellings
    return spelled and _readable_exponent(letters, quantity) is not None


def _is_unit_or_nothing(unit: str, quantity: Quantity) -> bool:
    return not unit.strip() or unit.strip().lower() in quantity.value.spellings


def _within_range(value: float, mantissa: str, shown: str, quantity: Quantity) -> float:
    facts = quantity.value
    if mantissa.startswith("-") and not facts.signed and value != 0:
        raise ValueMistake(
            f"{shown} is negative.", f"{quantity.a_noun.capitalize()} is zero or more: leave the minus away."
        )
    vanished = value == 0 and mantissa.strip("+-0.") != ""
    if not math.isfinite(value) or abs(value) > facts.largest:
        raise ValueMistake(f"{shown} is far too large for {quantity.a_noun}.",
                           _write_for_instance(quantity, start="Check the multiplier; write "))  # fmt: skip
    if vanished or 0 < abs(value) < facts.smallest:
        raise ValueMistake(f"{shown} is far too small for {quantity.a_noun}.",
                           _write_for_instance(quantity, start="Check the multiplier; write "))  # fmt: skip
    return abs(value) if value == 0 else value
