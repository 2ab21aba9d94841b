"""A pull-down that is too large for what leaks onto the jack."""

from collections.abc import Iterable

from pedalwright.analysis.switching.pop import Pop
from pedalwright.circuit.part import Part
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.switching._costs import input_loss_db, output_loss_db
from pedalwright.review.rules.switching._pops import (
    LOUD_DB,
    SPOKEN_DB,
    STANDS_V,
    capacitor_on,
    pop_at_the_switch,
    pull_down_on,
    quieting_ohms,
    told_level,
)
from pedalwright.review.rules.switching._trials import LEAKY, PULLED_IN, PULLED_OUT, pedal
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named, ohms, volts


def look(survey: Survey) -> Iterable[Finding]:
    """A click that is heard although both jacks are pulled down."""
    pop, output = pop_at_the_switch(survey), survey.circuit.output
    if pop is None or output is None or pop.level_db <= SPOKEN_DB:
        return
    if max(abs(pop.input_v), abs(pop.output_v)) >= STANDS_V:
        return
    net = output.net
    if survey.circuit.input is not None and abs(pop.output_v) < 0.3 * pop.peak_v:
        net = survey.circuit.input.net
    pull, capacitor = pull_down_on(survey, net), capacitor_on(survey, net)
    parts = tuple(part.ref for part in (pull, capacitor) if part is not None)
    cure, changes = _cure(survey, net, pull)
    yield Finding(
        parts=parts,
        nets=(net,),
        what=_what(survey, pop, net, capacitor),
        evidence=(
            told_level(pop),
            Evidence(name="voltage on the open output", value=pop.output_v, unit="V"),
            Evidence(name="voltage on the open input", value=pop.input_v, unit="V"),
            Evidence(name="peak of the click", value=pop.peak_v, unit="V"),
        ),
        cure=cure,
        changes=changes,
        gravity=Gravity.POOR if pop.level_db > LOUD_DB else None,
    )


def _what(survey: Survey, pop: Pop, net: str, capacitor: Part | None) -> str:
    source = survey.circuit.input
    at_input = source is not None and net == source.net
    stands = pop.input_v if at_input else pop.output_v
    word = "input" if at_input else "output"
    lead = f"{named(survey.bench, capacitor.ref)} leaks" if capacitor else "Something leaks"
    side = "below" if pop.level_db < 0 else "above"
    return (
        f"{lead} {volts(abs(stands))} onto the open {word}: switching in pops by {volts(pop.peak_v)}, "
        f"{abs(pop.level_db):.0f} dB {side} playing."
    )


def _cure(survey: Survey, net: str, pull: Part | None) -> tuple[str, tuple[Change, ...]]:
    source = survey.circuit.input
    costs = input_loss_db if source is not None and net == source.net else output_loss_db
    own = pull.value if pull is not None and pull.value else 0.0
    value = quieting_ohms(survey, net, instead_of=own, costs=lambda load: costs(survey, load))
    if value is None:
        return "Use a film capacitor there: it leaks a hundred times less.", ()
    if pull is None:
        return f"Put {ohms(value)} from {net} to ground.", ()
    words = (
        f"{named(survey.bench, pull.ref)} of {ohms(value)} makes it a faint tick and costs next to nothing."
    )
    return words, (Change(ref=pull.ref, value=value),)


RULE = Rule(
    code="P03",
    name="foot-switch-pops",
    title="The foot switch pops",
    gravity=Gravity.NOTE,
    why=(
        "What a coupling capacitor leaks and the pull-down resistor make a divider: the larger the resistor, "
        "the more stands on the open jack. The edge is what is heard, however slowly it dies away."
    ),
    source="charge kept on the linearised network; leakage from memory; classes are a house rule",
    look=look,
    speaks=(
        Trial(text=pedal(PULLED_IN, PULLED_OUT.replace("10k", "1M"), capacitor=LEAKY), blames=("R9", "C9")),
    ),
    quiet=(
        Trial(text=pedal(PULLED_IN, PULLED_OUT, capacitor=LEAKY)),
        Trial(text=pedal(PULLED_IN, PULLED_OUT.replace("10k", "1M"))),
    ),
)
