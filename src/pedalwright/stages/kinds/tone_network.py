"""The passive tone network: resistors, capacitors and knobs that can only take away, each knob from another
part of the tone.

Three shapes are found: ways side by side that meet at a knob (low and high to its two ends, or the three-knob
stack); a capacitor and a knob in a row to ground; a knob in the way of the signal with a capacitor to ground
behind it. Whatever the shape, the closed form is the exact reduction of its own parts.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import log10, pi

import numpy as np

from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.interstage import Interstage, one_each
from pedalwright.stages.kinds._tone_network_examples import EXAMPLES, NEAR_MISSES
from pedalwright.stages.passive import NODAL, Reduced, network_transfer
from pedalwright.stages.stage import Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.supplies import role_of
from pedalwright.stages.view import View
from pedalwright.stages.wording import farads, named, ohms

KIND_NAME = "tone-network"
WORDS = {
    "R": "tone resistor",
    "C": "tone capacitor",
    "L": "tone inductor",
    "D": "",
    "knob": "tone knob",
}
TOLD_AT_HZ = (80.0, 600.0, 5000.0)
BANDS = ("bass (80 Hz)", "middle (600 Hz)", "treble (5 kHz)")


@dataclass(frozen=True, slots=True)
class _Shape:
    """The parts of one tone network and where the signal leaves it."""

    leaves: tuple[Leaf, ...]
    output: str


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Ways side by side that meet at a knob, then single treble cuts."""
    inter = Interstage(claimed)
    used: set[str] = set()
    # A small ring that hangs on a larger one is part of that.
    rings = sorted(_rings(inter), key=lambda shape: -len(shape.leaves))
    for shape in (*rings, *_cuts(inter)):
        refs = {leaf.ref for leaf in shape.leaves}
        if not refs & used:
            used |= refs
            yield _proposal(inter, shape)


def _rings(inter: Interstage) -> Iterable[_Shape]:
    for block in inter.blocks():
        if _is_tone(inter, block):
            yield _ring_shape(inter, block)


def _is_tone(inter: Interstage, block: tuple[Leaf, ...]) -> bool:
    view = inter.claimed.view
    knobs = {leaf.ref for leaf in block if view.family[leaf.ref] == "knob"}
    loose = [
        ref for ref in knobs if not any(inter.still(net) for net in view.knob_nets(view.circuit.by_ref[ref]))
    ]
    reactive = any(leaf.sort in "CL" for leaf in block)
    return bool(loose) and reactive and all(leaf.sort in "RCL" for leaf in block)


def _ring_shape(inter: Interstage, block: tuple[Leaf, ...]) -> _Shape:
    nets = dict.fromkeys(net for leaf in block for net in (leaf.a, leaf.b))
    levels = inter.flow.levels
    output = min(nets, key=lambda net: (levels[net], _is_quiet_end(inter, net)))
    start = max(nets, key=lambda net: levels[net])
    parts = {leaf.name: leaf for leaf in block}
    for net in nets:
        for hanging in _hanging(inter, net, parts):
            plain = all(leaf.sort == "R" for leaf in hanging)
            if plain and net in (start, output) and not _has_knob(inter, hanging):
                continue
            parts |= {leaf.name: leaf for leaf in hanging}
    for leaf in _behind_contacts(inter, nets):
        parts.setdefault(leaf.name, leaf)
    parts |= {leaf.name: leaf for leaf in _head(inter, start, parts)}
    return _Shape(tuple(parts.values()), output)


def _is_quiet_end(inter: Interstage, net: str) -> bool:
    return inter.is_plain(net)


def _has_knob(inter: Interstage, leaves: Iterable[Leaf]) -> bool:
    return any(inter.claimed.view.family[leaf.ref] == "knob" for leaf in leaves)


def _hanging(inter: Interstage, net: str, parts: dict[str, Leaf]) -> Iterable[tuple[Leaf, ...]]:
    for first in inter.on(net):
        if first.name in parts:
            continue
        hanging = inter.pendant(net, first)
        if hanging is not None and all(leaf.sort in "RCL" for leaf in hanging):
            fresh = tuple(leaf for leaf in hanging if leaf.name not in parts)
            if len(fresh) == len(hanging):
                yield hanging


def _behind_contacts(inter: Interstage, nets: Iterable[str]) -> Iterable[Leaf]:
    """Parts on the open contacts of switches whose other contacts are on the network: another setting joins
    them.
    """
    view = inter.claimed.view
    on_network = set(nets)
    for part in view.parts_of("switch"):
        contacts = {view.net(part, pin) for pin, _ in part.pins}
        if not contacts & on_network:
            continue
        for net in contacts - on_network:
            for first in inter.on(net):
                hanging = inter.pendant(net, first)
                if hanging is not None and inter.is_plain(net):
                    yield from hanging


def _head(inter: Interstage, start: str, parts: dict[str, Leaf]) -> tuple[Leaf, ...]:
    """A resistor that leads to the network's beginning and to nothing else."""
    if not inter.is_plain(start):
        return ()
    rest = [leaf for leaf in inter.on(start) if leaf.name not in parts]
    if (
        len(rest) == 1
        and rest[0].sort == "R"
        and not rest[0].variable
        and inter.flow.brings_to(rest[0], start)
    ):
        return (rest[0],)
    return ()


