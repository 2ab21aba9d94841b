"""The relaxation oscillator of one amplifier: a capacitor fills until the trigger turns, then empties until
it turns back.

One resistor feeds the capacitor from the output, two others part the thresholds. Frequency depends on all
of them, not on the supply.
"""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.oscillator import square_wave_s
from pedalwright.stages.amplifier_says import leaf_named, role_of, swept, with_roles
from pedalwright.stages.amplifier_shape import Words, negative_inner, propose
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, passes_dc, sorts
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.stage import Example, Number, Proposal, Stage, StageKind
from pedalwright.stages.wording import hz, listed, plain_resistance

SOURCE = (
    "Gayakwad, Op-Amps and Linear Integrated Circuits, ch. 7; Coughlin and Driscoll, ch. 6: T = 2 R C "
    "ln(1 + 2 R1 / R2)"
)
KIND_NAME = "relaxation-oscillator"
TIMING: Words = {
    "R": "timing resistor",
    "C": "timing capacitor",
    "L": "network part",
    "D": "timing diode",
    "knob": "rate knob",
}
HYSTERESIS: Words = {
    "R": "hysteresis resistor",
    "C": "speed-up capacitor",
    "L": "network part",
    "D": "limiting diode",
    "knob": "hysteresis resistor",
}
WORDS = {"timing": TIMING, "capacitor": TIMING, "back": HYSTERESIS, "reference": HYSTERESIS}


def _branches(network: AmplifierNetwork) -> dict[str, tuple[Branch, ...]] | None:
    amp = network.amplifier
    timing, capacitor = network.feedback, network.shunt
    back, reference = network.joined(amp.non, amp.out), network.joined(amp.non, GROUND)
    if timing is None or capacitor is None or back is None or reference is None or amp.inv == amp.out:
        return None
    known = {
        frozenset(ends)
        for ends in ((amp.inv, amp.out), (amp.inv, GROUND), (amp.non, amp.out), (amp.non, GROUND))
    }
    if negative_inner(network) or any(frozenset((edge.a, edge.b)) not in known for edge in network.edges):
        return None
    right = sorts(capacitor) == {"C"} and passes_dc(back) and passes_dc(reference)
    if not right or "R" not in sorts(timing) or "C" in sorts(timing) | sorts(back) | sorts(reference):
        return None
    return {"timing": (timing,), "capacitor": (capacitor,), "back": (back,), "reference": (reference,)}


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier with a resistor to a capacitor at one input and two resistors at the other, all
    from its output.
    """
    for network in claimed.networks():
        branches = _branches(network)
        if branches is not None:
            yield propose(claimed, network, KIND_NAME, branches, WORDS, inputs=())


def frequency_hz(stage: Stage) -> float:
    """Frequency for equal output swing both ways, in hertz; diodes are taken as conducting without loss."""
    farads = sum(leaf.value for leaf in stage.branch("capacitor").leaves())
    timing = plain_resistance(stage.branch("timing"))
    if timing == float("inf"):
        return float("nan")
    return 1.0 / square_wave_s(
        ohms=timing,
        farads=farads,
        ground_ohms=plain_resistance(stage.branch("reference")),
        output_ohms=plain_resistance(stage.branch("back")),
    )


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The frequency."""
    found = frequency_hz(stage)
    if found != found:
        return ()
    note = "for equal output swing both ways"
    return (Number(name="frequency", unit="Hz", closed=found, full=None, source=SOURCE, note=note),)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    found = frequency_hz(stage)
    rate = f" at {hz(found)}, one cycle in {1 / found:.3g} s" if found == found else ""
    return (
        f"Swings by itself{rate}: {with_roles(stage, bench, 'timing capacitor')} fills through "
        f"{with_roles(stage, bench, 'timing resistor', 'rate knob')} until it meets the threshold, the "
        "output turns over, and it empties again. The output is a square wave; the capacitor carries "
        "something near a triangle."
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role, found = role_of(stage, ref), frequency_hz(stage)
    now = f" Now {hz(found)}." if found == found else ""
    if role == "rate knob":
        ends = [frequency_hz(swept(stage, ref, bench, turn)) for turn in (0.0, 1.0)]
        said = listed([hz(value) for value in ends]) if ends[0] == ends[0] else "its ends"
        return f"Sets how fast the capacitor fills: {said} at 0 and at 10.{now}"
    if role == "timing resistor":
        return f"Sets how fast the capacitor fills. Larger: slower.{now}"
    if role == "timing capacitor":
        return f"Fills and empties between the two thresholds. Larger: slower.{now}"
    if role == "hysteresis resistor" and leaf_named(stage, ref) is not None:
        return f"Moves the threshold with the output, so that the capacitor has a way to go.{now}"
    if role == "timing diode":
        return "Lets the capacitor fill and empty at different speeds."
    return "Compares the capacitor with the threshold and turns over when they meet."


KIND = StageKind(
    kind=KIND_NAME,
    title="Relaxation oscillator",
    says="Makes a square wave by filling and emptying a capacitor between two thresholds.",
    sources=(SOURCE,),
    order=360,
    group="oscillator",
    roles={
        "amplifier": "turns over when the capacitor meets the threshold",
        "timing resistor": "fills the capacitor",
        "timing capacitor": "fills and empties",
        "timing diode": "fills and empties at different speeds",
        "rate knob": "sets the speed",
        "hysteresis resistor": "parts the two thresholds",
        "speed-up capacitor": "hurries the turning over",
        "limiting diode": "limits how far an input goes",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(
        Example(
            text="""pedal To and fro
supply V9 9V wall
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
knob RATE 500k reverse-audio at 5
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
U1.inv > C2 1u > gnd
U1.inv > R3 22k > RATE.3
RATE.2 > RATE.1 > U1.out
U1.non > R4 47k > VB
U1.non > R5 47k > U1.out
U1.out > R6 10k > C3 1u > OUT
OUT > R7 100k > gnd
""",
            roles={
                "U1": (KIND_NAME, "amplifier"),
                "R3": (KIND_NAME, "timing resistor"),
                "RATE": (KIND_NAME, "rate knob"),
                "C2": (KIND_NAME, "timing capacitor"),
                "R4": (KIND_NAME, "hysteresis resistor"),
                "R5": (KIND_NAME, "hysteresis resistor"),
            },
        ),
        Example(
            text="""pedal Own divider
supply V9 9V wall
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
U1.inv > C2 470n > gnd
U1.inv > R3 220k > U1.out
V9 > R1 100k > U1.non > R2 100k > gnd
U1.non > R5 100k > U1.out
U1.out > R6 10k > C3 1u > OUT
OUT > R7 100k > gnd
""",
            roles={
                "U1": (KIND_NAME, "amplifier"),
                "R1": (KIND_NAME, "hysteresis resistor"),
                "R2": (KIND_NAME, "hysteresis resistor"),
                "R3": (KIND_NAME, "timing resistor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Only a trigger
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 1u > U1.inv > R3 100k > VB
U1.non > R4 47k > VB
U1.non > R5 47k > U1.out
U1.out > C3 1u > OUT
OUT > R6 100k > gnd
""",
            roles={"U1": ("*", "amplifier")},
        ),
    ),
)
