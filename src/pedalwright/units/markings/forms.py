"""A value in, every marking of it out, and the markings a decade away that a misread band turns it into."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pedalwright.units.markings import colours, eia96, letter_code, number_codes
from pedalwright.units.mistake import ValueMistake
from pedalwright.units.preferred import Series, series_of
from pedalwright.units.quantity import Quantity

MARKED_QUANTITIES = (Quantity.RESISTANCE, Quantity.CAPACITANCE, Quantity.INDUCTANCE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One way a value is marked; `marking` is None where the system cannot say the value."""

    system: str
    marking: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkingForms:
    """All markings of one value [base unit of `quantity`]; `series` is the smallest series holding it."""

    quantity: Quantity
    value: float
    series: Series | None
    forms: tuple[Form, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkingSheet:
    """A value with its neighbours a decade away; both are None for zero."""

    tenth: MarkingForms | None
    value: MarkingForms
    tenfold: MarkingForms | None


def markings_of(value: float, quantity: Quantity) -> MarkingForms:
    """Every marking of a resistance [ohm], capacitance [F] or inductance [H].

    Raises `ValueMistake` for other quantities and for values no part has.

    >>> [form.marking for form in markings_of(4700.0, Quantity.RESISTANCE).forms][2:5]
    ['472', '4701', '4K7']
    """
    if quantity not in MARKED_QUANTITIES or not math.isfinite(value) or value < 0:
        raise ValueMistake(
            f"{value:g} {quantity.unit} is not marked on parts.",
            "Ask for the value of a resistor, capacitor or inductor.",
        )
    return MarkingForms(
        quantity=quantity,
        value=value,
        series=series_holding(value),
        forms=tuple(_FORMS[quantity](value)),
    )


def sheet_of(value: float, quantity: Quantity) -> MarkingSheet:
    """The markings of a value and of its neighbours a decade away.

    >>> sheet_of(4700.0, Quantity.RESISTANCE).tenfold.value
    47000.0
    """
    tenth, tenfold = value / 10, value * 10
    return MarkingSheet(
        tenth=markings_of(_clean(tenth), quantity) if value else None,
        value=markings_of(value, quantity),
        tenfold=markings_of(_clean(tenfold), quantity) if value else None,
    )


def series_holding(value: float) -> Series | None:
    """The smallest series holding a value, None for none and for zero."""
    return series_of(value) if value > 0 else None


def _clean(x: float) -> float:
    """Take off the last-bit dust of a multiplication."""
    return float(f"{x:.12g}")


def _resistor_forms(ohms: float) -> Iterator[Form]:
    for figures in (2, 3):
        bands = colours.bands_of(ohms, figures=figures, tolerance=0.2)
        yield Form(
            system=f"{figures + 2}-band colours, the first {figures + 1}",
            marking=" ".join(bands) if bands is not None else None,
        )
    yield Form(system="3-digit code", marking=number_codes.write_resistor_number(ohms, 2))
    yield Form(system="4-digit code", marking=number_codes.write_resistor_number(ohms, 3))
    yield Form(system="letter code", marking=letter_code.write_letter_code(ohms, Quantity.RESISTANCE))
    yield Form(system="E96 place code", marking=eia96.write_place_code(ohms))


def _capacitor_forms(farads: float) -> Iterator[Form]:
    yield Form(system="3-digit code", marking=number_codes.write_capacitor_number(farads))
    yield Form(system="letter code", marking=letter_code.write_letter_code(farads, Quantity.CAPACITANCE))
    for unit, exponent in (("pF", 12), ("nF", 9), ("µF", 6)):
        yield Form(system=f"in {unit}", marking=f"{_plain(farads * 10.0**exponent)} {unit}")


def _inductor_forms(henries: float) -> Iterator[Form]:
    yield Form(system="letter code", marking=letter_code.write_letter_code(henries, Quantity.INDUCTANCE))
    for unit, exponent in (("µH", 6), ("mH", 3)):
        yield Form(system=f"in {unit}", marking=f"{_plain(henries * 10.0**exponent)} {unit}")


def _plain(x: float) -> str:
    """A number without a power of ten."""
    text = f"{_clean(x):.12f}".rstrip("0").rstrip(".")
    return text or "0"


_FORMS = {
    Quantity.RESISTANCE: _resistor_forms,
    Quantity.CAPACITANCE: _capacitor_forms,
    Quantity.INDUCTANCE: _inductor_forms,
}
