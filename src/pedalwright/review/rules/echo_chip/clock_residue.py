"""Too little filtering between the decoder and the output."""

from collections.abc import Iterable

import numpy as np

from pedalwright.echo import delay_law
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import MEASURED, MIDDLE_HZ, Chip, chips, from_net, level_db
from pedalwright.review.rules.echo_chip._trial import ECHO, echo
from pedalwright.review.survey import Survey
from pedalwright.review.wants import desk_of
from pedalwright.stages.wording import hz, volts

RESIDUE_V = 0.15
"""peak to peak at pin 12 near a steep edge: 0.1 to 0.2 V read from a published plot, the middle taken"""
MOST_V = 10e-3
"""peak to peak at the output: beyond it the next pedal may fold it down into hearing (house rule)"""
HASH_HZ, HASH_DB = 15e3, -6.0
"""where a filter of any use has begun to work, and by how much (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every chip that is heard at the output jack, at the slowest bits of its dial."""
    output = survey.circuit.output
    if output is None:
        return
    for chip in chips(survey):
        places = [place for ref, place in desk_of(survey).time_places if ref == chip.ref]
        delays = [place.delay_s for place in places if np.isfinite(place.delay_s)]
        if delays and chip.uses("12"):
            gain = from_net(survey, chip.part.net("12"), output.net)
            yield from _judged(survey, chip, gain, max(delays))


def _judged(survey: Survey, chip: Chip, gain: np.ndarray, delay_s: float) -> Iterable[Finding]:
    bits = float(delay_law.bits_per_s(delay_s))
    left_v = RESIDUE_V * 10 ** (level_db(survey, gain, bits) / 20)
    fall = level_db(survey, gain, HASH_HZ) - level_db(survey, gain, MIDDLE_HZ)
    if left_v <= MOST_V or fall <= HASH_DB:
        return
    yield Finding(
        parts=(chip.ref,),
        what=(
            f"What {chip.ref}'s decoder puts out is hardly filtered: some {volts(left_v)} of its steps, at "
            f"{hz(bits)} with the longest delay, reach the output."
        ),
        evidence=(
            Evidence(
                name="residue at the output, peak to peak",
                value=left_v,
                unit="V",
                high=MOST_V,
                basis=f"0.15 V at pin 12, through the measured response at {hz(bits)}, knobs as they stand",
            ),
            Evidence(name="15 kHz against 1 kHz", value=fall, unit="dB", high=HASH_DB),
        ),
        cure=(
            f"Use the amplifier between pins 13 and 14 of {chip.ref} as a low-pass of 3 to 10 kHz: 10 kΩ to "
            "where 10 kΩ to pin 13, 10 kΩ to pin 14 and 4.7 nF to ground meet, 1 nF from pin 13 to pin 14 "
            "(7.3 kHz)."
        ),
    )


BARE = echo(
    (ECHO[ECHO.index("U1.12 > R5") : ECHO.index("WET > C14")], "U1.12 > R8 4k7 > WET\n"),
)

RULE = Rule(
    code="E12",
    name="clock-residue",
    title="The echo is not filtered behind the decoder",
    gravity=Gravity.POOR,
    why=(
        "The decoder's output is a staircase of single bits. A low-pass behind it takes the steps out; "
        "without one they are heard as hiss, and fold down into whistles in whatever samples the sound "
        "next."
    ),
    source=f"{MEASURED}: residue at pin 12; limits: house rule",
    look=look,
    speaks=(Trial(text=BARE, blames=("U1",)),),
    quiet=(Trial(text=echo()),),
)
