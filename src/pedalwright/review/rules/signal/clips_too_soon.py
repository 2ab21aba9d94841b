"""The first stage to clip that is not there to clip, and how softly one has to play for it."""

from collections.abc import Iterable

from pedalwright.analysis.headroom import PICKUP_PEAKS_V, Rung, first_to_clip
from pedalwright.circuit.part import Part
from pedalwright.devices.ports import INPUT
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import (
    first_value,
    has_signal_diodes,
    ladder,
    op_amps,
    place,
)
from pedalwright.review.rules.signal._trials import gain_of, pedal
from pedalwright.review.survey import Survey
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.stages.wording import hz, named, ohms, volts

SOFT_V, HARD_V = 0.3, 1.0
"""peaks of a pickup picked softly and picked hard (common practice, no source)"""


def look(survey: Survey) -> Iterable[Finding]:
    """An operational amplifier cut before hard playing, in a circuit without anything that is meant to
    clip.
    """
    rungs = ladder(survey)
    outputs = {amplifier.output: part for amplifier, part in op_amps(survey)}
    rows = {survey.band.row(net): net for net in outputs}
    mine = [rung for rung in rungs if survey.band.row(rung.net) in rows]
    first = first_to_clip(mine)
    if first is None or first.clips_from_v is None or first.clips_from_v >= HARD_V:
        return
    if any(rung.is_meant for rung in rungs) or has_signal_diodes(survey):
        return
    amplifier = outputs[rows[survey.band.row(first.net)]]
    yield _finding(survey, first, amplifier)


def _finding(survey: Survey, rung: Rung, package: Part) -> Finding:
    clips = rung.clips_from_v or 0.0
    section = rung.limited_by.split(" ")[0]
    where = rung.limited_by.partition(" ")[2]
    cure, changes, parts = _cure(survey, rung)
    return Finding(
        parts=(package.ref, *parts),
        nets=(rung.net,),
        what=(
            f"{section} clips, {where}, from a source of {volts(clips)} peak: at {volts(HARD_V)} its output "
            f"would have to reach {volts(rung.peaks_v[1])} from rest and can go {volts(rung.limit_v)}."
        ),
        evidence=(
            Evidence(
                name="peak of the source from which it clips",
                value=clips,
                unit="V",
                low=HARD_V,
                basis=f"a sine at {hz(rung.frequency_hz)}, knobs as they stand",
            ),
            Evidence(name="swing from rest that is there", value=rung.limit_v, unit="V"),
            *(
                Evidence(
                    name=f"swing that a source of {volts(peak)} peak asks for",
                    value=asked,
                    unit="V",
                    high=rung.limit_v,
                )
                for peak, asked in zip(PICKUP_PEAKS_V, rung.peaks_v, strict=True)
            ),
        ),
        cure=cure,
        changes=changes,
        gravity=Gravity.POOR if clips < SOFT_V else None,
    )


def _cure(survey: Survey, rung: Rung) -> tuple[str, tuple[Change, ...], tuple[str, ...]]:
    """A smaller feedback resistor where there is one, with the value found on the circuit."""
    at, row = place(survey.band, rung.frequency_hz), survey.band.row(rung.net)
    column = survey.small.system.branches[INPUT]

    def clean(table: ChangedTable) -> bool:
        return bool(abs(table.at([row], [column])[at, 0, 0]) * HARD_V < rung.limit_v)

    stage = next(one for one in survey.stages if one.name == rung.stage)
    for ref in stage.with_role("feedback resistor"):
        part = survey.circuit.by_ref.get(ref)
        if part is None or part.value is None or part.kind != "resistor":
            continue
        value = first_value(survey, part, up=False, good=clean)
        if value is not None:
            words = f"{named(survey.bench, ref)} of {ohms(value)} keeps it clean up to {volts(HARD_V)}."
            return words, (Change(ref=ref, value=value),), (ref,)
    times = rung.peaks_v[1] / rung.limit_v
    return f"Take {times:.2g} times off the gain up to here, or feed it from a higher supply.", (), ()


CLIP = "U1b.out > C5 1u (film) > R5 2k2 > CLIP > D1 1N4148 > gnd\ngnd > D2 1N4148 > CLIP\n"
RULE = Rule(
    code="L01",
    name="clips-too-soon",
    title="An amplifier clips in a circuit that is to stay clean",
    gravity=Gravity.NOTE,
    why=(
        "An amplifier's output cannot leave its supply. What would go further is cut flat, which is heard "
        "as a hard rasp on loud notes. A pickup gives about 0.3 V peak played softly and 1 V or more "
        "played hard."
    ),
    source="swings from the parts' data sheets; pickup peaks are common practice, no source",
    look=look,
    speaks=(
        Trial(text=pedal(gain_of("470k")), blames=("U1", "R3"), says="clips"),
        Trial(text=pedal(gain_of("68k")), blames=("R3",)),
    ),
    quiet=(
        Trial(text=pedal(gain_of("10k"))),
        Trial(text=pedal(gain_of("470k")) + CLIP),
    ),
)
