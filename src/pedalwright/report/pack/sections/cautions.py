"""Section 15b: what a seller should look up: the clocks inside, and why no verdict is given."""

from collections.abc import Iterable

from pedalwright.analysis.echo_records import EchoAnswers
from pedalwright.echo.delay_law import clock_hz
from pedalwright.report.blocks import Block, Paragraph, Points, Table
from pedalwright.report.figures import figure
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter

DIGITAL_FROM_HZ = 9e3
"""above this rate of pulses rules on emissions speak of a digital device (47 CFR 15.3 (k); from memory)"""


def build(dossier: Dossier) -> Chapter:
    """The clock list and the advice to ask those who know."""
    return chapter([*_clocks(dossier.echo), Points(tuple(_advice()))])


def _clocks(echo: EchoAnswers | None) -> Iterable[Block]:
    rows = tuple(_rows(echo)) if echo is not None else ()
    if not rows:
        yield Paragraph("No clock faster than the slow oscillators of the circuit was found in the text.")
        return
    yield Paragraph(
        "These clocks run inside. Rules on radio emissions speak of digital devices from 9 kHz on; whether "
        "and how they apply to what you sell is for the law of the place to say, not for this page."
    )
    yield Table(
        caption="Clocks",
        columns=("part", "now", "slowest", "fastest"),
        rows=rows,
        figures=(1, 2, 3),
    )


def _rows(echo: EchoAnswers) -> Iterable[tuple[str, ...]]:
    for chip in echo.chips:
        state = chip.state
        ends = [
            float(delay)
            for knob in echo.time_knobs
            if knob.chip == state.ref
            for delay in knob.delay_s[[0, -1]]
            if delay == delay
        ] or [state.delay_s]
        slow, fast = (float(clock_hz(delay)) for delay in (max(ends), min(ends)))
        yield state.ref, figure(state.clock_hz, "Hz"), figure(slow, "Hz"), figure(fast, "Hz")


def _advice() -> Iterable[str]:
    yield (
        "This document gives no verdict on safety, emissions or materials. Before you sell, ask a test "
        "laboratory or someone licensed where you live."
    )
    yield "Say on the pedal what supply it takes: voltage, polarity, current."
    yield "Declare what is in it (solder with or without lead, battery) from the papers of what you bought."


SECTION = PackSection(name="cautions", place=15.5, heading="Before you sell one", build=build)
