"""Colour bands of resistors, IEC 60062:2016: three to six bands.

Pink as the multiplier 0.001 is new in the 2016 edition (abstract of the standard). The tolerances of orange,
yellow and grey in that edition and the temperature coefficients are from memory. Colour names follow British
spelling; the two-letter codes of IEC 60757 (from memory) are read too.
"""

from dataclasses import dataclass
from typing import NoReturn

from pedalwright.units.markings.digits import digits_and_zeros, value_of
from pedalwright.units.markings.tolerance import Tolerance, symmetric
from pedalwright.units.mistake import ValueMistake

DIGIT_COLOURS = ("black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white")
_DIGIT = {colour: digit for digit, colour in enumerate(DIGIT_COLOURS)}
_ZEROS = {**_DIGIT, "gold": -1, "silver": -2, "pink": -3}
_COLOUR_OF_ZEROS = {zeros: colour for colour, zeros in _ZEROS.items()}
_TOLERANCE_PERCENT = {
    "silver": 10.0, "gold": 5.0, "brown": 1.0, "red": 2.0, "orange": 0.05, "yellow": 0.02, "green": 0.5,
    "blue": 0.25, "violet": 0.1, "grey": 0.01, "none": 20.0,
}  # fmt: skip
_TEMPERATURE_PPM = {
    "black": 250, "brown": 100, "red": 50, "orange": 15, "yellow": 25, "green": 20, "blue": 10, "violet": 5,
    "grey": 1,
}  # fmt: skip
_OTHER_NAMES = {
    "purple": "violet", "gray": "grey", "bk": "black", "bn": "brown", "rd": "red", "og": "orange",
    "ye": "yellow", "gn": "green", "bu": "blue", "vt": "violet", "gy": "grey", "wh": "white",
    "pk": "pink", "gd": "gold", "sr": "silver",
}  # fmt: skip
COLOUR_WORDS = frozenset(_ZEROS) | {"none"} | frozenset(_OTHER_NAMES)


@dataclass(frozen=True, slots=True, kw_only=True)
class BandReading:
    """What a row of bands says: value [ohm], tolerance, and what a sixth band tells [ppm/K]."""

    bands: tuple[str, ...]
    ohms: float
    tolerance: Tolerance
    temperature_ppm: int | None = None


def colour_named(word: str) -> str:
    """The standard name of a colour word.

    >>> colour_named("Purple"), colour_named("YE")
    ('violet', 'yellow')
    """
    colour = _OTHER_NAMES.get(word.strip().lower(), word.strip().lower())
    if colour not in COLOUR_WORDS:
        raise ValueMistake(f"'{word[:20]}' is not a band colour.", f"The colours are {', '.join(_ZEROS)}.")
    return colour


def read_bands(words: tuple[str, ...]) -> BandReading:
    """Read bands in the given order, the tolerance (and then the temperature) band last.

    One black band is a wire link. Three bands have no tolerance band and mean 20 %.

    >>> read_bands(("yellow", "violet", "red", "gold")).ohms
    4700.0
    """
    bands = tuple(colour_named(word) for word in words)
    if bands == ("black",):
        return BandReading(bands=bands, ohms=0.0, tolerance=symmetric(0.0))
    if bands[-1:] == ("none",):
        bands = bands[:-1]
    if not 3 <= len(bands) <= 6:
        raise ValueMistake(
            f"{len(bands)} bands are no resistor marking.", "Give three, four, five or six colours."
        )
    figures = 2 if len(bands) <= 4 else 3
    return BandReading(
        bands=bands,
        ohms=value_of(_digits_of(bands[:figures]), _looked_up(_ZEROS, bands[figures], "multiplier")),
        tolerance=_tolerance_band(bands[figures + 1] if len(bands) > figures + 1 else "none"),
        temperature_ppm=_looked_up(_TEMPERATURE_PPM, bands[5], "temperature") if len(bands) == 6 else None,
    )


def bands_of(ohms: float, *, figures: int = 2, tolerance: float = 0.05) -> tuple[str, ...] | None:
    """Bands for a value [ohm] with two or three digits and a tolerance [fraction], or None.

    >>> bands_of(4700.0), bands_of(39000.0, figures=3, tolerance=0.01)
    (('yellow', 'violet', 'red', 'gold'), ('orange', 'white', 'black', 'red', 'brown'))
    """
    if ohms == 0:
        return ("black",)
    split = digits_and_zeros(ohms, figures)
    last = next((c for c, p in _TOLERANCE_PERCENT.items() if abs(p / 100 - tolerance) < 1e-9), None)
    if split is None or last is None or split[1] not in _COLOUR_OF_ZEROS:
        return None
    digits, zeros = split
    tail = () if last == "none" else (last,)
    return (*(DIGIT_COLOURS[int(digit)] for digit in str(digits)), _COLOUR_OF_ZEROS[zeros], *tail)


def _digits_of(bands: tuple[str, ...]) -> int:
    digits = 0
    for band in bands:
        digits = 10 * digits + _looked_up(_DIGIT, band, "digit")
    return digits


def _tolerance_band(band: str) -> Tolerance:
    if band not in _TOLERANCE_PERCENT:
        _refuse(band, "tolerance")
    return symmetric(_TOLERANCE_PERCENT[band] / 100)


def _looked_up(table: dict[str, int], band: str, what: str) -> int:
    if band not in table:
        _refuse(band, what)
    return table[band]


def _refuse(band: str, what: str) -> NoReturn:
    raise ValueMistake(
        f"{band.capitalize()} is no {what} band.",
        "Read from the other end, or give the bands in order: digits, multiplier, tolerance, temperature.",
    )
