"""An operational amplifier whose loop comes near to oscillating far above hearing."""

from collections.abc import Iterable

from pedalwright.circuit.part import Part
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import op_amps
from pedalwright.review.rules.signal._loop import (
    CABLE_FARADS,
    INPUT_FARADS,
    OUTPUT_OHMS,
    Margin,
    margins,
)
from pedalwright.review.rules.signal._trials import FOLLOWERS, pedal
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import farads, hz, ohms
from pedalwright.units.preferred import Series, members_between

LOW_DEG, RINGING_DEG = 22.0, 12.0
"""below the first it rings long after every edge; below the second, with a capacitor straight on the output,
it is likely to oscillate (handbook practice asks for 45 degrees; these limits are a house rule, as the
estimate is rough)"""
AIM_DEG = 45.0
"""handbook practice"""
ISOLATING_OHMS = 100.0
SKIPPED = ("comparator", "schmitt-trigger", "relaxation-oscillator", "phase-shift-oscillator")


def look(survey: Survey) -> Iterable[Finding]:
    """Loops with little phase left, and what eats it: the load, or the resistors at the inverting input."""
    busy = {ref for stage in survey.stages_of(*SKIPPED) for ref in stage.refs}
    known = {one.name: part for one, part in op_amps(survey) if one.owner not in busy}
    amplifiers = [one for one, _ in op_amps(survey) if one.name in known]
    for margin in margins(survey, amplifiers):
        if margin.phase_deg < LOW_DEG:
            yield _finding(survey, margin, known[margin.amplifier.name])


def _finding(survey: Survey, margin: Margin, part: Part) -> Finding:
    section, left = margin.amplifier.owner, max(0.0, margin.phase_deg)
    by_load = margin.stiff_deg - margin.phase_deg > 90 - margin.stiff_deg
    reason = "what hangs on its output" if by_load else "the resistors at its inverting input"
    return Finding(
        parts=(part.ref,),
        nets=(margin.amplifier.output if by_load else margin.amplifier.inverting,),
        what=(
            f"{section}'s loop has about {left:.0f} degrees of phase left at {hz(margin.crossing_hz)}, "
            f"because of {reason}: it may ring or oscillate above hearing."
        ),
        evidence=(
            Evidence(
                name="phase margin",
                value=left,
                unit="",
                low=LOW_DEG,
                basis=(
                    f"degrees; estimated with one pole in the amplifier, {farads(INPUT_FARADS)} at its "
                    f"input, {ohms(OUTPUT_OHMS)} behind its output, {farads(CABLE_FARADS)} of cable"
                ),
            ),
            Evidence(name="where the loop's gain is one", value=margin.crossing_hz, unit="Hz"),
        ),
        cure=_isolated(survey, margin) if by_load else _compensated(survey, margin),
        gravity=Gravity.POOR if left < RINGING_DEG and _is_shorted(survey, margin) else None,
    )


def _is_shorted(survey: Survey, margin: Margin) -> bool:
    """A capacitor straight from the output to a net that stands still."""
    net = survey.view.joined[margin.amplifier.output]
    return any(leaf.sort == "C" and survey.classes.is_still(leaf.other(net)) for leaf in survey.view.on(net))


def _compensated(survey: Survey, margin: Margin) -> str:
    """The smallest capacitor across the feedback that gives the loop its phase back."""
    section = margin.amplifier.owner
    for value in members_between(4.7e-12, 470e-12, Series.E6):
        after = margins(survey, [margin.amplifier], across_farads=value)
        if after and after[0].phase_deg >= AIM_DEG:
            return f"Put {farads(value)} from {section}'s output to its inverting input."
        after = margins(survey, [margin.amplifier], across_farads=value, series_ohms=ISOLATING_OHMS)
        if after and after[0].phase_deg >= AIM_DEG:
            return (
                f"Put {farads(value)} from {section}'s output to its inverting input, and "
                f"{ohms(ISOLATING_OHMS)} between its output and what it drives."
            )
    return f"Use smaller resistors around {section}."


def _isolated(survey: Survey, margin: Margin) -> str:
    """The smallest resistor before the load that gives the loop its phase back."""
    section = margin.amplifier.owner
    for value in members_between(10.0, 2200.0, Series.E6):
        after = margins(survey, [margin.amplifier], series_ohms=value)
        if after and after[0].phase_deg >= AIM_DEG:
            return f"Put {ohms(value)} between {section}'s output and the capacitors it drives."
    return f"Take the capacitors off {section}'s output."


HIGH = """
U1a.out > U1a.inv
U1a.out > R3 {ohms} > U1b.inv > R4 {ohms} > U1b.out
U1b.non > VB
"""
LOAD = "U1a.out > C5 10n (film) > gnd\n"
RULE = Rule(
    code="L10",
    name="near-oscillation",
    title="An amplifier is close to oscillating above hearing",
    gravity=Gravity.NOTE,
    why=(
        "Feedback that arrives too late pushes instead of pulling. Large resistors at an inverting input are "
        "late because of the input's own picofarads, and a capacitor straight on an output makes the output "
        "late. The sound then goes rough, or the part gets hot, for no reason that is heard."
    ),
    source="loop gain of the full circuit with one open-loop pole; stray figures from memory",
    look=look,
    speaks=(
        Trial(text=pedal(HIGH.format(ohms="1M")), blames=("U1",), says="inverting input"),
        Trial(text=pedal(FOLLOWERS + LOAD), blames=("U1",), says="output"),
    ),
    quiet=(
        Trial(text=pedal(HIGH.format(ohms="1M")) + "U1b.inv > C6 10p (ceramic) > U1b.out\n"),
        Trial(text=pedal(FOLLOWERS)),
    ),
)
