"""What hangs from a node: parts in a row to ground, to a rail above, or to a place from which several go
on.
"""

from pedalwright.report.drawing.layout.outline import Tree
from pedalwright.report.drawing.layout.pen import Pen
from pedalwright.report.drawing.layout.pieces import draw_hanging, hanging_width
from pedalwright.report.drawing.sheet import Point

LIMB_GAP = 0.6


def tree_width(pen: Pen, tree: Tree, *, up: bool) -> tuple[float, float]:
    """How far a tree reaches to the left and right of where it hangs."""
    left, right = hanging_width(tree.strand)
    facing = "up" if up else "down"
    if not tree.limbs:
        flag = pen.flag_room(tree.end, facing)
        return max(left, -flag.left), max(right, flag.right)
    places, reach = _limb_places(pen, tree.limbs, up=up)
    first = tree_width(pen, tree.limbs[0], up=up)[0]
    return max(left, first), max(right, reach) if places else right


def draw_tree(pen: Pen, tree: Tree, at: Point, style: str, *, up: bool) -> None:
    """The tree from a point downward, or upward."""
    end = draw_hanging(pen, tree.strand, at, style, up=up)
    if not tree.limbs:
        pen.flag(tree.end, end, "up" if up else "down")
        return
    x, y = end
    places, _ = _limb_places(pen, tree.limbs, up=up)
    sign = -1 if up else 1
    for limb, place in zip(tree.limbs, places, strict=True):
        pen.wire(tree.end, (x, y), (x + place, y), (x + place, y + sign))
        draw_tree(pen, limb, (x + place, y + sign), style, up=up)


def _limb_places(pen: Pen, limbs: list[Tree], *, up: bool) -> tuple[list[int], float]:
    """How far to the right each limb hangs, and how far the last reaches."""
    places: list[int] = []
    reach = 0.0
    for limb in limbs:
        left, right = tree_width(pen, limb, up=up)
        place = 0 if not places else int(reach + LIMB_GAP + left) + 1
        places.append(place)
        reach = place + right
    return places, reach
