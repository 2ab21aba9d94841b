"""An operational amplifier whose output cannot move fast enough for a full swing."""

from collections.abc import Iterable
from math import pi

from pedalwright.formulas.amplifier import slew_limited_hz
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import ladder, op_amps
from pedalwright.review.rules.signal._trials import BACK, FRONT
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import hz, volts

CLEAN_HZ, GUITAR_HZ = 10e3, 5e3
"""a full swing should stay a sine up to the first; below the second it is plainly heard (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The highest frequency of a full swing that hard playing can ask for."""
    swings = {survey.band.row(rung.net): min(rung.limit_v, rung.peaks_v[-1]) for rung in ladder(survey)}
    for amplifier, part in op_amps(survey):
        swing = swings.get(survey.band.row(amplifier.output), 0.0)
        if not amplifier.slew_v_per_s or swing <= 0:
            continue
        most = slew_limited_hz(amplifier.slew_v_per_s, swing)
        if most >= CLEAN_HZ:
            continue
        wanted = 2 * pi * 2 * CLEAN_HZ * swing
        yield Finding(
            parts=(part.ref,),
            nets=(amplifier.output,),
            what=(
                f"{amplifier.owner} swings {volts(swing)} cleanly only up to {hz(most)}: its output moves "
                f"{amplifier.slew_v_per_s / 1e6:.2g} V/us at most."
            ),
            evidence=(
                Evidence(
                    name="highest frequency of a clean full swing",
                    value=most,
                    unit="Hz",
                    low=CLEAN_HZ,
                    basis="slew rate over 2 pi times the peak",
                ),
                Evidence(name="peak", value=swing, unit="V", basis="source of 2 V peak, or the part's limit"),
            ),
            cure=f"Take a type that moves {wanted / 1e6:.2g} V/us or more, or swing less there.",
            gravity=Gravity.POOR if most < GUITAR_HZ else None,
        )


SPLIT = """
supply VP 15V wall
supply VN -15V wall
input IN line
output OUT 1M
part U1 dual-opamp {chip} v+=VP v-=VN
"""
STAGE = """
U1a.out > R3 100k > U1a.inv > R4 10k > C2 10u > gnd
U1a.out > U1b.non
U1b.out > U1b.inv
"""
AROUND = FRONT.replace("VB", "gnd") + STAGE + BACK
RULE = Rule(
    code="L09",
    name="slew-short",
    title="An amplifier cannot follow a loud high note",
    gravity=Gravity.NOTE,
    why=(
        "An amplifier's output moves only so many volts in a microsecond. A loud high note asks for more, "
        "and what should be a sine becomes a triangle: the treble of loud notes goes dull and rough."
    ),
    source="slew rates from data sheets; f = S/(2 pi V), handbook formula; limits are a house rule",
    look=look,
    speaks=(Trial(text=SPLIT.format(chip="LM358") + AROUND, blames=("U1",)),),
    quiet=(
        Trial(text=SPLIT.format(chip="TL072") + AROUND),
        Trial(text=SPLIT.format(chip="LM358") + AROUND.replace("100k > U1a.inv", "1k > U1a.inv")),
    ),
)
