"""The dc-blocking capacitor: keeps the resting voltages of two stages apart and lets the signal through."""

from collections.abc import Iterable

from pedalwright.formulas.rc import corner_hz
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.interstage import Interstage
from pedalwright.stages.passive import MILLMAN, star_transfer
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind, Transfer
from pedalwright.stages.wording import farads, hz, named, volts

KIND_NAME = "dc-blocking"
ROLE = "dc-blocking capacitor"
SOURCE = "R. Gayakwad, Op-Amps and Linear Integrated Circuits: f = 1/(2 pi R C)"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free capacitor that leads a signal on; those side by side are one stage."""
    inter = Interstage(claimed)
    groups: dict[tuple[str, str], list[Leaf]] = {}
    for leaf in inter.leaves:
        loose = inter.is_loose(leaf.a) or inter.is_loose(leaf.b)
        start = inter.flow.upstream_end(leaf) if leaf.sort == "C" and not loose else None
        if start is not None and not _pumps(inter, leaf.other(start), leaf):
            groups.setdefault((start, leaf.other(start)), []).append(leaf)
    for (start, end), leaves in groups.items():
        yield Proposal(
            kind=KIND_NAME,
            roles=tuple(Role(leaf.ref, ROLE) for leaf in leaves),
            inputs=(start,),
            output=end,
            branches={"block": tuple(leaves)},
        )


def _pumps(inter: Interstage, net: str, leaf: Leaf) -> bool:
    """What lies behind is diodes alone: the capacitor is half of a rectifier."""
    others = [other for other in inter.claimed.view.on(net) if other.name != leaf.name]
    return bool(others) and all(other.sort == "D" for other in others) and net not in inter.flow.sinks


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """Everything passes; what the load takes drops across 1/(s C)."""
    return star_transfer(
        arms=[(stage.inputs[0], leaf) for leaf in stage.leaves("block")],
        shunts=(),
        output=stage.output,
        formula="H = 1; behind it 1/(s C)",
        source=MILLMAN,
    )


def load_ohms(stage: Stage, bench: Bench) -> float | None:
    """Resistance the capacitor works into: plain resistors and knob tracks from its far net to steady nets
    or held inputs.

    None when there is none to be seen (a bare input).
    """
    siemens = sum(1.0 / ohms for ohms in _loads(bench, stage.output) if ohms)
    output = bench.view.circuit.output
    if output is not None and bench.view.joined[output.net] == stage.output:
        siemens += 1.0 / output.ohms
    return 1.0 / siemens if siemens else None


def _loads(bench: Bench, net: str) -> Iterable[float]:
    held = {
        network.amplifier.inv
        for network in bench.networks.values()
        if network.non_still and network.has_negative_feedback
    }
    for leaf in bench.view.on(net):
        far = leaf.other(net)
        if leaf.sort != "R":
            continue
        if bench.classes.is_still(far) or far in held:
            yield leaf.value
        elif leaf.variable:
            yield bench.view.circuit.by_ref[leaf.ref].value or 0.0


def corner(stage: Stage, bench: Bench) -> float | None:
    """Bass corner with what it visibly works into, in Hz; None when that is not visible."""
    load = load_ohms(stage, bench)
    total = sum(leaf.value for leaf in stage.leaves("block"))
    return None if load is None else corner_hz(load, total)


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The bass corner, and the voltage the capacitor stands."""
    found = []
    f = corner(stage, bench)
    if f is not None:
        found.append(
            Number(
                name="bass corner",
                unit="Hz",
                closed=f,
                full=None,
                source=SOURCE,
                note="stiff source before it",
            )
        )
    before, after = bench.volts(stage.inputs[0]), bench.volts(stage.output)
    across = None if before is None or after is None else abs(before - after)
    found.append(Number(name="voltage across it", unit="V", closed=None, full=across, source="rest point"))
    return tuple(found)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it keeps apart, and where bass ends."""
    parts = " and ".join(named(bench, role.ref) for role in stage.roles)
    before, after = bench.volts(stage.inputs[0]), bench.volts(stage.output)
    sides = ""
    if before is not None and after is not None:
        sides = f": {volts(before)} before it, {volts(after)} behind it"
    f = corner(stage, bench)
    bass = "" if f is None else f" With what follows, bass falls below {hz(f)}."
    return f"{parts} lets the signal through but not the resting voltage{sides}.{bass}"


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What the capacitor is for, with its number."""
    f = corner(stage, bench)
    size = farads(bench.view.circuit.by_ref[ref].value or 0.0)
    bass = "" if f is None else f" Half of it would move the bass corner from {hz(f)} to {hz(2 * f)}."
    return f"Keeps the resting voltages of two stages apart ({size}).{bass}"


KIND = StageKind(
    kind=KIND_NAME,
    title="DC blocking",
    says="Keeps the resting voltages of two stages apart.",
    sources=(SOURCE, MILLMAN),
    order=730,
    group="passive",
    roles={ROLE: "keeps resting voltages apart"},
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal Only blocks
input IN line
output OUT 100k
IN > C1 1u > OUT > R1 100k > gnd
""",
            roles={"C1": (KIND_NAME, ROLE), "R1": ("pull-down", "pull-down resistor")},
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Takes treble
input IN line
output OUT 100k
IN > R1 10k > OUT > C1 10n > gnd
""",
            roles={"C1": ("*", "")},
        ),
    ),
)
