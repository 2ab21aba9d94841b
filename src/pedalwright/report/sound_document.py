"""What was heard as a document: what went in, what came out, what the file holds, and what was measured."""

from collections.abc import Iterable

from pedalwright.report.blocks import Block, Box, Document, Facts, Paragraph, Points, Section, Table, Tone
from pedalwright.report.figures import figure
from pedalwright.report.identity import fingerprint, title_of
from pedalwright.report.sound_clip import HEARING
from pedalwright.report.sound_measures import measures_section
from pedalwright.report.sound_sentences import ending, in_the_file, loudness, written
from pedalwright.sound.wish import Heard, Take


def sound_document(heard: Heard, more: Iterable[Section] = ()) -> Document:
    """The whole answer as blocks, with more sections behind the first."""
    measured = (
        measures_section(take, at) for at, take in enumerate(heard.takes) if take.measured is not None
    )
    return Document(
        title=f"{title_of(heard.title)}: heard",
        sections=(_glance(heard), *more, *measured),
        closing=fingerprint(heard.text_sha256),
    )


def _glance(heard: Heard) -> Section:
    blocks: list[Block] = [Paragraph(said, Tone.LEAD) for said in written(heard)]
    blocks += [Facts(tuple(_facts(heard))), _table(heard)]
    if said := tuple(_said(heard)):
        blocks.append(Points(said))
    blocks.append(Box((("Hearing", HEARING),)))
    return Section(anchor="glance", heading="At a glance", blocks=tuple(blocks))


def _facts(heard: Heard) -> Iterable[tuple[str, str]]:
    channels = (
        "" if heard.channels == 1 else f"; each of its {heard.channels} channels through its own circuit"
    )
    yield "sound", f"{heard.sound}{channels}"
    peak, rms = figure(heard.input.peak_v, "V"), figure(heard.input.rms_v, "V")
    yield "into the input jack", f"{peak} peak, {rms} rms, before the source's own resistance"
    yield "source", heard.source_says
    yield "chips' noise", f"seed {heard.seed}"
    if heard.settings:
        yield "knobs", ", ".join(f"{ref} {position}" for ref, position in heard.settings)
    if heard.moved:
        yield "moved", "; ".join(heard.moved)


def _table(heard: Heard) -> Table:
    return Table(
        caption="At the output jack, and in the file, where 1 V is full scale before anything is turned down",
        columns=("take", "peak", "rms", "loudness", "in the file", "from", "lasts"),
        rows=tuple(_row(take) for take in heard.takes),
        figures=(1, 2, 3, 4, 5, 6),
    )


def _row(take: Take) -> tuple[str, ...]:
    return (
        take.label,
        figure(take.output.peak_v, "V"),
        figure(take.output.rms_v, "V"),
        loudness(take.output.loudness_lufs),
        in_the_file(take),
        f"{take.start_s:.1f} s",
        f"{take.seconds:.1f} s",
    )


def _said(heard: Heard) -> Iterable[str]:
    several = len(heard.takes) > 1
    for take in heard.takes:
        yield ending(take, f"Take '{take.label}'" if several else "The sound")
        name = f"{take.label}: " if several else ""
        yield from (f"{name}{remark}" for remark in take.remarks)
    yield from heard.remarks
