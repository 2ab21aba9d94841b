"""A circuit's plots as a document for every medium."""

from collections.abc import Iterator
from dataclasses import replace

from pedalwright.report.blocks import Block, Document, Paragraph, Pictures, Plot, Plots, Section, Tone
from pedalwright.report.identity import fingerprint, title_of
from pedalwright.report.plots_catalogue import Drawn

NOTHING = "There is nothing to plot: the text names no jacks, no knobs and no echo."


def plots_document(
    title: str, drawn: tuple[Drawn, ...], text_sha256: str, *, in_letters: bool = False
) -> Document:
    """Every kind as a section of one page; `in_letters` draws every plot where only letters can be shown."""
    none = Section(anchor="none", heading="No plots", blocks=(Paragraph(NOTHING),))
    sections = tuple(plots_section(one, in_letters=in_letters) for one in drawn)
    return Document(
        title=f"{title_of(title)}: plots",
        sections=sections or (none,),
        closing=fingerprint(text_sha256),
    )


def plots_section(one: Drawn, *, in_letters: bool = False) -> Section:
    """One kind: what is seen, the plots, and what is not known."""
    blocks: list[Block] = [Paragraph(one.kind.says)]
    if one.refusal:
        blocks.append(Paragraph(one.refusal, Tone.DOUBT))
    if in_letters:
        blocks += _in_letters(one.plots)
    elif one.plots:
        # One plot by itself has room to be read across the page.
        shown = tuple(replace(plot, wide=len(one.plots) == 1) for plot in one.plots)
        blocks.append(Plots(shown))
    if one.pictures:
        blocks.append(Pictures(one.pictures))
    return Section(anchor=one.kind.name, heading=one.kind.title, blocks=tuple(blocks))


def _in_letters(plots: tuple[Plot, ...]) -> Iterator[Block]:
    for plot in plots:
        yield Paragraph(plot.title)
        yield Plots((replace(plot, in_letters=True),))
