"""A loop in which each repeat is upside down against the one before."""

from collections.abc import Iterable

import numpy as np

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import MIDDLE_HZ
from pedalwright.review.rules.echo_chip._loop import loop_of
from pedalwright.review.rules.echo_chip._trial import REPEATING
from pedalwright.review.survey import Survey

FELT = 0.05
"""what comes back weaker is no matter"""


def look(survey: Survey) -> Iterable[Finding]:
    """A loop of one chip; those of several have their signs on purpose."""
    from pedalwright.echo.repeats import polarity

    around = loop_of(survey)
    if around is None or len(around.desk.loop.chips) != 1:
        return
    loop = around.desk.loop
    way, place = loop.a[:, 0, 0], loop.at(MIDDLE_HZ)
    if np.abs(way).max() >= FELT and polarity(loop.frequency_hz, way, place) < 0:
        yield Finding(
            parts=loop.chips,
            what=(
                "The way back turns the sound over: every other repeat is upside down, and at short delays "
                "held notes get thinner instead of fuller."
            ),
            evidence=(
                Evidence(
                    name="way back at 1 kHz",
                    value=float(-abs(way[place])),
                    unit="x",
                    basis="negative: turned over",
                ),
            ),
            cure=(
                "Count the inverting amplifiers from pin 12 back to pin 15: with the input filter there "
                "should be an even number. Take the repeats from before or behind one of them."
            ),
        )


TURNED = REPEATING.replace(
    "WET > C15 1u (film) > REPEATS.3\n",
    "supply V9 9V wall\npart U2 opamp TL071 v+=V9 v-=gnd\nV9 > R40 22k > VB > R41 22k > gnd\n"
    "VB > C40 47u (electrolytic, 16V) > gnd\nU2.non > VB\nWET > C41 1u (film) > R42 47k > U2.inv\n"
    "U2.inv > R43 47k > U2.out\nU2.out > C15 1u (film) > REPEATS.3\n",
)

RULE = Rule(
    code="E16",
    name="loop-polarity",
    title="Repeats are subtracted instead of added",
    gravity=Gravity.NOTE,
    why=(
        "The chip itself does not turn the sound over; its two filters do, once each. One inverting "
        "amplifier more in the way back makes every other repeat negative. Beyond some 50 ms that is "
        "hardly heard."
    ),
    source="computed: sign of the way round the loop; maker's data sheet V1.6 for the chip's own signs",
    look=look,
    speaks=(Trial(text=TURNED, blames=("U1",)),),
    quiet=(Trial(text=REPEATING),),
)
