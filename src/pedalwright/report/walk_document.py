"""The walk-through as a document: overview, supply, signal path, side chains, parts, and its proof."""

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.records import Walk, WalkStage
from pedalwright.report.blocks import (
    Block,
    Box,
    Document,
    Facts,
    Paragraph,
    Plots,
    Points,
    Section,
    Table,
    Tone,
)
from pedalwright.report.figures import figure
from pedalwright.report.identity import fingerprint, title_of
from pedalwright.report.safety import SAFETY
from pedalwright.report.sources import Sources, sources_of
from pedalwright.report.walk_sentences import (
    certificate_sentence,
    glance,
    noticed,
    opening,
    remark_sentence,
)
from pedalwright.report.walk_stage import Frame, curve_plot, stage_section


@dataclass(frozen=True, slots=True)
class Chapter:
    """Stages that follow each other under one heading."""

    heading: str
    stages: tuple[WalkStage, ...]


def chapters(walk: Walk) -> tuple[Chapter, ...]:
    """The stages under their headings, in the order of the walk; each heading once."""
    headings = dict.fromkeys(stage.heading for stage in walk.stages)
    return tuple(Chapter(name, tuple(s for s in walk.stages if s.heading == name)) for name in headings)


def walk_document(walk: Walk, *, stages_only: bool = False, more: tuple[Section, ...] = ()) -> Document:
    """The walk-through as blocks: whole, or the stages with how far to trust them and nothing else.

    `more` sections stand before the stages.
    """
    anchors, sources = stage_anchors(walk), sources_of(walk.stages)
    stages = tuple(
        _chapter_section(walk, number, chapter, anchors, sources)
        for number, chapter in enumerate(chapters(walk), start=1)
    )
    safety = Section(anchor="safety", heading="Before you build or repair", blocks=(Box(SAFETY),))
    before = () if stages_only else (_at_a_glance(walk), safety)
    after = () if stages_only else (*_loops(walk), _parts(walk, anchors), *_rest(walk))
    return Document(
        title=title_of(walk.title),
        lead=() if stages_only else walk.about,
        sections=(*before, *more, *stages, *after, _trust(walk), *_sources(sources)),
        closing=fingerprint(walk.text_sha256),
    )


def stage_anchors(walk: Walk) -> dict[str, str]:
    """An anchor for every stage's name, of letters, digits and dashes only, never one twice."""
    return {
        stage.name: f"stage-{number}-{plain_anchor(stage.name)}"
        for number, stage in enumerate(walk.stages, start=1)
    }


def plain_anchor(text: str) -> str:
    """The ASCII letters and digits of a text, joined with dashes."""
    return "-".join(re.findall(r"[a-z0-9]+", text.lower()))[:60] or "x"


def _at_a_glance(walk: Walk) -> Section:
    blocks: list[Block] = [Paragraph(sentence, Tone.LEAD) for sentence in opening(walk)]
    blocks += [Paragraph(refusal, Tone.DOUBT) for refusal in (*walk.refusals, *_echo_refusals(walk))]
    blocks.append(Facts(glance(walk)))
    if walk.overall.curve is not None:
        blocks.append(Plots((curve_plot(walk.overall.curve),)))
    blocks += [Paragraph(note, Tone.QUIET) for note in walk.overall.notes]
    if walk.cautions:
        blocks.append(Points(tuple(map(remark_sentence, walk.cautions))))
    return Section(anchor="glance", heading="At a glance", blocks=tuple(blocks))


def _echo_refusals(walk: Walk) -> tuple[str, ...]:
    return walk.echo.refusals if walk.echo is not None else ()


def _chapter_section(
    walk: Walk, number: int, chapter: Chapter, anchors: dict[str, str], sources: Sources
) -> Section:
    headings = stage_headings(walk)
    told = (
        stage_section(
            stage,
            Frame(
                anchor=anchors[stage.name],
                heading=headings[stage.name],
                reference_hz=walk.overall.reference_hz,
                sources=sources,
            ),
        )
        for stage in chapter.stages
    )
    anchor = f"chapter-{number}-{plain_anchor(chapter.heading)}"
    return Section(anchor=anchor, heading=chapter.heading, sections=tuple(told))


