"""A capacitor across an amplifier's feedback that takes audible treble away."""

from collections.abc import Iterable

from pedalwright.circuit.part import Part
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import db, first_value, place
from pedalwright.review.rules.signal._trials import gain_of, pedal
from pedalwright.review.survey import Survey
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.stage import Stage
from pedalwright.stages.wording import farads, hz, named
from pedalwright.units.preferred import Series

TREBLE_HZ = 5e3
"""where a guitar's treble lies (common practice, no source)"""
DULL_DB, GONE_DB = 6.0, 20.0
"""a loss that is plainly heard, and one that leaves none (house rule)"""
AIM_DB = 1.0
NEXT_TO_NOTHING = 1e-3
ROLE = "feedback capacitor"
KINDS = (
    "inverting-amplifier",
    "non-inverting-amplifier",
    "summing-mixer",
    "differential-amplifier",
    "voltage-follower",
)


def look(survey: Survey) -> Iterable[Finding]:
    """What each feedback capacitor of a plain amplifier takes at 5 kHz, by the circuit without it; an echo
    chip's own amplifiers are meant to be filters.
    """
    plain = [one for one in survey.stages_of(*KINDS) if not any("/" in ref for ref in one.refs)]
    for stage in plain:
        for ref in stage.with_role(ROLE):
            part = survey.circuit.by_ref.get(ref)
            if part is None or stage.elsewhere or not stage.inputs or ref not in survey.small.names:
                continue
            loss = _loss_db(survey, stage, part, ChangedTable(survey.band, {}))
            if loss > DULL_DB:
                yield _finding(survey, stage, part, loss)


def _loss_db(survey: Survey, stage: Stage, part: Part, own: ChangedTable) -> float:
    """What is lost at 5 kHz from the stage's first input to its output, against next to no capacitor."""
    band = survey.band
    at, column = place(band, TREBLE_HZ), exciting_column(band, stage.inputs[0])
    rows = [band.row(stage.output), band.row(stage.inputs[0])]
    here = own.at(rows, [column])[at, :, 0]
    bare = ChangedTable(band, {part.ref: NEXT_TO_NOTHING * (part.value or 0.0)}).at(rows, [column])[at, :, 0]
    if abs(here[1]) == 0 or abs(bare[1]) == 0 or abs(here[0]) == 0:
        return 0.0
    return db(float(abs(bare[0] / bare[1]) / abs(here[0] / here[1])))


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
    title="A feedback capacitor takes audible treble away",
    gravity=Gravity.NOTE,
    why=(
        "A small capacitor across a feedback resistor keeps an amplifier from oscillating and radio out. Ten "
        "or a hundred times too large it works in the middle of the guitar's range."
    ),
    source="closed form of the RC low-pass, measured on the full circuit; limits are a house rule",
    look=look,
    speaks=(Trial(text=pedal(gain_of("100k")) + "U1a.out > C6 10n (film) > U1a.inv\n", blames=("C6",)),),
    quiet=(Trial(text=pedal(gain_of("100k")) + "U1a.out > C6 47p (ceramic) > U1a.inv\n"),),
)
