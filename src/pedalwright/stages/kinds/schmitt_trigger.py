"""The Schmitt trigger: part of the output goes back to the non-inverting input, so it turns over late and
stays turned.

Two thresholds instead of one: noise near a threshold cannot make it chatter, and a slow triangle can swing
between them.
"""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.active_loop import transistors_in_loop
from pedalwright.stages.amplifier_says import role_of, with_roles
from pedalwright.stages.amplifier_shape import Words, propose
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.slow_oscillator import triangle_number, triangle_words
from pedalwright.stages.stage import Example, Number, Proposal, Stage, StageKind
from pedalwright.stages.wording import plain_resistance

SOURCE = (
    "Coughlin and Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 4; Floyd, "
    "Electronic Devices, ch. 13"
)
KIND_NAME = "schmitt-trigger"
BACK: Words = {
    "R": "hysteresis resistor",
    "C": "speed-up capacitor",
    "L": "network part",
    "D": "limiting diode",
    "knob": "hysteresis resistor",
}
INTO: Words = {
    "R": "input resistor",
    "C": "dc-blocking capacitor",
    "L": "network part",
    "D": "limiting diode",
    "knob": "input resistor",
}
WORDS = {"back": BACK, "input": INTO, "reference": BACK, "inverting": INTO, "other": BACK}


def _branches(network: AmplifierNetwork) -> dict[str, tuple[Branch, ...]] | None:
    amp = network.amplifier
    if amp.inv == amp.out or network.has_negative_feedback or not network.has_positive_feedback:
        return None
    found: dict[str, list[Branch]] = {}
    for edge in network.edges:
        found.setdefault(_place(network, edge.a, edge.b), []).append(edge.branch)
    return {name: tuple(group) for name, group in found.items()}


def _place(network: AmplifierNetwork, a: str, b: str) -> str:
    amp = network.amplifier
    ends = {a, b}
    if amp.inv in ends:
        return "inverting"
    if amp.non not in ends:
        return "other"
    far = (ends - {amp.non}).pop()
    if far == amp.out:
        return "back"
    return "reference" if far == GROUND else "input"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier whose output leads back to its non-inverting input and not to the other."""
    for network in claimed.networks():
        branches = _branches(network)
        if branches is not None and not transistors_in_loop(claimed.view, claimed.classes, network.amplifier):
            yield propose(claimed, network, KIND_NAME, branches, WORDS)


def hysteresis_share(stage: Stage) -> float | None:
    """How far apart the thresholds are, as a share of the output's swing; None when it cannot be told."""
    back = stage.branches.get("back", ())
    if not back:
        return None
    over = plain_resistance(back[0])
    into = [plain_resistance(branch) for branch in stage.branches.get("input", ())]
    below = [plain_resistance(branch) for branch in stage.branches.get("reference", ())]
    if into and not below and len(into) == 1:
        return into[0] / over
    if below and not into:
        rest = 1.0 / sum(1.0 / value for value in below)
        return rest / (rest + over)
    return None


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The distance of the thresholds, and the frequency of the triangle when it drives an integrator."""
    share = hysteresis_share(stage)
    found = [] if share is None else [
        Number(
            name="hysteresis",
            unit="%",
            closed=100 * share,
            full=None,
            source=SOURCE,
            note="distance of the thresholds as a share of the output's whole swing",
        )
    ]  # fmt: skip
    return (*found, *triangle_number(stage, bench))


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    share = hysteresis_share(stage)
    apart = f" They lie {100 * share:.3g} % of the output's whole swing apart." if share is not None else ""
    triangle = triangle_words(stage, bench)
    says = (
        "Stands high or low and turns over only when its input has gone past a threshold; what comes "
        f"back through {with_roles(stage, bench, 'hysteresis resistor')} then holds the threshold away, "
        f"so that it stays turned.{apart}"
    )
    return f"{says} {triangle}".strip()


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role, share = role_of(stage, ref), hysteresis_share(stage)
    apart = (
        f" The thresholds lie {100 * share:.3g} % of the output's swing apart." if share is not None else ""
    )
    if role == "hysteresis resistor":
        return (
            f"Leads part of the output back to the non-inverting input, so that the thresholds part.{apart}"
        )
    if role == "input resistor":
        return (
            "Brings in what is to be judged, against what comes back through the hysteresis "
            f"resistor.{apart} Larger: farther apart."
        )
    if role == "dc-blocking capacitor":
        return "Keeps the resting voltages apart."
    if role == "speed-up capacitor":
        return "Hurries the turning over."
    return "With its output leading back to its non-inverting input it can only stand high or low."


KIND = StageKind(
    kind=KIND_NAME,
    title="Schmitt trigger",
    says="Turns over at one voltage and back at another.",
    sources=(SOURCE,),
    order=380,
    group="oscillator",
    roles={
        "amplifier": "stands high or low",
        "hysteresis resistor": "parts the two thresholds",
        "input resistor": "brings in what is to be judged",
        "dc-blocking capacitor": "keeps resting voltages apart",
        "speed-up capacitor": "hurries the turning over",
        "limiting diode": "limits how far an input goes",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(
        Example(
            text="""pedal Loud or not
supply V9 9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 22n > U1a.non > R3 1M > VB
U1a.inv > U1a.out > U1b.inv
U1a.out > C4 1u > OUT
OUT > R6 100k > gnd
U1b.non > R4 10k > VB
U1b.non > R5 100k > U1b.out
U1b.out > R7 2k2 > D1 red > gnd
""",
            roles={
                "U1b": (KIND_NAME, "amplifier"),
                "R5": (KIND_NAME, "hysteresis resistor"),
                "R4": (KIND_NAME, "hysteresis resistor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal Square maker
supply V9 9V wall
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
U1.inv > C2 1u > gnd
U1.inv > R3 100k > U1.out
U1.non > R4 47k > VB
U1.non > R5 47k > U1.out
U1.out > C3 1u > OUT
OUT > R6 100k > gnd
""",
            roles={"U1": ("*", "amplifier")},
        ),
    ),
)
