"""An amplifier inside the echo chip: its other input is joined to the reference within, so it has no pin."""

from dataclasses import replace

from pedalwright.report.drawing.symbols._amplifier import draw_amplifier
from pedalwright.report.drawing.symbols._sources import IEEE_315
from pedalwright.report.drawing.symbols.shape import Shape, Symbol


def _draw(style: str) -> Shape:
    shape = draw_amplifier()
    keep = ("inv", "out")
    ink = (shape.ink[0], shape.ink[1], *shape.ink[3:])
    return replace(
        shape,
        name="chip-amplifier",
        pins={pin: shape.pins[pin] for pin in keep},
        faces={pin: shape.faces[pin] for pin in keep},
        ink=ink,
        marks=tuple(mark for mark in shape.marks if mark.text in keep),
    )


SYMBOL = Symbol(name="chip-amplifier", kinds=(), form="device", draw=_draw, source=IEEE_315)
