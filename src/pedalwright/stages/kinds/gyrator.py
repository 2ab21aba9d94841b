"""The gyrator: an amplifier, a capacitor and two resistors that together behave like a coil.

The follower copies what the capacitor lets through and pushes it back into the port through a small
resistor. At low frequencies the copy is small and the port sees the small resistor; higher up the copy
equals the signal and no current flows: an impedance that rises with frequency, as a coil's does, without
its weight, its price and its hum.
"""

from collections.abc import Iterable

from pedalwright.formulas.divider import impedance_ratio
from pedalwright.formulas.gyrator import inductance_h, resonance_hz, series_q
from pedalwright.stages.amplifier_says import role_of
from pedalwright.stages.amplifier_shape import Words, propose, stiff_transfer
from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.gyrator_shape import gyrator_parts, is_gyrator
from pedalwright.stages.multiple_feedback_shape import farads_of
from pedalwright.stages.stage import Example, Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.transistor_gyrator import (
    find_transistors,
    transistor_gyrator_numbers,
    transistor_gyrator_part_says,
    transistor_gyrator_purpose,
    transistor_gyrator_transfer,
)
from pedalwright.stages.wording import hz, named, ohms, plain_resistance
from pedalwright.units.values import print_value

SOURCE = "common practice, no source (nodal analysis): L = (R - RL) RL C"
DIVIDER = "textbook divider of the capacitor and its resistor"
KIND_NAME = "gyrator"
STORE: Words = {
    "R": "network part",
    "C": "gyrator capacitor",
    "L": "network part",
    "D": "network part",
    "knob": "network part",
}
GROUND_WORDS: Words = {
    "R": "gyrator resistor",
    "C": "network part",
    "L": "network part",
    "D": "network part",
    "knob": "frequency knob",
}
LINE: Words = {
    "R": "series resistor",
    "C": "network part",
    "L": "network part",
    "D": "network part",
    "knob": "frequency knob",
}
WORDS = {"store": STORE, "ground": GROUND_WORDS, "line": LINE}


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free follower with that shape whose output nobody else listens to."""
    for network in claimed.networks():
        parts = gyrator_parts(network)
        if parts is not None and is_gyrator(claimed.view, network):
            port, store, ground, line = parts
            branches = {"store": (store,), "ground": (ground,), "line": (line,)}
            yield propose(claimed, network, KIND_NAME, branches, WORDS, inputs=(port,))
    yield from find_transistors(claimed)


def _has_transistor(stage: Stage) -> bool:
    return bool(stage.with_role("transistor"))


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """The follower's copy of the port: R / (R + 1 / s C). What it pulls at the port belongs to the stage
    outside.
    """
    if _has_transistor(stage):
        return transistor_gyrator_transfer(stage, bench)
    store, ground = stage.branch("store"), stage.branch("ground")
    claim = stiff_transfer(
        stage,
        lambda s: (impedance_ratio(store.impedance(s), ground.impedance(s)),),
        formula="H = R / (R + 1 / (s C))",
        source=DIVIDER,
    )
    own = frozenset(leaf.name for branch in (store, ground) for leaf in branch.leaves())
    return Transfer(
        inputs=claim.inputs,
        output=claim.output,
        gains=claim.gains,
        members=own,
        formula=claim.formula,
        source=claim.source,
    )


def inductance(stage: Stage) -> float:
    """What the port looks like at low frequency, in henries."""
    return inductance_h(
        line_ohms=plain_resistance(stage.branch("line")),
        ground_ohms=plain_resistance(stage.branch("ground")),
        farads=farads_of(stage.branch("store")),
    )


def _tuning(stage: Stage, bench: Bench) -> tuple[str, float] | None:
    """The one capacitor that leads from the port onward, with its value, when there is just one."""
    own = {leaf.name for leaf in stage.leaves()}
    onward = [leaf for leaf in bench.view.on(stage.inputs[0]) if leaf.name not in own]
    return (onward[0].ref, onward[0].value) if len(onward) == 1 and onward[0].sort == "C" else None


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Inductance, loss, and the resonance with the capacitor at its port."""
    if _has_transistor(stage):
        return transistor_gyrator_numbers(stage, bench)
    henries, loss = inductance(stage), plain_resistance(stage.branch("line"))
    found = [
        Number(name="inductance", unit="H", closed=henries, full=None, source=SOURCE),
        Number(name="series resistance", unit="ohm", closed=loss, full=None, source=SOURCE),
    ]
    tuning = _tuning(stage, bench)
    if tuning is not None and henries > 0:
        resonance = resonance_hz(henries=henries, farads=tuning[1])
        quality = series_q(henries=henries, farads=tuning[1], loss_ohms=loss)
        found.append(
            Number(name="resonance", unit="Hz", closed=resonance, full=None, source="f = 1/(2 pi sqrt(L C))")
        )
        found.append(
            Number(
                name="Q",
                unit="",
                closed=quality,
                full=None,
                source="sqrt(L / C) / R, loss of the gyrator alone",
            )
        )
    return tuple(found)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    if _has_transistor(stage):
        return transistor_gyrator_purpose(stage, bench)
    henries = inductance(stage)
    says = (
        f"Behaves like a coil of {print_value(henries, 'H')} with "
        f"{ohms(plain_resistance(stage.branch('line')))} in series, without a coil's size and hum: the "
        "amplifier lets little current into its port at high frequencies and more at low ones."
    )
    tuning = _tuning(stage, bench)
    if tuning is not None and henries > 0:
        says += (
            f" With {named(bench, tuning[0])} it resonates at "
            f"{hz(resonance_hz(henries=henries, farads=tuning[1]))}."
        )
    return says


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    if _has_transistor(stage):
        return transistor_gyrator_part_says(stage, ref, bench)
    role = role_of(stage, ref)
    coil = print_value(inductance(stage), "H")
    words = {
        "gyrator capacitor": (
            "Lets the amplifier hear the port: resistor times resistor times this capacitor makes the "
            f"coil of {coil}. Larger: more inductance."
        ),
        "gyrator resistor": (
            f"Lets the low notes past the amplifier's input: larger makes more of the {coil}."
        ),
        "series resistor": (
            f"Leads the copy back to the port, and is the resistance of the coil of {coil}. Larger: more "
            "inductance, and a lower Q."
        ),
        "frequency knob": f"Moves the inductance, now {coil}.",
        "amplifier": "Copies what the capacitor lets through and pushes it back into the port.",
    }
    return words.get(role, f"Belongs to the coil of {coil}.")


