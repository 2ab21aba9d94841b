"""The first-order all-pass: every frequency comes through equally loud, but turned in phase by an amount
that depends on it.

The inverting side turns the signal over, the non-inverting side adds it back through a resistor and a
capacitor: at one end of the band they give the signal, at the other its opposite, between them every angle.
A resistor that can be controlled moves the turning point: the heart of a phaser.
"""

from collections.abc import Iterable
from dataclasses import replace

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.all_pass import general_response
from pedalwright.stages.all_pass_balance import balance, channels_in, known_ohms, resistive_side, turning_hz
from pedalwright.stages.amplifier_says import role_of
from pedalwright.stages.amplifier_shape import (
    FEEDBACK_WORDS,
    INPUT_WORDS,
    Words,
    is_plain,
    members_of,
    propose,
    signal_inputs,
)
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, passes_dc, sorts
from pedalwright.stages.channel import channels_at, conductance, conductance_name
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.kinds._all_pass_examples import EXAMPLES, NEAR_MISSES
from pedalwright.stages.network import AmplifierNetwork, arms_of
from pedalwright.stages.stage import (
    ComplexArray,
    Number,
    Proposal,
    Role,
    Stage,
    StageKind,
    Transfer,
)
from pedalwright.stages.wording import hz, named, times

SOURCE = (
    "Gayakwad, Op-Amps and Linear Integrated Circuits, ch. 7 (all-pass filter); superposition of both inputs"
)
KIND_NAME = "all-pass"
PHASE: Words = {
    "R": "phase resistor",
    "C": "phase capacitor",
    "L": "network part",
    "D": "network part",
    "knob": "phase knob",
}
WORDS: dict[str, Words] = {
    "input": INPUT_WORDS,
    "feedback": FEEDBACK_WORDS,
    "series": PHASE,
    "ground": PHASE,
}
VOLTAGE_CONTROLLED = "voltage-controlled resistor"


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Every free amplifier whose two inputs hear one source: one through a resistor, one through a
    capacitor divider.
    """
    for network in claimed.networks():
        if _has_inverting_side(network):
            found = _proposal(claimed, network)
            if found is not None:
                yield found


def _has_inverting_side(network: AmplifierNetwork) -> bool:
    feedback = network.feedback
    inputs = signal_inputs(network)
    if network.non_still or not is_plain(network) or feedback is None or len(inputs) != 1:
        return False
    into = network.joined(inputs[0], network.amplifier.inv)
    resistive = into is not None and "R" in sorts(into) and passes_dc(feedback)
    return resistive and network.shunt is None and "D" not in sorts(feedback)


def _proposal(claimed: Claimed, network: AmplifierNetwork) -> Proposal | None:
    amp = network.amplifier
    source = signal_inputs(network)[0]
    into, feedback = network.joined(source, amp.inv), network.feedback
    arms = arms_of(claimed.view, claimed.classes, amp)
    if into is None or feedback is None or any(amp.non not in (edge.a, edge.b) for edge in arms):
        return None
    ends = {edge.other(amp.non): edge.branch for edge in arms}
    channels = channels_at(claimed, amp.non)
    nets = set(ends) | {GROUND if claimed.classes.is_still(net) else net for net in channels.values()}
    if nets != {source, GROUND}:
        return None
    series, ground = ends.get(source), ends.get(GROUND)
    across = {name: GROUND if claimed.classes.is_still(net) else net for name, net in channels.items()}
    if not _turns(series, ground, source in across.values(), GROUND in across.values()):
        return None
    branches: dict[str, tuple[Branch, ...]] = {"input": (into,), "feedback": (feedback,)}
    branches["series"] = () if series is None else (series,)
    branches["ground"] = () if ground is None else (ground,)
    found = propose(claimed, network, KIND_NAME, branches, WORDS, inputs=(source,), with_cells=True)
    return _with_channels(claimed, found, across, source)


def _turns(series: Branch | None, ground: Branch | None, series_channel: bool, ground_channel: bool) -> bool:
    """One arm a capacitor alone, the other resistive (a channel counts)."""

    def is_capacitor(branch: Branch | None, channel: bool) -> bool:
        return branch is not None and sorts(branch) == {"C"} and not channel

    def is_resistive(branch: Branch | None, channel: bool) -> bool:
        return (branch is not None and "R" in sorts(branch) and "D" not in sorts(branch)) or (
            branch is None and channel
        )

    first = is_capacitor(series, series_channel) and is_resistive(ground, ground_channel)
    second = is_resistive(series, series_channel) and is_capacitor(ground, ground_channel)
    return first or second


def _with_channels(claimed: Claimed, found: Proposal, across: dict[str, str], source: str) -> Proposal | None:
    if any(not claimed.free(ref) for ref in across):
        return None
    roles = [
        Role(role.ref, VOLTAGE_CONTROLLED)
        if claimed.view.family[_part(claimed, role.ref)] == "optocoupler"
        else role
        for role in found.roles
    ]
    roles.extend(Role(ref, VOLTAGE_CONTROLLED) for ref in across)
    sides = {f"channel {ref}": "series" if net == source else "ground" for ref, net in across.items()}
    inner = {"inner non": found.nets["non-inverting"]} if across else {}
    return replace(found, roles=tuple(roles), nets={**found.nets, **inner, **sides})


def _part(claimed: Claimed, ref: str) -> str:
    if ref in claimed.view.family:
        return ref
    return next(amp.part.ref for amp in claimed.view.amplifiers if amp.ref == ref)


def _arm(stage: Stage, bench: Bench, side: str, s: ComplexArray) -> ComplexArray:
    """Impedance of one arm, channels in parallel."""
    admittance = s * 0
    for branch in stage.branches[side]:
        admittance = admittance + 1.0 / branch.impedance(s)
    for ref in channels_in(stage, side):
        admittance = admittance + conductance(bench, ref)
    return 1.0 / admittance


def transfer(stage: Stage, bench: Bench) -> Transfer:
    """(1 + Zf / Zi) Zb / (Za + Zb) - Zf / Zi."""
    feedback, into = stage.branch("feedback"), stage.branch("input")

    def gains(s: ComplexArray) -> tuple[ComplexArray, ...]:
        found = general_response(
            feedback_z=feedback.impedance(s),
            input_z=into.impedance(s),
            plus_series_z=_arm(stage, bench, "series", s),
            plus_ground_z=_arm(stage, bench, "ground", s),
        )
        return (found,)

    controlled = {
        conductance_name(ref)
        for side in ("series", "ground")
        for ref in channels_in(stage, side)
        if conductance(bench, ref)
    }
    return Transfer(
        inputs=stage.inputs,
        output=stage.output,
        gains=gains,
        members=members_of(stage.branches) | controlled,
        formula="H = (1 + Zf / Zi) Zb / (Za + Zb) - Zf / Zi",
        source=SOURCE,
    )


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The frequency of 90 degrees and the gain of the inverting side."""
    found = [
        Number(name="gain of the inverting side", unit="x", closed=-balance(stage), full=None, source=SOURCE)
    ]
    if known_ohms(stage, bench):
        turning = turning_hz(stage, bench)
        found.insert(0, Number(name="90 degrees at", unit="Hz", closed=turning, full=None, source=SOURCE))
    return tuple(found)


