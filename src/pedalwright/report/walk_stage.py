"""One stage of the walk-through as a section: what it is, why it is here, numbers, proof, parts."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import compress

import numpy as np

from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.records import Curve, ProofSummary, WalkPart, WalkStage
from pedalwright.report.blocks import (
    Block,
    Entries,
    Entry,
    Facts,
    Formula,
    Line,
    Paragraph,
    Plot,
    Plots,
    Points,
    Section,
    Table,
    Tone,
)
from pedalwright.report.figures import NONE, disagreement, figure
from pedalwright.report.sources import Sources
from pedalwright.report.walk_sentences import (
    also_sentence,
    effect_sentences,
    impedances,
    level_sentence,
    loading,
    proof_figures,
)
from pedalwright.stages.stage import Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What a stage's section needs from the walk-through around it."""

    anchor: str
    heading: str
    reference_hz: float
    sources: Sources


def stage_section(stage: WalkStage, frame: Frame) -> Section:
    """A stage as a section."""
    blocks: list[Block] = [
        Paragraph(text, tone)
        for text, tone in ((stage.says, Tone.QUIET), (stage.purpose, Tone.PLAIN))
        if text
    ]
    if stage.beside:
        blocks.append(Points(stage.beside))
    blocks += _numbers(stage, frame.sources)
    blocks += [Paragraph(said) for said in loading(stage)]
    if stage.formula:
        blocks.append(Formula(stage.formula, frame.sources.shown(stage.formula_source)))
    blocks += _plots(stage)
    if stage.levels:
        blocks.append(Points(tuple(map(level_sentence, stage.levels))))
    if found := impedances(stage, frame.reference_hz):
        blocks.append(Facts(found))
    blocks += _verdict(stage.proof)
    if stage.parts:
        blocks.append(Entries(tuple(map(_entry, stage.parts))))
    return Section(anchor=frame.anchor, heading=frame.heading, aside=path_of(stage), blocks=tuple(blocks))


def path_of(stage: WalkStage) -> str:
    """From where to where: ``IN to OUT``."""
    nets, output = " and ".join(map(spoken, stage.inputs)), spoken(stage.output)
    return f"{nets} to {output}" if nets and output else nets or output


def _numbers(stage: WalkStage, sources: Sources) -> Iterable[Block]:
    """The figures as a table, without columns in which nothing stands."""
    known = [number for number in stage.numbers if number.closed is not None or number.full is not None]
    if not known:
        return
    closed = any(number.closed is not None for number in known)
    full = any(number.full is not None for number in known)
    wanted = [True, closed or not full, full, closed and full, True]
    names = ("figure", "by the formula", "in the whole circuit", "apart", "after")
    rows = [tuple(compress(_row(number, sources), wanted)) for number in known]
    columns = tuple(compress(names, wanted))
    yield Table(
        caption="Its numbers",
        columns=columns,
        rows=tuple(rows),
        figures=tuple(range(1, len(columns) - 1)),
    )


def _row(number: Number, sources: Sources) -> tuple[str, ...]:
    said = (sources.shown(number.source), number.note)
    return (
        number.name.replace("~", ""),
        _shown(number.closed, number.unit),
        _shown(number.full, number.unit),
        disagreement(number.closed, number.full, number.unit),
        "; ".join(piece for piece in said if piece),
    )


def _shown(value: float | None, unit: str) -> str:
    return NONE if value is None else figure(value, unit)


def _plots(stage: WalkStage) -> Iterable[Block]:
    plots = tuple(curve_plot(curve) for curve in stage.curves if is_drawable(curve))
    if plots:
        yield Plots(plots)


def is_drawable(curve: Curve) -> bool:
    """Whether a curve has two points to draw a line between."""
    lines = [line for line in (curve.full_db, curve.closed_db) if line is not None]
    return any(np.isfinite(line).sum() > 1 for line in lines)


def curve_plot(curve: Curve) -> Plot:
    """A level curve as a plot: the whole circuit, and the formula dashed over it."""
    lines = []
    if curve.full_db is not None:
        lines.append(Line(name="whole circuit", values=curve.full_db))
    if curve.closed_db is not None:
        lines.append(Line(name="formula", values=curve.closed_db, dashed=True))
    return Plot(title=curve.title, unit="dB", frequency_hz=curve.frequency_hz, lines=tuple(lines))


def _verdict(proof: ProofSummary) -> Iterable[Block]:
    tone = Tone.DOUBT if not proof.confirmed else Tone.GOOD if proof.v1 is not None else Tone.QUIET
    if proof.verdict:
        yield Paragraph(proof.verdict, tone)
    if figures := proof_figures(proof):
        yield Paragraph(f"{figures[0].upper()}{figures[1:]}.", Tone.QUIET)


def _entry(part: WalkPart) -> Entry:
    texts = tuple(text for text in (part.says, also_sentence(part), *effect_sentences(part)) if text)
    return Entry(name=part.ref, label=part.label, role=part.role, texts=texts)
