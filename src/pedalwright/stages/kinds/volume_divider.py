"""The volume divider: a knob, or two resistors, that pass on a share of the signal.

A capacitor from the knob's top to its wiper lets treble past, so that turning down does not make the sound
dull.
"""

from collections.abc import Iterable
from math import log10

from pedalwright.formulas.divider import pot_ratio, ratio, tap_ohms
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.fixed_divider import (
    arriving_parts,
    bias_shunts,
    channels_to_still,
    is_fixed,
    shunts_at,
)
from pedalwright.stages.interstage import Interstage, one_each
from pedalwright.stages.kinds._volume_divider_examples import EXAMPLES, NEAR_MISSES
from pedalwright.stages.knobs import Divider, dividers
from pedalwright.stages.passive import MILLMAN, network_transfer, star_transfer
from pedalwright.stages.resting import parallel_ohms_of
from pedalwright.stages.stage import Number, Proposal, Role, Stage, StageKind, Transfer
from pedalwright.stages.supplies import role_of
from pedalwright.stages.wording import hz, named, ohms, times

KIND_NAME = "volume-divider"
SOURCE = "common practice, no source (Ohm's law)"
KNOB, FIXED, TREBLE = "level knob", "divider resistor", "treble-pass capacitor"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Knobs wired as dividers, then series resistors into resistors to steady nets."""
    inter = Interstage(claimed)
    taken: set[str] = set()
    for divider in dividers(inter):
        proposal = _of_knob(inter, divider)
        if not proposal.refs & taken:
            taken |= proposal.refs
            yield proposal
    for net in inter.at:
        yield from _of_resistors(inter, net, taken)


def _of_knob(inter: Interstage, divider: Divider) -> Proposal:
    beside = divider.beside
    head, start = _resistors_before(divider)
    reverse = inter.flow.upstream_end(divider.upper) == divider.wiper
    if reverse:
        head = ()
    roles = [Role(divider.part.ref, KNOB)]
    roles += [Role(leaf.ref, TREBLE if leaf.sort == "C" else FIXED) for leaf in beside]
    roles += [Role(leaf.ref, FIXED) for leaf in (*head, *divider.foot)]
    inner = [divider.top] if head else []
    inner += [net for leaf in beside for net in (leaf.a, leaf.b) if net not in (divider.top, divider.wiper)]
    inner += [divider.bottom] if divider.foot else []
    return Proposal(
        kind=KIND_NAME,
        roles=one_each(roles),
        inputs=(divider.wiper,) if reverse else (start,),
        output=divider.top if reverse else divider.wiper,
        branches={
            "upper": tuple(leaf for leaf in divider.halves if leaf is divider.upper),
            "lower": tuple(leaf for leaf in divider.halves if leaf is not divider.upper),
            "beside": beside,
            "head": head,
            "foot": divider.foot,
        },
        nets={f"inner{n}": net for n, net in enumerate(dict.fromkeys(inner))},
    )


def _resistors_before(divider: Divider) -> tuple[tuple[Leaf, ...], str]:
    """The resistors straight before the top, and the net they begin on."""
    head, start = [], divider.top
    for leaf in divider.head:
        if leaf.sort != "R":
            break
        head.append(leaf)
        start = leaf.other(start)
    return tuple(head), start


def _of_resistors(inter: Interstage, net: str, taken: set[str]) -> Iterable[Proposal]:
    """Series resistors into a net with resistances to steady nets; at least one of them is a plain free
    resistor.
    """
    arms = tuple(leaf for leaf in arriving_parts(inter, net) if leaf.sort == "R")
    shunts = (*shunts_at(inter, net), *bias_shunts(inter, net, arms))
    fixed = [leaf for leaf in (*arms, *shunts) if is_fixed(inter, leaf) and leaf.ref not in taken]
    if not arms or not (shunts or channels_to_still(inter, net)) or not fixed:
        return
    taken |= {leaf.ref for leaf in fixed}
    shared = tuple(Role(leaf.ref, FIXED) for leaf in (*arms, *shunts) if leaf not in fixed)
    inner = [end for leaf in shunts for end in (leaf.a, leaf.b) if end != net and not inter.still(end)]
    yield Proposal(
        kind=KIND_NAME,
        roles=one_each(Role(leaf.ref, FIXED) for leaf in fixed),
        shared=one_each(shared),
        inputs=tuple(dict.fromkeys(leaf.other(net) for leaf in arms)),
        output=net,
        branches={"arms": arms, "shunts": shunts},
        nets={f"inner{n}": name for n, name in enumerate(dict.fromkeys(inner))},
    )


def _leaves(stage: Stage, name: str) -> tuple[Leaf, ...]:
    return tuple(leaf for branch in stage.branches.get(name, ()) for leaf in branch.leaves())


def _is_knob(stage: Stage) -> bool:
    return "upper" in stage.branches


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """A star at the wiper, or exact reduction when further resistors or a treble-pass belong to it."""
    if not stage.inputs or stage.inputs[0] == stage.output:
        return None
    names = ("upper", "lower", "beside", "head", "foot") if _is_knob(stage) else ("arms", "shunts")
    leaves = [leaf for name in names for leaf in _leaves(stage, name)]
    plain = _is_star(stage, bench, leaves)
    if not plain:
        return network_transfer(
            bench,
            leaves,
            stage.inputs,
            stage.output,
            formula="divider with its further parts, by nodal equations",
        )
    arms: list[tuple[str, Branch]] = []
    shunts: list[Branch] = []
    for leaf in leaves:
        far = leaf.other(stage.output)
        if bench.classes.is_still(far):
            shunts.append(leaf)
        else:
            arms.append((far, leaf))
    return star_transfer(
        arms=arms,
        shunts=shunts,
        output=stage.output,
        formula="H = Rlower / (Rupper + Rlower); load counted by its current",
        source=MILLMAN,
    )


def _is_star(stage: Stage, bench: Bench, leaves: list[Leaf]) -> bool:
    far = {leaf.other(stage.output) for leaf in leaves if stage.output in (leaf.a, leaf.b)}
    known = all(net in stage.inputs or bench.classes.is_still(net) for net in far)
    return known and all(stage.output in (leaf.a, leaf.b) for leaf in leaves)


def share(stage: Stage) -> float:
    """What is passed on of the signal, without load, as a plain ratio."""
    if not _is_knob(stage):
        above = parallel_ohms_of(_leaves(stage, "arms"))
        below = _shunt_ohms(stage)
        return ratio(upper_ohms=above, lower_ohms=below) if below else 1.0
    if stage.output not in (end for leaf in _leaves(stage, "lower") for end in (leaf.a, leaf.b)):
        return 1.0
    upper, lower = (sum(leaf.value for leaf in _leaves(stage, name)) for name in ("upper", "lower"))
    lower += sum(leaf.value for leaf in _leaves(stage, "foot"))
    source = sum(leaf.value for leaf in _leaves(stage, "head"))
    return pot_ratio(fraction=lower / (upper + lower), total_ohms=upper + lower, source_ohms=source)


def _shunt_ohms(stage: Stage) -> float:
    """Resistances on the output net side by side, those behind them in a row (a knob behind a cell)."""
    leaves = _leaves(stage, "shunts")
    beside = [leaf for leaf in leaves if stage.output in (leaf.a, leaf.b)]
    rest = sum(leaf.value for leaf in leaves if leaf not in beside)
    return parallel_ohms_of(beside) + rest


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The share passed on, and the resistance behind the wiper."""
    found = [
        Number(
            name="share passed on",
            unit="x",
            closed=share(stage),
            full=None,
            source=SOURCE,
            note="without load",
        )
    ]
    if _is_knob(stage):
        upper, lower = (sum(leaf.value for leaf in _leaves(stage, name)) for name in ("upper", "lower"))
        behind = tap_ohms(upper, lower)
        found.append(
            Number(name="resistance behind the wiper", unit="ohm", closed=behind, full=None, source=SOURCE)
        )
    corner = _treble_hz(stage)
    if corner is not None:
        found.append(
            Number(name="treble passes above", unit="Hz", closed=corner, full=None, source="f = 1/(2 pi R C)")
        )
    return tuple(found)