def purpose(stage: Stage, bench: Bench) -> str:
    """What it does here, with its numbers."""
    turning = f": 90 degrees at {hz(turning_hz(stage, bench))}" if known_ohms(stage, bench) else ""
    way = (
        "from 180 degrees down to none"
        if resistive_side(stage) == "ground"
        else "from none down to -180 degrees"
    )
    says = (
        f"Lets every frequency through equally loud, but turns its phase{turning}, going {way} as the "
        "frequency rises."
    )
    if abs(balance(stage) - 1.0) > 0.02:
        says = (
            f"Turns the phase of what comes through{turning}; its two resistors are unlike, so the level "
            "changes with frequency as well."
        )
    controlled = stage.with_role(VOLTAGE_CONTROLLED)
    if controlled:
        says += (
            f" {', '.join(controlled)} is a resistor that a voltage moves, and the turning point moves "
            "with it: mixed with the dry sound that makes wandering notches."
        )
    return says


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for, with its number."""
    role = role_of(stage, ref)
    turning = hz(turning_hz(stage, bench)) if known_ohms(stage, bench) else "its turning point"
    words = {
        "input resistor": (
            "Brings the signal to the inverting side, which turns it over; with the feedback resistor "
            f"its gain is {times(balance(stage))}. The two should be alike."
        ),
        "feedback resistor": (
            f"Sets the gain of the inverting side, {times(balance(stage))}; alike with the input "
            "resistor, no frequency comes out louder than another."
        ),
        "phase capacitor": (
            f"Decides with the resistance at the same pin where the phase turns by 90 degrees: {turning}. "
            "Larger: lower."
        ),
        "phase resistor": (
            f"Decides with the capacitor where the phase turns by 90 degrees: {turning}. Larger: lower."
        ),
        "phase knob": f"Moves the frequency at which the phase turns by 90 degrees, now {turning}.",
        "dc-blocking capacitor": "Keeps the resting voltages of the two stages apart.",
        "feedback capacitor": "Keeps the amplifier steady at high frequencies.",
        "gain knob": f"Moves the gain of the inverting side, now {times(balance(stage))}.",
        VOLTAGE_CONTROLLED: (
            f"A resistor that a voltage moves: the better {named(bench, ref)} conducts, the higher the "
            f"turning point, now {turning}."
        ),
        "amplifier": (
            "Adds the turned-over signal and the delayed one so that only the phase is left changed."
        ),
    }
    return words.get(role, f"Belongs to the phase stage around {turning}.")


KIND = StageKind(
    kind=KIND_NAME,
    title="First-order all-pass",
    says="Turns the phase and leaves the level alone.",
    sources=(SOURCE,),
    order=420,
    group="filter",
    roles={
        "amplifier": "adds the two sides",
        "input resistor": "brings the signal to the inverting side",
        "feedback resistor": "sets the gain of the inverting side",
        "feedback capacitor": "steadies the amplifier",
        "dc-blocking capacitor": "keeps resting voltages apart",
        "phase capacitor": "sets where the phase turns",
        "phase resistor": "sets where the phase turns",
        "phase knob": "moves where the phase turns",
        "gain knob": "moves the gain of the inverting side",
        VOLTAGE_CONTROLLED: "a resistor that a voltage moves",
        "input inductor": "raises the input's impedance in the treble",
        "feedback inductor": "raises the gain in the treble",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=EXAMPLES,
    near_misses=NEAR_MISSES,
)
