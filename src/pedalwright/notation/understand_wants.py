"""``want``: one line of the brief, as limits in SI units."""

import re

from pedalwright.circuit.ports import Want
from pedalwright.circuit.span import Span
from pedalwright.notation.arguments import read_value
from pedalwright.notation.draft import Draft
from pedalwright.notation.words import FORMS, shown
from pedalwright.notation.written import Wish, Word, WrittenLine
from pedalwright.units.values import Quantity

_QUANTITY_NAME = re.compile(r"[a-z][a-z0-9-]*(\.[A-Za-z0-9_-]+)*")
_FORM = "want QUANTITY < VALUE, > VALUE, = VALUE +- SPREAD, or = LOW..HIGH"
_SPREAD_SIGNS = ("+-", "±", "+/-")


def take_wish(draft: Draft, line: WrittenLine, wish: Wish) -> None:
    """Keep a want with its limits, or note why it cannot be read."""
    if not wish.words or _QUANTITY_NAME.fullmatch(wish.words[0].text) is None:
        _note_form(draft, line, wish.words[0] if wish.words else wish.keyword, "No quantity is named.")
        return
    if not any(character.isdigit() for word in wish.words[1:] for character in word.text):
        _note_form(draft, line, wish.words[-1], "This want names no number.")
        return
    limits = _limits(draft, line, wish)
    if limits is None:
        return
    low, high, quantity = limits
    span = line.span(wish.keyword, wish.words[-1])
    if low is not None and high is not None and low > high:
        draft.notebook.mistake(
            "want.empty-range",
            span,
            "The range is upside down: its lower end is above its upper end.",
            "Nothing can lie in it.",
            "Write the smaller value first: 40ms..600ms",
        )
        return
    text = line.text[wish.words[0].column - 1 : wish.words[-1].end - 1]
    draft.wants.append(
        Want(quantity=wish.words[0].text, low=low, high=high, unit=quantity.unit, text=text, span=span)
    )


Limits = tuple[float | None, float | None, Quantity]


def _limits(draft: Draft, line: WrittenLine, wish: Wish) -> Limits | None:
    match [word.text for word in wish.words[1:]]:
        case ["<" | ">" as sign, _]:
            return _one_sided(draft, line, wish.words[2], sign)
        case ["=", text] | [text] if ".." in text and text != "..":
            return _range(draft, line, wish.words[-1])
        case ["=", _]:
            return _around(draft, line, wish.words[2], None)
        case ["=", _, sign, _] if sign in _SPREAD_SIGNS:
            return _around(draft, line, wish.words[2], wish.words[4])
    _note_form(
        draft, line, wish.words[min(1, len(wish.words) - 1)], "The limits of this want cannot be read."
    )
    return None


def _one_sided(draft: Draft, line: WrittenLine, word: Word, sign: str) -> Limits | None:
    quantity = quantity_of(word.text)
    value = read_value(draft.notebook, line.span(word), word.text, quantity)
    if value is None:
        return None
    return (None, value, quantity) if sign == "<" else (value, None, quantity)


def _range(draft: Draft, line: WrittenLine, word: Word) -> Limits | None:
    low_text, high_text = word.text.split("..", 1)
    quantity = quantity_of(high_text)
    low = read_value(draft.notebook, line.span(word), _with_unit(low_text, high_text), quantity)
    high = read_value(draft.notebook, line.span(word), high_text, quantity)
    return None if low is None or high is None else (low, high, quantity)


def _around(draft: Draft, line: WrittenLine, middle: Word, spread: Word | None) -> Limits | None:
    quantity = quantity_of(middle.text)
    value = read_value(draft.notebook, line.span(middle), middle.text, quantity)
    if value is None or spread is None:
        return None if value is None else (value, value, quantity)
    in_percent = spread.text.endswith("%") and quantity is not Quantity.FRACTION
    either_side = read_value(
        draft.notebook, line.span(spread), spread.text, Quantity.FRACTION if in_percent else quantity
    )
    if either_side is None:
        return None
    width = abs(value * either_side if in_percent else either_side)
    return value - width, value + width, quantity


def quantity_of(text: str) -> Quantity:
    """The quantity whose unit a value is written with; a plain number when it has none.

    >>> quantity_of("60ms").noun, quantity_of("-3dB").noun, quantity_of("7").noun
    ('time', 'level', 'number')
    """
    letters = text.lstrip("+-−0123456789.,").strip()
    if text.endswith("%"):
        return Quantity.FRACTION
    for quantity in Quantity:
        spellings = quantity.value.spellings
        if letters.lower() in spellings or (
            letters[1:].lower() in spellings and letters[:1] in quantity.value.prefixes + "µμ"
        ):
            return quantity
    return Quantity.NUMBER


def _with_unit(low: str, high: str) -> str:
    """The lower end of a range may leave the unit to the upper end: 40..600ms."""
    return low + high.lstrip("+-−0123456789.,") if low and low[-1].isdigit() else low


def _note_form(draft: Draft, line: WrittenLine, word: Word, what: str) -> None:
    draft.notebook.mistake(
        "want.form",
        Span(line.number, word.column, word.end),
        f"{what} ({shown(word.text)})",
        f"A want has the form: {_FORM}",
        f"Write it as, for instance: {FORMS['want']}",
    )
