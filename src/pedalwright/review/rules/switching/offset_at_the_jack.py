"""A direct-coupled output on which an amplifier's input offset, times the gain, stands."""

from collections.abc import Iterable

from pedalwright.analysis.switching.pop import OFFSET_V, offset_at
from pedalwright.analysis.switching.weighting import PLAYING_V, level_db
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.switching._pops import SPOKEN_DB, told
from pedalwright.review.rules.switching._trials import PULLED_IN
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import volts

NEAR_GROUND_V = 0.3
"""an output that rests further from ground has no coupling capacitor for another reason than this one"""


def look(survey: Survey) -> Iterable[Finding]:
    """What the amplifiers' offsets together may put on the output jack."""
    port = survey.circuit.output
    if port is None or abs(survey.rest.volts(port.net)) > NEAR_GROUND_V:
        return
    stands = told(lambda: offset_at(survey.analysis, port.net))
    if level_db(stands) <= SPOKEN_DB:
        return
    parts = tuple(
        dict.fromkeys(one.part.ref for one in survey.view.amplifiers if one.part.kind.endswith("opamp"))
    )
    yield Finding(
        parts=parts,
        nets=(port.net,),
        what=(
            f"Input offsets of the amplifiers may put {volts(stands)} on the output: it pops when the "
            "pedal is switched in, and level knobs behind it crackle."
        ),
        evidence=(
            Evidence(
                name="offset at the output",
                value=stands,
                unit="V",
                high=PLAYING_V * 10 ** (SPOKEN_DB / 20),
                basis=f"{volts(OFFSET_V)} at every input, all against one side; typical parts, from memory",
            ),
        ),
        cure=(
            "Put a capacitor of 10 uF in series with the output and a resistor to ground behind it, or "
            "one in series with the resistor from the inverting input to ground, so that the offset is "
            "not amplified."
        ),
    )


DIRECT = """
supply VP 9V wall
supply VN -9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=VP v-=VN
IN > C1 22n (film) > U1.non > R2 1M > gnd
U1.out > R3 100k > U1.inv > R4 4k7 > {foot}
U1.out > OUT
"""
RULE = Rule(
    code="P10",
    name="offset-at-the-jack",
    title="An amplifier's offset stands on the output",
    gravity=Gravity.NOTE,
    why=(
        "No amplifier's inputs are quite alike: a few millivolts between them are amplified like a signal. "
        "Without a capacitor at the output they stand on the jack."
    ),
    source="offset times noise gain at rest, by the linearised circuit; offsets from memory",
    look=look,
    speaks=(Trial(text=DIRECT.format(foot="gnd") + PULLED_IN, blames=("U1",)),),
    quiet=(Trial(text=DIRECT.format(foot="C2 10u (film) > gnd") + PULLED_IN),),
)
