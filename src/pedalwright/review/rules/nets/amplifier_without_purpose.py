"""An amplifier that neither hears the sound, nor swings, nor holds a bias."""

from collections.abc import Iterable

import numpy as np

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._sections import Section, heard_at, sections
from pedalwright.review.rules.nets._growing import growing_modes
from pedalwright.review.survey import Survey
from pedalwright.stages.view import Transistor

SWINGS = 1e-3
"""share of the largest swing in a growing mode from which a net takes part in it (house rule)"""
HEARD = 1e-4
AMPLIFYING = frozenset(
    {"common-emitter-amplifier", "general-amplifier", "emitter-follower", "general-network", ""}
)
"""kinds of stages whose transistor should hear something; switches and followers of bias are others"""


def look(survey: Survey) -> Iterable[Finding]:
    """The sections and the amplifying transistors that nothing moves; only where there is sound to hear."""
    if survey.circuit.input is None:
        return
    moving = _moving(survey)
    kinds = {role.ref: stage.kind for stage in survey.stages for role in stage.roles}
    for section in sections(survey):
        if not section.is_inside and _is_stray(survey, section, moving):
            yield _finding(section.ref)
    for item in survey.view.transistors:
        if item.family == "bipolar" and kinds.get(item.ref, "") in AMPLIFYING:
            nets = (item.control, item.top, item.bottom)
            if not moving & set(nets) and not _hears(survey, *nets) and not _is_pumped(survey, item):
                yield _finding(item.ref)


def _moving(survey: Survey) -> set[str]:
    """The nets that take part in any growing mode."""
    if survey.rest.stays and not survey.stages_of("phase-shift-oscillator", "relaxation-oscillator"):
        return set()
    found: set[str] = set()
    for _, shape in growing_modes(survey):
        size = np.abs(shape)
        swinging = set(np.flatnonzero(size > SWINGS * size.max(initial=0.0)))
        found |= {net for net, row in survey.small.system.rows.items() if row in swinging}
    return found


def _is_stray(survey: Survey, section: Section, moving: set[str]) -> bool:
    amplifier = section.amplifier
    nets = {amplifier.non, amplifier.inv, amplifier.out}
    spare = amplifier.out == amplifier.inv and len(survey.view.pins(amplifier.out)) == 2
    return not (
        spare
        or section.listens
        or nets & moving
        or survey.classes.is_still(amplifier.out)
        or _hears(survey, *nets)
        or _holds_bias(survey, amplifier.out)
    )


def _holds_bias(survey: Survey, net: str) -> bool:
    """A small resistor leads from the output to a bias net: a half supply that is buffered."""
    return any(
        leaf.sort == "R" and leaf.other(net) in survey.classes.bias and leaf.value < 1e3
        for leaf in survey.view.on(net)
    )


def _hears(survey: Survey, *nets: str) -> bool:
    return any(heard_at(survey, net) > HEARD for net in nets)


def _is_pumped(survey: Survey, item: Transistor) -> bool:
    """Something rectified, or something steady, drives its base."""
    sorts = {leaf.sort for leaf in survey.view.on(item.control)}
    return "D" in sorts or survey.classes.is_still(item.top) or survey.classes.is_still(item.control)


def _finding(ref: str) -> Finding:
    return Finding(
        parts=(ref,),
        what=f"{ref} neither hears the sound nor swings by itself nor holds a half supply: nothing moves it.",
        evidence=(
            Evidence(name="sound at its inputs", value=0.0, unit="x", low=HEARD, basis="80 Hz to 5 kHz"),
        ),
        cure=(
            f"If {ref} belongs to an oscillator, look for exchanged pins or a missing part in its loop; if "
            "to the way of the sound, look for what should bring it there."
        ),
    )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 dual-opamp TL072 v+=V v-=gnd
IN > C1 100n > OUT > R1 470k > gnd
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1a.inv > R4 100k > U1a.out
U1a.non > VB
U1a.out > R5 100k > U1b.inv
U1b.inv > C4 1u > U1b.out
U1b.non > VB
U1b.out > R6 47k > U1a.inv
"""
QUIET = SPEAKING.replace("U1a.inv", "U1a.x").replace("U1a.non", "U1a.inv").replace("U1a.x", "U1a.non")

RULE = Rule(
    code="N17",
    name="amplifier-without-purpose",
    title="An amplifier has nothing to do",
    gravity=Gravity.POOR,
    why=(
        "Every amplifier of a pedal passes sound, swings to move something, or holds a voltage. One that "
        "does none of these was meant to, and something around it is wrong."
    ),
    source="measured on the full circuit: answers to the jack, and poles with positive real part",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1a",)),),
    quiet=(Trial(text=QUIET),),
)
