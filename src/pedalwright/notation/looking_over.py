"""What is worth a second look in a circuit that can be used."""

from collections.abc import Mapping

from pedalwright.circuit.circuit import GROUND, Circuit
from pedalwright.circuit.span import Span
from pedalwright.devices.catalogue import device
from pedalwright.notation.draft import Draft, mention
from pedalwright.notation.open_pins import note_open_pins
from pedalwright.notation.words import FORMS, nearest

_MOST_SUGGESTIONS = 20
"""lonely nets for which a similar name is looked up; in a text with more, the names are not the trouble"""
_NEEDS_SUPPLY = frozenset({"opamp", "bipolar", "fet", "regulator", "echo-chip"})


def look_over(circuit: Circuit, draft: Draft, first_mention: Mapping[str, Span]) -> None:
    """Note cautions about the whole circuit."""
    _lonely_nets(circuit, draft, first_mention)
    _parts_on_one_net(circuit, draft)
    _pins_off_their_default(circuit, draft, first_mention)
    note_open_pins(circuit, draft, first_mention)
    _missing_ports(circuit, draft)


def _lonely_nets(circuit: Circuit, draft: Draft, first_mention: Mapping[str, Span]) -> None:
    """A written net with one end on it is usually a misspelt one."""
    ports = [port.net for port in (*circuit.supplies, circuit.input, circuit.output) if port is not None]
    lonely = 0
    for net in circuit.nets:
        if net == GROUND or net not in first_mention or len(circuit.pins_on[net]) + ports.count(net) != 1:
            continue
        lonely += 1
        others = [other for other in circuit.nets if other != net and other in first_mention]
        meant = nearest(net, others) if lonely <= _MOST_SUGGESTIONS else None
        draft.notebook.caution(
            "net.used-once",
            first_mention[net],
            f"Only one thing is on the net {net}.",
            "Nothing can flow through an end that leads nowhere.",
            (f"Did you mean {meant}? " if meant else "")
            + f"Write where else {net} goes, or delete the part on it.",
        )


def _parts_on_one_net(circuit: Circuit, draft: Draft) -> None:
    for part in circuit.parts:
        if len(part.pins) == 2 and part.nets[0] == part.nets[1]:
            draft.notebook.caution(
                "part.both-ends",
                part.span,
                f"Both ends of {part.ref} are on the net {part.nets[0].lstrip('~')}.",
                "So it does nothing.",
                "Check the nets on both sides of it.",
            )


def _pins_off_their_default(circuit: Circuit, draft: Draft, first_mention: Mapping[str, Span]) -> None:
    """A pin that is on ground unless the text says otherwise: does the text mean to say otherwise?"""
    for part in circuit.parts:
        for pin in draft.parts[part.ref].pins:
            if pin.default and part.net(pin.name) != pin.default:
                named = mention(part.ref, pin.name)
                draft.notebook.caution(
                    "pin.off-default",
                    first_mention.get(f"{part.ref}.{pin.name}", part.span),
                    f"{named} is not on {pin.default}, because the text joins it to something else.",
                    f"Left unmentioned it would be on {pin.default}, where it usually belongs.",
                    f"Write {pin.default} in place of {named}, or leave it if that is meant.",
                )


def _missing_ports(circuit: Circuit, draft: Draft) -> None:
    missing = [
        ("input", circuit.input is None, "There is no input, so nothing is known about the signal."),
        (
            "output",
            circuit.output is None,
            "There is no output, so the load and the level to judge are not known.",
        ),
    ]
    if not circuit.supplies and any(device(part.kind).family in _NEEDS_SUPPLY for part in circuit.parts):
        missing.append(("supply", True, "There is no supply, so the active parts do nothing."))
    for word, absent, what in missing:
        if absent:
            draft.notebook.caution(
                f"{word}.missing",
                None,
                what,
                f"The {word} line says where the circuit meets the world.",
                f"Write for instance: {FORMS[word]}",
            )
