"""Exact small-signal gain of a transistor stage with its own parts: closed forms for plain shapes, nodes for
the rest.

A transistor is its hybrid-pi at rest: gm, gpi (control to bottom), go (top to bottom), gmu (control to top);
device
capacitances are left to the full circuit.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.hybrid_pi import emitter_stage, follower_stage
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, conducts
from pedalwright.stages.edges import Edge, reduce_edges
from pedalwright.stages.ideal import transistor_conductance
from pedalwright.stages.stage import Transfer
from pedalwright.stages.transistor_network import TransistorNetwork
from pedalwright.stages.view import Transistor

ComplexArray = NDArray[np.complex128]
Enter = Callable[[str, str, ComplexArray | float], None]
CONDUCTANCES = ("gm", "gpi", "go", "gmu")
HYBRID_PI = (
    "P. Gray et al., Analysis and Design of Analog Integrated Circuits, ch. 1 and 3 (hybrid-pi, from memory)"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Current:
    """A current from net `a` to net `b`, `siemens` times the voltage from `plus` to `minus`; ``gnd`` is
    steady.
    """

    name: str
    siemens: float
    a: str
    b: str
    plus: str
    minus: str


def hybrid_pi(bench: Bench, transistor: Transistor) -> tuple[Current, ...]:
    """The conductances of one transistor that are not nothing."""
    control, top, bottom = (
        GROUND if bench.classes.is_still(net) else net
        for net in (transistor.control, transistor.top, transistor.bottom)
    )
    ends = {
        "gm": (top, bottom, control, bottom),
        "gpi": (control, bottom, control, bottom),
        "go": (top, bottom, top, bottom),
        "gmu": (control, top, control, top),
    }
    found = []
    for name in CONDUCTANCES:
        siemens = transistor_conductance(bench, transistor, name)
        a, b, plus, minus = ends[name]
        if siemens and a != b and plus != minus:
            found.append(
                Current(name=f"{transistor.ref}/{name}", siemens=siemens, a=a, b=b, plus=plus, minus=minus)
            )
    return tuple(found)


def currents_of(bench: Bench, network: TransistorNetwork) -> tuple[Current, ...]:
    """The conductances of every transistor of a stage."""
    return tuple(item for transistor in network.cluster.transistors for item in hybrid_pi(bench, transistor))


def live_edges(network: TransistorNetwork, currents: Iterable[Current]) -> tuple[Edge, ...]:
    """The parts small signals reach: no diodes, and nothing that hangs from an inner net without another way
    on.
    """
    edges = [edge for edge in network.edges if conducts(edge.branch)]
    currents = tuple(currents)
    held = {net for current in currents for net in (current.a, current.b, current.plus, current.minus)}
    held |= {network.output, *network.inputs}
    while True:
        counts: dict[str, int] = {}
        for edge in edges:
            for net in {edge.a, edge.b}:
                counts[net] = counts.get(net, 0) + 1
        loose = {net for net in network.inner if counts.get(net, 0) == 1 and net not in held}
        if not loose:
            return tuple(edges)
        edges = [edge for edge in edges if edge.a not in loose and edge.b not in loose]


def transistor_transfer(bench: Bench, network: TransistorNetwork) -> Transfer | None:
    """The claim of a transistor stage; None when its operating point is not known."""
    currents = currents_of(bench, network)
    if not currents:
        return None
    edges = live_edges(network, currents)
    driven = {GROUND, *network.inputs}
    members = {leaf.name for edge in edges if not {edge.a, edge.b} <= driven for leaf in edge.branch.leaves()}
    members -= _stoppers(network, edges, currents)
    members |= {current.name for current in currents if not {current.a, current.b} <= driven}
    plain = _plain(bench, network, edges)

    def both(s: ComplexArray) -> tuple[tuple[ComplexArray, ...], ComplexArray]:
        return plain.solve(s) if plain is not None else nodal(network, edges, currents, s)

    return Transfer(
        inputs=network.inputs,
        output=network.output,
        gains=lambda s: both(s)[0],
        output_ohms=lambda s: both(s)[1],
        members=frozenset(members),
        formula=plain.formula if plain is not None else "nodal equations of the stage's own parts",
        source=HYBRID_PI,
    )


def _stoppers(network: TransistorNetwork, edges: Iterable[Edge], currents: Iterable[Current]) -> set[str]:
    """Parts that alone lead to a gate: no current flows in them, and their value moves nothing."""
    edges, drawing = tuple(edges), {net for current in currents for net in (current.a, current.b)}
    alone = set()
    for net in set(network.inner) - drawing:
        here = [edge for edge in edges if net in (edge.a, edge.b)]
        if len(here) == 1:
            alone |= {leaf.name for leaf in here[0].branch.leaves()}
    return alone


@dataclass(frozen=True, kw_only=True)
class PlainStage:
    """A stage of one transistor whose parts reduce to one branch each."""

    siemens: Mapping[str, float]
    load: Branch | None
    emitter: Branch | None
    bridge: Branch | None
    at_bottom: bool

    @property
    def formula(self) -> str:
        """The closed form in words of the trade."""
        if self.at_bottom:
            return "H = (gm + gpi) / (gm + gpi + go + 1/Ze)"
        return "H = -(gm - go gpi Ze - Yb D) / (D (1/Zl + Yb) + go (1 + gpi Ze)), D = 1 + (gm + gpi + go) Ze"

    def solve(self, s: ComplexArray) -> tuple[tuple[ComplexArray, ...], ComplexArray]:
        """Gain and output impedance at complex frequencies."""
        gm, gpi, go, gmu = (self.siemens[name] for name in CONDUCTANCES)
        if self.at_bottom:
            found = follower_stage(gm=gm, gpi=gpi, go=go, emitter_siemens=_siemens(self.emitter, s))
            return (found.gain,), found.output_ohms
        emitter_ohms = np.zeros_like(s) if self.emitter is None else self.emitter.impedance(s)
        found = emitter_stage(
            gm=gm,
            gpi=gpi,
            go=go,
            load_siemens=_siemens(self.load, s),
            emitter_ohms=emitter_ohms,
            bridge_siemens=_siemens(self.bridge, s) + gmu,
        )
        return (found.gain,), found.output_ohms


def _siemens(branch: Branch | None, s: ComplexArray) -> ComplexArray:
    return np.zeros_like(s) if branch is None else 1.0 / branch.impedance(s)


def _plain(bench: Bench, network: TransistorNetwork, edges: tuple[Edge, ...]) -> PlainStage | None:
    """The stage in branches, when one formula covers it: one transistor, one input, no inner net but the
    emitter.
    """
    cluster = network.cluster
    lead = cluster.lead
    if cluster.shape != "single" or network.inputs != (cluster.control,):
        return None
    reduced, inner = reduce_edges(list(edges), set(network.inner) - {cluster.top, cluster.bottom})
    top, bottom = (GROUND if bench.classes.is_still(net) else net for net in (lead.top, lead.bottom))
    at_bottom = network.output == bottom
    if inner or network.output not in (top, bottom) or (at_bottom and top != GROUND):
        return None
    between = {frozenset((edge.a, edge.b)): edge.branch for edge in reduced}
    used = {frozenset((bottom, GROUND))}
    if not at_bottom:
        used |= {frozenset((top, GROUND)), frozenset((top, cluster.control))}
    if set(between) - used or (
        not at_bottom and bottom != GROUND and frozenset((bottom, GROUND)) not in between
    ):
        return None
    return PlainStage(
        siemens={name: transistor_conductance(bench, lead, name) for name in CONDUCTANCES},
        load=None if at_bottom else between.get(frozenset((top, GROUND))),
        emitter=between.get(frozenset((bottom, GROUND))) if bottom != GROUND else None,
        bridge=None if at_bottom else between.get(frozenset((top, cluster.control))),
        at_bottom=at_bottom,
    )


def nodal(
    network: TransistorNetwork, edges: Iterable[Edge], currents: Iterable[Current], s: ComplexArray
) -> tuple[tuple[ComplexArray, ...], ComplexArray]:
    """Gain from every input to the output, and the impedance behind the output, by the nodal equations."""
    matrix, right, column = nodal_equations(network, edges, currents, s)
    solution: ComplexArray = np.asarray(np.linalg.solve(matrix, right), dtype=np.complex128)
    row = column[network.output]
    count = len(network.inputs)
    gains: list[ComplexArray] = [solution[:, row, place] for place in range(count)]
    output_ohms: ComplexArray = solution[:, row, count]
    return tuple(gains), output_ohms


def nodal_equations(
    network: TransistorNetwork, edges: Iterable[Edge], currents: Iterable[Current], s: ComplexArray
) -> tuple[ComplexArray, ComplexArray, Mapping[str, int]]:
    """Matrix (frequencies, nets, nets), right sides (frequencies, nets, inputs + 1) and the row of every
    unknown net.

    The last right side is one ampere into the output.
    """
    edges, currents = tuple(edges), tuple(currents)
    nets = {net for edge in edges for net in (edge.a, edge.b)}
    nets |= {net for current in currents for net in (current.a, current.b)}
    unknown = sorted((nets & set(network.inner)) | {network.output})
    column = {net: place for place, net in enumerate(unknown)}
    source = {net: place for place, net in enumerate(network.inputs)}
    matrix = np.zeros((len(s), len(unknown), len(unknown)), dtype=complex)
    right = np.zeros((len(s), len(unknown), len(source) + 1), dtype=complex)
    right[:, column[network.output], len(source)] = 1.0

    def enter(row: str, net: str, siemens: ComplexArray | float) -> None:
        if row not in column or net == GROUND:
            return
        if net in column:
            matrix[:, column[row], column[net]] += siemens
        elif net in source:  # a pin left open moves nothing
            right[:, column[row], source[net]] -= siemens

    for edge in edges:
        siemens = 1.0 / edge.branch.impedance(s)
        _enter_current(enter, edge.a, edge.b, edge.a, edge.b, siemens)
    for current in currents:
        _enter_current(enter, current.a, current.b, current.plus, current.minus, current.siemens)
    return matrix, right, column


def _enter_current(
    enter: Enter, a: str, b: str, plus: str, minus: str, siemens: ComplexArray | float
) -> None:
    for row, sign in ((a, 1.0), (b, -1.0)):
        enter(row, plus, sign * siemens)
        enter(row, minus, -sign * siemens)
