"""The general network: parts of no named shape. They are not dropped and not guessed at: their gain is
computed exactly.
"""

from collections.abc import Iterable

from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.interstage import Interstage
from pedalwright.stages.leftovers import groups_left
from pedalwright.stages.packages import package_roles
from pedalwright.stages.passive import NODAL, network_transfer
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind, Transfer
from pedalwright.stages.wording import listed, named, times

KIND_NAME = "general-network"
ROLE = "network part"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every part still free, in groups that hang together over moving nets; then single parts."""
    inter = Interstage(claimed)
    done: set[str] = set()
    for group in groups_left(inter):
        refs = dict.fromkeys(leaf.ref for leaf in group)
        done |= set(refs)
        yield _proposal(inter, group, tuple(refs))
    for ref in _left(claimed, done):
        yield Proposal(kind=KIND_NAME, roles=(Role(ref, ROLE),), branches={"parts": ()})


def _left(claimed: Claimed, done: set[str]) -> Iterable[str]:
    """Designators of parts and amplifier sections that nobody has taken and that have no word of
    their own.
    """
    view = claimed.view
    worded = {role.ref for role in package_roles(view)}
    refs = [part.ref for part in view.circuit.parts]
    refs += [amp.ref for amp in view.amplifiers if amp.ref not in refs]
    return (ref for ref in refs if claimed.free(ref) and ref not in worded and ref not in done)


def _proposal(inter: Interstage, group: tuple[Leaf, ...], refs: tuple[str, ...]) -> Proposal:
    names = {leaf.name for leaf in group}
    nets = dict.fromkeys(net for leaf in group for net in (leaf.a, leaf.b) if not inter.still(net))
    inner = [net for net in nets if inter.is_inside(net, names)]
    ends = [net for net in nets if net not in inner]
    levels = inter.flow.levels
    output = min(ends, key=lambda net: (levels[net], net not in inter.flow.sinks), default="")
    if output in inter.flow.sources:
        output = ""
    return Proposal(
        kind=KIND_NAME,
        roles=tuple(Role(ref, ROLE) for ref in refs),
        inputs=tuple(net for net in ends if net != output) if output else (),
        output=output,
        branches={"parts": group},
        nets={f"inner{n}": net for n, net in enumerate(inner)},
    )


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """Exact reduction; None when the parts lead no signal on."""
    if not stage.inputs or not stage.output:
        return None
    claim = network_transfer(
        bench,
        stage.leaves("parts"),
        stage.inputs,
        stage.output,
        formula="nodal equations of its own parts",
        source=NODAL,
    )
    return claim if claim.inputs else None


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The gain at 1 kHz from each input, without load."""
    claim = transfer(stage, bench)
    if claim is None:
        return ()
    import numpy as np

    gains = claim.gains(2j * np.pi * np.asarray([1000.0]))
    return tuple(
        Number(
            name=f"gain from {net} at 1 kHz", unit="x", closed=float(abs(gain[0])), full=None, source=NODAL
        )
        for net, gain in zip(claim.inputs, gains, strict=True)
    )


def purpose(stage: Stage, bench: Bench) -> str:
    """What can be said of parts of no named shape."""
    parts = " and ".join(named(bench, role.ref) for role in stage.roles)
    leaves = stage.leaves("parts")
    if len(leaves) > 1 and len(stage.inputs) == len(leaves) and all(leaf.sort == "R" for leaf in leaves):
        told = numbers(stage, bench)
        shares = listed([times(number.closed) for number in told if number.closed is not None])
        return f"{parts} bring {len(leaves)} signals together: without a load {shares} of them."
    if any(leaf.sort == "D" for leaf in leaves):
        return (
            f"{parts} bend the signal with diodes in its way: what comes out depends on the level, so no "
            "single gain can be given; for small signals the diodes are open."
        )
    if stage.inputs:
        return (
            f"{parts} lead a signal on in a shape that has no name here; its gain is computed from the "
            "parts themselves."
        )
    return (
        f"{parts}: no named purpose was found here, and no signal is led on. Look whether something is "
        "missing from the text."
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What can be said of one part."""
    leads = "It takes part in leading the signal on." if stage.inputs else "It leads no signal on."
    return f"{_size(ref, bench)} in a network without a name of its own. {leads}"


def _size(ref: str, bench: Bench) -> str:
    """The part with its value, at the beginning of a sentence."""
    return named(bench, ref)


KIND = StageKind(
    kind=KIND_NAME,
    title="General network",
    says="Parts of no named shape; their gain is computed exactly.",
    sources=(NODAL,),
    order=990,
    group="general",
    roles={ROLE: "is part of a network without a name of its own"},
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal Capacitors that share
input IN line
output OUT 1M
IN > L1 1H > MID
MID > L2 500mH > OUT
MID > R1 10k > gnd
""",
            roles={"L1": (KIND_NAME, ROLE), "L2": (KIND_NAME, ROLE)},
        ),
    ),
    near_misses=(
        Example(
            text="""pedal A plain low-pass
input IN line
output OUT 1M
IN > R1 10k > OUT > C1 10n > gnd
""",
            roles={"R1": ("*", ""), "C1": ("*", "")},
        ),
    ),
)
