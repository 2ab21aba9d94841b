"""Section 11: the trimmers, in order, each with where to begin, what to reach, and what it moves."""

import numpy as np

from pedalwright.analysis.knob_records import Heard, KnobAnswer
from pedalwright.report.blocks import Paragraph, Steps, Tone
from pedalwright.report.knobs_sentences import said
from pedalwright.report.pack.dials import numbered
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.stages.wording import listed

MOST_PLACES = 3


def build(dossier: Dossier) -> Chapter:
    """Nothing for a circuit without trimmers."""
    answers = [answer for answer in dossier.knobs if answer.kind == "trim"]
    if not answers:
        return chapter()
    before = Paragraph(
        "Set each trimmer to its place before the first switch-on, then turn it slowly while you measure "
        "or listen, in this order."
    )
    after = Paragraph(
        "The targets are those of the circuit as written, at the supply as written; what parts do to them "
        "stands under the expected voltages. Without a meter leave each trimmer at its place.",
        Tone.QUIET,
    )
    return chapter(
        [before, Steps(tuple(_step(dossier, answer) for answer in answers)), after],
        [numbered(answer, place) for place, answer in enumerate(answers, start=1)],
    )


def _step(dossier: Dossier, answer: KnobAnswer) -> str:
    """Where to begin, what the meter should read there, and what is then heard."""
    told = [f"Set {answer.ref} to {answer.setting:g}."]
    rest = next((one for one in answer.heard if one.sort == "bias"), None)
    places = _places(dossier, answer.ref)
    if not places and rest is not None:
        places = [f"the {rest.name.removeprefix('the ')} is {_now(answer, rest)}"]
    if places:
        told.append(f"With a meter, turn it until {listed(places)}.")
    heard = next((one for one in answer.heard if one.sort != "bias"), None)
    if heard is not None:
        told.append(f"By ear: the {heard.name.removeprefix('the ')} is then {_now(answer, heard)}.")
    return " ".join(told)


def _places(dossier: Dossier, ref: str) -> list[str]:
    """The places that it moves, with their readings as it stands; the one that moves most first."""
    if not dossier.circuit.supplies:
        return []
    found = [
        (move.high_v - move.low_v, row)
        for row in dossier.voltages.rows
        for move in row.expected.knobs
        if move.knob == ref and row.expected.typical_v is not None and row.expected.swing_v is None
    ]
    chosen = [row for _, row in sorted(found, key=lambda pair: -pair[0])[:MOST_PLACES]]
    return [f"{row.place.key} reads {row.expected.typical_v:.2f} V" for row in chosen]


def _now(answer: KnobAnswer, heard: Heard) -> str:
    return said(float(np.interp(answer.setting, answer.dial, heard.values)), heard.unit)


SECTION = PackSection(name="setting-up", place=11, heading="Setting up", build=build)
