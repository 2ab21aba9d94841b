"""A regulator whose input comes too near its output at the bottom of the supply."""

from collections.abc import Iterable

from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.devices.kinds.regulator import ADJUSTABLE, set_volts
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.supply._backwards import all_forwards
from pedalwright.review.rules.supply._healthy import healthy_volts
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named, volts

WORTH_V = 0.05
"""short by less is no shortage (house rule)"""
FED_V = 1.0


def look(survey: Survey) -> Iterable[Finding]:
    """Every fed regulator at the supply as written and at the lowest of its range."""
    all_forwards(survey)
    for part in survey.view.parts_of("regulator"):
        if part.type in ADJUSTABLE:
            continue
        low, as_written = _above(survey, part)
        if as_written is None or low is None or survey.rest.volts(part.net("in")) < FED_V:
            continue
        dropout = device(part.kind).figures_for(part)["dropout_v"]
        if low < dropout.value - WORTH_V:
            yield _finding(survey, part, low, as_written, dropout.value, dropout.source)


def _above(survey: Survey, part: Part) -> tuple[float | None, float | None]:
    """How far the input stands above the wanted output: at the lowest supply, and as written."""
    wanted = set_volts(part)
    low, typical, _ = healthy_volts(survey, part.net("in"), part.net("gnd"))
    return (low - wanted, typical - wanted)


def _finding(
    survey: Survey, part: Part, low: float, as_written: float, dropout: float, source: str
) -> Finding:
    now = as_written < dropout
    when = "as written" if now else "at the bottom of the supply's range"
    above = as_written if now else low
    stated = any(one.low_v != one.volts for one in survey.circuit.supplies)
    return Finding(
        parts=(part.ref,),
        what=(
            f"{named(survey.bench, part.ref)} has its input {volts(above)} above its "
            f"{volts(set_volts(part))} {when}; it needs {volts(dropout)}, so it no longer holds its voltage."
        ),
        evidence=(
            Evidence(
                name="input above output",
                value=above,
                unit="V",
                low=dropout,
                basis=f"{when}; dropout: {source}",
            ),
        ),
        cure=(
            "Take a low-drop type (0.2 V instead of 1.7 V; it wants 22 µF or more at its output), or feed "
            "it from before the series resistor and diode."
        ),
        gravity=None if now or stated else Gravity.NOTE,
    )


SPEAKING = """
supply V 6V wall
output OUT 1M
part U1 regulator 5V in=V out=A
V > C1 1u > gnd
A > C2 1u > gnd
A > R4 330 > gnd
A > R2 10k > OUT > R3 10k > gnd
"""

RULE = Rule(
    code="S13",
    name="regulator-headroom",
    title="A regulator has too little above its output",
    gravity=Gravity.POOR,
    why=(
        "A regulator can only take voltage away, and it needs some for itself. When the supply sinks too "
        "near, its output sinks along, ripple and all."
    ),
    source="dropout voltage of the type's card; a battery counts down to 7.2 V of its 9 V (from memory)",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("U1",), says="as written"),
        Trial(text=SPEAKING.replace("6V wall", "7V wall"), blames=("U1",), says="bottom"),
    ),
    quiet=(Trial(text=SPEAKING.replace("6V wall", "9V wall")),),
)
