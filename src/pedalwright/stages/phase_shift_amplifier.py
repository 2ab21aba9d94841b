"""Sine oscillators around one operational amplifier: the phase-shift ladder, and the Wien bridge.

Both are told as phase-shift oscillators: a network of resistors and capacitors brings the output back in
step at one frequency only, and the amplifier makes up for what it loses there. The frequency is found from
the nodal equations of the network's own parts, the book's formula stands beside it where all sections are
alike.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.oscillator import three_high_pass_sections, three_low_pass_sections, wien_bridge_hz
from pedalwright.stages.amplifier_says import role_of, section_of
from pedalwright.stages.amplifier_shape import Words, negative_inner, propose
from pedalwright.stages.behaviour import at_hz
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, Series, passes_dc, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.edges import Edge
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.stage import ComplexArray, Number, Proposal, Stage
from pedalwright.stages.wording import hz, plain_resistance, times

KIND_NAME = "phase-shift-oscillator"
LADDER_SOURCE = (
    "Gayakwad, Op-Amps and Linear Integrated Circuits, ch. 7; Floyd, Electronic Devices, ch. 16: needed "
    "gain 29"
)
WIEN_SOURCE = (
    "Floyd, Electronic Devices, ch. 16; Boylestad and Nashelsky, ch. 14: f = 1/(2 pi R C), needed gain 3"
)
NODAL = "nodal equations of the stage's own parts (Barkhausen's condition)"
PHASE: Words = {
    "R": "phase-shift resistor",
    "C": "phase-shift capacitor",
    "L": "network part",
    "D": "limiting diode",
    "knob": "rate knob",
}
GAIN: Words = {
    "R": "feedback resistor",
    "C": "feedback capacitor",
    "L": "network part",
    "D": "limiting diode",
    "knob": "gain knob",
}
WORDS = {"phase": PHASE, "gain": GAIN, "ground": GAIN}
ROLES: Mapping[str, str] = {
    "amplifier": "makes up for what the network loses",
    "phase-shift capacitor": "turns the phase, with its resistor",
    "phase-shift resistor": "turns the phase, with its capacitor",
    "rate knob": "moves the frequency",
    "feedback resistor": "sets the gain",
    "feedback capacitor": "steadies the amplifier",
    "gain knob": "sets the gain in hand",
    "limiting diode": "holds the amplitude",
}
ALIKE = 1.05
"""sections that differ by no more than this are equal enough for the book's formula (house rule, no source)
"""
SEARCH_HZ = (1e-3, 1e5)
SEARCH_POINTS = 1601


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """Where the way round is in step: frequency [Hz], and the gain there against the one needed [-]."""

    frequency_hz: float
    gain_in_hand: float


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier that nothing drives and whose network brings its output back in step at one
    frequency.
    """
    for network in claimed.networks():
        branches = _ladder(network) or _wien(network)
        if branches is not None and balance_of(network) is not None:
            yield propose(claimed, network, KIND_NAME, branches, WORDS, inputs=())


def is_amplifier(stage: Stage) -> bool:
    """True for the oscillators of this module: those with an amplifier section rather than a transistor."""
    return bool(stage.with_role("amplifier"))


def _ladder(network: AmplifierNetwork) -> dict[str, tuple[Branch, ...]] | None:
    """Feedback of resistance, and from the output a ladder with three capacitors or more to the inverting
    input.
    """
    amp, gain = network.amplifier, network.feedback
    inner = negative_inner(network)
    if not network.non_still or network.inputs or gain is None or len(inner) < 2 or amp.inv == amp.out:
        return None
    if not passes_dc(gain):
        return None
    phase = [edge.branch for edge in network.edges if {edge.a, edge.b} != {amp.inv, amp.out}]
    made_of = {sort for branch in phase for sort in sorts(branch)}
    capacitors = {leaf.ref for branch in phase for leaf in branch.leaves() if leaf.sort == "C"}
    if made_of != {"R", "C"} or len(capacitors) < 3:
        return None
    return {"phase": tuple(phase), "gain": (gain,)}


