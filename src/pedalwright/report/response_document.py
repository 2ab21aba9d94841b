"""A response, or an impedance, as a document, as JSON, and as CSV."""

import csv
from io import StringIO
from typing import Any

import numpy as np

from pedalwright.analysis.response_band.records import LevelBand
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
    Shade,
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
    """Level with its band and phase, or magnitude and phase."""
    first = level_plot(answer) if isinstance(answer, ResponseTable) else impedance_plot(answer)
    degrees = (
        answer.phase_deg if isinstance(answer, ResponseTable) else np.degrees(np.angle(answer.impedance_ohms))
    )
    turn = Plot(
        title="phase",
        unit="°",
        frequency_hz=answer.frequency_hz,
        lines=(Line(name="phase", values=degrees),),
        quantity="phase",
    )
    return first, turn


def level_plot(answer: ResponseTable) -> Plot:
    """Level over frequency, with its band where there is one."""
    band = answer.band
    return Plot(
        title=heading(answer),
        unit="dB",
        frequency_hz=answer.frequency_hz,
        lines=(Line(name="as written", values=answer.level_db),),
        in_letters=True,
        shades=() if band is None else (Shade(name=band.name, low=band.low_db, high=band.high_db),),
    )


def impedance_plot(answer: ImpedanceTable) -> Plot:
    """The magnitude of an impedance over frequency, both over decades."""
    return Plot(
        title=heading(answer),
        unit="Ω",
        frequency_hz=answer.frequency_hz,
        lines=(Line(name="impedance", values=np.abs(answer.impedance_ohms)),),
        quantity="impedance",
        in_letters=True,
        by_ratio=True,
    )


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
    first: tuple[str, ...] = ("level",) if isinstance(answer, ResponseTable) else ("impedance",)
    if isinstance(answer, ResponseTable) and answer.band is not None:
        first = ("level", "5 % below", "95 % below")
    return Table(
        caption=heading(answer),
        columns=("frequency", *first, "phase"),
        rows=tuple(_row(answer, int(place)) for place in shown),
        figures=tuple(range(1, len(first) + 2)),
    )


def _row(answer: Answer, place: int) -> tuple[str, ...]:
    at = figure(float(answer.frequency_hz[place]), "Hz")
    if isinstance(answer, ImpedanceTable):
        ohms = complex(answer.impedance_ohms[place])
        return at, figure(abs(ohms), "ohm"), f"{np.degrees(np.angle(ohms)):.0f}°"
    levels = [answer.level_db]
    if answer.band is not None:
        levels += [answer.band.low_db, answer.band.high_db]
    heard = bool(np.isfinite(answer.level_db[place]))
    phase = f"{answer.phase_deg[place]:.0f}°" if heard else "-"
    return at, *(_level(float(level[place])) for level in levels), phase


def _level(level_db: float) -> str:
    return figure(level_db, "dB") if np.isfinite(level_db) else "nothing"


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
        "band": _band_data(answer.band),
        "certificate": certified_data(answer.certified),
        "notes": list(answer.notes),
    }


def _band_data(band: LevelBand | None) -> dict[str, Any] | None:
    if band is None:
        return None
    return {
        "builds": band.builds,
        "certified": band.certified,
        "seed": band.seed,
        "low_db": numbers(band.low_db),
        "median_db": numbers(band.median_db),
        "high_db": numbers(band.high_db),
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
    """Every answer as columns of one table: frequency first, then level, phase and the band where there is
    one, or resistance and reactance.
    """
    heads, columns = ["frequency_hz"], [answers[0].frequency_hz]
    for answer in answers:
        if isinstance(answer, ResponseTable):
            way = f"{answer.from_net} to {answer.to_net}"
            heads += [f"level_db {way}", f"phase_deg {way}"]
            columns += [answer.level_db, answer.phase_deg]
            if answer.band is not None:
                heads += [f"{end}_db {way}" for end in ("low", "median", "high")]
                columns += [answer.band.low_db, answer.band.median_db, answer.band.high_db]
        else:
            heads += [f"resistance_ohms {answer.net}", f"reactance_ohms {answer.net}"]
            columns += [answer.impedance_ohms.real, answer.impedance_ohms.imag]
    stream = StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(heads)
    for row in zip(*columns, strict=True):
        writer.writerow(["" if (cell := number(float(value))) is None else f"{cell!r}" for value in row])
    return stream.getvalue()
