"""A slow oscillator that does not swing: nothing in it grows."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.nets._growing import growing_modes
from pedalwright.review.survey import Survey
from pedalwright.stages.stage import Stage


def look(survey: Survey) -> Iterable[Finding]:
    """Recognised oscillators in a circuit without a growing mode."""
    found = _oscillators(survey)
    if not found or growing_modes(survey):
        return
    parts = tuple(dict.fromkeys(role.ref for stage in found for role in stage.roles))
    yield Finding(
        parts=parts,
        what=f"The oscillator around {parts[0]} does not start: whatever swings in it dies away.",
        evidence=(
            Evidence(
                name="modes that grow",
                value=0.0,
                unit="",
                low=1.0,
                basis="poles with positive real part at rest, knobs as they stand",
            ),
        ),
        cure="Give its amplifier more gain, or check the values around it against each other.",
    )


def _oscillators(survey: Survey) -> tuple[Stage, ...]:
    """Oscillators of one amplifier; a trigger counts with the integrator it is looped with."""
    alone = survey.stages_of("phase-shift-oscillator", "relaxation-oscillator")
    triggers, integrators = survey.stages_of("schmitt-trigger"), survey.stages_of("integrator")
    looped = tuple(
        stage
        for trigger in triggers
        for integrator in integrators
        if trigger.output in integrator.inputs and integrator.output in trigger.inputs
        for stage in (trigger, integrator)
    )
    return alone + looped


SPEAKING = """
supply VL 9V wall
part Q1 npn 2N5088
VL > R11 10k > Q1.c
Q1.e > R15 2k2 > gnd
Q1.c > R12 3M3 > Q1.b
Q1.c > C9 680n > STEP1 > C10 680n > STEP2 > C11 680n > Q1.b
STEP1 > R13 10k > gnd
STEP2 > R14 10k > gnd
"""

RULE = Rule(
    code="N07",
    name="oscillator-stands",
    title="An oscillator does not start",
    gravity=Gravity.DEAD,
    why=(
        "An oscillator must return more than it takes, or every swing is smaller than the one before. "
        "Where the gain is short, it stands still from the first moment."
    ),
    source="poles at rest: without a positive real part nothing grows (theory of linear systems)",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("Q1",)),),
    quiet=(Trial(text=SPEAKING.replace("Q1.e > R15 2k2 > gnd", "Q1.e > gnd")),),
)
