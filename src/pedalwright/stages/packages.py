"""Words for parts that are no stage: packages of several amplifiers, unused sections, jacks, switches,
batteries.
"""

from collections.abc import Iterable

from pedalwright.circuit.part import Part
from pedalwright.stages.stage import Role
from pedalwright.stages.view import Amplifier, View

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
    output.
    """
    if "footswitch" in part.notes:
        return True
    ends = [port.net for port in (view.circuit.input, view.circuit.output) if port is not None]
    return view.family[part.ref] == "switch" and len(ends) == 2 and set(ends) <= set(part.nets)


def is_unused(view: View, amp: Amplifier) -> bool:
    """Nothing but the amplifier itself is on its output, wherever its inputs are tied."""
    others = [pin for pin in view.pins(amp.out) if pin.part.ref != amp.part.ref]
    listened = sum(amp.out in (other.non, other.inv) for other in view.amplifiers if other.ref != amp.ref)
    return not others and not listened and amp.out != view.output_net and not view.on(amp.out)
