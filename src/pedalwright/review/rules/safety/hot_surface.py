"""A part too hot to touch."""

from collections.abc import Iterable

from pedalwright.analysis.power.heating import heat
from pedalwright.analysis.power.ratings import FILM_FULL_C, FILM_NOTHING_C, ROOM_C
from pedalwright.analysis.power.records import Heat
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named
from pedalwright.units.values import print_value

BURNS_C = 85.0
"""plastic of this temperature burns skin within a second (ISO 13732-1, from memory; metal at some 65)"""
DEAD_C = 300.0
"""no part of a pedal lives at this, and a thermal resistance tells nothing beyond it (house rule)"""
INSIDE_K = 10.0
"""a junction is hotter than the case around it by about as much (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every part that makes heat, at the highest supply."""
    survey.rest  # noqa: B018  (raises where nothing can be said)
    for one in survey.once("heat", lambda: heat(survey.analysis)):
        surface = surface_c(one)
        if surface is not None and surface > BURNS_C:
            yield Finding(
                parts=(one.ref,),
                what=(
                    f"{named(survey.bench, one.ref)} turns {print_value(one.watts.most, 'W')} into heat: "
                    f"{_reached(surface)}"
                ),
                evidence=(
                    Evidence(
                        name="surface" if surface <= DEAD_C else "surface, at the least",
                        value=min(surface, DEAD_C),
                        unit="C",
                        high=BURNS_C,
                        basis=f"in a room of {ROOM_C:g} °C, highest supply",
                    ),
                    Evidence(
                        name="heat", value=one.watts.most, unit="W", basis="highest supply, thirsty chips"
                    ),
                ),
                cure=(
                    "Let it cool before touching it, keep wires and capacitors off it, and spread the "
                    "heat: a larger part, a heat sink, or less voltage to lose."
                ),
            )


def _reached(surface: float) -> str:
    if surface > DEAD_C:
        return f"it burns skin, and is dead before its surface gets to {DEAD_C:.0f} °C."
    return f"its surface gets to some {surface:.0f} °C, which burns skin."


def surface_c(one: Heat) -> float | None:
    """About how hot a part's surface gets in a room [degree C]; None where nothing is known of it."""
    if one.room_c is not None:
        return one.room_c - INSIDE_K
    if one.most_w:
        # A film resistor at its rating is as much hotter than the air as its derating curve is wide.
        return ROOM_C + one.watts.most / one.most_w * (FILM_NOTHING_C - FILM_FULL_C)
    return None


SPEAKING = """
supply V 15V wall
output OUT 1M
part U1 regulator 5V in=V out=V5
V5 > R1 120 > gnd
V5 > R2 10k > OUT
"""

RULE = Rule(
    code="H06",
    name="hot-surface",
    title="A part gets too hot to touch",
    gravity=Gravity.NOTE,
    why=(
        "What a regulator or resistor takes in volts it gives off as heat. Plastic of 85 °C burns a finger "
        "within a second, and whatever touches it ages."
    ),
    source="ISO 13732-1, from memory; heat and thermal resistance: `power`",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1",)),),
    quiet=(Trial(text=SPEAKING.replace("R1 120", "R1 1k")),),
)
