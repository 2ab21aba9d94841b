"""The echo chip itself: coder, memory and decoder, with the few parts it cannot do without.

The coder turns the sound into a stream of single bits, each saying whether the sound lies above or below an
integrator's output; a memory of 44 kbit delays them; the decoder's like integrator turns them back. The two
integrator capacitors must be alike. How large the steps are is stored on two more capacitors.
"""

from collections.abc import Iterable
from math import pi

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.devices.device import is_unused
from pedalwright.devices.kinds.echo_chip import FIGURES
from pedalwright.formulas.rc import corner_hz
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.stage import Example, Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.supplies import role_of
from pedalwright.stages.wording import farads, hz, named, volts

KIND_NAME = "echo-chip"
SOURCE = "maker's data sheet, Echo Processor IC, V1.6, February 2010"
SLOPE_SOURCE = "published slew measurements, 2021: 1.05 mA over the integrator capacitor"
CODER, DECODER = "coder", "decoder"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every echo chip with the capacitors on pins 2 and 7 to 12."""
    view = claimed.view
    for part in view.parts_of("echo-chip"):
        groups = {
            "coder integrator capacitor": _between(claimed, view.net(part, "9"), view.net(part, "10")),
            "decoder integrator capacitor": _between(claimed, view.net(part, "12"), view.net(part, "11")),
            "coder step-size capacitor": _down(claimed, view.net(part, "8")),
            "decoder step-size capacitor": _down(claimed, view.net(part, "7")),
            "reference filter capacitor": _down(claimed, view.net(part, "2")),
        }
        roles = [
            Role(part.ref, "echo chip"),
            Role(f"{part.ref}/{CODER}", "coder integrator"),
            Role(f"{part.ref}/{DECODER}", "decoder integrator"),
            *_idle_filters(part),
            *(Role(leaf.ref, role) for role, leaves in groups.items() for leaf in leaves),
        ]
        yield Proposal(
            kind=KIND_NAME,
            roles=tuple(dict.fromkeys(roles)),
            inputs=(view.net(part, "15"),),
            output=view.net(part, "12"),
            branches=dict(groups),
            nets={
                "supply": view.net(part, "1"),
                "reference": view.net(part, "2"),
                "time": view.net(part, "6"),
            },
        )


def _between(claimed: Claimed, a: str, b: str) -> tuple[Leaf, ...]:
    return tuple(leaf for leaf in claimed.free_on(a) if leaf.sort == "C" and leaf.other(a) == b)


def _down(claimed: Claimed, net: str) -> tuple[Leaf, ...]:
    return tuple(leaf for leaf in claimed.free_on(net) if leaf.sort == "C" and leaf.other(net) == GROUND)


def _idle_filters(part: Part) -> Iterable[Role]:
    for name, pins in (("input-filter", ("16", "15")), ("output-filter", ("13", "14"))):
        if all(is_unused(part, pin) for pin in pins):
            yield Role(f"{part.ref}/{name}", "unused section")


def _farads(stage: Stage, role: str) -> float:
    return sum(leaf.value for leaf in stage.leaves(role))


def slope_v_per_s(stage: Stage) -> float | None:
    """The steepest sound the coder follows, in volts per second; None without its capacitor."""
    integrator = _farads(stage, "coder integrator capacitor")
    return FIGURES["slope_a"].value / integrator if integrator else None


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Supply and reference voltages, the slope limit, and what it means for treble."""
    supply, reference = bench.volts(stage.nets["supply"]), bench.volts(stage.nets["reference"])
    found = [
        Number(name="supply", unit="V", closed=FIGURES["nominal_supply_v"].value, full=supply, source=SOURCE),
        Number(
            name="reference",
            unit="V",
            closed=None if supply is None else supply / 2,
            full=reference,
            source=f"{SOURCE}: half the supply",
        ),
    ]
    slope, store = slope_v_per_s(stage), _farads(stage, "reference filter capacitor")
    if slope is not None:
        highest = slope / (2 * pi * 0.5)
        found.append(
            Number(
                name="highest clean note at 0.5 V peak",
                unit="Hz",
                closed=highest,
                full=None,
                source=SLOPE_SOURCE,
            )
        )
    if store:
        corner = corner_hz(FIGURES["reference_ohms"].value, store)
        found.append(
            Number(name="reference corner", unit="Hz", closed=corner, full=None, source="f = 1/(2 pi R C)")
        )
    return tuple(found)


