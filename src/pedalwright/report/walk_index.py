"""A page that leads to several walk-throughs."""

from collections.abc import Mapping

from pedalwright.analysis.records import Walk
from pedalwright.report.blocks import Document, Links, Paragraph, Section, Tone
from pedalwright.report.walk_sentences import is_sound


def index_document(walks: Mapping[str, Walk], *, pdf_of: str) -> Document:
    """Every walk-through by the name of its files, with a word about it; then schematics, reviews, and the
    build document of `pdf_of`.
    """
    links = tuple(
        (f"{name}.html", walk.title, " ".join((*walk.about, told_row(walk)))) for name, walk in walks.items()
    )
    lead = Paragraph(
        "Each page talks one circuit through: every stage and every part, with its numbers.", Tone.LEAD
    )
    section = Section(anchor="circuits", heading="Circuits", blocks=(lead, Links(links)))
    others = (
        _links(
            "schematics", "Schematics", walks, "-schematic.svg", "drawn from the text and proved equal to it"
        ),
        _links(
            "reviews", "Reviews", walks, "-review.html", "what a careful friend would say before you solder"
        ),
    )
    paper = Links(((f"{pdf_of}.pdf", walks[pdf_of].title, "everything a builder needs on paper"),))
    document = Section(anchor="paper", heading="Build document", blocks=(paper,))
    return Document(title="Walked through", sections=(section, *others, document))


def _links(anchor: str, heading: str, walks: Mapping[str, Walk], ending: str, said: str) -> Section:
    links = tuple((f"{name}{ending}", walk.title, said) for name, walk in walks.items())
    return Section(anchor=anchor, heading=heading, blocks=(Links(links),))


def told_row(walk: Walk) -> str:
    """How a walk-through went, in one line."""
    parts = sum(len(stage.parts) for stage in walk.stages)
    proved = [stage for stage in walk.stages if stage.proof.v1 is not None]
    confirmed = sum(stage.proof.confirmed for stage in proved)
    state = "" if is_sound(walk) else "; NOT all confirmed"
    return f"{len(walk.stages)} stages, {parts} parts, {confirmed} of {len(proved)} gains proved{state}."
