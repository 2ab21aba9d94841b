"""A follower that rests with too little current: its transistor switches off on loud notes."""

from collections.abc import Iterable
from math import inf

import numpy as np

from pedalwright.analysis.headroom import PICKUP_PEAKS_V
from pedalwright.devices.ports import INPUT
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._transistors import Resting, driven, trouble_of
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import ohms, volts
from pedalwright.units.values import print_value

HARD_V = PICKUP_PEAKS_V[1]
"""a pickup picked hard (common practice, no source)"""
SOFT_V = PICKUP_PEAKS_V[0]
AT_HZ = 1e3
SHARING_OHMS = 100.0
"""larger resistors do not join the halves of an output pair (common practice, no source)"""
MUCH = 0.5
"""a follower that is cut hardly before another stage is cut is not the trouble (house rule)"""
GROUNDED_V = 0.1
"""a gate or base that rests this near to the far end of its follower's resistor is not biased away from it"""


def look(survey: Survey) -> Iterable[Finding]:
    """The transistors whose collector or drain stands still and whose emitter or source moves."""
    if survey.circuit.input is None:
        return
    for one in driven(survey):
        item, classes = one.item, survey.classes
        if trouble_of(one) is not None or not classes.is_still(item.top) or classes.is_still(item.bottom):
            continue
        if not _is_one_of_a_pair(survey, one):
            clips_v = _cut_off_from(survey, one)
            if clips_v is not None and clips_v < min(HARD_V, MUCH * _cut_elsewhere_from(survey)):
                yield _finding(survey, one, clips_v)


def _is_one_of_a_pair(survey: Survey, one: Resting) -> bool:
    """Another transistor takes over where this one switches off, perhaps behind small resistors."""
    view, near = survey.view, {one.item.bottom}
    for _ in range(2):
        near |= {
            leaf.other(net)
            for net in near
            for leaf in view.on(net)
            if leaf.sort == "R" and leaf.value <= SHARING_OHMS
        }
    return any(item.bottom in near and item.polarity != one.item.polarity for item in view.transistors)


def _cut_elsewhere_from(survey: Survey) -> float:
    """The peak of the source from which another stage cuts the wave; infinite for none."""
    rungs = survey.headroom
    return min((rung.clips_from_v for rung in rungs if rung.clips_from_v is not None), default=inf)


def _cut_off_from(survey: Survey, one: Resting) -> float | None:
    """The peak of the source at which the current that its loads ask for is all that flows at rest."""
    band, net = survey.band, one.item.bottom
    at = int(np.argmin(np.abs(np.log(band.frequency_hz / AT_HZ))))
    moved = band.table[at, :, survey.small.system.branches[INPUT]]
    s = np.array([band.s[at]])
    drawn = sum(
        (moved[band.row(net)] - (moved[band.row(far)] if band.knows(far) else 0.0)) * leaf.admittance(s)[0]
        for leaf in survey.view.on(net)
        if leaf.sort in "RCL" and (far := leaf.other(net)) != one.item.control
    )
    return abs(one.amps) / abs(drawn) if abs(drawn) > 0 else None


def _finding(survey: Survey, one: Resting, clips_v: float) -> Finding:
    resistors = [
        leaf
        for leaf in survey.view.on(one.item.bottom)
        if leaf.sort == "R" and survey.classes.is_still(leaf.other(one.item.bottom))
    ]
    end = "emitter" if one.item.family == "bipolar" else "source"
    return Finding(
        parts=(one.ref, *(leaf.ref for leaf in resistors)),
        what=(
            f"{one.ref} follows with {print_value(abs(one.amps), 'A')} only: a source of "
            f"{volts(clips_v)} peak asks for all of it, and louder notes are cut on one side."
        ),
        evidence=(
            Evidence(
                name="peak of the source from which it is cut",
                value=clips_v,
                unit="V",
                low=HARD_V,
                basis=f"a sine at 1 kHz, knobs as they stand; the {end} rests at "
                f"{volts(survey.rest.volts(one.item.bottom))}",
            ),
        ),
        cure=_cure(survey, one, resistors[0].value if resistors else 0.0, clips_v),
        gravity=Gravity.POOR if clips_v < SOFT_V else None,
    )


def _cure(survey: Survey, one: Resting, value: float, clips_v: float) -> str:
    bipolar = one.item.family == "bipolar"
    pin, end = ("base", "emitter") if bipolar else ("gate", "source")
    control_v = survey.rest.volts(one.item.control)
    if abs(control_v) < GROUNDED_V:
        return (
            f"Let the {pin} rest at half the supply: its resistor to the middle of two equal ones across the "
            "supply, and a capacitor before it."
        )
    least = value * clips_v / HARD_V
    aim = f" of {ohms(least)} or less" if value else ""
    return f"Take a smaller resistor at the {end}{aim}, or load it less."


SELF_BIASED = """
supply V 9V battery
input IN pickup
output OUT 1M
part Q1 n-jfet J201
IN > C1 10n > Q1.g > R1 2M2 > gnd
Q1.d > V
Q1.s > R2 10k > gnd
Q1.s > C2 1u > OUT > R3 220k > gnd
"""
HALFWAY = (
    SELF_BIASED.replace("R1 2M2 > gnd", "R1 2M2 > VB")
    + "V > R4 100k > VB > R5 100k > gnd\nVB > C3 10u > gnd\n"
)
LOADED = """
supply V 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N3904
V > R4 100k > VB > R5 100k > gnd
VB > C3 10u > gnd
IN > C1 100n > Q1.b > R1 470k > VB
Q1.c > V
Q1.e > R2 100k > gnd
Q1.e > C2 10u > OUT > R3 1k > gnd
"""

RULE = Rule(
    code="B14",
    name="follower-cut-off",
    title="A follower runs out of current",
    gravity=Gravity.NOTE,
    why=(
        "A follower can pull its output up, but down it goes only as fast and as far as its resistor takes "
        "current away. What the load asks for beyond the current at rest is not there: the transistor "
        "switches off, and that half of the wave is cut."
    ),
    source="current at rest against the current the signal asks for, on the whole circuit; peaks of a pickup "
    "are common practice, no source",
    look=look,
    speaks=(
        Trial(text=SELF_BIASED, blames=("Q1", "R2"), says="follows with"),
        Trial(text=LOADED, blames=("Q1", "R2")),
    ),
    quiet=(Trial(text=HALFWAY), Trial(text=LOADED.replace("R3 1k", "R3 100k"))),
)
