"""A regulator that gives more current, or makes more heat, than it stands."""

from collections.abc import Iterable

from pedalwright.analysis.power.records import Heat
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.supply._rated import evidence, strains
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named
from pedalwright.units.values import print_value

SHARE = 0.8
"""of a limit from which it is worth knowing (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every regulator's current and heat at the top of the supply's range, with thirsty chips."""
    hot = _heats(survey)
    for part in survey.view.parts_of("regulator"):
        near = [one for one in strains(survey, "regulator") if one.ref == part.ref and one.factor > SHARE]
        near = [one for one in near if one.rating in ("heat", "output current")]
        if not near:
            continue
        worst = max(one.factor for one in near)
        warm = hot.get(part.ref)
        words = " and ".join(
            f"{print_value(one.value, one.unit)} of {one.rating} (it stands "
            f"{print_value(one.limit, one.unit)})"
            for one in near
        )
        degrees = (
            f"; its crystal reaches {warm.box_c:.0f} degrees C in a closed box" if warm and warm.box_c else ""
        )
        yield Finding(
            parts=(part.ref,),
            what=f"{named(survey.bench, part.ref)} has {words}{degrees}.",
            evidence=(*evidence(near), *_temperature(warm)),
            cure=(
                "Take the larger type (1 A, with a tab for a heat sink), or let a resistor in front of it "
                "take part of the voltage."
            ),
            gravity=None if worst > 1.0 else Gravity.NOTE,
        )


def _heats(survey: Survey) -> dict[str, Heat]:
    from pedalwright.analysis.power.heating import heat

    return survey.once("heats", lambda: {one.ref: one for one in heat(survey.analysis)})


def _temperature(warm: Heat | None) -> tuple[Evidence, ...]:
    if warm is None or warm.box_c is None:
        return ()
    return (
        Evidence(
            name="temperature of the crystal in a box of 40 degrees C",
            value=warm.box_c,
            unit="C",
            high=warm.most_junction_c,
            basis=f"heat times {warm.k_per_w:g} K/W",
        ),
    )


SPEAKING = """
supply V 18V wall
output OUT 1M
part U1 regulator 78L05 in=V out=A
V > C1 1u > gnd
A > C2 1u > gnd
A > R4 100 > gnd
A > R2 10k > OUT > R3 10k > gnd
"""

RULE = Rule(
    code="S09",
    name="regulator-too-hot",
    title="A regulator is at its limit of heat or current",
    gravity=Gravity.DAMAGE,
    why=(
        "What a regulator takes off becomes heat: (input - output) times current, and its own current "
        "times the input. Too hot, or asked for too much, it lets go of its voltage or shuts down."
    ),
    source="ratings and thermal resistance of the type's card; power balance",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("U1",)),
        Trial(text=SPEAKING.replace("18V", "9V").replace("R4 100", "R4 56"), blames=("U1",)),
    ),
    quiet=(Trial(text=SPEAKING.replace("18V", "9V").replace("R4 100", "R4 220")),),
)
