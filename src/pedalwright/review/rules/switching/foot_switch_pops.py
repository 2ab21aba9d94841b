"""A pull-down that is too large for what leaks onto the jack."""

from collections.abc import Iterable

from pedalwright.analysis.switching.pop import Pop
from pedalwright.circuit.part import Part
from pedalwright.circuit.span import Span
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
    stands = pop.output_v if net == output.net else pop.input_v
    if abs(survey.rest.volts(net)) > abs(stands) / 2 and _is_direct(survey, net):
        yield _standing(pop, net, stands, _port_span(survey, net))
        return
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


def _is_direct(survey: Survey, net: str) -> bool:
    """An amplifier or transistor lies on the jack, or behind a resistor there, with no capacitor between."""
    view, here = survey.view, survey.view.joined[net]
    behind = [leaf.other(here) for leaf in view.on(here) if leaf.sort == "R"]
    near = (here, *(far for far in behind if not survey.classes.is_still(far)))
    return any(view.active_pins.get(one) for one in near)


def _port_span(survey: Survey, net: str) -> tuple[Span, ...]:
    ports = (survey.circuit.output, survey.circuit.input)
    return tuple(port.span for port in ports if port is not None and port.net == net)[:1]


def _standing(pop: Pop, net: str, stands: float, spans: tuple[Span, ...]) -> Finding:
    """No leak: a voltage that an amplifier rests at, and that nothing keeps off the jack."""
    return Finding(
        nets=(net,),
        spans=spans,
        what=(
            f"{volts(abs(stands))} stand on {net} at rest, and no capacitor keeps them off: switching in "
            f"pops by {volts(pop.peak_v)}."
        ),
        evidence=(
            told_level(pop),
            Evidence(name=f"voltage on {net}", value=stands, unit="V"),
            Evidence(name="peak of the click", value=pop.peak_v, unit="V"),
        ),
        cure=(
            f"Put a capacitor of 10 µF in series with {net}, plus to the higher side, and 100 kΩ from the "
            "jack to ground."
        ),
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


DIRECT = """
supply VP 9V wall
supply VN -9V wall
input IN line
output OUT 10k
part U1 opamp NE5534 v+=VP v-=VN
IN > R1 100k > gnd
IN > C1 1u (film) > U1.non > R2 100k > gnd
U1.out > R3 10k > U1.inv > R4 10k > C2 10u (film) > gnd
U1.out > R5 100 > OUT
"""

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
        Trial(text=DIRECT, blames=("OUT",), says="no capacitor"),
        Trial(text=pedal(PULLED_IN, PULLED_OUT.replace("10k", "1M"), capacitor=LEAKY), blames=("R9", "C9")),
    ),
    quiet=(
        Trial(text=DIRECT.replace("R5 100 > OUT", "R5 100 > C3 10u (film) > OUT > R6 100k > gnd")),
        Trial(text=pedal(PULLED_IN, PULLED_OUT, capacitor=LEAKY)),
        Trial(text=pedal(PULLED_IN, PULLED_OUT.replace("10k", "1M"))),
    ),
)
