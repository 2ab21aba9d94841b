"""Transistors that are either off or fully on: what they switch, and through what they are told to."""

from pedalwright.stages.branch import Leaf
from pedalwright.stages.nets import NetClasses
from pedalwright.stages.view import Transistor, View


def lamps_on(view: View, classes: NetClasses, net: str) -> tuple[str, ...]:
    """Light-emitting diodes and optocouplers reached from a net through resistors and diodes in a row.

    A lamp on the far side of a steady net lights by itself.
    """
    found: list[str] = []
    seen, pending = {net}, [net]
    while pending:
        here = pending.pop()
        if here != net and classes.is_still(here):
            continue
        found += [ref for ref, pin in view.active_pins.get(here, ()) if _is_lamp_pin(view, ref, pin)]
        if here != net and (view.active_pins.get(here) or here in view.ports):
            continue
        for leaf in view.on(here):
            if leaf.sort == "D" and view.circuit.by_ref[leaf.ref].kind == "led":
                found.append(leaf.ref)
            far = leaf.other(here)
            if leaf.sort in "RD" and far not in seen:
                seen.add(far)
                pending.append(far)
    return tuple(dict.fromkeys(found))


def _is_lamp_pin(view: View, ref: str, pin: str) -> bool:
    return view.family[ref] == "optocoupler" and pin.startswith("led")


def drives_a_lamp(view: View, classes: NetClasses, transistor: Transistor) -> bool:
    """A lamp is the load of the collector or drain, between it and a supply."""
    return bool(lamps_on(view, classes, transistor.top)) and transistor.top not in view.ports


def control_resistors(view: View, classes: NetClasses, transistor: Transistor) -> tuple[Leaf, ...]:
    """The resistors through which a base or gate is told: to a moving net or to a rail, not to ground."""
    return tuple(
        leaf
        for leaf in view.on(transistor.control)
        if leaf.sort == "R"
        and (not classes.is_still(far := leaf.other(transistor.control)) or far in classes.rails)
    )
