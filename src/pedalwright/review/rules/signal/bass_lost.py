"""A coupling capacitor too small for the resistance behind it."""

from collections.abc import Iterable

import numpy as np

from pedalwright.circuit.part import Part
from pedalwright.devices.ports import INPUT
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import SPILLED, db, first_value, place, to_output
from pedalwright.review.rules.signal._trials import FOLLOWERS, pedal
from pedalwright.review.survey import Survey
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.wording import farads, hz, named
from pedalwright.units.preferred import Series

LOW_E_HZ = 82.4
"""the lowest string of a guitar (equal temperament)"""
THIN_DB, GONE_DB = 6.0, 15.0
"""a loss of bass that is plainly heard, and one that leaves none (house rule)"""
AIM_DB = 1.0
MUCH = 1e3
ROLE = "dc-blocking capacitor"
AT_A_JACK = "series capacitor"
DECODER = "12"


def look(survey: Survey) -> Iterable[Finding]:
    """What each coupling capacitor alone takes from the lowest string, by the circuit with a huge one
    there.
    """
    if survey.circuit.input is None:
        return
    for ref in dict.fromkeys(_coupling(survey)):
        part = survey.circuit.by_ref.get(ref)
        if part is None or ref not in survey.small.names:
            continue
        loss = _loss_db(survey, part, ChangedTable(survey.band, {}))
        if loss > THIN_DB:
            yield _finding(survey, part, loss)


def _coupling(survey: Survey) -> Iterable[str]:
    """Capacitors that only block direct voltage, and those of a high-pass at a jack."""
    jacks = {survey.view.input_net, survey.view.output_net}
    for stage in survey.stages:
        if stage.elsewhere is None:
            yield from stage.with_role(ROLE)
            if stage.kind == "rc-high-pass" and jacks & {*stage.inputs, stage.output}:
                yield from stage.with_role(AT_A_JACK)


def _loss_db(survey: Survey, part: Part, own: ChangedTable) -> float:
    """What either side of a capacitor loses at the low E, of the sound from the jack or from a chip."""
    band = survey.band
    at, rows = place(band, LOW_E_HZ), [band.row(net) for net in part.nets]
    decoders = [chip.net(DECODER) for chip in survey.view.parts_of("echo-chip")]
    columns = [exciting_column(band, net) for net in decoders if band.knows(net)]
    columns += [survey.small.system.branches[INPUT]] if survey.circuit.input is not None else []
    if not columns:
        return 0.0
    here = np.abs(own.at(rows, columns)[at])
    huge = np.abs(ChangedTable(band, {part.ref: MUCH * (part.value or 0.0)}).at(rows, columns)[at])
    heard = huge > SPILLED
    ratio = np.where(heard, huge / np.maximum(here, 1e-30), 1.0)
    return db(float(np.max(ratio)))


def _finding(survey: Survey, part: Part, loss: float) -> Finding:
    value = first_value(
        survey,
        part,
        up=True,
        series=Series.E6,
        good=lambda table: _loss_db(survey, part, table) < AIM_DB,
    )
    changes = (Change(ref=part.ref, value=value),) if value is not None else ()
    cure = (
        f"{named(survey.bench, part.ref)} of {farads(value)} keeps the bass."
        if value is not None
        else f"Use a much larger {part.ref}."
    )
    return Finding(
        parts=(part.ref,),
        what=f"{named(survey.bench, part.ref)} takes {loss:.0f} dB off the lowest string, at {hz(LOW_E_HZ)}.",
        evidence=(
            Evidence(
                name="loss at the low E",
                value=loss,
                unit="dB",
                high=THIN_DB,
                basis="against a capacitor a thousand times larger, knobs as they stand",
            ),
        ),
        cure=cure,
        changes=changes,
        gravity=Gravity.POOR if _is_gone(survey, loss) else None,
    )


def _is_gone(survey: Survey, loss: float) -> bool:
    """The bass is missing at the output too, and no transistor stage wants it so, as in a treble booster."""
    gain = to_output(survey)
    if loss <= GONE_DB or gain is None or survey.view.transistors:
        return False
    low, middle = place(survey.band, LOW_E_HZ), place(survey.band, 700.0)
    return db(float(abs(gain[middle]) / max(abs(gain[low]), 1e-12))) > GONE_DB - THIN_DB


RULE = Rule(
    code="L12",
    name="bass-lost",
    title="A coupling capacitor takes the bass away",
    gravity=Gravity.NOTE,
    why=(
        "A capacitor in the signal's way passes less the lower the note, and the less resistance stands "
        "behind it the sooner that begins. Sometimes that is wanted, before a distortion above all; often "
        "the value is a slip of a decade."
    ),
    source="closed form of the RC high-pass, measured on the full circuit; limits are a house rule",
    look=look,
    speaks=(
        Trial(text=pedal(FOLLOWERS, back="U1b.out > C9 4n7 > OUT > R9 100k > gnd\n"), blames=("C9",)),
        Trial(text=pedal(FOLLOWERS).replace("C1 22n", "C1 470p"), blames=("C1",)),
    ),
    quiet=(
        Trial(text=pedal(FOLLOWERS, back="U1b.out > C9 47n > OUT > R9 100k > gnd\n")),
        Trial(text=pedal(FOLLOWERS)),
    ),
)
