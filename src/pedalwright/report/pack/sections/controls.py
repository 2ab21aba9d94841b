"""Section 12: what every knob does from 0 to 10, and settings to begin with."""

from collections.abc import Iterable

from pedalwright.analysis.knob_records import KnobAnswer
from pedalwright.report.blocks import Block, Paragraph, Section, Table, Tone
from pedalwright.report.knobs_sentences import said
from pedalwright.report.pack.dials import numbered
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.report.pack.settings import suggested


def build(dossier: Dossier) -> Chapter:
    """The settings of the text, then a section a knob; trims have a section of their own elsewhere."""
    answers = [answer for answer in dossier.knobs if answer.kind == "knob"]
    if not answers:
        return chapter()
    return chapter(
        _settings(dossier, answers),
        [*_suggested(dossier), *(numbered(answer, place) for place, answer in enumerate(answers, start=1))],
    )


def _suggested(dossier: Dossier) -> Iterable[Section]:
    found = suggested(dossier)
    if not found:
        return
    rows = tuple(
        (one.name, ", ".join(f"{ref} {turn:g}" for ref, turn in one.turns.items()), one.gives)
        for one in found
    )
    table = Table(caption="Computed for this circuit", columns=("for", "set", "gives"), rows=rows)
    note = Paragraph("Knobs that are not named stay where the table above has them.", Tone.QUIET)
    yield Section(anchor="controls-try", heading="Settings to try", blocks=(table, note))


def _settings(dossier: Dossier, answers: list[KnobAnswer]) -> Iterable[Block]:
    rows = tuple(
        (answer.ref, f"{answer.setting:g}", _now(answer)) for answer in answers if answer.heard
    ) + tuple((part.ref, str(part.setting), "") for part in dossier.circuit.switches)
    yield Paragraph("Settings to begin with: the ones this document is computed for.")
    yield Table(caption="Where the knobs stand", columns=("control", "at", "gives"), rows=rows, figures=(1,))
    yield Paragraph(
        "Positions count from 0, fully to the left, to 10, fully to the right. Each knob is told with the "
        "others where this table has them. In this section levels are against the source's own voltage, "
        "before the pedal loads it.",
        Tone.QUIET,
    )


def _now(answer: KnobAnswer) -> str:
    from numpy import interp

    heard = answer.heard[0]
    return f"{heard.name} {said(float(interp(answer.setting, answer.dial, heard.values)), heard.unit)}"


SECTION = PackSection(name="controls", place=12, heading="Controls", build=build)
