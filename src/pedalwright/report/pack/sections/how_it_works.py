"""Section 2: the stages in the order the signal meets them, each in its own words and numbers."""

from collections.abc import Iterable

from pedalwright.analysis.records import Walk, WalkStage
from pedalwright.report.blocks import Block, Paragraph, Pictures, Plots, Points, Section, Tone
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.drawn import drawn_map, stage_drawing
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.report.walk_document import Chapter as Stretch
from pedalwright.report.walk_document import chapters, plain_anchor, stage_headings
from pedalwright.report.walk_sentences import level_sentence, opening
from pedalwright.report.walk_stage import curve_plot, path_of

WORTH_DRAWING = 3
"""parts from which a stage gets a drawing of its own"""
MAP = (
    "Each block is a stage, with its gain and what it lets through; beside the arrows stands the peak level "
    "there for the loudest playing expected. A dashed line leads back."
)
NOT_PROVED = "The numbers of this stage are not confirmed by the solved circuit."


def build(dossier: Dossier) -> Chapter:
    """An opening, then every stretch of the way with its stages."""
    told = dossier.walk
    return chapter(
        [*(Paragraph(said, Tone.LEAD) for said in opening(told)), *_overall(told)],
        [*_map(dossier), *(_stretch(dossier, one) for one in chapters(told))],
    )


def _overall(told: Walk) -> Iterable[Block]:
    if told.overall.curve is not None:
        yield Plots((curve_plot(told.overall.curve),))


def _map(dossier: Dossier) -> Iterable[Section]:
    """The way of the sound in one picture."""
    if dossier.walk.stages:
        said = Paragraph(MAP, Tone.QUIET)
        yield Section(
            anchor="works-map",
            heading="The way of the sound",
            blocks=(Pictures((drawn_map(dossier.analysis),)), said),
        )


def _stretch(dossier: Dossier, stretch: Stretch) -> Section:
    headings = stage_headings(dossier.walk)
    return Section(
        anchor=f"works-{plain_anchor(stretch.heading)}",
        heading=stretch.heading,
        sections=tuple(_stage(dossier, stage, headings[stage.name]) for stage in stretch.stages),
    )


def _stage(dossier: Dossier, stage: WalkStage, heading: str) -> Section:
    parts = ", ".join(f"{part.ref} ({part.label})" for part in stage.parts)
    blocks: list[Block] = [Paragraph(stage.purpose)]
    drawn = _drawing(dossier, stage, heading)
    if drawn is not None:
        blocks.append(drawn)
    if not stage.proof.confirmed:
        blocks.append(Paragraph(NOT_PROVED, Tone.DOUBT))
    said = (*(level_sentence(level) for level in stage.levels), *stage.beside)
    if said:
        blocks.append(Points(said))
    blocks.append(Paragraph(f"Parts: {parts}.", Tone.QUIET))
    return Section(anchor=f"works-{stage.name}", heading=heading, aside=path_of(stage), blocks=tuple(blocks))


def _drawing(dossier: Dossier, stage: WalkStage, heading: str) -> Pictures | None:
    if len(stage.parts) < WORTH_DRAWING:
        return None
    picture = stage_drawing(dossier.analysis, stage.name, heading)
    return None if picture is None else Pictures((picture,))


SECTION = PackSection(name="how-it-works", place=2, heading="How it works", build=build)