def _wien(network: AmplifierNetwork) -> dict[str, tuple[Branch, ...]] | None:
    """At the non-inverting input a series R-C from the output and a parallel R-C to ground."""
    amp = network.amplifier
    onward, down = network.joined(amp.non, amp.out), network.joined(amp.non, GROUND)
    gain, ground = network.feedback, network.shunt
    if network.inputs or network.inner or None in (onward, down, gain, ground) or amp.inv == amp.out:
        return None
    assert onward is not None and down is not None and gain is not None and ground is not None
    right = (
        isinstance(onward, Series) and not passes_dc(onward) and sorts(onward) == sorts(down) == {"R", "C"}
    )
    if not right or not passes_dc(down) or not passes_dc(gain):
        return None
    return {"phase": (onward, down), "gain": (gain,), "ground": (ground,)}


def balance_of(network: AmplifierNetwork) -> Balance | None:
    """The frequency at which the loop is in step, from the network's own parts; None when there is none."""
    points = np.geomspace(*SEARCH_HZ, SEARCH_POINTS)
    ratio = _loop(network, at_hz(points))
    forward = (ratio.real[:-1] > 0) & (ratio.real[1:] > 0)
    turns = np.nonzero((np.diff(np.sign(ratio.imag)) != 0) & forward)[0]
    if not len(turns):
        return None
    place = max(turns, key=lambda at: ratio.real[at])
    low, high = points[place], points[place + 1]
    sign = np.sign(ratio.imag[place])
    for _ in range(60):
        middle = float(np.sqrt(low * high))
        if np.sign(_loop(network, at_hz([middle])).imag[0]) == sign:
            low = middle
        else:
            high = middle
    found = _loop(network, at_hz([float(low)]))
    return Balance(frequency_hz=float(low), gain_in_hand=float(found.real[0]))


def _loop(network: AmplifierNetwork, s: ComplexArray) -> ComplexArray:
    """The way round: what the network brings back times what the amplifier makes of it; 1 is balance."""
    amp, gain = network.amplifier, network.feedback
    assert gain is not None
    if network.non_still:
        return -gain.impedance(s) * _short_current(network, s)
    ground, onward, down = network.shunt, network.joined(amp.non, amp.out), network.joined(amp.non, GROUND)
    assert ground is not None and onward is not None and down is not None
    back = down.impedance(s) / (down.impedance(s) + onward.impedance(s))
    return back * (1.0 + gain.impedance(s) / ground.impedance(s))


def _short_current(network: AmplifierNetwork, s: ComplexArray) -> ComplexArray:
    """Current into the inverting input, held still, for one volt at the output, through the ladder alone."""
    amp = network.amplifier
    edges = [edge for edge in network.edges if {edge.a, edge.b} != {amp.inv, amp.out}]
    nets = sorted({net for edge in edges for net in (edge.a, edge.b)} - {amp.inv, amp.out, GROUND})
    column = {net: place for place, net in enumerate(nets)}
    matrix = np.zeros((len(s), len(nets), len(nets)), dtype=complex)
    right = np.zeros((len(s), len(nets), 1), dtype=complex)
    for edge in edges:
        _stamp(edge, 1.0 / edge.branch.impedance(s), column, amp.out, matrix, right)
    volts = np.linalg.solve(matrix, right)[:, :, 0]
    total = np.zeros_like(s)
    for edge in edges:
        if amp.inv in (edge.a, edge.b) and edge.other(amp.inv) in column:
            total = total + volts[:, column[edge.other(amp.inv)]] / edge.branch.impedance(s)
    return total


def _stamp(
    edge: Edge,
    admittance: ComplexArray,
    column: Mapping[str, int],
    output: str,
    matrix: ComplexArray,
    right: ComplexArray,
) -> None:
    for here, far in ((edge.a, edge.b), (edge.b, edge.a)):
        if here not in column:
            continue
        row = column[here]
        matrix[:, row, row] += admittance
        if far in column:
            matrix[:, row, column[far]] -= admittance
        elif far == output:
            right[:, row, 0] += admittance