def purpose(stage: Stage, bench: Bench) -> str:
    """What the chip does, and how far it can follow."""
    text = (
        f"{stage.roles[0].ref} turns the sound into single bits, keeps them in its memory while they "
        "wait, and turns them "
        f"back into sound. How long they wait is set at pin 6."
    )
    slope = slope_v_per_s(stage)
    if slope is None:
        return f"{text} The coder's integrator capacitor (pins 9 and 10) is missing: it cannot work so."
    return (
        f"{text} It follows sounds up to {slope / 1e3:.1f} V in a thousandth of a second: half a volt of "
        "peak comes "
        f"through clean up to about {hz(slope / pi)}, louder treble turns into triangles."
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role = role_of(stage, ref)
    part = bench.view.circuit.by_ref.get(ref)
    size = farads(part.value) if part is not None and part.value else ""
    if role.endswith("integrator capacitor"):
        corner = corner_hz(FIGURES["integrator_ohms"].value, part.value if part and part.value else 1.0)
        return (
            f"Integrates the bits with the chip's own 4.7 kΩ: corner {hz(corner)} with {size}. Smaller "
            "follows louder "
            f"treble but makes more noise. Coder and decoder need the same value."
        )
    if role.endswith("step-size capacitor"):
        return f"Stores how large the steps are just now ({size}). Below about 47 nF the noise rises."
    if role == "reference filter capacitor":
        reference = bench.volts(stage.nets["reference"])
        rests = "" if reference is None else f", {volts(reference)} here"
        return f"Holds the chip's half supply{rests} still with {size}; its plus end is at pin 2."
    words = {
        "coder integrator": "Follows the sound step by step; comparing the two makes the bits.",
        "decoder integrator": (
            "Makes the same steps from the delayed bits: the sound again, still with stairs on it."
        ),
        "unused section": "Not used in this circuit.",
    }
    return words.get(
        role, f"{named(bench, ref)} holds coder, memory, decoder and four amplifiers on one 5 V supply."
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Echo chip",
    says="Delays the sound by way of a stream of bits.",
    sources=(SOURCE, SLOPE_SOURCE),
    order=300,
    group="echo",
    roles={
        "echo chip": "codes, keeps and decodes the sound",
        "coder integrator": "follows the sound step by step",
        "decoder integrator": "turns the delayed bits back into sound",
        "coder integrator capacitor": "sets the steps of the coder",
        "decoder integrator capacitor": "sets the steps of the decoder",
        "coder step-size capacitor": "stores how large the coder's steps are",
        "decoder step-size capacitor": "stores how large the decoder's steps are",
        "reference filter capacitor": "holds the chip's half supply still",
        "unused section": "is not used",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=(
        Example(
            text="""pedal Bare chip
supply V5 5V wall
input IN line
output OUT 100k
part U1 echo-chip supply=V5
V5 > C1 47u > gnd
U1.2 > C2 47u > gnd
U1.7 > C3 100n > gnd
U1.8 > C4 100n > gnd
U1.9 > C5 82n > U1.10
U1.11 > C6 82n > U1.12
U1.6 > R1 10k > gnd
IN > C7 1u > R2 22k > U1.16
U1.16 > R3 22k || C8 470p > U1.15
U1.12 > R4 10k > M > R5 10k > U1.13
M > R6 10k > U1.14
M > C9 4n7 > gnd
U1.13 > C10 1n > U1.14
U1.14 > C11 1u > OUT
""",
            roles={
                "U1": (KIND_NAME, "echo chip"),
                "U1/coder": (KIND_NAME, "coder integrator"),
                "U1/decoder": (KIND_NAME, "decoder integrator"),
                "C2": (KIND_NAME, "reference filter capacitor"),
                "C3": (KIND_NAME, "decoder step-size capacitor"),
                "C4": (KIND_NAME, "coder step-size capacitor"),
                "C5": (KIND_NAME, "coder integrator capacitor"),
                "C6": (KIND_NAME, "decoder integrator capacitor"),
                "R1": ("delay-time-network", "time resistor"),
            },
        ),
    ),
    near_misses=(
        Example(
            text="""pedal A capacitor across an ordinary amplifier
supply V5 5V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V5 v-=gnd
V5 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > R3 10k > U1.inv
U1.inv > R4 10k || C2 100n > U1.out
U1.non > VB
U1.out > C3 1u > OUT
""",
            roles={"C2": ("*", ""), "U1": ("*", "")},
        ),
    ),
)
