"""A source too weak for the chip's input filter."""

from collections.abc import Iterable

import numpy as np

from pedalwright.analysis.impedances import input_ohms
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import MIDDLE_HZ, Chip, chips, from_jack, level_db
from pedalwright.review.rules.echo_chip._trial import echo
from pedalwright.review.survey import Survey
from pedalwright.stages.stage import Stage
from pedalwright.stages.wording import ohms

SHARE = 0.5
"""of what the filter presents: with more behind the source more than 3.5 dB are lost (house rule)"""
FAINT_DB = -40.0
"""an input of the filter at which the guitar is weaker brings something else than the guitar"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every chip's input filter at the input the guitar comes by."""
    if survey.circuit.input is None:
        return
    for chip in chips(survey):
        for stage in survey.stages:
            if stage.output == chip.net("15") and stage.inputs:
                yield from _of_stage(survey, chip, stage)


def _of_stage(survey: Survey, chip: Chip, stage: Stage) -> Iterable[Finding]:
    known = [net for net in stage.inputs if survey.band.knows(net)]
    levels = {net: level_db(survey, from_jack(survey, net), MIDDLE_HZ) for net in known}
    net = max(known, key=lambda one: levels[one], default="")
    if not net or levels[net] < FAINT_DB:
        return
    band = survey.band
    place = int(np.argmin(np.abs(band.frequency_hz - MIDDLE_HZ)))
    own = {ref for ref in stage.refs if ref in survey.circuit.by_ref}
    presented = input_ohms(band, net, own)
    whole = float(abs(band.impedance(net)[place]))
    if presented is None or not 0 < whole < presented:
        return
    # Sizes alone: what is left beside the filter, a little too small where the two differ in phase.
    behind = 1.0 / (1.0 / whole - 1.0 / presented)
    if behind <= SHARE * presented:
        return
    lost = 20 * np.log10(1 + behind / presented)
    yield Finding(
        parts=(*sorted(ref for ref in own if survey.circuit.by_ref[ref].kind == "resistor")[:1], chip.ref),
        what=(
            f"What feeds the input filter of {chip.ref} has {ohms(behind)} behind it, the filter presents "
            f"{ohms(presented)}: {lost:.1f} dB are lost, and the filter's corner moves."
        ),
        evidence=(
            Evidence(name="behind the source, at 1 kHz", value=behind, unit="ohm", high=SHARE * presented),
            Evidence(name="presented by the filter", value=presented, unit="ohm"),
        ),
        cure="Put a buffer in front of it: an op-amp or a transistor as follower.",
    )


RULE = Rule(
    code="E22",
    name="chip-input-source",
    title="The chip's input filter wants a buffer in front",
    gravity=Gravity.POOR,
    why=(
        "The filter around pins 15 and 16 presents some 15 to 70 kohm. A guitar straight on it loses level "
        "and treble; one builder found that without a buffer nothing worked at all."
    ),
    source="common practice; one builder's record of an unbuffered feed, 2009; limit: house rule",
    look=look,
    speaks=(Trial(text=echo(("input IN buffered", "input IN pickup")), blames=("U1",)),),
    quiet=(Trial(text=echo()),),
)
