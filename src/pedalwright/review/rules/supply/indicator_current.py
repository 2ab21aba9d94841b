"""An indicator that burns, drains the battery, hardly lights, or never lights."""

from collections.abc import Iterable

from pedalwright.circuit.part import Part
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named, ohms, volts
from pedalwright.units.preferred import Series, nearest_by_ratio
from pedalwright.units.values import print_value

MOST_A, MUCH_A, LEAST_A = 20e-3, 10e-3, 0.1e-3
"""limit of a usual lamp (sheets: 20 to 30 mA), more than is needed, and hardly to be seen (house rules)"""
WANTED_A = 2e-3
"""bright enough indoors (common practice, no source)"""
LIT_V = 2.0
"""across a red lamp (sheets)"""
OFF_A = 1e-7
BACKWARDS_V = 1.0


def look(survey: Survey) -> Iterable[Finding]:
    """The lamps that no signal passes, as the switches stand."""
    for part in survey.parts_of("led"):
        anode, cathode = part.nets[:2]
        amps = survey.rest.amperes(part.ref)
        backwards = survey.rest.volts(cathode) - survey.rest.volts(anode)
        if backwards > BACKWARDS_V and not _has_mate(survey, part):
            yield _reversed(survey, part, backwards)
        elif amps > MUCH_A or (OFF_A < amps < LEAST_A and _is_indicator(survey, part)):
            yield _finding(survey, part, amps)


def _is_indicator(survey: Survey, part: Part) -> bool:
    """Its row lies between steady nets: no amplifier or transistor switches it."""
    still = survey.classes.is_still
    rows = [stage for stage in survey.stages_of("indicator") if part.ref in stage.refs]
    return any(still(stage.nets["top"]) and still(stage.nets["bottom"]) for stage in rows)


def _has_mate(survey: Survey, part: Part) -> bool:
    """Another diode head to tail beside it: the other colour of a pair."""
    ends = {survey.view.joined[net] for net in part.nets[:2]}
    beside = [
        leaf for net in ends for leaf in survey.view.on(net) if leaf.sort == "D" and leaf.ref != part.ref
    ]
    return any({leaf.a, leaf.b} == ends for leaf in beside)


def _reversed(survey: Survey, part: Part, backwards: float) -> Finding:
    return Finding(
        parts=(part.ref,),
        what=f"{named(survey.bench, part.ref)} stands {volts(backwards)} backwards: it never lights.",
        evidence=(Evidence(name="voltage backwards", value=backwards, unit="V", high=BACKWARDS_V),),
        cure="Turn it round: the longer lead to the plus side.",
        gravity=Gravity.POOR,
    )


def _finding(survey: Survey, part: Part, amps: float) -> Finding:
    row = _series_resistor(survey, part)
    cure, changes = _cure(survey, row)
    return Finding(
        parts=(part.ref, *((row[0],) if row else ())),
        what=f"{print_value(amps, 'A')} flow through {named(survey.bench, part.ref)}: {_judged(amps)}.",
        evidence=(Evidence(name="current", value=amps, unit="A", low=LEAST_A, high=MUCH_A),),
        cure=cure,
        changes=changes,
        gravity=Gravity.DAMAGE if amps > MOST_A else None,
    )


def _judged(amps: float) -> str:
    if amps > MOST_A:
        return "more than it stands"
    return "bright, and hard on a battery" if amps > MUCH_A else "hardly to be seen"


def _cure(survey: Survey, row: tuple[str, float] | None) -> tuple[str, tuple[Change, ...]]:
    """The resistor for the wanted current: another value for the one there is, or a new one."""
    wanted = print_value(WANTED_A, "A")
    if row is not None:
        value = nearest_by_ratio(max(row[1], 0.5) / WANTED_A, Series.E12)
        return f"Make {row[0]} {ohms(value)}.", (Change(ref=row[0], value=value),)
    supply_v = max((abs(one.volts) for one in survey.circuit.supplies), default=0.0)
    value = nearest_by_ratio(max(supply_v - LIT_V, 0.5) / WANTED_A, Series.E6)
    return f"Put {ohms(value)} in series with it, for about {wanted}.", ()


def _series_resistor(survey: Survey, part: Part) -> tuple[str, float] | None:
    """A resistor in a row with the lamp, and what drops across it."""
    for net in part.nets[:2]:
        leaves = [leaf for leaf in survey.view.on(survey.view.joined[net]) if leaf.ref != part.ref]
        if survey.classes.is_still(survey.view.joined[net]) or survey.view.joined[net] in survey.view.ports:
            continue
        if len(leaves) == 1 and leaves[0].sort == "R" and not leaves[0].variable:
            leaf = leaves[0]
            return leaf.ref, abs(survey.rest.volts(leaf.a) - survey.rest.volts(leaf.b))
    return None


SPEAKING = """
supply V 9V wall
output OUT 1M
V > R1 330 > D1 red (led) > gnd
V > R2 10k > OUT > R3 10k > gnd
"""

RULE = Rule(
    code="S16",
    name="indicator-current",
    title="An indicator has too much or too little current",
    gravity=Gravity.NOTE,
    why=(
        "A lamp needs a resistor that sets its current: a milliampere or two is plenty. Ten times too much "
        "drains the battery or burns the lamp; ten times too little is not seen; backwards it stays dark."
    ),
    source="formula R = (V - VF)/I; limit of 20 mA from makers' sheets",
    look=look,
    speaks=(
        Trial(text=SPEAKING.replace("R1 330", "R1 100"), blames=("D1", "R1"), says="more than it stands"),
        Trial(text=SPEAKING.replace("R1 330", "R1 470"), blames=("D1",), says="hard on a battery"),
        Trial(text=SPEAKING.replace("330", "150k"), blames=("D1", "R1"), says="hardly"),
        Trial(
            text=SPEAKING.replace("D1 red (led) > gnd", "A\ngnd > D1 red (led) > A"),
            blames=("D1",),
            says="never",
        ),
        Trial(text=SPEAKING.replace("R1 330 >", ""), blames=("D1",), says="more than it stands"),
    ),
    quiet=(Trial(text=SPEAKING.replace("330", "3k3")),),
)
