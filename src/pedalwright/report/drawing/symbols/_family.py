"""The symbols by name and by the device kind they stand for."""

from functools import cache

from pedalwright.registry import load_family
from pedalwright.report.drawing.symbols.shape import Shape, Symbol


def symbols() -> tuple[Symbol, ...]:
    """Every symbol, in the order of its file."""
    return load_family("pedalwright.report.drawing.symbols", Symbol, "SYMBOL", key="name")


@cache
def shape_named(name: str, style: str) -> Shape:
    """A symbol in its own frame; KeyError when there is none of that name."""
    for symbol in symbols():
        if symbol.name == name:
            return symbol.draw(style)
    raise KeyError(name)


@cache
def symbol_for(kind: str) -> str:
    """The name of the symbol of a device kind, or an empty string."""
    return next((symbol.name for symbol in symbols() if kind in symbol.kinds), "")
