"""A capacitor behind an open switch contact that nothing keeps at its working voltage."""

from collections.abc import Iterable

from pedalwright.analysis.switching.weighting import FAINT_DB
from pedalwright.circuit.part import Part
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.switching._pops import LOUD_DB, told_level
from pedalwright.review.rules.switching._throws import Throw, stranded, throws
from pedalwright.review.rules.switching._trials import PULLED_OUT, SUPPLY
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named
from pedalwright.units.values import print_value

KEEPER = "1 MΩ"
GROUNDED_V = 0.05


def look(survey: Survey) -> Iterable[Finding]:
    """Open contacts that no direct current reaches, with a capacitor on them and a click when they close."""
    seen: set[str] = set()
    for throw in throws(survey):
        capacitor = stranded(survey, throw)
        if capacitor is None or capacitor.ref in seen or throw.pop.level_db <= FAINT_DB:
            continue
        seen.add(capacitor.ref)
        pop = throw.pop
        yield Finding(
            parts=(capacitor.ref, throw.switch.ref),
            what=(
                f"Nothing keeps {named(survey.bench, capacitor.ref)} charged while {throw.switch.ref} "
                "leaves it open: when it is joined again the output jumps by "
                f"{print_value(pop.peak_v, 'V')}."
            ),
            evidence=(
                told_level(pop),
                Evidence(name="peak of the click", value=pop.peak_v, unit="V", basis=throw.pose.says),
            ),
            cure=_cure(survey, throw, capacitor),
            gravity=Gravity.POOR if pop.level_db > LOUD_DB else None,
        )


def _cure(survey: Survey, throw: Throw, capacitor: Part) -> str:
    """A large resistor that holds the open end where it rests when it is joined."""
    open_, joined = throw.pose.analysis.rest, survey.rest
    if set(joined.floating) & set(capacitor.nets):
        open_, joined = joined, open_
    net = next(net for net in capacitor.nets if net in open_.floating)
    if net not in joined.floating and abs(joined.volts(net)) < GROUNDED_V:
        return f"Put {KEEPER} from {net.removeprefix('~')} to ground, where it rests when joined."
    return f"Put {KEEPER} across the contacts that open, so that it stays at its working voltage."


STAGE = """
switch BOOST off on at off
IN > R1 1M > gnd
IN > C1 22n (film) > U1.non > R2 1M > VB
U1.inv > R4 100k > U1.out
U1.inv > R5 10k > BOOST.common
BOOST.on > C5 10u (film) > gnd
{keeper}
U1.out > C9 1u (film) > OUT
"""
RULE = Rule(
    code="P07",
    name="charged-when-open",
    title="A capacitor behind an open switch loses its charge",
    gravity=Gravity.NOTE,
    why=(
        "A capacitor that a switch leaves hanging drifts to wherever its leakage takes it. When the switch "
        "joins it again it is charged to its working voltage in one step, which is heard as a pop."
    ),
    source="charge kept on the linearised network; leakage from memory; classes are a house rule",
    look=look,
    speaks=(Trial(text=SUPPLY + STAGE.format(keeper="") + PULLED_OUT, blames=("C5", "BOOST")),),
    quiet=(
        Trial(
            text=SUPPLY + STAGE.format(keeper="BOOST.on > R6 1M > BOOST.common") + PULLED_OUT,
        ),
    ),
)
