"""An operational amplifier too slow for the gain asked of it."""

from collections.abc import Iterable

import numpy as np

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.devices.ports import INPUT
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import db, from_source, op_amps, place
from pedalwright.review.rules.signal._trials import gain_of, pedal
from pedalwright.review.survey import Survey
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.stages.wording import hz

NEEDED_HZ, GUITAR_HZ = 10e3, 5e3
"""the top of what a guitar amplifier passes, and where most of it ends (common practice, no source)"""
HALF_POWER_DB = 3.0
UNHINDERED_HZ = 1e12
TRIED = tuple(float(hertz) for hertz in np.geomspace(1e6, 1e9, 31))


def look(survey: Survey) -> Iterable[Finding]:
    """The level at an amplifier's output with its own gain-bandwidth product against that without one."""
    for amplifier, part in op_amps(survey):
        if amplifier.gain_bandwidth_hz is None:
            continue
        losses = _losses(survey, amplifier, amplifier.gain_bandwidth_hz)
        if losses[0] > HALF_POWER_DB:
            yield _finding(survey, amplifier, part, losses)


def _losses(survey: Survey, amplifier: ClippingAmplifier, bandwidth_hz: float) -> tuple[float, float]:
    """Decibels lost at 10 and at 5 kHz through an amplifier's finite bandwidth."""
    band, name = survey.band, f"{amplifier.name}/bandwidth"
    at, row = [place(band, NEEDED_HZ), place(band, GUITAR_HZ)], band.row(amplifier.output)
    column = band.small.system.branches[INPUT]
    free = ChangedTable(band, {name: UNHINDERED_HZ}).at([row], [column])[at, 0, 0]
    own = from_source(survey)[at, row]
    if bandwidth_hz != amplifier.gain_bandwidth_hz:
        own = ChangedTable(band, {name: bandwidth_hz}).at([row], [column])[at, 0, 0]
    ratio = np.abs(free) / np.maximum(np.abs(own), 1e-15)
    return db(float(ratio[0])), db(float(ratio[1]))


def _finding(
    survey: Survey, amplifier: ClippingAmplifier, part: Part, losses: tuple[float, float]
) -> Finding:
    own = amplifier.gain_bandwidth_hz or 0.0
    enough = next((one for one in TRIED if _losses(survey, amplifier, one)[0] < 1.0), TRIED[-1])
    return Finding(
        parts=(part.ref,),
        nets=(amplifier.output,),
        what=(
            f"{amplifier.owner} loses {losses[0]:.1f} dB at {hz(NEEDED_HZ)} and {losses[1]:.1f} dB at "
            f"{hz(GUITAR_HZ)} because {part.type or 'it'} has only {hz(own)} of gain times bandwidth."
        ),
        evidence=(
            Evidence(
                name="loss at 10 kHz through the amplifier's bandwidth",
                value=losses[0],
                unit="dB",
                high=HALF_POWER_DB,
                basis="the same circuit with an amplifier without that limit",
            ),
            Evidence(name="gain-bandwidth product", value=own, unit="Hz", low=enough),
        ),
        cure=(f"Take a type with {hz(enough)} or more, or share the gain between two stages."),
        gravity=Gravity.POOR if losses[1] > 2 * HALF_POWER_DB else None,
    )


RULE = Rule(
    code="L08",
    name="bandwidth-short",
    title="An amplifier is too slow for its gain",
    gravity=Gravity.NOTE,
    why=(
        "An operational amplifier's gain falls in step with frequency: gain times bandwidth is a fixed "
        "figure. Asked for a gain of 1000, a part of 1 MHz has 1 kHz of treble left."
    ),
    source="gain-bandwidth products from data sheets; the loss is measured on the full circuit",
    look=look,
    speaks=(Trial(text=pedal(gain_of("1M", "1k"), chip="LM358"), blames=("U1",)),),
    quiet=(
        Trial(text=pedal(gain_of("10k"), chip="LM358")),
        Trial(text=pedal(gain_of("100k", "1k"), chip="NE5532")),
    ),
)
