"""How much the circuit draws, where that matters: a large adaptor, or a battery that is soon flat."""

from collections.abc import Iterable

from pedalwright.analysis.power.records import BatteryLife
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.supply._backwards import all_forwards
from pedalwright.review.survey import Survey
from pedalwright.units.values import print_value

USUAL_A = 0.1
"""what a small adaptor or one socket of a shared supply gives (common practice, no source)"""
ABSURD_A = 1.0
"""no pedal draws this: something shorts the supply (house rule)"""
SHORT_H = 6.0
"""a battery should last an evening (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The most drawn from any supply; hours of a battery where the text names one."""
    from pedalwright.analysis.power.budgeting import budget

    all_forwards(survey)
    found, life = budget(survey.analysis), _life(survey)
    is_soon_flat = life is not None and bool(life.cells) and life.cells[0].hours < SHORT_H
    for net, amps in found.supply_a:
        if amps.most <= USUAL_A:
            continue
        label = found.adaptor.label if found.adaptor is not None else ""
        shorted = amps.typical > ABSURD_A
        if is_soon_flat and not shorted:
            continue
        yield Finding(
            nets=(net,),
            spans=tuple(one.span for one in survey.circuit.supplies if one.net == net),
            what=(
                f"{print_value(amps.typical, 'A')} flow out of {net}: something shorts it."
                if shorted
                else f"Up to {print_value(amps.most, 'A')} flow out of {net}: more than small adaptors give."
            ),
            evidence=(
                Evidence(
                    name="current",
                    value=amps.most,
                    unit="A",
                    high=USUAL_A,
                    basis="high supply, thirsty chips",
                ),
            ),
            cure="Look for a diode the wrong way round or a part between supply and ground."
            if shorted
            else f"Write beside the socket: {label}.",
            gravity=Gravity.DEAD if shorted else None,
        )
    if life is not None and is_soon_flat:
        yield _flat(survey, life)


def _life(survey: Survey) -> BatteryLife | None:
    if not any(one.source == "battery" for one in survey.circuit.supplies):
        return None
    from pedalwright.analysis.power.battery import battery_life

    return battery_life(survey.analysis)


def _flat(survey: Survey, life: BatteryLife) -> Finding:
    cell = life.cells[0]
    why = f", when {life.first.says}" if life.first is not None else ""
    return Finding(
        nets=(life.net,),
        spans=tuple(one.span for one in survey.circuit.supplies if one.net == life.net),
        what=(
            f"An {cell.name} battery lasts {cell.hours:.1f} hours at {print_value(life.amps, 'A')}, down to "
            f"{print_value(cell.end_v, 'V')}{why}."
        ),
        evidence=(
            Evidence(
                name=f"{cell.name} battery lasts", value=cell.hours, unit="h", low=SHORT_H, basis=cell.source
            ),
        ),
        cure="Feed it from the wall, or take parts that draw less.",
    )


SPEAKING = """
supply V 9V battery
output OUT 1M
V > R1 82 > gnd
V > R2 10k > OUT > R3 10k > gnd
"""

RULE = Rule(
    code="S20",
    name="supply-current",
    title="The circuit asks much of its supply",
    gravity=Gravity.NOTE,
    why=(
        "Small adaptors and shared supplies give 100 mA, a nine-volt battery some 500 mAh at a few "
        "milliamperes and far less at many."
    ),
    source="budget over the supply's range; discharge curves of batteries from memory, good to a third",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("V",), says="hours"),
        Trial(
            text=SPEAKING.replace("battery", "wall").replace("R1 82", "R1 56"), blames=("V",), says="adaptor"
        ),
    ),
    quiet=(Trial(text=SPEAKING.replace("R1 82", "R1 4k7")),),
)