def stage_headings(walk: Walk) -> dict[str, str]:
    """The heading of every stage by its name: its title, with a part where several share it."""
    titles = Counter(stage.title for stage in walk.stages)
    return {stage.name: _heading(stage, shared=titles[stage.title] > 1) for stage in walk.stages}


def _heading(stage: WalkStage, *, shared: bool) -> str:
    """Short and unlike all others: a part has one stage, so the first part tells stages of a kind apart."""
    first = stage.parts[0].ref if stage.parts else stage.name
    package, slash, section = first.partition("/")
    if slash and section.endswith("filter"):
        words = section.replace("-", " ")
        return f"{words[0].upper()}{words[1:]} of {package}"
    return f"{stage.title} {first}" if shared else stage.title


def _loops(walk: Walk) -> Iterable[Section]:
    if walk.loops:
        headings = stage_headings(walk)
        named = [tuple(headings.get(name, name) for name in loop) for loop in walk.loops if loop]
        said = tuple(" > ".join((*loop, loop[0])) for loop in named)
        why = Paragraph(
            "Here the signal can come round again; what is sent back decides what repeats and what howls."
        )
        yield Section(anchor="loops", heading="Loops", blocks=(why, Points(said)))


def _parts(walk: Walk, anchors: dict[str, str]) -> Section:
    headings = stage_headings(walk)
    rows = [
        (part.ref, part.label, part.role, headings[stage.name], anchors[stage.name])
        for stage in walk.stages
        for part in stage.parts
    ]
    rows += [(ref, label, role, "-", "") for ref, label, role in walk.unstaged]
    rows.sort(key=lambda row: reading_order(row[0]))
    table = Table(
        caption="Every part with its role",
        columns=("part", "value or type", "role", "stage"),
        rows=tuple(row[:4] for row in rows),
        targets=tuple(row[4] for row in rows),
    )
    outside = tuple(f"{ref}, {label}: {role}." for ref, label, role in walk.unstaged)
    blocks: tuple[Block, ...] = (table,)
    if outside:
        blocks = (table, Paragraph("Packages, jacks and switches:"), Points(outside))
    return Section(anchor="parts", heading="Parts", blocks=blocks)


def reading_order(ref: str) -> tuple[tuple[int, str], ...]:
    """A key that puts R2 before R10."""
    return tuple(
        (int(piece), "") if piece.isdecimal() else (-1, piece) for piece in re.findall(r"\d+|\D+", ref)
    )


def _rest(walk: Walk) -> Iterable[Section]:
    if walk.rest_volts:
        table = Table(
            caption="Voltages against ground with no signal, knobs as set, parts at their written values",
            columns=("net", "voltage"),
            rows=tuple((spoken(net), figure(volts, "V")) for net, volts in walk.rest_volts),
            figures=(1,),
        )
        yield Section(anchor="rest", heading="Voltages at rest", blocks=(table,))


def _trust(walk: Walk) -> Section:
    blocks: list[Block] = [
        Paragraph(
            "Every figure stands beside the same figure from a solution of the whole circuit. A stage is "
            "confirmed when its formula agrees with the idealised whole circuit within the bound, with "
            "exactly the parts named here."
        ),
        Points(tuple(map(certificate_sentence, walk.certificates))),
    ]
    blocks += [Paragraph(refusal, Tone.DOUBT) for refusal in (*walk.refusals, *_echo_refusals(walk))]
    blocks += [Paragraph(said, Tone.QUIET) for said in noticed(walk.stages)]
    return Section(anchor="trust", heading="How far to trust these numbers", blocks=tuple(blocks))


def _sources(sources: Sources) -> Iterable[Section]:
    if sources.listed:
        yield Section(anchor="sources", heading="Sources", blocks=(Points(sources.listed),))
