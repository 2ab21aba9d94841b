"""A value that no part in that place has."""

from collections.abc import Iterable, Mapping

from pedalwright.circuit.part import Part
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import farads, named, ohms

RESISTORS: Mapping[str, tuple[float, float]] = {
    "pull-down resistor": (470.0, 10e6),
    "bias feed resistor": (10e3, 10e6),
    "bias feedback resistor": (22e3, 10e6),
    "upper divider resistor": (470.0, 10e6),
    "lower divider resistor": (470.0, 10e6),
    "collector resistor": (220.0, 100e3),
    "drain resistor": (47.0, 150e3),
    "emitter resistor": (2.2, 47e3),
    "source resistor": (22.0, 47e3),
    "base resistor": (47.0, 470e3),
    "feedback resistor": (680.0, 3.3e6),
    "gain-setting resistor": (150.0, 220e3),
    "input resistor": (470.0, 1.2e6),
    "summing resistor": (2.2e3, 1.2e6),
    "series resistor": (22.0, 1.2e6),
    "tone resistor": (68.0, 1e6),
    "filter resistor": (1e3, 1e6),
    "hysteresis resistor": (4.7e3, 4.7e6),
    "integrating resistor": (2.2e3, 4.7e6),
    "phase resistor": (2.2e3, 470e3),
    "phase-shift resistor": (470.0, 470e3),
    "modulation resistor": (1e3, 1e6),
    "supply filter resistor": (1.0, 10e3),
}
"""role -> what is met in that place, in ohms (house rule: three to ten times beyond working circuits)"""
CAPACITORS: Mapping[str, tuple[float, float]] = {
    "reservoir capacitor": (4.7e-6, 4700e-6),
    "supply filter capacitor": (4.7e-6, 2200e-6),
    "bias filter capacitor": (47e-9, 1000e-6),
    "decoupling capacitor": (4.7e-9, 22e-6),
    "dc-blocking capacitor": (1e-9, 2200e-6),
    "bass-corner capacitor": (4.7e-9, 220e-6),
    "emitter bypass capacitor": (470e-9, 1000e-6),
    "source bypass capacitor": (220e-9, 1000e-6),
    "feedback capacitor": (4.7e-12, 470e-9),
    "shunt capacitor": (10e-12, 220e-9),
    "smoothing capacitor": (100e-12, 100e-9),
    "tone capacitor": (47e-12, 1e-6),
    "treble-pass capacitor": (10e-12, 10e-9),
    "filter capacitor": (100e-12, 1e-6),
    "phase capacitor": (1e-9, 1e-6),
    "phase-shift capacitor": (22e-9, 10e-6),
    "timing capacitor": (10e-9, 100e-6),
    "integrating capacitor": (1e-9, 22e-6),
    "modulation capacitor": (470e-9, 470e-6),
}
"""the same in farads"""
KNOBS = frozenset({"knob", "trim"})
RESISTIVE = KNOBS | {"resistor"}


def look(survey: Survey) -> Iterable[Finding]:
    """Every resistor and capacitor whose value lies outside what its role is met with."""
    for stage in survey.stages:
        for role in stage.roles:
            part = survey.circuit.by_ref.get(role.ref)
            if part is None or not part.value or part.kind not in ("resistor", "capacitor"):
                continue
            table, said = (RESISTORS, ohms) if part.kind == "resistor" else (CAPACITORS, farads)
            limits = table.get(role.role)
            if limits is None or limits[0] * 0.999 <= part.value <= limits[1] * 1.001:
                continue
            low, high = limits
            if _is_helped(survey, part, too_small=part.value < low):
                continue
            guess = part.value * 10 if part.value < low else part.value / 10
            yield Finding(
                parts=(part.ref,),
                what=(
                    f"{named(survey.bench, part.ref)} is a {role.role} here; {said(low)} to {said(high)} "
                    "are met in that place."
                ),
                evidence=(
                    Evidence(
                        name=role.role,
                        value=part.value,
                        unit="ohm" if part.kind == "resistor" else "F",
                        low=low,
                        high=high,
                    ),
                ),
                cure=f"Check the multiplier: is {said(guess)} meant?",
            )


def _is_helped(survey: Survey, part: Part, *, too_small: bool) -> bool:
    """A small resistor in a row with a knob only keeps something at its end; a large capacitor in a row with
    a resistor only keeps direct current off.
    """
    if part.kind == "resistor":
        return too_small and _in_row(survey, part, KNOBS)
    return not too_small and _in_row(survey, part, RESISTIVE)


def _in_row(survey: Survey, part: Part, kinds: frozenset[str]) -> bool:
    """One of its ends meets a part of these kinds and nothing else."""
    for net in part.nets:
        others = {pin.part.ref for pin in survey.circuit.pins_on[net]} - {part.ref}
        if len(others) == 1 and survey.circuit.by_ref[min(others)].kind in kinds:
            return True
    return False


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 1u > U1.non > R1 4k7 > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.out > U1.inv
U1.out > C2 1u > OUT > R4 100k > gnd
"""
PAIR = """
supply V 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N3904
part Q2 npn 2N3904
IN > C1 220n > Q1.b > R3 100k > Q2.e
V > R4 47k > Q1.c > Q2.b
Q1.e > R5 470 > gnd
V > R6 4k7 > Q2.c
Q2.e > R7 1k || C4 100u > gnd
Q2.c > C5 10u > R8 10k > Q1.e
Q2.c > C6 1u > OUT > R9 100k > gnd
"""
SWEPT = """
supply V 9V wall
input IN line
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
knob SWEEP 100k linear at 5
V > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 1u > A > R3 100k > VB
A > R4 10k > U1.inv > R5 10k > U1.out
A > C3 22n > U1.non > R6 1k > SWEEP.1
SWEEP.2 > SWEEP.3 > VB
U1.out > C4 1u > OUT > R7 100k > gnd
"""

RULE = Rule(
    code="N09",
    name="value-out-of-role",
    title="A value is not one met in that place",
    gravity=Gravity.NOTE,
    why=(
        "Parts in one place have values of one size in all working circuits: what is ten or a hundred "
        "times off is more often a slipped multiplier than a discovery."
    ),
    source="house rule: three to ten times beyond what working circuits show",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("R1",)),),
    quiet=(
        Trial(text=SPEAKING.replace("R1 4k7", "R1 470k")),
        Trial(text=PAIR),
        Trial(text=SWEPT),
    ),
)