def _treble_hz(stage: Stage) -> float | None:
    caps = [leaf for leaf in _leaves(stage, "beside") if leaf.sort == "C"]
    upper = sum(leaf.value for leaf in _leaves(stage, "upper"))
    if not caps or not upper:
        return None
    return 1.0 / (2 * 3.141592653589793 * upper * sum(leaf.value for leaf in caps))


def purpose(stage: Stage, bench: Bench) -> str:
    """What share it passes on."""
    passed = share(stage)
    size = "all of the signal" if passed > 0.999 else f"{times(passed)} of the signal"
    if not _is_knob(stage):
        parts = " and ".join(
            named(bench, leaf.ref) for leaf in (*_leaves(stage, "arms"), *_leaves(stage, "shunts"))
        )
        if not _leaves(stage, "shunts"):
            return (
                f"{parts} stands before a resistor that a voltage moves: the two share the signal, "
                "so the level follows that voltage."
            )
        return f"{parts} share the signal between them: {size} is passed on."
    knob = stage.with_role(KNOB)[0]
    text = (
        f"{knob} passes on {size} where it stands now; from one end to the other it goes from nothing to "
        "nearly all."
    )
    corner = _treble_hz(stage)
    if corner is not None:
        text += (
            f" Above about {hz(corner)} treble passes beside it, so that turned down it does not sound dull."
        )
    return text


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    role = role_of(stage, ref)
    value = bench.view.circuit.by_ref[ref].value or 0.0
    if role == KNOB:
        law = bench.view.circuit.by_ref[ref].law
        return f"Sets the level: now {times(share(stage))}. Its track of {ohms(value)} is {law}."
    if role == TREBLE:
        return "Lets treble past the knob, so that a lower level does not sound dull."
    level = share(stage)
    if not _is_knob(stage) and not _leaves(stage, "shunts"):
        return (
            f"Is the upper half of a divider with {ohms(value)}; the moving resistor behind it is the lower."
        )
    return (
        f"With its partner sets the share passed on: now {level:.3g}, "
        f"{20 * log10(max(level, 1e-12)):+.1f} dB."
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Volume divider",
    says="Passes on a share of the signal.",
    sources=(SOURCE, MILLMAN),
    order=700,
    group="control",
    roles={KNOB: "sets the level", FIXED: "sets a fixed share", TREBLE: "lets treble past the knob"},
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=EXAMPLES,
    near_misses=NEAR_MISSES,
)
