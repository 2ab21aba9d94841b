"""The phase-shift oscillator: a ladder of three or four sections turns the phase until an amplifier feeds
itself.

Where the ladder turns the signal by 180 degrees, the transistor's own 180 make a full turn; if its gain
outweighs what
the ladder loses there (29 times for three equal sections), the stage swings by itself at that frequency.
"""

from collections.abc import Iterable
from math import prod

from pedalwright.formulas.oscillator import PhaseShift, loaded_high_pass_sections, three_low_pass_sections
from pedalwright.stages import phase_shift_amplifier
from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.ideal import transistor_conductance
from pedalwright.stages.kinds._phase_shift_oscillator_examples import DIVIDED, SLOW, TWO_SECTIONS
from pedalwright.stages.phase_ladder import (
    Ladder,
    full_balance,
    ladder_of,
    oscillator_network,
    own_balance,
)
from pedalwright.stages.phase_shift_examples import EXAMPLES
from pedalwright.stages.resting_source import thevenin
from pedalwright.stages.stage import Number, Proposal, Role, Stage, StageKind, Transfer
from pedalwright.stages.transistor_cluster import free_clusters
from pedalwright.stages.transistor_gains import HYBRID_PI, transistor_transfer
from pedalwright.stages.transistor_network import TransistorNetwork
from pedalwright.stages.transistor_rest import resting_a
from pedalwright.stages.transistor_shape import (
    cluster_of,
    ends_of,
    propose_transistor,
    role_of,
    transistor_roles,
)
from pedalwright.stages.wording import hz, named, ohms, volts

KIND_NAME = "phase-shift-oscillator"
BOOK = (
    "Boylestad and Nashelsky, Electronic Devices and Circuit Theory, ch. 14 (phase-shift oscillator); "
    "Floyd, ch. 16"
)
ALIKE = 1.5
"""sections that differ by no more than this are equal enough for the book's formula (house rule, no source)
"""


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free transistor whose collector or drain leads back to its own control through such a ladder."""
    yield from phase_shift_amplifier.find(claimed)
    for cluster in free_clusters(claimed.view, claimed.classes, claimed.taken):
        network = oscillator_network(claimed, cluster)
        if network is not None and network.fed:
            roles = (*transistor_roles(claimed.bench, network), *_ladder_roles(claimed, network))
            yield propose_transistor(claimed, network, KIND_NAME, roles=roles)


def _ladder_roles(claimed: Claimed, network: TransistorNetwork) -> tuple[Role, ...]:
    found: dict[str, str] = {}
    for leaf in network.at("step"):
        family = claimed.view.family[leaf.ref]
        words = {"C": "phase-shift capacitor", "R": "phase-shift resistor"}
        found[leaf.ref] = "rate knob" if family == "knob" else words.get(leaf.sort, "network part")
    return tuple(Role(ref, role) for ref, role in found.items())


def network_of_stage(stage: Stage, bench: Bench) -> TransistorNetwork:
    """The stage's network found again; ValueError when the stage is no such oscillator."""
    network = oscillator_network(Claimed(bench, frozenset()), cluster_of(bench, stage))
    if network is None:
        raise ValueError(f"{stage.name} has no phase-shift ladder")
    return network


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """With the loop closed nothing drives it: its whole claim is the impedance at its output."""
    if phase_shift_amplifier.is_amplifier(stage):
        return None
    return transistor_transfer(bench, network_of_stage(stage, bench))


def by_the_book(network: TransistorNetwork, ladder: Ladder, bench: Bench) -> PhaseShift | None:
    """The textbook's frequency for three equal sections; None where they are too unlike."""
    capacitors = [leaf.value for leaf in network.at("step") if leaf.sort == "C"]
    resistors = _section_ohms(network, ladder, bench)
    if len(capacitors) != 3 or len(resistors) != 3 or not (_alike(capacitors) and _alike(resistors)):
        return None
    farads = prod(capacitors) ** (1 / 3)
    each = prod(resistors) ** (1 / len(resistors))
    if not ladder.leading:
        return three_low_pass_sections(each, farads)
    load = thevenin(bench, network.at("top"), network.cluster.top)
    return loaded_high_pass_sections(each, farads, driver_ohms=load[1] if load else 0.0)


def _alike(values: list[float]) -> bool:
    return max(values) <= ALIKE * min(values)


def _section_ohms(network: TransistorNetwork, ladder: Ladder, bench: Bench) -> list[float]:
    """The resistances of the sections: to steady nets behind capacitors, else those in series."""
    if not ladder.leading:
        return [leaf.value for leaf in ladder.series if leaf.sort == "R"]
    shunts = [leaf for leaf in network.at("step") if leaf.sort == "R" and leaf not in ladder.series]
    found = [thevenin(bench, shunts, net) for net in ladder.nets]
    sections = [each[1] for each in found if each is not None]
    last = base_ohms(network, bench)
    return sections if last is None else [*sections, last]


def base_ohms(network: TransistorNetwork, bench: Bench) -> float | None:
    """The last section's resistance: the bias resistors beside the transistor's own input; None when
    infinite.
    """
    siemens = transistor_conductance(bench, network.cluster.lead, "gpi")
    siemens += sum(1.0 / leaf.value for leaf in network.at("bias") if leaf.sort == "R")
    return 1.0 / siemens if siemens else None


