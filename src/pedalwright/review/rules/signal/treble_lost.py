"""A capacitor from an amplifier's output back to its input that takes audible treble away."""

from collections.abc import Iterable

import numpy as np

from pedalwright.circuit.part import Part
from pedalwright.devices.ports import INPUT
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import SPILLED, db, first_value, place
from pedalwright.review.rules.signal._trials import gain_of, pedal
from pedalwright.review.survey import Survey
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.stage import Stage
from pedalwright.stages.wording import farads, hz, named
from pedalwright.units.preferred import Series

TREBLE_HZ = 5e3
"""where a guitar's treble lies (common practice, no source)"""
DULL_DB, GONE_DB = 4.5, 20.0
"""a loss that is plainly heard, and one that leaves none (house rule)"""
SMOOTHED_DB = 8.0
"""a fuzz loses up to about this much treble around a transistor or at its diodes on purpose (house rule)"""
AIM_DB = 1.0
NEXT_TO_NOTHING = 1e-3
ROLES = ("feedback capacitor", "smoothing capacitor")
ROUGH = ("common-emitter-amplifier", "common-source-amplifier", "diode-clipper")
KINDS = (
    "inverting-amplifier",
    "non-inverting-amplifier",
    "summing-mixer",
    "differential-amplifier",
    "voltage-follower",
    *ROUGH,
)


def look(survey: Survey) -> Iterable[Finding]:
    """What each feedback capacitor of a plain amplifier takes at 5 kHz, by the circuit without it; an echo
    chip's own amplifiers are meant to be filters.
    """
    if survey.circuit.input is None:
        return
    plain = [one for one in survey.stages_of(*KINDS) if not any("/" in ref for ref in one.refs)]
    for stage in plain:
        for ref in (ref for role in ROLES for ref in stage.with_role(role)):
            part = survey.circuit.by_ref.get(ref)
            if part is None or stage.elsewhere or not stage.inputs or ref not in survey.small.names:
                continue
            loss = _loss_db(survey, stage, part, ChangedTable(survey.band, {}))
            if loss > (SMOOTHED_DB if stage.kind in ROUGH else DULL_DB):
                yield _finding(survey, stage, part, loss)


def _loss_db(survey: Survey, stage: Stage, part: Part, own: ChangedTable) -> float:
    """What is lost at 5 kHz against next to no capacitor: from the source to the stage's output, or from the
    stage's input where nothing of the source arrives.
    """
    band = survey.band
    at, columns = place(band, TREBLE_HZ), [survey.small.system.branches[INPUT]]
    rows = [band.row(stage.output), band.row(stage.inputs[0])]
    columns.append(exciting_column(band, stage.inputs[0]))
    here = np.abs(own.at(rows, columns)[at])
    nothing = ChangedTable(band, {part.ref: NEXT_TO_NOTHING * (part.value or 0.0)})
    bare = np.abs(nothing.at(rows, columns)[at])
    if bare[0, 0] > SPILLED and here[0, 0] > 0:
        return db(float(bare[0, 0] / here[0, 0]))
    if min(here[0, 1], here[1, 1], bare[1, 1]) <= 0:
        return 0.0
    return db(float(bare[0, 1] / bare[1, 1] * here[1, 1] / here[0, 1]))


def _finding(survey: Survey, stage: Stage, part: Part, loss: float) -> Finding:
    value = first_value(
        survey,
        part,
        up=False,
        series=Series.E6,
        good=lambda table: _loss_db(survey, stage, part, table) < AIM_DB,
    )
    size = f" of {farads(value)}" if value is not None else " much smaller"
    return Finding(
        parts=(part.ref,),
        what=f"{named(survey.bench, part.ref)} takes {loss:.0f} dB off the treble, at {hz(TREBLE_HZ)}.",
        evidence=(
            Evidence(
                name="loss at 5 kHz",
                value=loss,
                unit="dB",
                high=DULL_DB,
                basis="against the same circuit with next to no capacitor there, knobs as they stand",
            ),
        ),
        cure=f"{named(survey.bench, part.ref)}{size} keeps the treble.",
        changes=(Change(ref=part.ref, value=value),) if value is not None else (),
        gravity=Gravity.POOR if loss > GONE_DB else None,
    )


RULE = Rule(
    code="L13",
    name="treble-lost",
    title="A small capacitor takes audible treble away",
    gravity=Gravity.NOTE,
    why=(
        "A small capacitor from an amplifier's output back to its input keeps it from oscillating and keeps "
        "radio out. Ten times too large it works on the guitar's treble; around a transistor it counts as "
        "large as the gain makes it."
    ),
    source="closed form of the RC low-pass, measured on the full circuit; limits are a house rule",
    look=look,
    speaks=(Trial(text=pedal(gain_of("100k")) + "U1a.out > C6 10n (film) > U1a.inv\n", blames=("C6",)),),
    quiet=(Trial(text=pedal(gain_of("100k")) + "U1a.out > C6 47p (ceramic) > U1a.inv\n"),),
)
