"""An output for headphones that can be too loud for ears."""

from collections.abc import Iterable
from math import sqrt

from pedalwright.analysis.levels import level_at
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import ohms, volts

HEADPHONE_OHMS = 600.0
"""no pedal or amplifier loads an output with less; headphones have 16 to 600 ohm"""
MOST_V_RMS = 0.15
"""what a player for the ears may give at most (EN 50332-2, from memory)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The output jack, where headphones are said to follow."""
    output = survey.circuit.output
    if output is None or survey.circuit.input is None or output.ohms > HEADPHONE_OHMS:
        return
    level = level_at(survey.analysis, survey.band, output.net, survey.clipped)
    if level.level_v is None:
        return
    rms = level.level_v / sqrt(2)
    if rms > MOST_V_RMS:
        yield Finding(
            nets=(output.net,),
            spans=(output.span,),
            what=(
                f"{volts(rms)} come to the {ohms(output.ohms)} at the output: more than the "
                f"{volts(MOST_V_RMS)} that players for the ears may give."
            ),
            evidence=(
                Evidence(
                    name="level at the output, root mean square",
                    value=rms,
                    unit="V",
                    high=MOST_V_RMS,
                    basis="loudest signal expected at 1 kHz, knobs as they stand",
                ),
            ),
            cure=(
                "Start with the volume at nothing, put the headphones on afterwards, and keep it short. A "
                "resistor in series with the output keeps the most within bounds."
            ),
        )


SPEAKING = """
input IN line
output OUT 32
IN > R1 22 > OUT
"""

RULE = Rule(
    code="H03",
    name="loud-headphones",
    title="Headphones at this output can hurt ears",
    gravity=Gravity.NOTE,
    why=(
        "Loud sound damages hearing for good, the sooner the louder. A pedal that feeds headphones has no "
        "limiter as players have, and a loop that runs away comes without warning."
    ),
    source="EN 50332-2: 150 mV at most, from memory",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("OUT",)),),
    quiet=(Trial(text=SPEAKING.replace("R1 22", "R1 1k")), Trial(text=SPEAKING.replace("OUT 32", "OUT 1M"))),
)
