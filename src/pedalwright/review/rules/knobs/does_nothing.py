"""A knob that changes nothing, wherever it stands."""

from collections.abc import Iterable

import numpy as np

from pedalwright.analysis.knob_sweep import swept
from pedalwright.analysis.knob_track import halves_at, law_of
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.review.rule import Finding, Gravity, Rule, Trial
from pedalwright.review.rules.knobs._turned import answers
from pedalwright.review.survey import Survey
from pedalwright.solve.band import Band
from pedalwright.stages.wording import listed, named

CHANGES = 1e-3
"""share by which something must change to count"""
LISTENED_HZ = (1.0, 82.4, 1000.0, 10e3)
ENDS = np.array([0.0, 0.5, 1.0])


def look(survey: Survey) -> Iterable[Finding]:
    """Every knob of which nothing is heard as the others stand: whether it moves anything at all."""
    for answer in answers(survey):
        part = survey.circuit.by_ref[answer.ref]
        if not answer.heard and answer.certified.all() and not _moves_anything(survey.analysis, part):
            yield Finding(
                parts=(part.ref,),
                what=f"Turning {named(survey.bench, part.ref)} changes nothing anywhere in the circuit.",
                cure=_cure(survey, part),
            )


def _moves_anything(analysis: Analysis, part: Part) -> bool:
    """Whether any net's rest, or its answer to a current into any net, changes beside the knob's own lugs."""
    if analysis.small is None:
        return True
    band = Band(analysis.small, np.array(LISTENED_HZ))
    halves = halves_at(part.value or 0.0, law_of(part), ENDS)
    own = {band.row(net) for net in part.nets if band.knows(net)} - {analysis.small.size}
    others = [row for row in range(analysis.small.size) if row not in own]
    shared = [row for row in own if _is_shared(analysis, part, row)]
    rows = sorted({*others, *shared})
    found = swept(analysis, part, halves, band, rows)
    if not found.ok.all():
        return True
    rests = found.rests.x[:, rows]
    if np.ptp(rests, axis=0).max(initial=0.0) > CHANGES:
        return True
    for column in rows:
        sizes = np.abs(found.columns[column][:, :, rows])
        moved = np.ptp(sizes, axis=0)
        if (moved > CHANGES * (sizes.max(axis=0) + sizes.max() * CHANGES)).any():
            return True
    return False


def _is_shared(analysis: Analysis, part: Part, row: int) -> bool:
    """Whether something else is on a lug's net, so that what happens there matters."""
    nets = [net for net in dict.fromkeys(part.nets) if analysis.system.rows.get(net) == row]
    return any(pin.part.ref != part.ref for net in nets for pin in analysis.circuit.pins_on[net])


def _cure(survey: Survey, part: Part) -> str:
    open_lugs = [pin for pin, net in part.pins if survey.view.alone(survey.view.joined[net]) == part.ref]
    if open_lugs:
        plural = len(open_lugs) > 1
        lugs, lead = ("lugs", "they lead") if plural else ("lug", "it leads")
        return f"Connect {lugs} {listed(open_lugs)}: {lead} nowhere."
    if len(set(survey.view.knob_nets(part))) < len(set(part.nets)) or len(set(part.nets)) < 2:
        return "Take one lug off the net that all of them are on."
    return "Follow its lugs: both ends are held by nets that stand still, or by the same one."


SPEAKING = """
input IN buffered
output OUT 1M
knob TONE 100k linear at 5
IN > R1 10k > OUT
OUT > TONE.2
OUT > C1 10n > gnd
"""

RULE = Rule(
    code="K05",
    name="knob-does-nothing",
    title="A knob does nothing",
    gravity=Gravity.POOR,
    why=(
        "No current changes wherever it stands. Mostly a lug was left out, or two were exchanged with a "
        "neighbour's."
    ),
    source="computed: rest and small-signal answers of every net at both ends of the travel",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("TONE",)),
        Trial(
            text=SPEAKING.replace("OUT > TONE.2\n", "OUT > TONE.2 > TONE.1\nOUT > TONE.3\n"), blames=("TONE",)
        ),
    ),
    quiet=(Trial(text=SPEAKING.replace("OUT > C1 10n > gnd", "TONE.3 > C1 10n > gnd")),),
)
