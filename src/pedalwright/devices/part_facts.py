"""What device entries ask about one part: the figures of its type, and its options as numbers."""

from collections.abc import Callable, Iterable, Mapping

from pedalwright.circuit.part import Part
from pedalwright.devices.device import Figure
from pedalwright.units.values import Quantity, ValueMistake, parse_value

Sentences = tuple[str, str, str]
"""What is wrong, why it matters, and what to write instead."""

MEMORY = "from memory"
"""Source of a figure no sheet was read for."""

PRACTICE = "common practice, no source"
"""Source of a trade fact."""

CARD_THERMAL_V = 1.380649e-23 * 300.15 / 1.602176634e-19
"""kT/q [V] at 300.15 K, the temperature the cards are fitted at."""

ASSUMPTION = "assumption"
"""Source of a figure nobody has published."""


def figures(source: str, **values: float) -> dict[str, Figure]:
    """Several figures from one source, under their names."""
    return {name: Figure(value=value, source=source) for name, value in values.items()}


def figure(part: Part, name: str, types: Mapping[str, Mapping[str, Figure]], default_type: str) -> float:
    """One figure of the part's type, or of `default_type` when the part names none."""
    return types[part.type or default_type][name].value


def option_number(part: Part, key: str, quantity: Quantity) -> float | None:
    """The number written as ``key=value``, or None when it is absent or cannot be read (`option_mistakes`
    tells).
    """
    written = part.option(key)
    if not written:
        return None
    try:
        return parse_value(written, quantity)
    except ValueMistake:
        return None


def option_mistakes(
    part: Part, numbers: Mapping[str, Quantity], above_zero: bool = True
) -> tuple[Sentences, ...]:
    """Sentences about options that are not numbers, or not above zero where they must be."""
    found: list[Sentences] = []
    for key, quantity in numbers.items():
        written = part.option(key)
        if not written:
            continue
        try:
            value = parse_value(written, quantity)
        except ValueMistake as mistake:
            cure = f"Write {key}={quantity.value.example} for instance. {mistake.cure}"
            found.append((f"{part.ref}: {key}={written} cannot be read.", mistake.reason, cure))
            continue
        if above_zero and value <= 0:
            found.append(
                (
                    f"{part.ref}: {key}={written} is not above zero.",
                    f"{key} is {quantity.a_noun}.",
                    f"Write {key}={quantity.value.example} for instance, or leave it away.",
                )
            )
    return tuple(found)


def known_type(part: Part, types: Iterable[str]) -> tuple[Sentences, ...]:
    """A sentence when the part names none of `types`."""
    names = tuple(types)
    if part.type in names:
        return ()
    what = f"{part.ref}: no figures for the type {part.type}." if part.type else f"{part.ref} has no type."
    why = f"The numbers of a {part.kind} are those of its type."
    return ((what, why, f"Write one of: {', '.join(names)}."),)


def value_mistakes(part: Part, quantity: Quantity, low: float, high: float) -> tuple[Sentences, ...]:
    """Sentences about a missing value, or one no such part is made for (`low`..`high`, base unit)."""
    example = quantity.value.example
    if part.value is None:
        return (
            (
                f"{part.ref} has no value.",
                f"A {part.kind} needs {quantity.a_noun}.",
                f"Write {part.ref} {example}.",
            ),
        )
    if not low <= part.value <= high:
        return (
            (
                f"{part.ref} {part.value_text} is outside what a {part.kind} is made for.",
                f"The {quantity.noun} must lie between {low:g} and {high:g} {quantity.unit}.",
                f"Check the multiplier; write {part.ref} {example} for instance.",
            ),
        )
    return ()


def value_check(
    quantity: Quantity, low: float, high: float, options: Mapping[str, Quantity]
) -> Callable[[Part], tuple[Sentences, ...]]:
    """The check of a kind: a value in ``low..high`` (base unit), and options that are numbers above zero."""

    def check(part: Part) -> tuple[Sentences, ...]:
        return (*value_mistakes(part, quantity, low, high), *option_mistakes(part, options))

    return check
