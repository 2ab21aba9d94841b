"""The answers about knobs as a document for every medium."""

import numpy as np

from pedalwright.analysis.knob_records import FloatArray, Heard, KnobAnswer
from pedalwright.report.blocks import (
    Block,
    Document,
    Line,
    Paragraph,
    Plot,
    Plots,
    Points,
    Section,
    Table,
    Tone,
)
from pedalwright.report.identity import fingerprint, title_of
from pedalwright.report.knobs_sentences import certificate, opening, points, said
from pedalwright.units.value_writing import print_value

MOST_COLUMNS = 4
ABOUT = (
    "Each knob is turned from 0 to 10 with all others as they stand. Levels at the output are against "
    "the source's own voltage; 60 dB below the loudest counts as silent. Evenness is 100 when every "
    "tenth of the turn brings the same change as it is perceived (decibels, octaves, milliseconds, "
    "doublings of the number of repeats), and 0 when one tenth brings everything."
)
SHOWN = {"s": (1000.0, "ms"), "repeats": (1.0, "repeats")}


def knobs_document(title: str, answers: tuple[KnobAnswer, ...], text_sha256: str) -> Document:
    """Every knob as a section of one page."""
    sections = tuple(knob_section(answer) for answer in answers)
    none = Section(
        anchor="none", heading="No knobs", blocks=(Paragraph("This circuit has no knob or trim."),)
    )
    return Document(
        title=f"Knobs: {title_of(title)}",
        lead=(ABOUT,) if sections else (),
        sections=sections or (none,),
        closing=fingerprint(text_sha256),
    )


def knob_section(answer: KnobAnswer) -> Section:
    """One knob: what it does in words, drawn, and from 0 to 10."""
    blocks: list[Block] = []
    if answer.heard:
        blocks += [
            Paragraph(opening(answer, answer.heard[0]), Tone.LEAD),
            Points(points(answer)),
            Plots(tuple(knob_plot(answer, heard) for heard in answer.heard[:2])),
            _table(answer),
        ]
        notes = [f"{heard.name}: {heard.note}." for heard in answer.heard if heard.note]
        blocks += [Paragraph(note[0].upper() + note[1:], Tone.QUIET) for note in notes]
    blocks += [Paragraph(refusal, Tone.DOUBT) for refusal in answer.refusals]
    if answer.certified.any():
        blocks.append(Paragraph(certificate(answer), Tone.QUIET))
    return Section(
        anchor=f"knob-{_anchor(answer.ref)}", heading=answer.ref, aside=_aside(answer), blocks=tuple(blocks)
    )


def _anchor(ref: str) -> str:
    return "".join(sign if sign.isascii() and sign.isalnum() else "-" for sign in ref)


def _aside(answer: KnobAnswer) -> str:
    part = f"{print_value(answer.ohms, 'ohm')} {answer.law} {answer.kind}"
    place = f", {answer.role} of the stage: {answer.stage_title.lower()}" if answer.stage_title else ""
    return f"{part}, now at {answer.setting:g}{place}"


def knob_plot(answer: KnobAnswer, heard: Heard) -> Plot:
    """One figure over the turn of a knob, with what a track too small or too large makes of it."""
    factor, unit = SHOWN.get(heard.unit, (1.0, heard.unit))
    lines = [Line(name=heard.name, values=_drawn(heard.values, factor))]
    if heard.tolerance is not None:
        for name, fan in (
            ("track 20 % small", heard.tolerance.smaller),
            ("20 % large", heard.tolerance.larger),
        ):
            along = _beside(answer.dial, heard.values, fan)
            lines.append(Line(name=name, values=_drawn(along, factor), dashed=True))
    return Plot(
        title=heard.name,
        unit=unit,
        frequency_hz=answer.dial,
        lines=tuple(lines),
        quantity=heard.name,
        in_letters=heard is answer.heard[0],
        across=f"{answer.ref}, 0 to 10",
        by_ratio=unit == "Hz",
    )


def _beside(dial: FloatArray, values: FloatArray, fan: FloatArray) -> FloatArray:
    """What is known at 0, 1 ... 10 between those marks, too: as far from the curve as at both sides."""
    marks = np.arange(len(fan))
    with np.errstate(invalid="ignore"):
        apart = fan - np.interp(marks, dial, values)
    return np.asarray(values + np.interp(dial, marks, apart))


def _drawn(values: FloatArray, factor: float) -> FloatArray:
    return np.where(np.isfinite(values), values * factor, np.nan)


def _table(answer: KnobAnswer) -> Table:
    columns = [(heard.name, heard.unit, _at_whole(answer, heard.values)) for heard in answer.heard]
    if answer.heard[0].sort == "delay":
        columns.insert(1, ("beats a minute", "", 60.0 / columns[0][2]))
    shown = columns[:MOST_COLUMNS]
    return Table(
        caption=f"{answer.ref} from 0 to 10",
        columns=("position", *(name for name, _, _ in shown)),
        rows=tuple(
            (f"{turn}", *(said(float(values[turn]), unit) for _, unit, values in shown)) for turn in range(11)
        ),
        figures=tuple(range(1, len(shown) + 1)),
    )


def _at_whole(answer: KnobAnswer, values: FloatArray) -> FloatArray:
    """A figure at 0, 1 ... 10 (11,)."""
    return values[np.searchsorted(answer.dial, np.arange(11) - 1e-9)]
