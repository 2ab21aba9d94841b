"""Feedback that a transistor closes: the output drives a base or gate, and an emitter or collector leads back."""

from pedalwright.stages.nets import NetClasses
from pedalwright.stages.view import Amplifier, View


def transistors_in_loop(view: View, classes: NetClasses, amp: Amplifier) -> tuple[str, ...]:
    """The transistors through which an amplifier's output reaches its own inverting input; empty when none does."""
    others = {other.out for other in view.amplifiers if other.ref != amp.ref}
    stops = classes.still | others | {amp.non}
    came: dict[str, tuple[str, ...]] = {amp.out: ()}
    pending = [amp.out]
    while pending:
        net = pending.pop(0)
        steps = [(leaf.other(net), came[net]) for leaf in view.on(net)]
        for item in view.transistors:
            if item.control == net:
                steps.extend((far, (*came[net], item.ref)) for far in (item.top, item.bottom))
        for far, way in steps:
            if far == amp.inv and way:
                return way
            if far not in came and far not in stops:
                came[far] = way
                pending.append(far)
    return ()
