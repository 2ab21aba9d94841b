"""A half supply that moves with the sound: what hangs on it hears it."""

from collections.abc import Iterable
from math import log10, pi

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._dividers import shared_dividers, users
from pedalwright.review.rules.bias._sections import heard_at
from pedalwright.review.rules.bias._troubles import resting_ohms
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import farads
from pedalwright.units.preferred import Series, step

WORTH_DB, MUCH_DB = -30.0, -20.0
"""sound on the half supply against that at the jack: worth knowing, and will disappoint (house rule)"""
LOWEST_HZ = 8.0
"""the capacitor should hold the half supply from a tenth of the lowest string on (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every half supply on which sound is measured."""
    for divider in shared_dividers(survey):
        heard = heard_at(survey, divider.at)
        if heard <= 10 ** (WORTH_DB / 20) or users(survey, divider) < 2:
            continue
        level_db = 20 * log10(heard)
        behind_ohms = resting_ohms(survey, divider.at)
        needed_f = step(1.0 / (2 * pi * LOWEST_HZ * behind_ohms), Series.E6, 1)
        yield Finding(
            parts=(divider.upper.ref, divider.lower.ref),
            nets=(divider.at,),
            what=(
                f"The half supply {divider.at.lstrip('~')} moves with the sound: {level_db:.0f} dB against "
                "the input jack. Every stage that rests on it gets that mixed in."
            ),
            evidence=(
                Evidence(
                    name="sound on the half supply",
                    value=level_db,
                    unit="dB",
                    high=WORTH_DB,
                    basis="the largest from 80 Hz to 5 kHz, against the jack or an echo chip's decoder",
                ),
            ),
            cure=f"Put a capacitor of {farads(needed_f)} or more from it to ground, plus end to it.",
            gravity=Gravity.POOR if level_db > MUCH_DB else None,
        )


SPEAKING = """
supply V 9V wall
input IN 1k 1V
output OUT 1M
part U1 dual-opamp TL072 v+=V v-=gnd
IN > C1 1u > U1a.non > R1 100k > VB
V > R2 100k > VB > R3 100k > gnd
U1a.out > U1a.inv
U1a.out > R5 10k > U1b.inv > R6 10k > U1b.out
U1b.non > VB
U1b.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="B05",
    name="half-supply-moves",
    title="Sound gets onto the half supply",
    gravity=Gravity.NOTE,
    why=(
        "The half supply should be still: it is the ground of every stage on it. Without a capacitor, or "
        "with too little behind large resistors, the current of one stage moves it, and the others take "
        "that for a signal: crosstalk, and in the worst case a whistle."
    ),
    source="measured on the full circuit; the levels worth telling are house rules",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("R2", "R3")),),
    quiet=(Trial(text=SPEAKING + "VB > C3 47u > gnd\n"),),
)
