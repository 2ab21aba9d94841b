"""A response, or an impedance, as a document, as JSON, and as CSV."""

import csv
from io import StringIO
from typing import Any

import numpy as np

from pedalwright.analysis.response_table import ImpedanceTable, ResponseTable
from pedalwright.report.blocks import (
    Block,
    Document,
    Facts,
    Line,
    Paragraph,
    Plot,
    Plots,
    Points,
    Section,
    Table,
    Tone,
)
from pedalwright.report.figures import figure
from pedalwright.report.identity import fingerprint, title_of
from pedalwright.report.plain_data import json_text, number, numbers
from pedalwright.report.walk_json import certified_data
from pedalwright.report.walk_sentences import certificate_sentence

SCHEMA = "pedalwright.response/1"
MOST_ROWS = 25
"""rows of a table for reading; JSON and CSV have them all"""
Answer = ResponseTable | ImpedanceTable


def response_document(title: str, answers: tuple[Answer, ...], text_sha256: str) -> Document:
    """Every answer as a section of one page."""
    return Document(
        title=title_of(title),
        sections=tuple(answer_section(answer, f"answer-{place}") for place, answer in enumerate(answers, 1)),
        closing=fingerprint(text_sha256),
    )


def answer_section(answer: Answer, anchor: str) -> Section:
    """One answer: what was asked, the plot, the corners, the table, the certificate."""
    blocks: list[Block] = [Paragraph(_asked(answer)), Plots(plots(answer))]
    if facts := _facts(answer):
        blocks.append(Facts(facts))
    blocks.append(_table(answer))
    blocks += [Paragraph(note, Tone.QUIET) for note in answer.notes]
    blocks.append(Points((certificate_sentence(answer.certified),)))
    return Section(anchor=anchor, heading=heading(answer), blocks=tuple(blocks))


def heading(answer: Answer) -> str:
    """What the answer is about."""
    if isinstance(answer, ImpedanceTable):
        return f"Impedance at {answer.net}"
    return f"From {answer.from_net} to {answer.to_net}"


def _asked(answer: Answer) -> str:
    if isinstance(answer, ResponseTable):
        ratio = f"Voltage at {answer.to_net} over voltage at {answer.from_net}"
        return f"{ratio}, both driven by {answer.driven_by}."
    without = f", {answer.lifted} taken out" if answer.lifted else ", everything attached"
    return f"Looking into {answer.net} against ground{without}."


def plots(answer: Answer) -> tuple[Plot, ...]:
    """Level and phase, or magnitude and phase."""
    if isinstance(answer, ResponseTable):
        level = Line(name="level", values=answer.level_db)
        phase = Line(name="phase", values=answer.phase_deg)
        first = Plot(
            title=heading(answer),
            unit="dB",
            frequency_hz=answer.frequency_hz,
            lines=(level,),
            in_letters=True,
        )
    else:
        decades = Line(name="impedance", values=20 * np.log10(np.abs(answer.impedance_ohms)))
        phase = Line(name="phase", values=np.degrees(np.angle(answer.impedance_ohms)))
        first = Plot(
            title=f"{heading(answer)}, in decibels above 1 Ω (60 dB is 1 kΩ)",
            unit="dB",
            frequency_hz=answer.frequency_hz,
            lines=(decades,),
            quantity="impedance",
            in_letters=True,
        )
    turn = Plot(title="phase", unit="°", frequency_hz=answer.frequency_hz, lines=(phase,), quantity="phase")
    return first, turn


def _facts(answer: Answer) -> tuple[tuple[str, str], ...]:
    if isinstance(answer, ImpedanceTable) or answer.corners is None:
        return ()
    corners = answer.corners
    return (
        (f"highest level, at {figure(corners.reference_hz, 'Hz')}", figure(corners.reference_db, "dB")),
        ("3 dB less, below", figure(corners.low_hz, "Hz") if corners.low_hz else "below the band"),
        ("3 dB less, above", figure(corners.high_hz, "Hz") if corners.high_hz else "above the band"),
    )


def _table(answer: Answer) -> Table:
    shown = np.unique(np.linspace(0, len(answer.frequency_hz) - 1, MOST_ROWS).round().astype(int))
    first = "level" if isinstance(answer, ResponseTable) else "impedance"
    return Table(
        caption=heading(answer),
        columns=("frequency", first, "phase"),
        rows=tuple(_row(answer, int(place)) for place in shown),
        figures=(1, 2),
    )


def _row(answer: Answer, place: int) -> tuple[str, ...]:
    at = figure(float(answer.frequency_hz[place]), "Hz")
    if isinstance(answer, ResponseTable):
        level = float(answer.level_db[place])
        if not np.isfinite(level):
            return at, "nothing", "-"
        return at, figure(level, "dB"), f"{answer.phase_deg[place]:.0f}°"
    ohms = complex(answer.impedance_ohms[place])
    return at, figure(abs(ohms), "ohm"), f"{np.degrees(np.angle(ohms)):.0f}°"


def response_json(title: str, answers: tuple[Answer, ...], text_sha256: str, settings: dict[str, str]) -> str:
    """The JSON text, schema ``pedalwright.response/1``."""
    return json_text(
        {
            "schema": SCHEMA,
            "title": title,
            "text_sha256": text_sha256,
            "settings": settings,
            "responses": [_response_data(one) for one in answers if isinstance(one, ResponseTable)],
            "impedances": [_impedance_data(one) for one in answers if isinstance(one, ImpedanceTable)],
        }
    )


def _response_data(answer: ResponseTable) -> dict[str, Any]:
    corners = answer.corners
    return {
        "from": answer.from_net,
        "to": answer.to_net,
        "driven_by": answer.driven_by,
        "reference_hz": number(corners.reference_hz) if corners else None,
        "reference_db": number(corners.reference_db) if corners else None,
        "low_corner_hz": number(corners.low_hz) if corners else None,
        "high_corner_hz": number(corners.high_hz) if corners else None,
        "frequency_hz": numbers(answer.frequency_hz),
        "level_db": numbers(answer.level_db),
        "phase_deg": numbers(answer.phase_deg),
        "certificate": certified_data(answer.certified),
        "notes": list(answer.notes),
    }


def _impedance_data(answer: ImpedanceTable) -> dict[str, Any]:
    return {
        "net": answer.net,
        "taken_out": answer.lifted or None,
        "frequency_hz": numbers(answer.frequency_hz),
        "resistance_ohms": numbers(answer.impedance_ohms.real),
        "reactance_ohms": numbers(answer.impedance_ohms.imag),
        "certificate": certified_data(answer.certified),
        "notes": list(answer.notes),
    }


def response_csv(answers: tuple[Answer, ...]) -> str:
    """Every answer as columns of one table: frequency first, then level and phase, or resistance and
    reactance.
    """
    heads, columns = ["frequency_hz"], [answers[0].frequency_hz]
    for answer in answers:
        if isinstance(answer, ResponseTable):
            way = f"{answer.from_net} to {answer.to_net}"
            heads += [f"level_db {way}", f"phase_deg {way}"]
            columns += [answer.level_db, answer.phase_deg]
        else:
            heads += [f"resistance_ohms {answer.net}", f"reactance_ohms {answer.net}"]
            columns += [answer.impedance_ohms.real, answer.impedance_ohms.imag]
    stream = StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(heads)
    for row in zip(*columns, strict=True):
        writer.writerow(["" if (cell := number(float(value))) is None else f"{cell!r}" for value in row])
    return stream.getvalue()
