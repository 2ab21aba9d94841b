"""A growing mode where none is meant: the circuit whistles, motorboats or creeps to a rail."""

from collections.abc import Iterable

import numpy as np

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._sections import DECISIVE, Section, owner, section_words, sections
from pedalwright.review.rules.bias._troubles import leads_on
from pedalwright.review.rules.nets._growing import growing_modes
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import hz

LARGE_SHARE = 0.2


def look(survey: Survey) -> Iterable[Finding]:
    """Growing modes in which an amplifier on the way of the sound takes the lead."""
    if survey.rest.stays:
        return
    for pole, shape in growing_modes(survey):
        leader = _leader(survey, shape)
        if leader is not None:
            yield _finding(leader, pole)
            return


def _leader(survey: Survey, shape: np.ndarray) -> Section | None:
    """The section on the way of the sound that swings most, when no oscillator swings with it."""
    rows, largest = survey.small, float(np.abs(shape).max())
    swinging = [
        (abs(shape[rows.row(one.amplifier.out)]), one)
        for one in sections(survey)
        if rows.row(one.amplifier.out) < len(shape)
        and abs(shape[rows.row(one.amplifier.out)]) > LARGE_SHARE * largest
    ]
    if any(one.kind in DECISIVE for _, one in swinging):
        return None
    heard = [(size, one) for size, one in swinging if one.listens and leads_on(survey, one)]
    return max(heard, key=lambda pair: pair[0])[1] if heard else None


def _finding(leader: Section, pole: complex) -> Finding:
    frequency = abs(pole.imag) / (2 * np.pi)
    how = f"oscillates at about {hz(frequency)}" if frequency > 0 else "runs away to one end of its swing"
    return Finding(
        parts=(leader.ref if "/" not in leader.ref else owner(leader.ref),),
        what=f"{section_words(leader.ref)} {how} by itself.",
        evidence=(
            Evidence(
                name="growth of the fastest mode",
                value=pole.real,
                unit="Hz" if frequency > 0 else "",
                high=0.0,
                basis="real part of the pole at rest, in 1/s; below zero everything dies away",
            ),
        ),
        cure=(
            f"Look at what leads from the output of {section_words(leader.ref)} back to its + input, and at "
            "a half supply without a capacitor; take gain out of the loop."
        ),
    )


SPEAKING = """
supply V 9V wall
input IN 1k 0.1V
output OUT 1M
part U1 dual-opamp TL072 v+=V v-=gnd
IN > C1 1u > R1 10k > MIX
MIX > R8 100k > VB
MIX > U1a.non
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1a.out > R5 10k > U1a.inv > R6 10k > C5 10u > gnd
U1a.out > R7 10k > U1b.inv > R9 10k > U1b.out
U1b.non > VB
MIX > R10 1k > C6 100n > U1a.out
U1b.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="N06",
    name="oscillates",
    title="The circuit oscillates by itself",
    gravity=Gravity.DEAD,
    why=(
        "A loop that returns more than it was given, in step, needs no guitar: it whistles, motorboats, or "
        "blocks. It happens by exchanged inputs, by a half supply that moves, or by too much feedback."
    ),
    source="poles of the circuit at rest: a mode with a positive real part grows (theory of linear systems)",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1a",)),),
    quiet=(Trial(text=SPEAKING.replace("R10 1k", "R10 1M")),),
)
