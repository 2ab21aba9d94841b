"""Decoupling: small capacitors close to the chips, which keep fast currents from travelling along
the rails.
"""

from collections.abc import Iterable
from math import pi

from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.supplies import rail_capacitors
from pedalwright.stages.wording import named, ohms

KIND_NAME = "decoupling"
SOURCE = "common practice, no source"
TOLD_AT_HZ = 100e3


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free capacitor between two rails or a rail and ground, one stage a rail."""
    seen: set[str] = set()
    for net in sorted(claimed.classes.rails, key=claimed.view.circuit.nets.index):
        found = tuple(leaf for leaf in rail_capacitors(claimed, net) if leaf.ref not in seen)
        seen |= {leaf.ref for leaf in found}
        if found:
            roles = tuple(Role(leaf.ref, "decoupling capacitor") for leaf in found)
            yield Proposal(kind=KIND_NAME, roles=roles, branches={"capacitors": found}, nets={"rail": net})


def _ohms(leaf: Leaf) -> float:
    return 1.0 / (2 * pi * TOLD_AT_HZ * leaf.value)


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """What each is worth at 100 kHz."""
    return tuple(
        Number(
            name=f"impedance of {leaf.ref} at 100 kHz",
            unit="ohm",
            closed=_ohms(leaf),
            full=None,
            source="|Z| = 1/(2 pi f C)",
        )
        for branch in stage.branches["capacitors"]
        for leaf in branch.leaves()
    )


def purpose(stage: Stage, bench: Bench) -> str:
    """What they keep where, with the number."""
    what = " and ".join(named(bench, role.ref) for role in stage.roles)
    leaf = stage.leaves("capacitors")[0]
    plural = len(stage.roles) > 1
    return (
        f"{what} {'give' if plural else 'gives'} fast currents a short way home, close to the chip that "
        "makes them; at "
        f"100 kHz {leaf.ref} is worth {ohms(_ohms(leaf))}. Large electrolytics are too slow for that."
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What the capacitor is for."""
    leaf = next(leaf for leaf in stage.leaves("capacitors") if leaf.ref == ref)
    return (
        f"Short way for fast currents: {ohms(_ohms(leaf))} at 100 kHz. Belongs close to the chip's supply "
        "pins."
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Decoupling",
    says="Keeps fast currents from travelling along a rail.",
    sources=(SOURCE,),
    order=150,
    group="supply",
    roles={"decoupling capacitor": "gives fast currents a short way to ground"},
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(
        Example(
            text="""pedal Close to the chip
supply VIN 9V wall
VIN > C1 47u > gnd
VIN > C2 100n > gnd
VIN > C3 10n > gnd
VIN > R1 10k > gnd
""",
            roles={"C2": (KIND_NAME, "decoupling capacitor"), "C3": (KIND_NAME, "decoupling capacitor")},
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Half supply is no rail
supply VIN 9V wall
VIN > R1 10k > VB > R2 10k > gnd
VB > C1 10u > gnd
""",
            roles={"C1": ("*", "")},
        ),
    ),
)