def by_the_book(stage: Stage) -> float | None:
    """The book's frequency in hertz for alike sections, or None."""
    leaves = [leaf for branch in stage.branches["phase"] for leaf in branch.leaves()]
    farads = [leaf.value for leaf in leaves if leaf.sort == "C"]
    ohms = _resistances(stage)
    if not ohms or max(ohms) > ALIKE * min(ohms) or max(farads) > ALIKE * min(farads):
        return None
    each_ohms, each_farads = float(np.mean(ohms)), float(np.mean(farads))
    if "ground" in stage.branches:
        return wien_bridge_hz(each_ohms, each_farads)
    if len(farads) != 3 or len(ohms) not in (3, 4):
        return None
    if _leads(stage):
        return three_high_pass_sections(each_ohms, each_farads).frequency_hz
    return three_low_pass_sections(each_ohms, each_farads).frequency_hz if len(ohms) == 3 else None


def _resistances(stage: Stage) -> list[float]:
    found: dict[str, float] = {}
    for branch in stage.branches["phase"]:
        parts = [leaf for leaf in branch.leaves() if leaf.sort == "R"]
        if parts:
            found["+".join(leaf.name for leaf in parts)] = plain_resistance(branch)
    return list(found.values())


def _leads(stage: Stage) -> bool:
    """A ladder whose capacitors stand in the row: the first part on the output is a capacitor."""
    at_output = [
        leaf
        for branch in stage.branches["phase"]
        for leaf in branch.leaves()
        if stage.output in (leaf.a, leaf.b)
    ]
    return any(leaf.sort == "C" for leaf in at_output)


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Frequency and gain in hand."""
    found = balance_of(bench.networks[section_of(stage, bench).ref])
    book = by_the_book(stage)
    source = WIEN_SOURCE if "ground" in stage.branches else LADDER_SOURCE
    if found is None:
        return ()
    rate = Number(name="frequency", unit="Hz", closed=found.frequency_hz, full=None, source=NODAL)
    if book is not None:
        rate = Number(name="frequency", unit="Hz", closed=book, full=None, source=source)
    hand = Number(
        name="gain in hand",
        unit="x",
        closed=found.gain_in_hand,
        full=None,
        source=NODAL,
        note="it swings by itself when this is above one",
    )
    return (rate, hand)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    found = balance_of(bench.networks[section_of(stage, bench).ref])
    if "ground" in stage.branches:
        says = (
            "A Wien-bridge oscillator: at one frequency the resistors and capacitors bring a third of "
            "the output back in step to the non-inverting input, and the amplifier makes three times of "
            "it."
        )
    else:
        says = (
            "A phase-shift oscillator: at one frequency the ladder of resistors and capacitors turns the "
            "phase by half a turn, the inverting amplifier by the other half, and the signal arrives "
            "back in step."
        )
    if found is None:
        return says
    said = (
        f"{says} That frequency is {hz(found.frequency_hz)}; there is {found.gain_in_hand:.3g} times the "
        "gain it needs"
    )
    return f"{said}: it {'swings' if found.gain_in_hand > 1 else 'stays at rest'}."


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role = role_of(stage, ref)
    found = balance_of(bench.networks[section_of(stage, bench).ref])
    now = f" Now {hz(found.frequency_hz)}." if found is not None else ""
    hand = f" Now {times(found.gain_in_hand)} of what is needed." if found is not None else ""
    words = {
        "phase-shift capacitor": f"One part of the network that turns the phase. Larger: slower.{now}",
        "phase-shift resistor": f"One part of the network that turns the phase. Larger: slower.{now}",
        "rate knob": f"Moves the frequency; the gain needed moves a little with it.{now}",
        "feedback resistor": (
            f"Sets the gain: a little more than needed starts the swing, much more flattens its tops.{hand}"
        ),
        "gain knob": f"Sets the gain in hand: as little as will start it gives the roundest wave.{hand}",
        "limiting diode": "Lowers the gain as the swing grows, so that its tops stay round.",
        "feedback capacitor": "Keeps the amplifier steady at high frequencies.",
    }
    return words.get(role, "Makes up for what the network loses, so that the swing keeps itself going.")


SOURCES = (LADDER_SOURCE, WIEN_SOURCE)
