"""Nets that are one net, and nets that no direct current can reach."""

from collections.abc import Iterable, Mapping, Sequence

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.primitives import (
    BipolarTransistor,
    Capacitance,
    ClippingAmplifier,
    CurrentSource,
    DelayedCopy,
    FieldEffectTransistor,
    Inductance,
    Junction,
    Primitive,
    RegulatedOutput,
    Resistance,
    Short,
    SupplyDraw,
    Transconductance,
    VoltageSource,
)


class Merger:
    """Union-find over net names; `gnd` always stands for its own set."""

    def __init__(self, nets: Iterable[str] = ()) -> None:
        self._parent = {net: net for net in nets}

    def find(self, net: str) -> str:
        """The name that stands for the set of `net`."""
        root = net
        while (above := self._parent.setdefault(root, root)) != root:
            root = above
        while (above := self._parent[net]) != root:
            self._parent[net], net = root, above
        return root

    def join(self, a: str, b: str) -> None:
        """Make the sets of `a` and `b` one; the older name stays, ground before all."""
        a, b = self.find(a), self.find(b)
        if a != b:
            keep, drop = (b, a) if b == GROUND else (a, b)
            self._parent[drop] = keep


TERMINALS: Mapping[type[Primitive], tuple[str, ...]] = {
    Short: ("a", "b"),
    Resistance: ("a", "b"),
    Capacitance: ("a", "b"),
    Inductance: ("a", "b"),
    VoltageSource: ("plus", "minus"),
    CurrentSource: ("a", "b"),
    SupplyDraw: ("plus", "minus"),
    Transconductance: ("a", "b", "control_plus", "control_minus"),
    Junction: ("anode", "cathode"),
    BipolarTransistor: ("collector", "base", "emitter"),
    FieldEffectTransistor: ("drain", "gate", "source"),
    ClippingAmplifier: ("non_inverting", "inverting", "output", "positive_rail", "negative_rail"),
    RegulatedOutput: ("input", "output", "ground"),
    DelayedCopy: ("input", "output", "reference"),
}
"""The fields of each primitive that name nets."""


def nets_of(part: Primitive) -> tuple[str, ...]:
    """The nets a primitive is on, in the order of its fields; an ideal amplifier has no supply."""
    terminals = TERMINALS[type(part)]
    if isinstance(part, ClippingAmplifier) and part.ideal:
        terminals = terminals[:3]
    return tuple(getattr(part, terminal) for terminal in terminals)


def shorted(parts: Iterable[Primitive]) -> Merger:
    """The nets as the shorts make them."""
    merger = Merger([GROUND])
    for part in parts:
        if isinstance(part, Short):
            merger.join(part.a, part.b)
    return merger


_PATHS: Mapping[type[Primitive], tuple[tuple[str, str], ...]] = {
    Short: (("a", "b"),),
    Resistance: (("a", "b"),),
    Inductance: (("a", "b"),),
    VoltageSource: (("plus", "minus"),),
    SupplyDraw: (("plus", "minus"),),
    Junction: (("anode", "cathode"),),
    BipolarTransistor: (("base", "emitter"), ("base", "collector")),
    FieldEffectTransistor: (("drain", "source"),),
    RegulatedOutput: (("output", "ground"),),
    DelayedCopy: (("output", "reference"),),
}


def _direct_paths(part: Primitive) -> tuple[tuple[str, str], ...]:
    """The pairs of nets between which a primitive lets direct current through, or holds a voltage."""
    if isinstance(part, ClippingAmplifier):
        return ((part.output, GROUND),)
    pairs = tuple((getattr(part, a), getattr(part, b)) for a, b in _PATHS.get(type(part), ()))
    if isinstance(part, FieldEffectTransistor) and part.gate_saturation_a > 0.0:
        return (*pairs, (part.gate, part.source))
    return pairs


def floating_nets(
    parts: Sequence[Primitive], nets: Iterable[str], *, for_signals: bool = False
) -> tuple[str, ...]:
    """The nets with no direct-current path to ground, in the order given. Amplifier inputs and sources are no
    path.

    `for_signals` counts capacitances and controlled sources as paths too.
    """
    paths = Merger([GROUND])
    for part in parts:
        for a, b in _direct_paths(part):
            paths.join(a, b)
        if for_signals and isinstance(part, Capacitance | Transconductance):
            paths.join(part.a, part.b)
    return tuple(net for net in nets if paths.find(net) != GROUND)
