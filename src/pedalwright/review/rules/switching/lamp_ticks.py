"""A lamp whose current, switched on with the pedal, is heard through the supply."""

from collections.abc import Iterable
from math import log10

from pedalwright.analysis.switching.linear import linear_of
from pedalwright.analysis.switching.pop import Pop, lamp_pop
from pedalwright.analysis.switching.weighting import FAINT_DB
from pedalwright.circuit.circuit import GROUND
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.switching._pops import told, told_level
from pedalwright.review.survey import Survey
from pedalwright.stages.stage import Stage
from pedalwright.stages.wording import named, ohms
from pedalwright.units.preferred import Series, step
from pedalwright.units.values import print_value

MARGIN_DB = 0.5
LEAST_A = 0.3e-3
"""a present-day lamp is well seen with this (common practice, no source)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The step of a lamp's current through the supply's resistance and the circuit's rejection of it."""
    if survey.circuit.output is None or survey.circuit.input is None:
        return
    for stage in survey.stages_of("indicator"):
        fed = _fed(survey, stage)
        if fed is None:
            continue
        series, net, amperes = fed
        if not _is_shared(survey, net):
            continue
        pop = _pop(survey, fed)
        if pop.level_db <= FAINT_DB:
            continue
        value = _dimmer(survey, (series, net, amperes), pop.level_db)
        yield Finding(
            parts=(*stage.with_role("indicator LED"), series),
            nets=(net,),
            what=(
                f"When the lamp behind {named(survey.bench, series)} is switched it draws "
                f"{print_value(amperes, 'A')} from {net.removeprefix('~')}, and the output jumps by "
                f"{print_value(pop.peak_v, 'V')}."
            ),
            evidence=(
                told_level(pop),
                Evidence(
                    name="current of the lamp", value=amperes, unit="A", basis="if the foot switch lights it"
                ),
            ),
            cure=(
                f"{named(survey.bench, series)} of {ohms(value)} still lights it and makes a faint tick."
                if value is not None
                else "Feed the lamp from before the resistor that filters this supply."
            ),
            changes=(Change(ref=series, value=value),) if value is not None else (),
        )


def _fed(survey: Survey, stage: Stage) -> tuple[str, str, float] | None:
    """The lamp's resistor, the net its current comes from, and how much, with the lamp lit as it stands."""
    for ref in stage.with_role("LED series resistor"):
        part = survey.circuit.by_ref.get(ref)
        if part is None or part.kind != "resistor":
            continue
        amperes = abs(survey.rest.amperes(ref))
        ends = sorted(part.nets, key=lambda net: -abs(survey.rest.volts(net)))
        lamp = next(iter(stage.with_role("indicator LED")), "")
        nets = {*ends, *(survey.circuit.by_ref[lamp].nets if lamp in survey.circuit.by_ref else ())}
        rails = [net for net in nets if net != GROUND and survey.view.joined[net] in survey.classes.rails]
        if rails and amperes > 0:
            return ref, rails[0], amperes
    return None


def _pop(survey: Survey, fed: tuple[str, str, float]) -> Pop:
    series, net, amperes = fed
    return told(lambda: lamp_pop(survey.analysis, net, amperes, lamp=(series,)))


def _dimmer(survey: Survey, fed: tuple[str, str, float], level: float) -> float | None:
    """The smallest larger resistor whose lamp makes a faint tick and is still seen; None when there is
    none.
    """
    series, net, amperes = fed
    own = survey.circuit.by_ref[series].value or 0.0
    behind = told(lambda: linear_of(survey.analysis, lifted=(series,))).behind_ohms(net)
    value = own
    while True:
        value = step(value, Series.E12, 1)
        share = (own + behind) / (value + behind)
        if amperes * share < LEAST_A:
            return None
        if level + 20 * log10(share) < FAINT_DB - MARGIN_DB:
            return value


def _is_shared(survey: Survey, net: str) -> bool:
    """More than the supply itself stands behind the net: a stiff supply does not move."""
    return net not in {supply.net for supply in survey.circuit.supplies if supply.source == "wall"}


CIRCUIT = """
supply VIN 9V wall
input IN pickup
output OUT 1M
VIN > R1 {filter} > VA > C1 {store} > gnd
VA > R2 22k > VB > R3 22k > gnd
VB > C2 {hold} (electrolytic, 16V) > gnd
IN > R4 1M > gnd
IN > C3 22n (film) > U1a.non > R5 1M > VB
part U1 dual-opamp TL072 v+=VA v-=gnd
U1a.out > U1a.inv
U1a.out > C4 1u (film) > OUT > R6 10k > gnd
VA > R7 {lamp} > D1 red (led) > gnd
"""
LOUD = CIRCUIT.format(filter="470", store="1u (film)", hold="100n", lamp="1k").replace(
    "100n (electrolytic, 16V)", "100n (film)"
)
QUIET = CIRCUIT.format(filter="100", store="100u (electrolytic, 16V)", hold="47u", lamp="4k7")
RULE = Rule(
    code="P05",
    name="lamp-ticks",
    title="Switching the lamp is heard",
    gravity=Gravity.NOTE,
    why=(
        "A lamp's current steps when the pedal is switched. Through the resistance of the supply line the "
        "step becomes a voltage, and what the half supply does not filter reaches the output as a tick."
    ),
    source="the step through the linearised circuit, supply to output; classes are a house rule",
    look=look,
    speaks=(Trial(text=LOUD, blames=("D1", "R7")),),
    quiet=(Trial(text=QUIET),),
)