KIND = StageKind(
    kind=KIND_NAME,
    title="Gyrator",
    says="Behaves like a coil, made of an amplifier, a capacitor and two resistors.",
    sources=(SOURCE, DIVIDER),
    order=390,
    group="filter",
    roles={
        "amplifier": "copies what the capacitor lets through",
        "transistor": "copies what the capacitor lets through",
        "emitter resistor": "carries the transistor's resting current",
        "gyrator capacitor": "lets the amplifier hear the port",
        "gyrator resistor": "lets the low notes past the amplifier",
        "series resistor": "leads the copy back to the port",
        "frequency knob": "moves the inductance",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(
        Example(
            text="""pedal One dip
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=VPOS v-=VNEG
IN > U1a.non > R1 1M > gnd
U1a.inv > U1a.out > R2 10k > DIP
DIP > C1 100n > COIL
COIL > C2 4n7 > U1b.non > R3 220k > gnd
COIL > R4 470 > U1b.out
U1b.inv > U1b.out
DIP > C3 1u > OUT
OUT > R5 1M > gnd
""",
            roles={
                "U1b": (KIND_NAME, "amplifier"),
                "C2": (KIND_NAME, "gyrator capacitor"),
                "R3": (KIND_NAME, "gyrator resistor"),
                "R4": (KIND_NAME, "series resistor"),
            },
        ),
        Example(
            text="""pedal Coil of one
supply V9 9V wall
input IN line
output OUT 100k
part Q1 npn 2N5088
V9 > R1 47k > VB > R2 47k > gnd
VB > C1 47u > gnd
IN > C2 1u > R3 10k > OUT
OUT > C3 47n > LINE
LINE > R4 1k > Q1.e
LINE > C4 10n > Q1.b
Q1.b > R5 100k > VB
Q1.c > V9
Q1.e > R6 10k > gnd
""",
            roles={
                "Q1": (KIND_NAME, "transistor"),
                "C4": (KIND_NAME, "gyrator capacitor"),
                "R4": (KIND_NAME, "series resistor"),
                "R6": (KIND_NAME, "emitter resistor"),
                "R5": (KIND_NAME, "gyrator resistor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Bass cut
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VPOS v-=VNEG
IN > C1 100n > M
M > C2 100n > U1.non > R3 22k > gnd
M > R4 10k > U1.out
U1.inv > U1.out > OUT
""",
            roles={"U1": ("sallen-key-high-pass", "amplifier")},
        ),
    ),
)
