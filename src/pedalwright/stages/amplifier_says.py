"""What the kinds of amplifier stages say alike: lists of parts, corners of a branch, a knob's ends."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from math import pi

import numpy as np

from pedalwright.stages.active_loop import transistors_in_loop
from pedalwright.stages.behaviour import at_hz
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, Leaf, Parallel, Series, passes_dc
from pedalwright.stages.edges import Edge
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.stage import ComplexArray, Number, Stage
from pedalwright.stages.view import Amplifier
from pedalwright.stages.wording import (
    capacitor_across,
    capacitor_in,
    hz,
    listed,
    named,
    plain_resistance,
    times,
)

CORNER = "f = 1/(2 pi R C), textbook"
LOWEST_HEARD_HZ, HIGHEST_HEARD_HZ = 20.0, 20e3
"""limits of hearing (common practice, no source)"""
END_OHMS = 1.0
"""what is left of a knob's track at its end stop, as in the device's own model"""


def role_of(stage: Stage, ref: str) -> str:
    """The role word of one part in a stage; an empty string when it has none there."""
    return next((member.role for member in stage.roles if member.ref == ref), "")


def names_of(stage: Stage, bench: Bench, *branches: str) -> str:
    """The parts of some branches with their values, as a list in words."""
    refs = dict.fromkeys(
        leaf.ref for name in branches for branch in stage.branches.get(name, ()) for leaf in branch.leaves()
    )
    return listed([named(bench, ref) for ref in refs])


def with_roles(stage: Stage, bench: Bench, *roles: str) -> str:
    """The parts that have one of some roles, with their values, as a list in words."""
    refs = [member.ref for member in stage.roles if member.role in roles]
    return listed([named(bench, ref) for ref in refs])


def section_of(stage: Stage, bench: Bench) -> Amplifier:
    """The amplifier section of a stage."""
    ref = stage.with_role("amplifier")[0]
    return next(amp for amp in bench.view.amplifiers if amp.ref == ref)


def chip_word(stage: Stage, bench: Bench) -> str:
    """A sentence on which of the echo chip's own amplifiers this is; empty for others."""
    role = section_of(stage, bench).role
    if role == "input-filter":
        return (
            " This is the echo chip's own input amplifier: what the chip cannot follow must go before it "
            "is turned into bits."
        )
    if role == "output-filter":
        return (
            " This is the echo chip's own output amplifier: it smooths the steps and the clock left over "
            "from the memory."
        )
    return ""


def inner_transistors(stage: Stage, bench: Bench) -> str:
    """A sentence on transistors inside the loop, when what they drive is the stage's output; else empty."""
    amp = section_of(stage, bench)
    if amp.out == stage.output:
        return ""
    refs = listed(list(transistors_in_loop(bench.view, bench.classes, amp)))
    if not refs:
        return ""
    return f" With {refs} inside the loop the output is stronger; the amplifier makes up for their losses."


def corner_hz(ohms: float, farads: float) -> float:
    """Corner of a resistance and a capacitance in hertz; infinite when either is nothing."""
    return 1.0 / (2 * pi * ohms * farads) if ohms > 0 and farads > 0 else float("inf")


def bass_corner_hz(branch: Branch) -> float | None:
    """Where a capacitor in series with the branch's resistance begins to hold the bass back."""
    leaf = capacitor_in(branch)
    if leaf is None or passes_dc(branch):
        return None
    return corner_hz(plain_resistance(branch), leaf.value)


def treble_corner_hz(branch: Branch) -> float | None:
    """Where a capacitor across the branch's resistance begins to short it."""
    leaf = capacitor_across(branch)
    return None if leaf is None else corner_hz(plain_resistance(branch), leaf.value)


def corner_numbers(bass: Branch | None, treble: Branch | None) -> tuple[Number, ...]:
    """The bass corner of one branch and the treble corner of another, where they have one."""
    found = []
    for name, corner in (
        ("bass corner", bass_corner_hz(bass) if bass else None),
        ("treble corner", treble_corner_hz(treble) if treble else None),
    ):
        if corner is not None and corner != float("inf"):
            found.append(Number(name=name, unit="Hz", closed=corner, full=None, source=CORNER))
    return tuple(found)


def corner_words(bass: Branch | None, treble: Branch | None) -> str:
    """The same corners as a sentence; empty when there are none."""
    words = []
    low = bass_corner_hz(bass) if bass else None
    high = treble_corner_hz(treble) if treble else None
    if low is not None:
        heard = f"bass falls below {hz(low)}"
        words.append(
            heard if low > LOWEST_HEARD_HZ else (f"the bass passes whole (corner {hz(low)}, below hearing)")
        )
    if high is not None and high != float("inf"):
        heard = f"treble falls above {hz(high)}"
        words.append(
            heard
            if high < HIGHEST_HEARD_HZ
            else (f"the treble passes whole (corner {hz(high)}, above hearing)")
        )
    return f" With these capacitors {listed(words)}." if words else ""


