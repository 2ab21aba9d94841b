"""The parts and nets that acceptances name: each must be there."""

from collections.abc import Mapping
from dataclasses import replace

from pedalwright.circuit.ports import Acceptance
from pedalwright.devices.device import unused_net
from pedalwright.notation.draft import Draft, Node, mention
from pedalwright.notation.nets import Nets
from pedalwright.notation.words import did_you_mean, shown


def resolved_accepts(draft: Draft, nets: Nets, names: Mapping[str, str]) -> tuple[Acceptance, ...]:
    """Every acceptance with its parts as the circuit names them; unknown ones are noted as mistakes.

    A pin stands for its net. `names` are the names of the nets under their roots.
    """
    pins = _nets_of_pins(draft, nets, names)
    known = {*draft.parts, *_sections(draft)}
    net_names = {*names.values(), *pins.values()}
    found: list[Acceptance] = []
    for accepted in draft.accepts:
        parts = tuple(_found(draft, one, known, net_names, pins) for one in accepted.nodes)
        found.append(replace(accepted.what, parts=parts))
    return tuple(found)


def _found(draft: Draft, node: Node, known: set[str], net_names: set[str], pins: Mapping[str, str]) -> str:
    """The name of a part or net; the word itself, with the mistake noted, when there is none."""
    if node.text in known or node.text in net_names:
        return node.text
    if node.text in pins:
        return pins[node.text]
    if node.text not in draft.doubtful:
        draft.notebook.mistake(
            "accept.unknown-part",
            node.span,
            f"There is no {shown(node.text)} in this text.",
            "Between the rule and because stand the parts or nets whose findings are accepted.",
            did_you_mean(
                node.text,
                [*draft.parts, *sorted(name for name in net_names if name[0] != "~" and "/" not in name)],
                "Name a part of the circuit, or none to accept every finding of the rule.",
            ),
        )
    return node.text


def _sections(draft: Draft) -> set[str]:
    """The sections of packages, as designators: U1a, U1b."""
    return {
        f"{part.ref}{pin.name[0]}"
        for part in draft.parts.values()
        for pin in part.pins
        if pin.name[1:2] == "."
    }


def _nets_of_pins(draft: Draft, nets: Nets, names: Mapping[str, str]) -> dict[str, str]:
    """The net of every pin, under the pin as a text mentions it: U1a.inv, R5.2."""
    found: dict[str, str] = {}
    if not draft.accepts:
        return found
    for part in draft.parts.values():
        for pin in part.pins:
            key = f"{part.ref}.{pin.name}"
            named = names.get(nets.root(key)) if key in nets else None
            found[mention(part.ref, pin.name)] = named or pin.default or unused_net(part.ref, pin.name)
    return found
