"""The feedback path: the knob that leads the delayed sound back to its own beginning, and what belongs to it
alone.

How much comes back decides how many repeats there are. What is one time round the loop must stay below the
sound that set out, or the repeats grow by themselves.
"""

from collections.abc import Iterable

from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.interstage import Interstage, one_each
from pedalwright.stages.knobs import Divider, dividers
from pedalwright.stages.passive import MILLMAN, network_transfer, star_transfer
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind, Transfer
from pedalwright.stages.supplies import role_of
from pedalwright.stages.wording import ohms, times

KIND_NAME = "feedback-path"
KNOB, PADDING, BLOCK = "repeats knob", "padding resistor", "dc-blocking capacitor"
SOURCE = "common practice, no source (Ohm's law)"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Knobs wired as dividers whose wiper leads round through an echo chip to their own top."""
    inter = Interstage(claimed)
    for divider in dividers(inter):
        if _leads_back(inter, divider):
            yield _proposal(inter, divider)


def _leads_back(inter: Interstage, divider: Divider) -> bool:
    """The delayed sound returns to the knob, and new sound reaches the chip without passing it."""
    own = frozenset({divider.part.ref})
    _, delayed = inter.flow.reaches(divider.wiper, without=own)
    if divider.top not in delayed:
        return False
    view = inter.claimed.view
    if not view.input_net:
        return True
    chips = {view.net(part, "15") for part in view.parts_of("echo-chip")}
    fresh, _ = inter.flow.reaches(view.input_net, without=own)
    if chips & fresh:
        return True
    ever, _ = inter.flow.reaches(view.input_net)
    return not chips & ever  # a switch keeps new sound away: what goes round is the repeats all the same


def _proposal(inter: Interstage, divider: Divider) -> Proposal:
    tail = _tail(inter, divider)
    output = tail[0].other(divider.wiper) if tail else divider.wiper
    more = (*divider.head, *divider.foot, *tail)
    roles = [Role(divider.part.ref, KNOB)]
    roles += [Role(leaf.ref, BLOCK if leaf.sort == "C" else PADDING) for leaf in more]
    ends = [end for leaf in (*more, *divider.halves) for end in (leaf.a, leaf.b)]
    inner = [
        net for net in dict.fromkeys(ends) if net not in (divider.start, output) and not inter.still(net)
    ]
    return Proposal(
        kind=KIND_NAME,
        roles=one_each(roles),
        inputs=(divider.start,),
        output=output,
        branches={"halves": divider.halves, "head": divider.head, "foot": divider.foot, "tail": tail},
        nets={f"inner{n}": net for n, net in enumerate(inner)},
    )


def _tail(inter: Interstage, divider: Divider) -> tuple[Leaf, ...]:
    """A capacitor that alone leads on from the wiper and that nothing further on has taken."""
    others = [leaf for leaf in inter.on(divider.wiper) if leaf.ref != divider.part.ref]
    if not inter.is_plain(divider.wiper) or len(others) != 1 or others[0].sort != "C":
        return ()
    return (others[0],) if inter.flow.upstream_end(others[0]) == divider.wiper else ()


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """A star at the wiper, or exact reduction when padding belongs to it."""
    halves, more = stage.leaves("halves"), stage.leaves("head", "foot", "tail")
    if more:
        return network_transfer(
            bench,
            (*halves, *more),
            stage.inputs,
            stage.output,
            formula="knob with its padding, by nodal equations",
        )
    up = [(stage.inputs[0], leaf) for leaf in halves if stage.inputs[0] in (leaf.a, leaf.b)]
    down = [leaf for leaf in halves if stage.inputs[0] not in (leaf.a, leaf.b)]
    return star_transfer(
        arms=up,
        shunts=down,
        output=stage.output,
        formula="H = Rlower / (Rupper + Rlower); load counted by its current",
        source=MILLMAN,
    )


def share(stage: Stage, bench: Bench) -> float:
    """What the wiper takes of the repeats without load, coupling capacitors aside."""
    still = bench.classes.is_still
    halves = stage.leaves("halves")
    foot = sum(leaf.value for leaf in stage.leaves("foot"))
    ends = {end for leaf in stage.leaves("foot") for end in (leaf.a, leaf.b)}
    low = (
        sum(leaf.value for leaf in halves if any(still(end) or end in ends for end in (leaf.a, leaf.b)))
        + foot
    )
    head = sum(leaf.value for leaf in stage.leaves("head") if leaf.sort == "R")
    return low / (sum(leaf.value for leaf in halves) + foot + head)


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The share that goes back."""
    return (
        Number(
            name="share that goes back",
            unit="x",
            closed=share(stage, bench),
            full=None,
            source=SOURCE,
            note="without load",
        ),
    )


def purpose(stage: Stage, bench: Bench) -> str:
    """What it leads back and how much of it."""
    knob = stage.with_role(KNOB)[0]
    return (
        f"{knob} leads the delayed sound back to where it set out, so that it is delayed once more: each "
        "round is one "
        f"repeat. Where it stands it passes on {times(share(stage, bench))}; turned up too far, the "
        "repeats grow instead of fading."
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    role = role_of(stage, ref)
    value = bench.view.circuit.by_ref[ref].value or 0.0
    if role == KNOB:
        return f"Sets how much of each repeat comes round again: now {times(share(stage, bench))}."
    if role == BLOCK:
        return "Keeps the chip's half supply away from the knob, so that it does not crackle when turned."
    return (
        f"Takes {ohms(value)} of the way, so that the knob's whole turn is useful and its end does not "
        "run away."
    )


def _chip(feedback: str) -> str:
    return f"""supply V5 5V wall
input IN line
output OUT 100k
part U1 echo-chip supply=V5
knob REPEATS 50k linear at 5
V5 > C1 47u > gnd
U1.2 > C2 47u > gnd
U1.7 > C3 100n > gnd
U1.8 > C4 100n > gnd
U1.9 > C5 100n > U1.10
U1.11 > C6 100n > U1.12
U1.6 > R1 10k > gnd
IN > C7 1u > R2 22k > MIX
MIX > R3 10k > U1.16
MIX > R4 22k > U1.15
MIX > C8 3n9 > gnd
U1.16 > C9 560p > U1.15
U1.12 > R5 10k > M > R6 10k > U1.13
M > R7 10k > U1.14
M > C10 3n9 > gnd
U1.13 > C11 560p > U1.14
{feedback}"""


KIND = StageKind(
    kind=KIND_NAME,
    title="Feedback path",
    says="Leads the delayed sound back to its beginning.",
    sources=(SOURCE, MILLMAN),
    order=610,
    group="echo",
    roles={
        KNOB: "sets how much comes back",
        PADDING: "takes part of the way for itself",
        BLOCK: "keeps resting voltages apart",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="pedal Again and again\n"
            + _chip("""U1.14 > C12 1u > R8 4k7 > REPEATS.3
REPEATS.1 > gnd
REPEATS.2 > C13 1u > R9 30k > MIX
U1.14 > C14 1u > OUT
"""),
            roles={
                "REPEATS": (KIND_NAME, KNOB),
                "R8": (KIND_NAME, PADDING),
                "C12": (KIND_NAME, BLOCK),
                "C14": ("dc-blocking", "dc-blocking capacitor"),
                "R9": ("multiple-feedback-low-pass", "input resistor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="pedal Only louder\n"
            + _chip("""U1.14 > C12 1u > REPEATS.3
REPEATS.1 > gnd
REPEATS.2 > OUT
"""),
            roles={"REPEATS": ("*", "")},
        ),
    ),
)
