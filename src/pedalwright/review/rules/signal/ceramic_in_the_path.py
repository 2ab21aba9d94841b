"""A ceramic capacitor of the bending kind in the signal's way."""

from collections.abc import Iterable

import numpy as np

from pedalwright.circuit.part import Part
from pedalwright.devices.kinds.capacitor import dielectric
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import SPILLED, from_source, place
from pedalwright.review.rules.signal._trials import FOLLOWERS, pedal
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import listed, named

STABLE_FARADS = 4.7e-9
"""up to about here ceramic parts are made of the stable kind, class 1 (IEC 60384-8; the value from memory)"""
PLAYED_HZ = (82.4, 700.0, 2500.0)
ACROSS = 0.05
"""share of the source's voltage that must lie across it before its bending is heard (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Ceramic capacitors above a few nanofarads with signal across them, told together."""
    if survey.circuit.input is None:
        return
    found = [part for part in survey.parts_of("capacitor") if _bends(survey, part)]
    if not found:
        return
    refs = [part.ref for part in found]
    across = max(_across(survey, part) for part in found)
    yield Finding(
        parts=tuple(refs),
        what=(
            f"{listed([named(survey.bench, ref) for ref in refs])} {'is' if len(refs) == 1 else 'are'} "
            "ceramic in the signal's way: the value moves with the voltage, and taps on the box are heard."
        ),
        evidence=(
            Evidence(
                name="signal across it for 1 V at the source",
                value=across,
                unit="V",
                high=ACROSS,
                basis="the most of 82, 700 and 2500 Hz",
            ),
            Evidence(
                name="value",
                value=max(part.value or 0.0 for part in found),
                unit="F",
                high=STABLE_FARADS,
                basis="above it a ceramic part is class 2",
            ),
        ),
        cure="Take film parts of the same value there.",
    )


def _bends(survey: Survey, part: Part) -> bool:
    return (
        dielectric(part) == "ceramic"
        and (part.value or 0.0) > STABLE_FARADS
        and part.ref in survey.small.names
        and not all(survey.classes.is_still(survey.view.joined[net]) for net in part.nets)
        and _across(survey, part) > ACROSS
    )


def _across(survey: Survey, part: Part) -> float:
    """Volts across a capacitor for one volt of the source, the most of a few notes."""
    band = survey.band
    moved = from_source(survey)[[place(band, hz) for hz in PLAYED_HZ]]
    rows = [band.row(net) for net in part.nets]
    found = float(np.max(np.abs(moved[:, rows[0]] - moved[:, rows[1]])))
    return found if found > SPILLED else 0.0


TONE = "U1b.out > R8 10k > OUT\nOUT > C9 {capacitor} > gnd\nOUT > R9 1M > gnd\n"
RULE = Rule(
    code="L17",
    name="ceramic-in-the-path",
    title="A ceramic capacitor that changes with the voltage, in the signal's way",
    gravity=Gravity.NOTE,
    why=(
        "Ceramic parts of more than a few nanofarads are class 2: their value falls with the voltage across "
        "them and they turn knocks into voltage. On a supply that does not matter. With signal across them "
        "they distort it."
    ),
    source="classes of IEC 60384-8 and -9, from memory; limits are a house rule",
    look=look,
    speaks=(Trial(text=pedal(FOLLOWERS, back=TONE.format(capacitor="22n (ceramic)")), blames=("C9",)),),
    quiet=(
        Trial(text=pedal(FOLLOWERS, back=TONE.format(capacitor="22n (film)"))),
        Trial(text=pedal(FOLLOWERS, back=TONE.format(capacitor="1n (ceramic)"))),
    ),
)
