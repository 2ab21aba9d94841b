"""The twin-T notch: two T-shaped ways through which one frequency arrives in opposite senses and cancels
itself.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pedalwright.formulas.notch import notch_hz, twin_t_response
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.interstage import Interstage, one_each
from pedalwright.stages.passive import Reduced
from pedalwright.stages.resting import parallel_ohms_of
from pedalwright.stages.stage import Example, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.supplies import role_of
from pedalwright.stages.wording import farads, hz, named, ohms

ComplexArray = NDArray[np.complex128]
KIND_NAME = "twin-t-notch"
SOURCE = "R. Gayakwad, Op-Amps and Linear Integrated Circuits, ex. 7.10; two-port parameters of a T"
WORDS = {"R": "notch resistor", "C": "notch capacitor", "L": "", "D": "", "knob": ""}
BALANCE = 0.03
"""parts this close to the 1 : 2 ratio cancel well"""


@dataclass(frozen=True, slots=True)
class _Tee:
    """A plain net with one sort of part to two nets and the other sort to a steady one."""

    middle: str
    arms: Mapping[str, tuple[Leaf, ...]]
    shunts: tuple[Leaf, ...]


def find(claimed: Claimed) -> Iterable[Proposal]:
    """A resistor tee with a shunt capacitor and a capacitor tee with a shunt resistor between the same two
    nets.
    """
    inter = Interstage(claimed)
    resistive = [tee for net in inter.at if (tee := _tee(inter, net, "R", "C")) is not None]
    capacitive = [tee for net in inter.at if (tee := _tee(inter, net, "C", "R")) is not None]
    for first in resistive:
        for second in capacitive:
            if set(first.arms) == set(second.arms):
                yield _proposal(inter, first, second)


def _tee(inter: Interstage, net: str, through: str, down: str) -> _Tee | None:
    if not inter.is_plain(net):
        return None
    arms: dict[str, list[Leaf]] = {}
    shunts: list[Leaf] = []
    for leaf in inter.on(net):
        far = leaf.other(net)
        if inter.still(far) and leaf.sort == down:
            shunts.append(leaf)
        elif not inter.still(far) and leaf.sort == through:
            arms.setdefault(far, []).append(leaf)
        else:
            return None
    if len(arms) != 2 or not shunts:
        return None
    return _Tee(net, {far: tuple(leaves) for far, leaves in arms.items()}, tuple(shunts))


def _proposal(inter: Interstage, resistive: _Tee, capacitive: _Tee) -> Proposal:
    start, end = sorted(resistive.arms, key=lambda net: -inter.flow.levels[net])
    branches = {
        "first resistor": resistive.arms[start],
        "second resistor": resistive.arms[end],
        "shunt resistor": capacitive.shunts,
        "first capacitor": capacitive.arms[start],
        "second capacitor": capacitive.arms[end],
        "shunt capacitor": resistive.shunts,
    }
    return Proposal(
        kind=KIND_NAME,
        roles=one_each(inter.role(leaf, WORDS) for group in branches.values() for leaf in group),
        inputs=(start,),
        output=end,
        branches=branches,
        nets={"inner0": resistive.middle, "inner1": capacitive.middle},
    )


def _ohms(stage: Stage, name: str) -> float:
    return parallel_ohms_of(stage.leaves(name))


def _farads(stage: Stage, name: str) -> float:
    return sum(leaf.value for leaf in stage.leaves(name))


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """Two tees in parallel."""
    leaves = stage.leaves()

    def gains(s: ComplexArray) -> tuple[ComplexArray, ...]:
        found = twin_t_response(
            s,
            first_ohms=_ohms(stage, "first resistor"),
            second_ohms=_ohms(stage, "second resistor"),
            shunt_ohms=_ohms(stage, "shunt resistor"),
            first_farads=_farads(stage, "first capacitor"),
            second_farads=_farads(stage, "second capacitor"),
            shunt_farads=_farads(stage, "shunt capacitor"),
        )
        return (np.asarray(found, dtype=np.complex128),)

    return Transfer(
        inputs=stage.inputs,
        output=stage.output,
        gains=gains,
        members=frozenset(leaf.name for leaf in leaves),
        formula="H = (T1 + T2)/(D1 + D2), T and D of the two tees",
        source=SOURCE,
        output_ohms=Reduced.of(bench, leaves, stage.inputs, stage.output).output_ohms,
    )


def middle_hz(stage: Stage) -> float:
    """The notch of a balanced twin-T with the mean of the series parts, in Hz."""
    series_ohms = (_ohms(stage, "first resistor") * _ohms(stage, "second resistor")) ** 0.5
    series_farads = (_farads(stage, "first capacitor") * _farads(stage, "second capacitor")) ** 0.5
    return notch_hz(series_ohms, series_farads)


def is_balanced(stage: Stage) -> bool:
    """True when the shunt parts stand in the ratio that cancels fully: half the resistance, twice the
    capacitance.
    """
    r, c = _ohms(stage, "first resistor"), _farads(stage, "first capacitor")
    ratios = (
        _ohms(stage, "second resistor") / r,
        2 * _ohms(stage, "shunt resistor") / r,
        _farads(stage, "second capacitor") / c,
        _farads(stage, "shunt capacitor") / (2 * c),
    )
    return all(abs(ratio - 1.0) < BALANCE for ratio in ratios)


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The notch."""
    note = (
        ""
        if is_balanced(stage)
        else "parts are not in the ratio 1 : 2, so the notch is shallower and may lie beside"
    )
    return (Number(name="notch", unit="Hz", closed=middle_hz(stage), full=None, source=SOURCE, note=note),)


def purpose(stage: Stage, bench: Bench) -> str:
    """Which frequency it takes out."""
    depth = (
        "The parts stand in the right ratio, so it goes deep: as deep as their tolerance lets it."
        if is_balanced(stage)
        else "Its parts are not in the ratio of one to two, so it does not go all the way down."
    )
    return (
        f"Takes out the surroundings of {hz(middle_hz(stage))}: through the resistors that frequency "
        "arrives late, through "
        f"the capacitors early, by the same amount, and the two cancel. {depth}"
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    value = bench.view.circuit.by_ref[ref].value or 0.0
    size = ohms(value) if role_of(stage, ref) == "notch resistor" else farads(value)
    return (
        f"{named(bench, ref)}: its {size} and the other five parts set the notch at "
        f"{hz(middle_hz(stage))}; use close tolerances."
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Twin-T notch",
    says="Takes one frequency out.",
    sources=(SOURCE,),
    order=600,
    group="filter",
    roles={
        "notch resistor": "part of the two ways that cancel",
        "notch capacitor": "part of the two ways that cancel",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal Less hum
input IN line
output OUT 1M
IN > R1 33k > TOP > R2 33k > OUT
TOP > C1 94n > gnd
IN > C2 47n > LOW > C3 47n > OUT
LOW > R3 33k || R4 33k > gnd
""",
            roles=dict.fromkeys(("R1", "R2", "R3", "R4"), (KIND_NAME, "notch resistor"))
            | dict.fromkeys(("C1", "C2", "C3"), (KIND_NAME, "notch capacitor")),
        ),
    ),
    near_misses=(
        Example(
            text="""pedal One tee only
input IN line
output OUT 1M
IN > R1 33k > TOP > R2 33k > OUT
TOP > C1 94n > gnd
""",
            roles={"R1": ("*", ""), "C1": ("*", "")},
        ),
    ),
)
