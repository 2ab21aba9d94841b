"""Section 13: changes worth trying, each computed on the whole circuit, with its limits."""

from collections.abc import Iterable

from pedalwright.analysis.effects import effects_at
from pedalwright.analysis.records import WalkStage
from pedalwright.analysis.steps import SERIES_OF_KIND, written
from pedalwright.circuit.part import Part
from pedalwright.report.blocks import Paragraph, Table, Tone
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.solve.band import Band, band_hz
from pedalwright.stages.recognise import kind_of
from pedalwright.units.preferred import nearest_by_ratio

FACTOR = 2.0
"""half and twice: a change anyone hears where the part matters at all"""
WORTH_A_TRY = ("resistor", "capacitor")
LEFT_ALONE = ("supply", "bias")
"""groups of stages that are not for trying things out: what they hold keeps the rest alive"""
MOST_ROWS = 24


def build(dossier: Dossier) -> Chapter:
    """Half and twice the value of the parts the sound goes through, where that moves something."""
    small = dossier.analysis.small
    if small is None:
        return chapter()
    band = Band(small, band_hz())
    tried = {part.ref: _values(part) for part in _parts(dossier)}
    found = effects_at(dossier.analysis, band, tried)
    rows = [
        (
            ref,
            written(dossier.circuit.by_ref[ref], dossier.circuit.by_ref[ref].value or 0.0),
            effect.value_text,
            said,
        )
        for ref, told in found.items()
        for effect in told
        if (said := "; ".join(change.rstrip(". ") for change in effect.changes))
    ]
    if not rows:
        return chapter()
    return chapter(
        [
            Paragraph(
                "Each line changes one part and nothing else, and is computed on the whole circuit with "
                "the knobs as in this document. Two changes at once need not add up: compute them together."
            ),
            Table(
                caption="Half and twice the value",
                columns=("part", "is", "try", "what it does"),
                rows=tuple(rows[:MOST_ROWS]),
            ),
            Paragraph(
                "Supply and bias are left out: what they hold keeps the rest working. Keep at least the "
                "voltage and power ratings of the parts list, and the lowest resistance at the echo chip's "
                "pin 6.",
                Tone.QUIET,
            ),
        ]
    )


def _parts(dossier: Dossier) -> Iterable[Part]:
    """Resistors and capacitors of the stages the sound goes through, one of each stage's strongest first."""
    for stage in dossier.walk.stages:
        if _group(dossier, stage) in LEFT_ALONE:
            continue
        for told in stage.parts:
            part = dossier.circuit.by_ref.get(told.ref)
            if part is not None and part.kind in WORTH_A_TRY and part.value:
                yield part


def _group(dossier: Dossier, told: WalkStage) -> str:
    found = next(stage for stage in dossier.analysis.stages.stages if stage.name == told.name)
    return kind_of(found).group


def _values(part: Part) -> tuple[float, float]:
    series = SERIES_OF_KIND[part.kind]
    value = part.value or 0.0
    return nearest_by_ratio(value / FACTOR, series), nearest_by_ratio(value * FACTOR, series)


SECTION = PackSection(name="mods", place=13, heading="Changes worth trying", build=build)
