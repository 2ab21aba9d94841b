"""A half supply without a capacitor: half of every hum on the supply enters the signal."""

from collections.abc import Iterable
from math import log10, pi

import numpy as np

from pedalwright.devices.ports import supply_name
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._dividers import Divider, shared_dividers
from pedalwright.review.rules.bias._troubles import resting_ohms
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import farads
from pedalwright.units.preferred import Series, step

HUM_HZ = 100.0
"""twice the mains: the ripple of an adaptor"""
WANTED_DB = -20.0
"""at least this much less on the half supply than on the supply (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every half supply that follows its supply's ripple."""
    for divider in shared_dividers(survey):
        share = _share(survey, divider)
        if share <= 10 ** (WANTED_DB / 20):
            continue
        behind_ohms = resting_ohms(survey, divider.at)
        corner_hz = HUM_HZ * 10 ** (WANTED_DB / 20)
        needed_f = step(1.0 / (2 * pi * corner_hz * behind_ohms), Series.E6, 1)
        share_db = 20 * log10(share)
        yield Finding(
            parts=(divider.upper.ref, divider.lower.ref),
            nets=(divider.at,),
            what=(
                f"Ripple of the supply reaches the half supply {divider.at.lstrip('~')} only "
                f"{-share_db:.0f} dB weaker at 100 Hz: hum, and whine of switching adaptors, enter every "
                "stage that rests on it."
            ),
            evidence=(
                Evidence(name="supply to half supply at 100 Hz", value=share_db, unit="dB", high=WANTED_DB),
            ),
            cure=f"Put a capacitor of {farads(needed_f)} or more from it to ground, plus end to it.",
            gravity=None if _has_wall(survey) else Gravity.NOTE,
        )


def _share(survey: Survey, divider: Divider) -> float:
    """The most of a supply's ripple that arrives."""
    band = survey.band
    place = int(np.argmin(np.abs(band.frequency_hz - HUM_HZ)))
    branches = band.small.system.branches
    columns = [branches[name] for one in survey.circuit.supplies if (name := supply_name(one)) in branches]
    row = band.row(divider.at)
    return max((float(abs(band.table[place, row, column])) for column in columns), default=0.0)


def _has_wall(survey: Survey) -> bool:
    return any(one.source == "wall" for one in survey.circuit.supplies)


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 100n > U1.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
U1.out > U1.inv
U1.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="B06",
    name="half-supply-unfiltered",
    title="The half supply carries the supply's hum",
    gravity=Gravity.POOR,
    why=(
        "Two resistors halve the supply together with everything that rides on it. A capacitor from the "
        "middle to ground keeps the voltage and drops the ripple."
    ),
    source="measured on the full circuit at 100 Hz; the 20 dB are a house rule",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("R2", "R3")),
        Trial(text=SPEAKING.replace("wall", "battery") + "VB > C3 1u > gnd\n", blames=("R2",)),
    ),
    quiet=(Trial(text=SPEAKING + "VB > C3 47u > gnd\n"),),
)