def knob_span(stage: Stage, ref: str, bench: Bench, gain: Callable[[Stage], float]) -> str:
    """What a knob does from one end to the other, as gains."""
    low, high = (gain(swept(stage, ref, bench, turn)) for turn in (0.0, 1.0))
    return (
        f"From 0 to 10 it moves the gain from {times(low)} to {times(high)}; now it is {times(gain(stage))}."
    )


def knob_ranges(stage: Stage, bench: Bench, gain: Callable[[Stage], float]) -> str:
    """How far each gain knob moves the gain, for the stage's own sentence; empty without one."""
    said = []
    for ref in stage.with_role("gain knob"):
        ends = [abs(gain(swept(stage, ref, bench, turn))) for turn in (0.0, 1.0)]
        if all(0 < size < float("inf") for size in ends):
            said.append(f" {ref} takes the gain from {times(min(ends))} to {times(max(ends))}.")
    return "".join(said)


def swept(stage: Stage, ref: str, bench: Bench, turn: float) -> Stage:
    """The stage with one knob at an end of its way: `turn` 0 or 1."""
    track = bench.view.circuit.by_ref[ref].value or 0.0
    below = END_OHMS + turn * (track - 2 * END_OHMS)
    values = {f"{ref}.1-2": below, f"{ref}.2-3": track - below}
    branches = {
        name: tuple(revalued(branch, values) for branch in group) for name, group in stage.branches.items()
    }
    return replace(stage, branches=branches)


def revalued(branch: Branch, values: Mapping[str, float]) -> Branch:
    """A branch with some of its parts at other values, by the name of the part."""
    if isinstance(branch, Leaf):
        return replace(branch, value=values.get(branch.name, branch.value))
    links = tuple(revalued(link, values) for link in branch.links)
    return Series(links) if isinstance(branch, Series) else Parallel(links)


def leaf_named(stage: Stage, ref: str) -> Leaf | None:
    """The first two-terminal thing of a part in a stage's branches."""
    leaves = (leaf for group in stage.branches.values() for branch in group for leaf in branch.leaves())
    return next((leaf for leaf in leaves if leaf.ref == ref), None)


def branch_with(stage: Stage, ref: str) -> Branch | None:
    """The branch a part stands in."""
    for group in stage.branches.values():
        for branch in group:
            if any(leaf.ref == ref for leaf in branch.leaves()):
                return branch
    return None


def blocking_words(stage: Stage, ref: str) -> str:
    """What a dc-blocking capacitor does in its branch, with its corner."""
    branch, leaf = branch_with(stage, ref), leaf_named(stage, ref)
    if branch is None or leaf is None:
        return "Keeps the resting voltages of the two stages apart."
    corner = corner_hz(plain_resistance(branch), leaf.value)
    if corner == float("inf"):
        return "Keeps the resting voltages of the two stages apart."
    return (
        "Keeps the resting voltages of the two stages apart; with this input's resistor, bass falls "
        f"below {hz(corner)}."
    )


LEVEL_POINTS_HZ = (82.4, 1000.0, 5000.0)
"""lowest string of a guitar, middle, and where its treble still has strength"""


def levels_words(gain: Callable[[ComplexArray], ComplexArray]) -> str:
    """One sentence with the gain at three frequencies, in decibels."""
    sizes = np.abs(gain(at_hz(LEVEL_POINTS_HZ)))
    levels = [
        f"{_signed_db(size)} at {hz(point)}" if size > 0 else f"nothing at {hz(point)}"
        for size, point in zip(sizes, LEVEL_POINTS_HZ, strict=True)
    ]
    return f"As the knobs stand it gives {listed(levels)}."


def _signed_db(size: float) -> str:
    level = f"{20 * np.log10(size):+.1f}"
    return "0.0 dB" if level in ("+0.0", "-0.0") else f"{level} dB"


def end_shares(network: AmplifierNetwork, ref: str, bench: Bench, turn: float) -> tuple[Edge, ...]:
    """The network's branches with one knob at an end of its way: `turn` 0 or 1."""
    track = bench.view.circuit.by_ref[ref].value or 0.0
    below = END_OHMS + turn * (track - 2 * END_OHMS)
    values = {f"{ref}.1-2": below, f"{ref}.2-3": track - below}
    return revalued_edges(network.edges, values)


def revalued_edges(edges: Iterable[Edge], values: Mapping[str, float]) -> tuple[Edge, ...]:
    """Branches with some of their parts at other values; those without such parts as they are."""
    return tuple(
        Edge(edge.a, edge.b, revalued(edge.branch, values))
        if any(leaf.name in values for leaf in edge.branch.leaves())
        else edge
        for edge in edges
    )
