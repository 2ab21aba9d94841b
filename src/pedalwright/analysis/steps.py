"""The neighbouring value one step up or down, in the series parts are bought in."""

from pedalwright.circuit.part import Part
from pedalwright.units.preferred import Series, step
from pedalwright.units.values import Quantity, write_value

SERIES_OF_KIND = {
    "resistor": Series.E12,
    "capacitor": Series.E6,
    "inductor": Series.E12,
    "knob": Series.E3,
    "trim": Series.E3,
}
"""steps as a drawer of parts has them (common practice, no source)"""
QUANTITY_OF_KIND = {
    "resistor": Quantity.RESISTANCE,
    "capacitor": Quantity.CAPACITANCE,
    "inductor": Quantity.INDUCTANCE,
    "knob": Quantity.RESISTANCE,
    "trim": Quantity.RESISTANCE,
}


def neighbours(part: Part) -> tuple[float, float] | None:
    """The next smaller and the next larger value of a part, in SI units; None for parts without a value to
    step.
    """
    series = SERIES_OF_KIND.get(part.kind)
    if series is None or not part.value or part.value <= 0:
        return None
    return step(part.value, series, -1), step(part.value, series, 1)


def written(part: Part, value: float) -> str:
    """A value of this part as a builder writes it: 4k7."""
    return write_value(value, QUANTITY_OF_KIND[part.kind])
