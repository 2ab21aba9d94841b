"""Nodes become nets: every mention is resolved, joined nodes share a net, and each net gets its name."""

from dataclasses import replace

from pedalwright.circuit.circuit import GROUND, Circuit
from pedalwright.circuit.part import Part
from pedalwright.circuit.ports import SignalInput, SignalOutput, Supply, TestPoint
from pedalwright.circuit.span import Span
from pedalwright.devices.device import unused_net
from pedalwright.notation.accepting import resolved_accepts
from pedalwright.notation.draft import Draft, DraftPart, mention
from pedalwright.notation.looking_over import look_over
from pedalwright.notation.nets import Nets
from pedalwright.notation.resolving import Resolver
from pedalwright.notation.words import FORMS, shown

UNTITLED = "Untitled pedal"


def join_up(draft: Draft) -> Circuit | None:
    """The circuit of a draft, or None when there are mistakes."""
    resolver, nets = Resolver(draft), Nets()
    nets.hold(GROUND, "gnd")
    ports = _ports(draft, resolver, nets)
    _join(draft, resolver, nets)
    names = _names(draft, resolver, nets, {nets.root(port.net) for port in ports})
    _check_ports(draft, ports, nets)
    points = _points(draft, resolver, nets, names)
    accepts = resolved_accepts(draft, nets, names)
    if draft.notebook.has_mistakes():
        return None
    parts = tuple(_part(part, nets, names) for part in draft.parts.values())
    _check_parts(draft, parts)
    if draft.notebook.has_mistakes():
        return None
    at_their_nets = [replace(port, net=names[nets.root(port.net)]) for port in ports]
    circuit = Circuit(
        title=UNTITLED if draft.title is None else draft.title,
        parts=parts,
        about=tuple(draft.about),
        supplies=tuple(port for port in at_their_nets if isinstance(port, Supply)),
        input=next((port for port in at_their_nets if isinstance(port, SignalInput)), None),
        output=next((port for port in at_their_nets if isinstance(port, SignalOutput)), None),
        sections=tuple(draft.sections),
        wants=tuple(draft.wants),
        accepts=accepts,
        points=points,
    )
    look_over(circuit, draft, resolver.first_mention)
    return replace(circuit, cautions=draft.notebook.remarks)


def _ports(draft: Draft, resolver: Resolver, nets: Nets) -> list[Supply | SignalInput | SignalOutput]:
    """The ports with the key of their node as net; supplied nets may not be joined to each other."""
    kept: list[Supply | SignalInput | SignalOutput] = []
    for port in draft.ports:
        key = resolver.key(port.node)
        if key is None:
            continue
        if isinstance(port.what, Supply):
            clash = nets.hold(key, f"the supply {key}")
            if clash is not None:
                _note_second_source(draft, port.node.span, key)
        kept.append(replace(port.what, net=key))
    return kept


def _note_second_source(draft: Draft, span: Span, key: str) -> None:
    ground = key == GROUND
    draft.notebook.mistake(
        "supply.on-ground" if ground else "supply.twice",
        span,
        "A supply cannot feed ground." if ground else f"The net {key} is fed already.",
        "Its voltage stands above ground." if ground else "Two sources on one net fight each other.",
        "Write a net of its own: supply VIN 9V wall",
    )


def _join(draft: Draft, resolver: Resolver, nets: Nets) -> None:
    for left, right in draft.joins:
        a, b = resolver.key(left), resolver.key(right)
        if a is None or b is None:
            continue
        clash = nets.join(a, b)
        if clash is not None:
            draft.notebook.mistake(
                "net.short-circuit",
                _over(left.span, right.span),
                f"This joins {clash[0]} to {clash[1]}.",
                "That is a short circuit: a supply without fuse or resistor gets hot, and can burn.",
                "Take the join out, or put the missing part between the two.",
            )


def _check_ports(draft: Draft, ports: list[Supply | SignalInput | SignalOutput], nets: Nets) -> None:
    """The signal neither comes in nor goes out at a net that is held still."""
    for port in ports:
        held = nets.holder(port.net)
        if held is not None and not isinstance(port, Supply):
            word = "input" if isinstance(port, SignalInput) else "output"
            draft.notebook.mistake(
                f"{word}.held",
                port.span,
                f"The {word} {port.net} is {held}.",
                "A net that is held at one voltage carries no signal.",
                f"Write the net of the signal: {FORMS[word]}",
            )


def _over(left: Span, right: Span) -> Span:
    return (
        right
        if left.line != right.line
        else Span(left.line, min(left.column, right.column), max(left.end_column, right.end_column))
    )


def _names(draft: Draft, resolver: Resolver, nets: Nets, at_ports: set[str]) -> dict[str, str]:
    """The name of every net under its root: gnd, the net first written (ports first), or its first pin's.

    `at_ports` are the roots a supply, the input or the output is on.
    """
    names = {nets.root(GROUND): GROUND}
    for key in resolver.first_mention:
        if "." not in key:
            names.setdefault(nets.root(key), key)
    pins: dict[str, list[tuple[str, str]]] = {}
    for part in draft.parts.values():
        for pin in part.pins:
            key = f"{part.ref}.{pin.name}"
            if key in nets:
                pins.setdefault(nets.root(key), []).append((part.ref, pin.name))
    for root, on_net in pins.items():
        # A pin that is only ever joined to itself is as unused as one that is never mentioned.
        unused = len(on_net) == 1 and root not in at_ports
        names.setdefault(root, unused_net(*on_net[0]) if unused else f"~{mention(*on_net[0])}")
    return names


def _part(part: DraftPart, nets: Nets, names: dict[str, str]) -> Part:
    return part.as_part(
        tuple((pin.name, _net(part.ref, pin.name, pin.default, nets, names)) for pin in part.pins)
    )


def _net(ref: str, pin: str, default: str, nets: Nets, names: dict[str, str]) -> str:
    key = f"{ref}.{pin}"
    # A pin that was only asked about (by a check) is a net of its own without a name.
    named = names.get(nets.root(key)) if key in nets else None
    return named or default or unused_net(ref, pin)


def _points(draft: Draft, resolver: Resolver, nets: Nets, names: dict[str, str]) -> tuple[TestPoint, ...]:
    found: list[TestPoint] = []
    for point in draft.points:
        key = resolver.key(point.node)
        if key is None:
            continue
        # Asking for the root of an unknown name would make it known.
        net = names.get(nets.root(key)) if key in nets else None
        net = net or _net_of_lone_pin(draft, key)
        if net is None:
            draft.notebook.mistake(
                "point.unknown-net",
                point.node.span,
                f"There is no net {shown(point.node.text)} to put a probe on.",
                "A test point is a net of the circuit.",
                "Write the name of a net that a walk or a part mentions.",
            )
        else:
            found.append(TestPoint(net=net, text=point.text, span=point.span))
    return tuple(found)


def _net_of_lone_pin(draft: Draft, key: str) -> str | None:
    """The net of a pin that nothing else mentions; None when the key is no pin."""
    ref, dot, pin_name = key.partition(".")
    if not dot:
        return None
    default = next(pin.default for pin in draft.parts[ref].pins if pin.name == pin_name)
    return default or unused_net(ref, pin_name)


def _check_parts(draft: Draft, parts: tuple[Part, ...]) -> None:
    """What each device says about its part."""
    for part in parts:
        drafted = draft.parts[part.ref]
        for what, why, cure in drafted.device.check(part):
            draft.notebook.mistake("part.unusable", drafted.value_span or drafted.span, what, why, cure)
