"""Which way a signal goes through a device: by which pins it may come in, and by which it then leaves."""

from pedalwright.report.drawing.units import AMPLIFIER, REGULATOR, TRACK, TRANSISTOR, Unit


def entries_of(unit: Unit) -> tuple[str, ...]:
    """The pins of the symbol that a line may come in by, the likeliest first."""
    names = [name for name, _, _ in unit.pins]
    if unit.form == AMPLIFIER:
        return tuple(pin for pin in ("inv", "non") if pin in names)
    if unit.form == TRANSISTOR:
        return ("b",) if "b" in names else ("g", "d", "s")
    if unit.form == TRACK:
        return ("3", "1")
    if unit.form == REGULATOR:
        return ("in",)
    return (names[0],)


def exits_of(unit: Unit, enter: str) -> tuple[str, ...]:
    """The pins it may leave by when it came in by `enter`, the likeliest first; none for a device that ends a
    line.
    """
    if unit.form == AMPLIFIER:
        return ("out",)
    if unit.form == TRANSISTOR:
        return {"b": ("c", "e"), "g": ("d", "s"), "d": ("s",), "s": ("d",)}[enter]
    if unit.form == TRACK:
        return ("2",)
    if unit.form == REGULATOR:
        return ("out",)
    return ()
