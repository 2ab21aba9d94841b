"""A junction field-effect transistor whose resting point depends on which one of its type was fitted."""

from collections.abc import Iterable

import numpy as np

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._transistors import Resting, driven
from pedalwright.review.survey import Survey
from pedalwright.solve.rest import operating_points
from pedalwright.stages.transistor_spread import HIGH_SPREAD, LOW_SPREAD
from pedalwright.stages.wording import volts

LEAST_SHARE = 0.05
"""of the supply that must stand across it beyond the bend of its curves (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Each amplifying junction field-effect transistor, with the weakest and the strongest of its type."""
    for one in driven(survey):
        amplifies = one.item.part.kind.endswith("jfet") and not survey.classes.is_still(one.item.top)
        if _is_trimmed(survey, one):
            continue
        if amplifies and one.across_v > one.overdrive_v > 0:
            yield from _refitted(survey, one)


def _is_trimmed(survey: Survey, one: Resting) -> bool:
    """A trim beside it is there to meet the spread."""
    ends = (one.item.top, one.item.bottom)
    return any(survey.circuit.by_ref[leaf.ref].kind == "trim" for net in ends for leaf in survey.view.on(net))


def _refitted(survey: Survey, one: Resting) -> Iterable[Finding]:
    rest, item = survey.rest, one.item
    threshold_v = item.polarity * (rest.volts(item.control) - rest.volts(item.bottom)) - one.overdrive_v
    tried = np.array([LOW_SPREAD, HIGH_SPREAD]) * threshold_v
    found = operating_points(rest.system, {f"{one.ref}.threshold_v": tried}, nominal=rest)
    if not found.ok.all():
        return
    across = item.polarity * (found.volts(item.top) - found.volts(item.bottom))
    gate = item.polarity * (found.volts(item.control) - found.volts(item.bottom))
    room = across - np.maximum(gate - tried, 0.0)
    off = gate - tried < 0.02
    supply_v = max((abs(supply.volts) for supply in survey.circuit.supplies), default=0.0)
    if room.min() > LEAST_SHARE * supply_v and not off.any():
        return
    drains = [float(value) for value in found.volts(item.top)]
    resistors = [
        leaf.ref for net in (item.bottom, item.top) for leaf in survey.view.on(net) if leaf.sort == "R"
    ]
    yield Finding(
        parts=(one.ref, *dict.fromkeys(resistors)),
        what=(
            f"The drain of {one.ref} rests at {volts(rest.volts(item.top))} with a middling one of its "
            f"type, but at {volts(drains[0])} or {volts(drains[1])} when its pinch-off voltage is 40 % "
            "smaller or larger: not every one will do."
        ),
        evidence=(
            Evidence(
                name="room at the worse end",
                value=float(room.min()),
                unit="V",
                low=LEAST_SHARE * supply_v,
                basis=f"pinch-off at {LOW_SPREAD:g} and {HIGH_SPREAD:g} times the type's",
            ),
        ),
        cure=(
            "Measure a few and take one that puts the drain near the middle, or fit a trim in place of the "
            "drain resistor."
        ),
    )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part Q1 n-jfet 2N5457
IN > C1 100n > Q1.g > R1 1M > gnd
V > R2 4k7 > Q1.d
Q1.s > R3 1k > gnd
Q1.s > C3 47u > gnd
Q1.d > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="B11",
    name="jfet-spread",
    title="The resting point depends on which transistor is fitted",
    gravity=Gravity.NOTE,
    why=(
        "Pinch-off voltage and current of junction field-effect transistors differ two to one and more "
        "within a type. What rests well with one is cut off or fully on with the next."
    ),
    source="the spread of 40 % either way is from memory; sheets allow far more",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("Q1", "R2")),),
    quiet=(Trial(text=SPEAKING.replace("R2 4k7", "R2 1k5").replace("R3 1k", "R3 1k5")),),
)
