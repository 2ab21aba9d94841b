"""A switch position that leaves the input of an amplifier or transistor hanging in the air."""

from collections.abc import Iterable

from pedalwright.analysis.settings import positions
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.switching._trials import PULLED_OUT, SUPPLY
from pedalwright.review.survey import Pose, Survey


def look(survey: Survey) -> Iterable[Finding]:
    """Inputs that a direct path holds as the switches stand, and none in another position."""
    held = {*_hanging(survey, survey.pose({}))}
    for switch in survey.circuit.switches:
        for position in positions(switch):
            pose = survey.pose({switch.ref: position})
            if not pose.says:
                continue
            for ref, net in _hanging(survey, pose):
                if (ref, net) not in held:
                    held.add((ref, net))
                    yield _finding(switch.ref, position, ref, net, pose)


def _hanging(survey: Survey, pose: Pose) -> tuple[tuple[str, str], ...]:
    """Amplifiers and transistors with a control on a net that no direct current reaches."""
    floating = set(pose.analysis.rest.floating)
    view = pose.analysis.view
    amplifiers = [(one.part.ref, net) for one in view.amplifiers for net in (one.non, one.inv)]
    transistors = [(one.ref, one.control) for one in view.transistors]
    joined = {view.joined.get(net, net) for net in floating}
    return tuple((ref, net) for ref, net in (*amplifiers, *transistors) if net in joined)


def _finding(switch: str, position: str, ref: str, net: str, pose: Pose) -> Finding:
    return Finding(
        parts=(switch, ref),
        nets=(net,),
        what=f"With {switch} at {position} an input of {ref} hangs in the air: it drifts, hums and crackles.",
        evidence=(
            Evidence(name="direct paths that hold the input", value=0.0, unit="", low=1.0, basis=pose.says),
        ),
        cure=f"Put 1 MΩ from {net.removeprefix('~')} to where it rests in the other position.",
    )


CUT = """
switch TAILS on off at on
IN > R1 1M > gnd
IN > C1 22n (film) > FEED > R3 1M > VB
FEED > TAILS.on
TAILS.common > U1.non
{keeper}
U1.out > U1.inv
U1.out > C9 1u (film) > OUT
"""
RULE = Rule(
    code="P09",
    name="input-left-open",
    title="A switch position leaves an input hanging",
    gravity=Gravity.POOR,
    why=(
        "An input that nothing holds drifts to a rail, picks up hum, and thumps when it is joined again. "
        "When a switch cuts the signal, to let echoes die away for instance, a resistor must still hold "
        "the input."
    ),
    source="direct paths of the circuit in each position of its switches; common practice, no source",
    look=look,
    speaks=(Trial(text=SUPPLY + CUT.format(keeper="") + PULLED_OUT, blames=("TAILS", "U1")),),
    quiet=(Trial(text=SUPPLY + CUT.format(keeper="U1.non > R4 2M2 > VB") + PULLED_OUT),),
)
