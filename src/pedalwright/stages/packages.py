"""Words for parts that are no stage: packages of several amplifiers, unused sections, jacks, switches,
batteries.
"""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.stages.stage import Role
from pedalwright.stages.view import Amplifier, View

LONGEST_LAMP_ROW = 3
"""how many parts may lie between a contact and its lamp"""
WORD_OF_KIND = {"switch": "selector switch", "jack": "jack", "battery": "battery", "fuse": "fuse"}


def package_roles(view: View) -> tuple[Role, ...]:
    """A role for every part that a stage need not claim; stages that do claim one take precedence."""
    return tuple(role for part in view.circuit.parts for role in _of_part(view, part))


def _of_part(view: View, part: Part) -> Iterable[Role]:
    word = WORD_OF_KIND.get(part.kind)
    if word is not None:
        yield Role(part.ref, "footswitch" if _is_footswitch(view, part) else word)
    sections = [amp for amp in view.amplifiers if amp.part.ref == part.ref]
    if view.family[part.ref] == "opamp" and any(amp.ref != part.ref for amp in sections):
        yield Role(part.ref, "amplifier package")
    for amp in sections:
        if amp.role not in ("coder", "decoder") and is_unused(view, amp):
            yield Role(amp.ref, "unused section")


def _is_footswitch(view: View, part: Part) -> bool:
    """Said to be one, or a switch that takes the pedal out of the way: contacts at the input and at the
    output; or one with a pole for a lamp that shows how the other stands.
    """
    if "footswitch" in part.notes:
        return True
    if view.family[part.ref] != "switch":
        return False
    ends = [port.net for port in (view.circuit.input, view.circuit.output) if port is not None]
    return (len(ends) == 2 and set(ends) <= set(part.nets)) or _shows_its_state(view, part)


def _shows_its_state(view: View, part: Part) -> bool:
    """One pole does nothing but light a lamp while another switches something else."""
    nets = set(part.nets)
    lit = {net for net in nets if _leads_to_lamp_alone(view, net, part)}
    return bool(lit) and len(nets - lit - {GROUND}) > 1


def _leads_to_lamp_alone(view: View, net: str, part: Part) -> bool:
    """From the contact a row of parts leads to a light-emitting diode."""
    here, came = net, part
    for _ in range(LONGEST_LAMP_ROW):
        others = [pin.part for pin in view.circuit.pins_on[here] if pin.part.ref != came.ref]
        if len(others) != 1 or here in view.ports:
            return False
        if others[0].kind == "led":
            return True
        if view.family[others[0].ref] != "resistor":
            return False
        came = others[0]
        here = next(other for other in came.nets if other != here)
    return False


def is_unused(view: View, amp: Amplifier) -> bool:
    """Nothing but the amplifier itself is on its output, wherever its inputs are tied."""
    others = [pin for pin in view.pins(amp.out) if pin.part.ref != amp.part.ref]
    listened = sum(amp.out in (other.non, other.inv) for other in view.amplifiers if other.ref != amp.ref)
    return not others and not listened and amp.out != view.output_net and not view.on(amp.out)
