"""A knob's or trimmer's section with an anchor of its own."""

from dataclasses import replace

from pedalwright.analysis.knob_records import KnobAnswer
from pedalwright.report.blocks import Section
from pedalwright.report.knobs_document import knob_section


def numbered(answer: KnobAnswer, place: int) -> Section:
    """A knob's section, its anchor by its place: names may be alike but for signs an anchor cannot hold."""
    return replace(knob_section(answer), anchor=f"{answer.kind}-{place}")
