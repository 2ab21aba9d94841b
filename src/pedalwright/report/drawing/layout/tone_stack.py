"""The passive tone network with three knobs: treble on top, bass under it, middle at the foot, the slope
resistor with its two capacitors from the left.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from pedalwright.report.drawing.layout.block import RIM, Block, Terminal
from pedalwright.report.drawing.layout.naming import strand_pins
from pedalwright.report.drawing.layout.pen import SIZE, Pen, width_of
from pedalwright.report.drawing.layout.pieces import draw_hanging, draw_level, level_length
from pedalwright.report.drawing.layout.pool import Pool
from pedalwright.report.drawing.layout.strand import Strand
from pedalwright.report.drawing.sheet import Box
from pedalwright.report.drawing.symbols._family import shape_named
from pedalwright.report.drawing.units import TRACK, Unit

TRACK_TOP, TRACK_FOOT, WIPER = 2, 6, 4
BASS_ROW = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """The network's pieces: `bright` from the input to the treble knob's top, `slope` from the input to the
    place of the two capacitors, `bass` and `middle` from there to the knobs' joints, `bass_knob` between
    these, `middle_knob` to ground. `top` is the treble knob's upper lug.
    """

    treble: Unit
    top: str
    bright: Strand
    slope: Strand
    bass: Strand
    middle: Strand
    bass_knob: Strand
    middle_knob: Strand


def stack_of(pool: Pool, start: str, goal: str) -> Stack | None:
    """The pieces, when a stage is exactly this network; None otherwise."""
    pool.gather({start, goal})
    if len(pool.devices) != 1 or pool.devices[0].form != TRACK or len(pool.strands) != 6:
        return None
    treble = pool.devices[0]
    if treble.net("2") != goal:
        return None
    for top, foot in (("3", "1"), ("1", "3")):
        found = _traced(pool, treble, top, foot, start)
        if found is not None:
            return found
    return None


def _traced(pool: Pool, treble: Unit, top: str, foot: str, start: str) -> Stack | None:
    """From the input by the bright capacitor to one lug, and by the slope resistor to the other."""
    bright = _between(pool.strands, start, treble.net(top))
    joint = treble.net(foot)
    for knot in _next_to(pool.strands, start):
        slope, bass = _between(pool.strands, start, knot), _between(pool.strands, knot, joint)
        for low in _next_to(pool.strands, knot):
            middle, bass_knob = _between(pool.strands, knot, low), _between(pool.strands, joint, low)
            last = next((item for item in pool.strands if _ends_still(pool, item, low)), None)
            inner = (knot, joint, low, treble.net(top))
            if len({start, *inner}) < 5 or any(_leads_out(pool, net) for net in inner):
                continue
            if bright and slope and bass and middle and bass_knob and last:
                return Stack(
                    treble=treble,
                    top=top,
                    bright=bright,
                    slope=slope,
                    bass=bass,
                    middle=middle,
                    bass_knob=bass_knob,
                    middle_knob=last.beginning(low),
                )
    return None


def _next_to(strands: Sequence[Strand], net: str) -> list[str]:
    return [item.far(net) for item in strands if net in (item.start, item.end)]


def _ends_still(pool: Pool, strand: Strand, net: str) -> bool:
    return net in (strand.start, strand.end) and pool.is_still(strand.far(net))


def _between(strands: Sequence[Strand], start: str, end: str) -> Strand | None:
    return next((item.beginning(start) for item in strands if {item.start, item.end} == {start, end}), None)


def _leads_out(pool: Pool, net: str) -> bool:
    mine = {unit.name for unit in pool.units}
    return pool.is_still(net) or any(unit.name not in mine for unit in pool.wiring.on[net])


def stack_block(stack: Stack, pen: Pen, style: str) -> Block:
    """The picture: in at the upper left, on from the treble knob's wiper."""
    begin = 1
    knot = begin + level_length(stack.slope)
    texts = max(width_of(stack.treble.shown, "name"), width_of(stack.treble.value, "value"))
    column = max(
        knot + max(level_length(stack.bass), level_length(stack.middle)),
        begin + level_length(stack.bright),
        begin + ceil(texts + 1.8),
    )
    _treble(pen, stack, begin, column, style)
    joint = stack.bass_knob.start
    pen.wire(joint, (column, TRACK_FOOT), (column, BASS_ROW + 1))
    draw_level(pen, stack.bass, (knot, BASS_ROW), style, room=column - knot)
    end = draw_hanging(pen, stack.bass_knob, (column, BASS_ROW + 1), style)
    low = end[1] + 1
    pen.wire(stack.middle_knob.start, end, (column, low + 1))
    draw_level(pen, stack.middle, (knot, low), style, room=column - knot)
    pen.wire(stack.bass.start, (knot, BASS_ROW), (knot, low))
    row = (BASS_ROW + low) // 2
    pen.wire(stack.slope.start, (begin, 0), (begin, row))
    draw_level(pen, stack.slope, (begin, row), style, room=knot - begin)
    foot = draw_hanging(pen, stack.middle_knob, (column, low + 1), style)
    pen.flag(stack.middle_knob.end, foot, "down")
    return _block(pen, stack, begin, column)


def _treble(pen: Pen, stack: Stack, begin: int, column: int, style: str) -> None:
    unit = stack.treble
    draw_level(pen, stack.bright, (begin, 0), style, room=column - begin)
    pen.wire(stack.bright.end, (column, 0), (column, TRACK_TOP))
    shape = shape_named(unit.symbol, style)
    if stack.top == "3":
        shape = shape.mirrored().moved(4, 0)
    pen.put(unit, shape.turned(1).moved(column, TRACK_TOP))
    for place, (text, kind) in enumerate(((unit.shown, "name"), (unit.value, "value"))):
        y = WIPER + SIZE * 1.2 * (place - 0.5)
        pen.write(text, column - 0.9, y, "end", kind, unit.name)


def _block(pen: Pen, stack: Stack, begin: int, column: int) -> Block:
    box = pen.box()
    left, right = floor(box.left - RIM), ceil(max(box.right, column + 2) + RIM)
    net, goal = stack.bright.start, stack.treble.net("2")
    pins = strand_pins(stack.bright, net) + strand_pins(stack.slope, net)
    return Block(
        pen=pen,
        box=Box(left, box.top, right, box.bottom),
        left=Terminal(net=net, at=(left, 0), pins=pins, inner=(begin, 0)),
        right=Terminal(net=goal, at=(right, WIPER), pins=1, inner=(column + 2, WIPER)),
        through=False,
    )