def _ladder(stage: Stage, bench: Bench) -> Ladder:
    cluster = cluster_of(bench, stage)
    ladder = ladder_of(Claimed(bench, frozenset()), cluster.top, cluster.control)
    if ladder is None:
        raise ValueError(f"{stage.name} has no phase-shift ladder")
    return ladder


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Frequency by the book and in the full circuit, the gain in hand, and the resting point."""
    if phase_shift_amplifier.is_amplifier(stage):
        return phase_shift_amplifier.numbers(stage, bench)
    network, ladder = network_of_stage(stage, bench), _ladder(stage, bench)
    book, own = by_the_book(network, ladder, bench), own_balance(bench, network)
    near = own.frequency_hz if own else (book.frequency_hz if book else None)
    full = full_balance(bench, network, near) if near else None
    found = [
        Number(
            name="frequency",
            unit="Hz",
            closed=book.frequency_hz if book else near,
            full=full.frequency_hz if full else None,
            source=BOOK
            if book
            else "return ratio of the transistor (nodal equations of the stage's own parts)",
            note="the book's formula is for equal sections"
            if book
            else "the sections differ: no book formula",
        ),
        Number(
            name="gain in hand",
            unit="x",
            closed=own.gain_in_hand if own else None,
            full=full.gain_in_hand if full else None,
            source="return ratio of the transistor (nodal equations)",
            note="it swings by itself when this is above one",
        ),
    ]
    top, _ = ends_of(network.cluster)
    measured = bench.volts(network.cluster.top)
    found.append(
        Number(
            name=f"{top} voltage at rest",
            unit="V",
            closed=None,
            full=measured,
            source="rest point of the circuit",
            note="a balance the oscillation swings about",
        )
    )
    return tuple(number for number in found if number.closed is not None or number.full is not None)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    if phase_shift_amplifier.is_amplifier(stage):
        return phase_shift_amplifier.purpose(stage, bench)
    network, ladder = network_of_stage(stage, bench), _ladder(stage, bench)
    own = own_balance(bench, network)
    sections = sum(leaf.sort == ("C" if ladder.leading else "R") for leaf in ladder.series)
    said = (
        f"An amplifier that feeds itself: at one frequency the ladder of {sections} sections turns the "
        "phase by half a "
        "turn, the transistor turns it by the other half, and the signal arrives back in step."
    )
    if own is None:
        return said
    near = full_balance(bench, network, own.frequency_hz) or own
    said += f" That frequency is {hz(near.frequency_hz)}"
    if near.gain_in_hand > 1:
        return f"{said}, and there is {near.gain_in_hand:.2g} times the gain it needs: it swings."
    return f"{said}, but there is only {near.gain_in_hand:.2g} of the gain it needs: it stays at rest."


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    if phase_shift_amplifier.is_amplifier(stage):
        return phase_shift_amplifier.part_says(stage, ref, bench)
    network = network_of_stage(stage, bench)
    role = role_of(stage, ref)
    top, bottom = ends_of(network.cluster)
    flow = resting_a(bench, network.cluster.lead)
    words = {
        "transistor": "Turns the signal over and makes up for what the ladder loses.",
        "phase-shift capacitor": "One part of the ladder that turns the phase; larger means slower.",
        "phase-shift resistor": "One part of the ladder that turns the phase; larger means slower.",
        "rate knob": "Moves the frequency. It moves one section only, so the gain needed moves a little too.",
        f"{top} resistor": f"The {top}'s load: its drop at rest is {_drop(network, bench, flow)}.",
        f"{bottom} resistor": "Holds the resting current steady; what is not bypassed of it takes gain away.",
        f"{bottom} bypass capacitor": "Gives the stage its full gain at the slow frequency.",
        "bias feedback resistor": (
            f"Gives the base its current from the {top}, so that the stage rests in the middle: "
            f"{_stands(network, bench)}."
        ),
        "gain knob": "Sets the gain in hand: as little as will start it gives the roundest wave.",
    }
    return words.get(role, f"{named(bench, ref)} belongs to the oscillator's network.")


def _drop(network: TransistorNetwork, bench: Bench, flow: float | None) -> str:
    load = thevenin(bench, network.at("top"), network.cluster.top)
    measured = bench.volts(network.cluster.top)
    if load is None or measured is None:
        return "not known"
    return f"{volts(abs(load[0] - measured))} over {ohms(load[1])}"


def _stands(network: TransistorNetwork, bench: Bench) -> str:
    measured = bench.volts(network.cluster.top)
    return f"now {volts(measured)}" if measured is not None else "not known"


KIND = StageKind(
    kind=KIND_NAME,
    title="Phase-shift oscillator",
    says="Swings by itself, slowly as a rule: makes the movement of a tremolo or vibrato.",
    sources=(BOOK, HYBRID_PI, *phase_shift_amplifier.SOURCES),
    order=355,
    group="oscillator",
    roles={
        **phase_shift_amplifier.ROLES,
        "transistor": "turns the signal over and makes up the ladder's loss",
        "phase-shift capacitor": "turns the phase, with its resistor",
        "phase-shift resistor": "turns the phase, with its capacitor",
        "rate knob": "moves the frequency",
        "collector resistor": "the collector's load",
        "drain resistor": "the drain's load",
        "emitter resistor": "holds the resting current",
        "source resistor": "holds the resting current",
        "emitter bypass capacitor": "lets the slow signal past the emitter resistor",
        "source bypass capacitor": "lets the slow signal past the source resistor",
        "bias feedback resistor": "feeds the base from the collector",
        "feedback resistor": "sets the gain",
        "gain knob": "sets the gain in hand",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=(SLOW, DIVIDED, *EXAMPLES),
    near_misses=(TWO_SECTIONS,),
)
