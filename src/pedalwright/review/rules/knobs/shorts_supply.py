"""A knob that shorts a supply at one end of its travel."""

from collections.abc import Iterable

import numpy as np

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.knobs._turned import TURNS, TrackCase, tracks
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named
from pedalwright.units.values import print_value

JUMP_A, JUMP_TIMES = 20e-3, 2.0
"""so much more, and so many times as much as anywhere else on the dial (house rule)"""
SHORT_A = 0.1
"""more than small adaptors' worth of current for nothing: something gets hot (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every knob and trim at seven places of its travel, every supply."""
    for case in tracks(survey):
        for net, amperes in case.supply_a.items():
            known = amperes[np.isfinite(amperes)]
            if len(known) < 2:
                continue
            usual, most = float(np.median(known)), float(known.max())
            if most > usual + JUMP_A and most > JUMP_TIMES * usual:
                yield _finding(survey, case, net, usual, most)


def _finding(survey: Survey, case: TrackCase, net: str, usual: float, most: float) -> Finding:
    place = 10 * TURNS[int(np.nanargmax(case.supply_a[net]))]
    return Finding(
        parts=(case.part.ref,),
        what=(
            f"With {named(survey.bench, case.part.ref)} at {place:g} the supply {net} gives "
            f"{print_value(most, 'A')} instead of {print_value(usual, 'A')}: the track joins it to ground "
            "or to another supply."
        ),
        evidence=(
            Evidence(
                name=f"current out of {net}",
                value=most,
                unit="A",
                high=usual + JUMP_A,
                basis=f"{case.part.ref} at {place:g}",
            ),
        ),
        cure=(
            f"Put a resistor in series with the lug of {case.part.ref} that lies on the supply, or rewire it."
        ),
        gravity=Gravity.DAMAGE if most > SHORT_A else Gravity.POOR,
    )


SPEAKING = """
supply V 9V wall
knob GLOW 10k linear at 5
V > GLOW.3
GLOW.2 > gnd
GLOW.1 > gnd
output OUT 1M
V > R1 10k > OUT > R2 10k > gnd
"""

RULE = Rule(
    code="K01",
    name="knob-shorts-supply",
    title="A knob shorts the supply",
    gravity=Gravity.DAMAGE,
    why=(
        "At its end a track leaves hardly an ohm. Where it then lies between a supply and ground, the "
        "supply is shorted, and the track or the adaptor burns."
    ),
    source="computed: supply current over the travel; limits: house rule",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("GLOW",)),),
    quiet=(Trial(text=SPEAKING.replace("GLOW.2 > gnd", "GLOW.2 > R3 100k > gnd")),),
)