def _cuts(inter: Interstage) -> Iterable[_Shape]:
    """Nets with a knob and a capacitor in a row to ground, or a knob in the way and a capacitor to ground."""
    view = inter.claimed.view
    for net in inter.at:
        shunts = [row for row in _hanging(inter, net, {}) if any(leaf.sort in "CL" for leaf in row)]
        with_knob = [row for row in shunts if _has_knob(inter, row)]
        arms = [leaf for leaf in inter.arriving(net, "R") if not _ends_still(inter, leaf)]
        moving = [leaf for leaf in arms if view.family[leaf.ref] == "knob"]
        if not with_knob and not (moving and shunts):
            continue
        own = {leaf.ref for row in shunts for leaf in row} | {leaf.ref for leaf in arms}
        if inter.is_plain(net) and all(leaf.ref in own for leaf in view.on(net)):
            continue  # nothing takes the signal from here: it is the foot of a cut, not its place
        leaves = {leaf.name: leaf for row in shunts for leaf in row} | {leaf.name: leaf for leaf in arms}
        leaves |= {
            leaf.name: leaf for leaf in inter.leaves if leaf.ref in {item.ref for item in leaves.values()}
        }
        for arm in arms:
            leaves |= {leaf.name: leaf for leaf in _head(inter, arm.other(net), leaves)}
        yield _Shape(tuple(leaves.values()), net)


def _ends_still(inter: Interstage, leaf: Leaf) -> bool:
    """Half of a knob one of whose ends is steady: a level knob, not a tone knob."""
    view = inter.claimed.view
    if view.family[leaf.ref] != "knob":
        return False
    return any(inter.still(net) for net in view.knob_nets(view.circuit.by_ref[leaf.ref]))


def _proposal(inter: Interstage, shape: _Shape) -> Proposal:
    names = {leaf.name for leaf in shape.leaves}
    nets = dict.fromkeys(net for leaf in shape.leaves for net in (leaf.a, leaf.b) if not inter.still(net))
    inner = [net for net in nets if net != shape.output and inter.is_inside(net, names)]
    inputs = tuple(net for net in nets if net != shape.output and net not in inner)
    return Proposal(
        kind=KIND_NAME,
        roles=one_each(inter.role(leaf, WORDS) for leaf in shape.leaves),
        inputs=inputs,
        output=shape.output,
        branches={"parts": shape.leaves},
        nets={f"inner{n}": net for n, net in enumerate(inner)},
    )


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """Exact reduction; None when nothing but what drives it lies before it."""
    claim = network_transfer(
        bench,
        stage.leaves("parts"),
        stage.inputs,
        stage.output,
        formula="nodal equations of its own parts",
        source=NODAL,
    )
    return claim if claim.inputs else None


def levels_db(stage: Stage, bench: Bench, view: View | None = None) -> tuple[float, ...] | None:
    """Level at bass, middle and treble without load, in dB; `view` may show the knobs in other positions."""
    names = {leaf.name for leaf in stage.leaves("parts")}
    leaves = [leaf for leaf in (view or bench.view).leaves if leaf.name in names]
    reduced = Reduced.of(bench, leaves, stage.inputs, stage.output)
    if not reduced.inputs:
        return None
    gains = sum(reduced.gains(2j * pi * np.asarray(TOLD_AT_HZ)))
    return tuple(20 * log10(max(abs(complex(gain)), 1e-9)) for gain in np.asarray(gains))


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Levels at bass, middle and treble as the knobs stand."""
    found = levels_db(stage, bench)
    if found is None:
        return ()
    return tuple(
        Number(name=band, unit="dB", closed=level, full=None, source=NODAL, note="without load")
        for band, level in zip(BANDS, found, strict=True)
    )


def _turned(stage: Stage, bench: Bench, ref: str) -> str:
    """What one knob does from end to end, where it does most."""
    low, high = (
        levels_db(stage, bench, View(bench.view.circuit.with_settings({ref: turn}))) for turn in (0.0, 10.0)
    )
    if low is None or high is None:
        return ""
    change = [after - before for before, after in zip(low, high, strict=True)]
    most = max(range(len(change)), key=lambda place: abs(change[place]))
    if abs(change[most]) < 0.5:
        return " As the other knobs stand it changes little."
    return f" From 0 to 10 it moves {BANDS[most]} from {low[most]:+.1f} to {high[most]:+.1f} dB."


def purpose(stage: Stage, bench: Bench) -> str:
    """What the network leaves of bass, middle and treble."""
    knobs = stage.with_role("tone knob")
    found = levels_db(stage, bench)
    whose = " and ".join(knobs) if knobs else "It"
    text = (
        f"{whose} {'shape' if len(knobs) > 1 else 'shapes'} the tone without an amplifier, so this can "
        "only take away."
    )
    if found is None:
        return f"{text} It works against whatever resistance the signal comes from."
    told = ", ".join(f"{band} {level:+.1f} dB" for band, level in zip(BANDS, found, strict=True))
    return f"{text} As it stands it leaves {told}."


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    role = role_of(stage, ref)
    value = bench.view.circuit.by_ref[ref].value or 0.0
    if role == "tone knob":
        return f"Moves the tone.{_turned(stage, bench, ref)}"
    if role == "tone capacitor":
        return f"Lets high notes pass more easily than low ones ({farads(value)}): it parts the tone."
    if role == "tone inductor":
        return (
            f"{named(bench, ref)} lets low notes pass more easily than high ones; with a capacitor it "
            "picks one region out."
        )
    return f"Sets how much goes this way, with {ohms(value)}."


KIND = StageKind(
    kind=KIND_NAME,
    title="Passive tone network",
    says="Takes bass, middle or treble away, as its knobs say.",
    sources=(NODAL,),
    order=630,
    group="control",
    roles={
        "tone knob": "moves the tone",
        "tone resistor": "sets how much goes one way",
        "tone capacitor": "parts high notes from low ones",
        "tone inductor": "parts low notes from high ones",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=EXAMPLES,
    near_misses=NEAR_MISSES,
)
