"""A diode that lets nothing of the supply through, so what is behind it is not fed."""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.circuit.ports import Supply
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named, volts

BLOCKED_V, LITTLE = 1.5, 0.6
"""backwards across the diode, and the share of the supply below which what is behind it is not fed: leakage
alone can hold up a good part of it (house rules)
"""
PASSING = frozenset({"silicon-diode", "schottky-diode", "germanium-diode"})
LEADING = PASSING | {"resistor", "inductor", "knob", "trim", "fuse", "regulator"}
"""kinds that a supply may come through"""


def look(survey: Survey) -> Iterable[Finding]:
    """Diodes on the net of a supply whose other end, not ground, stays near nothing."""
    if any(_is_fed_through_a_chip_rule(survey, part) for part in survey.circuit.parts):
        return
    for supply in survey.circuit.supplies:
        for pin in survey.circuit.pins_on[supply.net]:
            diode = pin.part
            if diode.kind in PASSING and _blocks(survey, diode, supply):
                yield _finding(survey, diode, supply)


def _is_fed_through_a_chip_rule(survey: Survey, part: Part) -> bool:
    """An amplifier package or a regulator that gets nothing is told of as such, diode and all."""
    pin = {"regulator": "in"}.get(part.kind, "v+" if part.kind.endswith("opamp") else "")
    return bool(pin) and abs(survey.rest.volts(part.net(pin))) < BLOCKED_V


def _blocks(survey: Survey, diode: Part, supply: Supply) -> bool:
    far = next((net for net in diode.nets if net != supply.net), GROUND)
    if far == GROUND or len(survey.circuit.pins_on[far]) < 2:
        return False
    if _is_fed_otherwise(survey, diode, far):
        return False
    backwards_v = survey.rest.volts(diode.net("2")) - survey.rest.volts(diode.net("1"))
    return backwards_v > BLOCKED_V and abs(survey.rest.volts(far)) < LITTLE * abs(supply.volts)


def _is_fed_otherwise(survey: Survey, diode: Part, net: str) -> bool:
    """A way from the net to a supply that does not go through the diode nor through ground."""
    feeds = {supply.net for supply in survey.circuit.supplies}
    pending, met = [net], {net, GROUND}
    while pending:
        for pin in survey.circuit.pins_on[pending.pop()]:
            if pin.part.kind not in LEADING or pin.part.ref == diode.ref:
                continue
            if feeds & set(pin.part.nets):
                return True
            pending += [other for other in pin.part.nets if other not in met]
            met |= set(pin.part.nets)
    return False


def _finding(survey: Survey, diode: Part, supply: Supply) -> Finding:
    far = next(net for net in diode.nets if net != supply.net)
    far_v, name = survey.rest.volts(far), named(survey.bench, diode.ref)
    backwards = supply.volts < 0
    return Finding(
        parts=(diode.ref,),
        nets=(far,),
        spans=(supply.span,),
        what=(
            f"Of the {volts(supply.volts)} at {supply.net} only leakage gets past {name}, which stands "
            f"against it: {volts(far_v)} are left behind it."
        ),
        evidence=(
            Evidence(name="supply", value=supply.volts, unit="V"),
            Evidence(name=f"behind {diode.ref}", value=far_v, unit="V", basis="at rest"),
        ),
        cure=(
            "The supply is turned round: feed the pedal with plus and minus as it is made for."
            if backwards
            else f"Turn {diode.ref} round."
        ),
    )


SPEAKING = """
supply VIN 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N3904
VA > D1 1N5817 > VIN
VA > R1 10k > Q1.c > C2 1u > OUT
IN > C1 100n > Q1.b
VA > R2 470k > Q1.b > R3 100k > gnd
Q1.e > R4 1k > gnd
OUT > R5 1M > gnd
"""
RIGHT = SPEAKING.replace("VA > D1 1N5817 > VIN", "VIN > D1 1N5817 > VA")
# D2 only empties C9 when the supply goes; what it lies on is fed by R9.
EMPTYING = f"""{RIGHT}VIN > R9 100k > SLOW > C9 10u > gnd
SLOW > D2 1N4148 > VIN
SLOW > R10 22k > gnd
"""

RULE = Rule(
    code="S30",
    name="supply-blocked",
    title="The supply does not get past a diode",
    gravity=Gravity.DEAD,
    why=(
        "A diode in the supply lets current through one way only: that is what saves a pedal from a supply "
        "turned round. Turned round itself, or with the supply turned round, it feeds nothing."
    ),
    source="measured on the full circuit",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("D1",)),
        Trial(text=RIGHT.replace("VIN 9V", "VIN -9V"), blames=("D1",), says="-9 V"),
    ),
    quiet=(Trial(text=RIGHT), Trial(text=EMPTYING)),
)
