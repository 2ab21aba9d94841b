"""An amplifier on the line: the input the signal takes is above, the other below with what hangs or loops
there.
"""

from math import ceil
from typing import TYPE_CHECKING

from pedalwright.report.drawing.layout.outline import Feed, Through
from pedalwright.report.drawing.layout.pen import Pen
from pedalwright.report.drawing.layout.pieces import draw_level, level_length
from pedalwright.report.drawing.layout.through import above, hang_at, room_at
from pedalwright.report.drawing.symbols._family import shape_named

if TYPE_CHECKING:
    from pedalwright.report.drawing.layout.line import LineDrawing

LOOP_DEPTH, FEED_DEPTH = 6, 4
AIR = 0.25


def draw_amplifier(drawing: "LineDrawing", place: int, step: Through) -> None:
    """The triangle; the line goes on at its output, one step lower."""
    track, pen = drawing.track, drawing.pen
    other = next((pin for pin, _, _ in step.unit.pins if pin not in (step.enter, step.leave)), "")
    side = drawing.outline.sides.get((place, other))
    x = track.x + 1
    if side is not None:
        x = max(track.x + 2, ceil(track.floor + room_at(drawing, side, up=False) + 0.5) + 1)
        for feed in drawing.outline.feeds:
            if (feed.step, feed.pin) == (place, other):
                x = max(x, drawing.joins[feed.node] + level_length(feed.strand) + 2)
    y = track.y
    pen.wire(step.unit.net(step.enter), (track.x, y), (x, y))
    shape = shape_named(step.unit.symbol, drawing.style)
    if step.enter == "non":
        shape = shape.upended().moved(0, 2)
    pen.put(step.unit, shape.moved(x, y))
    text_end = above(drawing, (x + 1.0, y - 2.2), step)
    out = x + 7
    loops = drawing.outline.loops.get((place, other), [])
    out = max([out, *(x - 1 + level_length(strand) for strand in loops)])
    pen.wire(step.unit.net(step.leave), (x + 6, y + 1), (out, y + 1))
    if side is not None:
        track.floor = max(track.floor, _other_input(drawing, place, other, x, out))
    track.floor = max(track.floor, x + 5.5)
    track.ceiling = max(track.ceiling, text_end, x + 5.0)
    track.x, track.y = out, y + 1


def _other_input(drawing: "LineDrawing", place: int, other: str, x: int, out: int) -> float:
    """Everything at the lower input; gives how far to the right it reaches."""
    pen, outline, y = drawing.pen, drawing.outline, drawing.track.y
    side = outline.sides[place, other]
    step = outline.steps[place]
    assert isinstance(step, Through)
    low = (x - 1, y + 2)
    if side.net == step.unit.net(step.leave):
        foot = y + 5
        pen.wire(side.net, (x, y + 2), low, (x - 1, foot), (out, foot), (out, y + 1))
        return out + 0.4
    if side.net == step.unit.net(step.enter):
        pen.wire(side.net, (x, y + 2), low, (x - 1, y))
        return x
    feeds = [feed for feed in outline.feeds if (feed.step, feed.pin) == (place, other)]
    if pen.standing.is_still(side.net) or side.named or side.downs or side.ups:
        pen.wire(side.net, (x, y + 2), low)
    loops = outline.loops.get((place, other), [])
    depth = y + 3
    for feed in feeds:
        depth = _feed(drawing, feed, x, y)
    for strand in loops:
        back = Pen(pen.standing)
        end = draw_level(back, strand, (0, 0), drawing.style, room=out - x + 1)
        depth = max(y + LOOP_DEPTH, ceil(pen.lowest(x - 0.9, out - 0.1) + AIR - back.box().top))
        pen.take(back, x - 1, depth)
        pen.wire(side.net, (x, y + 2), low, (x - 1, depth))
        pen.wire(strand.end, (x - 1 + end[0], depth), (out, y + 1))
    if not (side.downs or side.ups or side.named) and not pen.standing.is_still(side.net):
        return out + 0.4 if loops else x
    several = len(side.downs) + len(side.ups) + side.named > 1
    foot = depth + 1 if loops or feeds or several else depth
    if several:
        foot = max(foot, ceil(pen.lowest(x - 0.9, out - 0.1) + AIR))
    pen.wire(side.net, low, (x - 1, foot))
    reach = hang_at(drawing, side, (x - 1, foot), up=False)
    return max(reach, out + 0.4) if loops else reach


def _feed(drawing: "LineDrawing", feed: Feed, x: int, y: int) -> int:
    """A strand from a node before, under what hangs between, to the lower input; gives how deep it runs."""
    pen, begin = drawing.pen, drawing.joins[feed.node]
    way = Pen(pen.standing)
    end = draw_level(way, feed.strand, (0, 0), drawing.style, room=x - 1 - begin)
    depth = max(y + FEED_DEPTH, ceil(pen.lowest(begin + 0.1, x - 1.1) + AIR - way.box().top))
    pen.take(way, begin, depth)
    pen.wire(feed.strand.start, (begin, drawing.at[feed.node][1]), (begin, depth))
    pen.wire(feed.strand.end, (begin + end[0], depth), (x - 1, depth), (x - 1, y + 2), (x, y + 2))
    return depth
