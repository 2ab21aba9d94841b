"""What hangs around a transistor stage, gathered from its collector and emitter outward.

A part belongs to the stage when every way through it ends at the stage's own nets, at its base or at a steady
net; parts that lead on to other stages are theirs, and what they draw is counted as load. Every steady net
appears as ``gnd``.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.branch import Leaf
from pedalwright.stages.edges import Edge
from pedalwright.stages.nets import NetClasses
from pedalwright.stages.network import resting_nets
from pedalwright.stages.transistor_cluster import Cluster
from pedalwright.stages.transistor_feedback import hung_load, returns_to_driver, series_feedback
from pedalwright.stages.transistor_gathering import Gathering
from pedalwright.stages.view import View

STOPPER_SHARE = 0.2
"""a resistor before a base is a stopper as long as those from the base to steady nets are five times as large
(common practice, no source)"""


@dataclass(frozen=True, kw_only=True)
class TransistorNetwork:
    """A stage around a cluster, part by part. `places` says of every part where it stands.

    Places are ``top`` and ``bottom`` (a load, to steady nets), ``bridge`` (between collector and base),
    ``bootstrap`` (between emitter and base), ``across`` (collector to emitter), ``return`` (from the emitter
    to the base of the transistor before), ``series`` (from the next transistor's collector to this emitter),
    ``step`` (of a phase-shift ladder), ``base`` (the way of the signal to the base) and ``bias`` (from
    an inner base to steady nets). `inputs` are the nets whose voltages the stage's gain is told in, `inner`
    those that belong to nobody else.
    """

    cluster: Cluster
    edges: tuple[Edge, ...]
    places: Mapping[str, str]
    output: str
    inputs: tuple[str, ...]
    inner: tuple[str, ...]
    top_nets: tuple[str, ...]
    bottom_nets: tuple[str, ...]
    touched: frozenset[str]
    fed: bool
    """a direct current can reach the collector or drain"""

    @property
    def leaves(self) -> tuple[Leaf, ...]:
        """Every two-terminal thing of the stage."""
        return tuple(leaf for edge in self.edges for leaf in edge.branch.leaves())

    def at(self, place: str) -> tuple[Leaf, ...]:
        """The parts at one place."""
        return tuple(leaf for leaf in self.leaves if self.places[leaf.name] == place)

    @property
    def output_at_bottom(self) -> bool:
        """The signal leaves at the emitter or source."""
        return self.output in self.bottom_nets


def transistor_network(
    view: View, classes: NetClasses, cluster: Cluster, *, also: Iterable[str] = ()
) -> TransistorNetwork:
    """Gather a stage; `also` are further nets known to be its own (the steps of a phase-shift ladder)."""
    starts = (cluster.top, cluster.bottom, *cluster.middles, *also)
    own = dict.fromkeys(net for net in starts if not classes.is_still(net))
    work = Gathering(view, classes, cluster, walls(view, classes), frozenset(also), own)
    work.close()
    top_nets, bottom_nets = (_side(work, net) for net in (cluster.top, cluster.bottom))
    work.close()
    series = series_feedback(work, top_nets, bottom_nets)
    back = (*returns_to_driver(work, bottom_nets), *series, *hung_load(work))
    touched = [net for net in work.own if _is_touched(work, net)]
    base = _base(work)
    return _assembled(work, top_nets, bottom_nets, touched, back, base, frozenset(series))


def walls(view: View, classes: NetClasses) -> frozenset[str]:
    """Moving nets with a jack or an active pin on them; an optocoupler's cell and lamp pass."""
    pinned = {
        net
        for net, pins in view.active_pins.items()
        if any(view.family[ref] != "optocoupler" for ref, _ in pins)
    }
    return frozenset((pinned | view.ports) - classes.still)


def _side(work: Gathering, net: str) -> tuple[str, ...]:
    """One end of the transistor, with the nets of its load when that is tapped."""
    if work.still(net):
        return ()
    nets = () if work.is_fed(net) else (work.tap(net) or _joint(work, net))
    work.own |= dict.fromkeys(nets)
    return (net, *nets)


def _joint(work: Gathering, net: str) -> tuple[str, ...]:
    """The net behind the one resistor an emitter leads through, where a second transistor's comes in as
    well.
    """
    leaves = work.view.on(net)
    if net != work.cluster.bottom or len(leaves) != 1 or leaves[0].sort != "R":
        return ()
    far = leaves[0].other(net)
    controls = {item.control for item in work.view.transistors}
    return () if far in controls or work.still(far) else (far,)


def _is_touched(work: Gathering, net: str) -> bool:
    """Something that is not the stage's own hangs on the net."""
    pins = {ref for ref, _ in work.view.active_pins.get(net, ()) if work.view.family[ref] != "optocoupler"}
    return (
        bool(pins - work.cluster.refs)
        or net in work.view.ports
        or any(leaf.name not in work.found for leaf in work.view.on(net))
    )


@dataclass(frozen=True, kw_only=True)
class _Base:
    """How the signal reaches the base: `inputs` empty and `inner` true when nothing from outside does."""

    inputs: tuple[str, ...]
    inner: bool
    through: tuple[Leaf, ...] = ()
    bias: tuple[Leaf, ...] = ()


def _base(work: Gathering) -> _Base:
    control = work.cluster.control
    if work.still(control):
        return _Base(inputs=(), inner=False)
    pins = {ref for ref, _ in work.view.active_pins.get(control, ())}
    loose = [leaf for leaf in work.view.on(control) if leaf.name not in work.found]
    bias = [leaf for leaf in loose if work.still(leaf.other(control)) and leaf.sort != "D"]
    bottoms = {item.bottom for item in work.view.transistors} - set(work.own)
    coming = [leaf for leaf in loose if not work.still(leaf.other(control))]
    # Direct current from the emitter of the next transistor is no way in for the signal.
    returns = [leaf for leaf in coming if leaf.sort == "R" and leaf.other(control) in bottoms]
    through = [leaf for leaf in coming if leaf not in returns]
    stops = (bool(through) or not returns) and all(leaf.sort == "R" for leaf in through)
    stops = stops and not _divides(work, through, bias)
    private = not pins - work.cluster.refs and control not in work.view.ports and control not in work.own
    if not (private and stops):
        return _Base(inputs=(control,), inner=False)
    inputs = tuple(dict.fromkeys(leaf.other(control) for leaf in (*through, *returns)))
    return _Base(inputs=inputs, inner=True, through=tuple(through), bias=(*bias, *returns))


def _divides(work: Gathering, through: list[Leaf], bias: list[Leaf]) -> bool:
    """No mere stopper leads to the base: a knob's wiper is on it, or a good part of the signal is lost."""
    view = work.view
    if any(
        leaf.variable and len(set(view.knob_nets(view.circuit.by_ref[leaf.ref]))) == 3
        for leaf in through
        if view.family[leaf.ref] == "knob"
    ):
        return True
    down = sum(1.0 / leaf.value for leaf in bias if leaf.sort == "R")
    up = sum(1.0 / leaf.value for leaf in through if leaf.sort == "R")
    return bool(up) and down > STOPPER_SHARE * up


def _assembled(
    work: Gathering,
    top_nets: tuple[str, ...],
    bottom_nets: tuple[str, ...],
    touched: list[str],
    back: tuple[str, ...],
    base: _Base,
    series: frozenset[str],
) -> TransistorNetwork:
    output = _output(work, top_nets, bottom_nets, touched)
    spare = [net for net in touched if net != output]
    inputs = tuple(dict.fromkeys((*base.inputs, *back, *spare)))
    inner = {*work.own, *work.inner, *((work.cluster.control,) if base.inner else ())} - {output, *inputs}
    places = {name: _place(work, ends, top_nets, bottom_nets, back) for name, (_, ends) in work.found.items()}
    places |= {name: "series" for name, (_, ends) in work.found.items() if ends & series}
    places |= {leaf.name: "base" for leaf in base.through} | {leaf.name: "bias" for leaf in base.bias}
    leaves = [leaf for leaf, _ in work.found.values()] + [*base.through, *base.bias]
    return TransistorNetwork(
        cluster=work.cluster,
        edges=tuple(_edge(work, leaf) for leaf in leaves),
        places=places,
        output=output,
        inputs=inputs,
        inner=tuple(sorted(inner)),
        top_nets=top_nets,
        bottom_nets=bottom_nets,
        touched=frozenset(touched),
        fed=_top_is_fed(work),
    )


def _edge(work: Gathering, leaf: Leaf) -> Edge:
    a, b = (GROUND if work.still(net) else net for net in (leaf.a, leaf.b))
    return Edge(a, b, leaf)


def _output(
    work: Gathering, top_nets: tuple[str, ...], bottom_nets: tuple[str, ...], touched: list[str]
) -> str:
    """Where the signal leaves: the collector before its tap, the collector side before the emitter side."""
    cluster = work.cluster
    preferred = [*top_nets, *bottom_nets, *cluster.middles, *work.own]
    moving = [net for net in preferred if not work.still(net)]
    return next((net for net in moving if net in touched), moving[0])


def _top_is_fed(work: Gathering) -> bool:
    """The collector or drain is led to another steady net than the emitter, or to a transistor or
    amplifier.
    """
    top = work.cluster.top
    below = resting_nets(work.view, work.classes, work.cluster.bottom)
    lead = work.cluster.lead.ref
    if work.still(top) or resting_nets(work.view, work.classes, top, past=lead) - below:
        return True
    pins = work.view.active_pins.get(top, ())
    sources = {(item.ref, pin) for item in work.view.transistors for pin in ("c", "d", "e", "s")}
    fed_by_chip = any(work.view.family[ref] == "opamp" for ref, _ in pins)
    return fed_by_chip or any(pin in sources and pin[0] not in work.cluster.refs for pin in pins)


def _place(
    work: Gathering,
    ends: frozenset[str],
    top_nets: tuple[str, ...],
    bottom_nets: tuple[str, ...],
    back: tuple[str, ...],
) -> str:
    top, bottom = bool(ends & set(top_nets)), bool(ends & set(bottom_nets))
    if ends & work.steps:
        return "step"
    if ends & set(back):
        return "return"
    if work.cluster.control in ends and not work.still(work.cluster.control):
        return "bootstrap" if bottom and not top else "bridge"
    if top and bottom:
        return "across"
    return "top" if top or not bottom else "bottom"
