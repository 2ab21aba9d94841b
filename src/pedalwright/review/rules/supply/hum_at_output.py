"""Ripple of the adaptor that arrives at the output."""

from collections.abc import Iterable
from math import log10

import numpy as np

from pedalwright.devices.ports import supply_name
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.units.values import print_value

HUM_HZ = 100.0
WORTH_DB = -14.0
"""of the supply's ripple at the output (house rule)"""
RIPPLE_V = 5e-3
"""ripple of a plain regulated adaptor (from memory)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Each wall supply's ripple at the output jack, at 100 Hz."""
    output, band = survey.circuit.output, survey.band
    if output is None:
        return
    place = int(np.argmin(np.abs(band.frequency_hz - HUM_HZ)))
    for supply in survey.circuit.supplies:
        column = band.small.system.branches.get(supply_name(supply))
        if supply.source != "wall" or column is None:
            continue
        share = float(abs(band.table[place, band.row(output.net), column]))
        if share <= 10 ** (WORTH_DB / 20):
            continue
        level_db = 20 * log10(share)
        yield Finding(
            nets=(supply.net,),
            spans=(supply.span,),
            what=(
                f"Ripple on {supply.net} arrives at the output with {level_db:+.0f} dB at 100 Hz: of "
                f"{print_value(RIPPLE_V, 'V')} from an adaptor {print_value(RIPPLE_V * share, 'V')} are "
                "heard as hum."
            ),
            evidence=(Evidence(name="supply to output at 100 Hz", value=level_db, unit="dB", high=WORTH_DB),),
            cure=(
                "Put 100 Ω and 100 µF between the supply and the stages in front, where the gain behind is "
                "largest; give every half supply its capacitor."
            ),
        )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N3904
V > C9 100u (electrolytic, 16V) > gnd
IN > C1 100n > Q1.b
V > R1 100k > Q1.b > R2 22k > gnd
V > R3 4k7 > Q1.c
Q1.e > R4 1k > gnd
Q1.c > C2 1u > OUT > R5 100k > gnd
"""
QUIET = SPEAKING.replace("V > C9", "V9 > C9").replace("V > R", "V9 > R") + "V > R9 100 > V9\n"

RULE = Rule(
    code="S21",
    name="hum-at-output",
    title="The adaptor's ripple arrives at the output",
    gravity=Gravity.NOTE,
    why=(
        "A collector resistor hands the supply's ripple on as it is, and a bias divider puts it on the "
        "base. What the adaptor leaves is then heard as hum, and the whine of switching adaptors too."
    ),
    source="measured on the full circuit at 100 Hz; ripple of adaptors from memory",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("V",)),),
    quiet=(Trial(text=QUIET),),
)
