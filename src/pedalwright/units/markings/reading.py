"""A marking in, every reading of it out.

A stamp rarely says what it is on: "100" is 10 ohms on a chip resistor, 10 pF on a capacitor and 100 ohms on
an old part. Nothing is chosen for the reader: all readings are listed, the most usual first.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from pedalwright.units.markings import colours, eia96, number_codes, rated_voltage
from pedalwright.units.markings.forms import MARKED_QUANTITIES, MarkingSheet, series_holding, sheet_of
from pedalwright.units.markings.tolerance import Tolerance, capacitor_tolerance, resistor_tolerance
from pedalwright.units.mistake import ValueMistake
from pedalwright.units.preferred import Series
from pedalwright.units.quantity import Quantity
from pedalwright.units.value_reading import parse_value

LONGEST_MARKING = 120
_SEPARATORS = re.compile(r"[\s,;/-]+")
_CAPACITOR_CODE = re.compile(r"([0-4][A-Z])?([0-9]{3}|[0-9]R[0-9]|R[0-9]{1,2})([A-Z])?")
_RESISTOR_CODE = re.compile(r"([0-9]{3,4})([A-Z])?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One thing a marking may mean; `value` is in the base unit, `series` the smallest series holding it."""

    system: str
    quantity: Quantity
    value: float
    tolerance: Tolerance | None = None
    temperature_ppm: int | None = None
    rated_v: float | None = None

    @property
    def series(self) -> Series | None:
        """The smallest series of preferred numbers holding the value: None hints at a misreading."""
        return series_holding(self.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkingAnswer:
    """Everything a marking says: its readings, and one sheet for each different value among them."""

    text: str
    readings: tuple[Reading, ...]
    sheets: tuple[MarkingSheet, ...]


def explain_marking(text: str) -> MarkingAnswer:
    """Every reading of colours, a code or a written value. Raises `ValueMistake` when there is none.

    >>> [(r.system, r.value) for r in explain_marking("yellow violet red gold").readings]
    [('4-band colours', 4700.0)]
    >>> [(r.system, r.value) for r in explain_marking("473K").readings[:2]]
    [('capacitor code', 4.7e-08), ('resistor code', 47000.0)]
    """
    marking = text.strip()
    if not marking or len(marking) > LONGEST_MARKING:
        raise ValueMistake(
            "That is too long for a marking." if marking else "There is no marking to read.",
            "Give a value (4k7), a code (473K) or colours (yellow violet red gold).",
        )
    words = tuple(word for word in _SEPARATORS.split(marking) if word)
    readings = tuple(_of_colours(words) if _are_colours(words) else _of_code(marking))
    if not readings:
        _refuse(marking)
    values = dict.fromkeys((reading.value, reading.quantity) for reading in readings)
    return MarkingAnswer(text=marking, readings=readings, sheets=tuple(sheet_of(*value) for value in values))


def _are_colours(words: tuple[str, ...]) -> bool:
    return all(word.isalpha() for word in words) and any(w.lower() in colours.COLOUR_WORDS for w in words)


def _of_colours(words: tuple[str, ...]) -> Iterator[Reading]:
    """The reading from the left, and from the right where that makes sense too."""
    ways = {words: "", words[::-1]: ", from the other end"} if words != words[::-1] else {words: ""}
    mistakes = []
    for way, note in ways.items():
        try:
            bands = colours.read_bands(way)
        except ValueMistake as mistake:
            mistakes.append(mistake)
            continue
        yield Reading(
            system=f"{len(bands.bands)}-band colours{note}" if bands.ohms or note else "wire link",
            quantity=Quantity.RESISTANCE,
            value=bands.ohms,
            tolerance=bands.tolerance,
            temperature_ppm=bands.temperature_ppm,
        )
    if len(mistakes) == len(ways):
        raise mistakes[0]


def _of_code(marking: str) -> list[Reading]:
    """All readings of a code or written value, the most usual kind of part first."""
    code = marking.replace(" ", "").upper()
    on_capacitor = list(_capacitor_code(code))
    on_resistor = [*_resistor_code(code), *_place_code(code)]
    written = [*_written(marking), *_written_with_tolerance(marking)]
    if on_capacitor and code[-1].isalpha():
        return [*on_capacitor, *on_resistor, *written]
    return (
        [*on_resistor, *on_capacitor, *written] if code.isdigit() else [*written, *on_resistor, *on_capacitor]
    )


def _capacitor_code(code: str) -> Iterator[Reading]:
    """Three figures in picofarads; maybe a rated-voltage code in front and a tolerance letter behind."""
    match = _CAPACITOR_CODE.fullmatch(code)
    if match is None:
        return
    front, figures, letter = match.groups()
    farads = _picofarads(figures)
    rated_v = rated_voltage.read_rated_voltage(front) if front else None
    if not farads or (front and rated_v is None):
        return
    tolerance = capacitor_tolerance(letter, farads) if letter else None
    if letter is None or tolerance is not None:
        yield Reading(
            system="capacitor code",
            quantity=Quantity.CAPACITANCE,
            value=farads,
            tolerance=tolerance,
            rated_v=rated_v,
        )


def _picofarads(figures: str) -> float | None:
    if "R" in figures:
        return float(f"{figures.replace('R', '.')}e-12")
    return number_codes.read_capacitor_number(figures)


def _resistor_code(code: str) -> Iterator[Reading]:
    match = _RESISTOR_CODE.fullmatch(code)
    ohms = number_codes.read_resistor_number(match[1]) if match else None
    if match is None or ohms is None:
        return
    tolerance = resistor_tolerance(match[2]) if match[2] else None
    if match[2] is None or tolerance is not None:
        yield Reading(system="resistor code", quantity=Quantity.RESISTANCE, value=ohms, tolerance=tolerance)


def _place_code(code: str) -> Iterator[Reading]:
    ohms = eia96.read_place_code(code)
    if ohms is not None:
        yield Reading(system="E96 place code", quantity=Quantity.RESISTANCE, value=ohms)


def _written(marking: str) -> Iterator[Reading]:
    """The marking read as a written value of every quantity it fits."""
    for quantity in MARKED_QUANTITIES:
        value = _parsed(marking, quantity)
        # A resistor of zero ohms is a wire link; nothing else is made with the value zero.
        if value or (value == 0 and quantity is Quantity.RESISTANCE):
            yield Reading(system="written value", quantity=quantity, value=value)
    if marking.isascii() and marking.isdigit() and len(marking) <= 6 and int(marking):
        picofarads = float(f"{marking}e-12")
        yield Reading(system="plain picofarads", quantity=Quantity.CAPACITANCE, value=picofarads)


def _written_with_tolerance(marking: str) -> Iterator[Reading]:
    """4K7J or 100nK: a letter code and the tolerance letter behind it."""
    body, letter = marking[:-1], marking[-1:].upper()
    if body.isdigit() or not any(c.isdigit() for c in body):
        return
    ohms, farads = _parsed(body, Quantity.RESISTANCE), _parsed(body, Quantity.CAPACITANCE)
    # A body without its own letter is a code or a plain number, read elsewhere.
    if ohms is not None and resistor_tolerance(letter) and any(c.isalpha() for c in body):
        yield Reading(
            system="letter code",
            quantity=Quantity.RESISTANCE,
            value=ohms,
            tolerance=resistor_tolerance(letter),
        )
    if farads and capacitor_tolerance(letter, farads) and _parsed(marking, Quantity.CAPACITANCE) is None:
        yield Reading(
            system="letter code",
            quantity=Quantity.CAPACITANCE,
            value=farads,
            tolerance=capacitor_tolerance(letter, farads),
        )


def _parsed(text: str, quantity: Quantity) -> float | None:
    try:
        return parse_value(text, quantity)
    except ValueMistake:
        return None


def _refuse(marking: str) -> None:
    """Say why no system reads this, in the words of the most likely one."""
    shown = "".join(c if c.isprintable() else "?" for c in marking[:40])
    try:
        parse_value(marking, Quantity.RESISTANCE)
    except ValueMistake as mistake:
        if any(c.isdigit() for c in marking):
            raise ValueMistake(
                f"'{shown}' is no marking known here. As a value: {mistake.reason}",
                mistake.cure,
            ) from None
    raise ValueMistake(
        f"'{shown}' is no marking known here.",
        "Give a value (4k7), a code (473K) or colours (yellow violet red gold).",
    )
