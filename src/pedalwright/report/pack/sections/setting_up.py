"""Section 11: the trimmers, in order, each with where to begin and what it moves."""

from pedalwright.report.blocks import Paragraph, Steps
from pedalwright.report.knobs_sentences import opening
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.report.pack.sections.controls import numbered


def build(dossier: Dossier) -> Chapter:
    """Nothing for a circuit without trimmers."""
    answers = [answer for answer in dossier.knobs if answer.kind == "trim"]
    if not answers:
        return chapter()
    steps = tuple(
        f"Set {answer.ref} to {answer.setting:g}"
        + (f". {opening(answer, answer.heard[0])}" if answer.heard else ".")
        for answer in answers
    )
    before = Paragraph(
        "Set each trimmer to its place before the first switch-on, then turn it slowly while you measure "
        "or listen."
    )
    return chapter(
        [before, Steps(steps)], [numbered(answer, place) for place, answer in enumerate(answers, start=1)]
    )


SECTION = PackSection(name="setting-up", place=11, heading="Setting up", build=build)
