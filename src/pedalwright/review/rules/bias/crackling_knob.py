"""Direct current through a knob in the way of the sound: every jump of the wiper is heard."""

from collections.abc import Iterable

import numpy as np

from pedalwright.circuit.part import Part
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import volts

JUMP_SHARE = 0.01
"""of the track by which a turning wiper jumps (from memory: contact variation of carbon tracks, about 1 %)"""
WORTH_V, MUCH_V = 5e-3, 0.1
"""at the output: worth knowing, and will disappoint (house rule; a soft note is some 30 mV)"""
REFERENCE_HZ = 1000.0


def look(survey: Survey) -> Iterable[Finding]:
    """Every knob (a trim is turned once) whose wiper jumps are heard at the output."""
    output = survey.circuit.output
    if output is None:
        return
    for knob in survey.parts_of("knob"):
        jump_v = _jump_v(survey, knob, output.net)
        if jump_v > WORTH_V:
            yield _finding(survey, knob, jump_v)


def _jump_v(survey: Survey, knob: Part, output: str) -> float:
    """What the output jumps by when the wiper jumps: each half of the track changes, and the direct current
    in it makes that a voltage in series with the half.
    """
    band, rest = survey.band, survey.rest
    place = int(np.argmin(np.abs(band.frequency_hz - REFERENCE_HZ)))
    jump_ohms = JUMP_SHARE * (knob.value or 0.0)
    total = 0j
    for (a, b), sign in ((("1", "2"), 1.0), (("2", "3"), -1.0)):
        near, far = knob.net(a), knob.net(b)
        name = f"{knob.ref}.{a}-{b}"
        half_ohms = abs(rest.volts(near) - rest.volts(far)) / max(abs(rest.amperes(name)), 1e-15)
        pushed_a = sign * rest.amperes(name) * jump_ohms / max(half_ohms, jump_ohms)
        row = band.table[place, band.row(output)]
        total += pushed_a * (row[band.row(near)] - row[band.row(far)])
    return float(abs(total))


def _finding(survey: Survey, knob: Part, jump_v: float) -> Finding:
    rest = survey.rest
    ends = [rest.volts(net) for net in knob.nets]
    across_v = max(ends) - min(ends)
    return Finding(
        parts=(knob.ref,),
        what=(
            f"{volts(across_v)} of direct voltage stand across {knob.ref}: when its wiper jumps by one per "
            f"cent of the track, the output jumps by {volts(jump_v)}. It will crackle, the more the older "
            "it gets."
        ),
        evidence=(
            Evidence(name="direct voltage across the knob", value=across_v, unit="V"),
            Evidence(
                name="jump at the output",
                value=jump_v,
                unit="V",
                high=WORTH_V,
                basis="wiper jumps by 1 % of the track (from memory), knobs as they stand",
            ),
        ),
        cure=(
            f"Put a capacitor in front of {knob.ref}, or let a fixed resistor carry the direct current "
            "beside it, so that none flows in its track."
        ),
        gravity=Gravity.POOR if jump_v > MUCH_V else None,
    )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
knob LEVEL 100k audio at 5
IN > C1 100n > U1.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.out > U1.inv
U1.out > LEVEL.3
LEVEL.1 > gnd
LEVEL.2 > C2 1u > OUT > R4 100k > gnd
"""
QUIET = SPEAKING.replace("U1.out > LEVEL.3", "U1.out > C2 1u > LEVEL.3").replace(
    "LEVEL.2 > C2 1u > OUT > R4 100k > gnd", "LEVEL.2 > OUT"
)

RULE = Rule(
    code="B13",
    name="crackling-knob",
    title="Direct current flows through a knob that is heard",
    gravity=Gravity.NOTE,
    why=(
        "A wiper rides over a grainy track and jumps a little at every turn. With direct voltage on the "
        "track each jump is a click at the output: the knob crackles from the first day."
    ),
    source="measured on the full circuit; the wiper's jump of 1 % is from memory",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("LEVEL",)),),
    quiet=(Trial(text=QUIET),),
)
