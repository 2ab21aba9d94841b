"""Two stages alike in all but one value, which is ten or a hundred times the other's."""

from collections.abc import Iterable, Mapping
from itertools import combinations
from math import isclose

from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.stage import Stage
from pedalwright.stages.wording import named

DECADES = (10.0, 100.0, 1000.0)
LEAST_ALIKE = 2
"""so many other parts must be equal before two stages count as twins (house rule)"""

Values = Mapping[tuple[str, int], tuple[str, float]]


def look(survey: Survey) -> Iterable[Finding]:
    """Every pair of twin stages with one value a whole number of decades apart."""
    told: set[str] = set()
    listed = [(stage, _values(survey, stage)) for stage in survey.stages]
    for (one, ours), (other, theirs) in combinations(listed, 2):
        if one.kind != other.kind or ours.keys() != theirs.keys():
            continue
        odd = [key for key in ours if not isclose(ours[key][1], theirs[key][1], rel_tol=1e-6)]
        if len(odd) != 1 or len(ours) - 1 < LEAST_ALIKE or not _is_decade(ours[odd[0]][1], theirs[odd[0]][1]):
            continue
        pair = (ours[odd[0]], theirs[odd[0]])
        if {ref for ref, _ in pair} & told:
            continue
        told |= {ref for ref, _ in pair}
        yield _finding(survey, pair, _others(listed, one, other, odd[0]))


def _values(survey: Survey, stage: Stage) -> Values:
    """(role, its number in the stage) -> (designator, value) of resistors and capacitors."""
    found: dict[tuple[str, int], tuple[str, float]] = {}
    for role in stage.roles:
        part = survey.circuit.by_ref.get(role.ref)
        if part is not None and part.value and part.kind in ("resistor", "capacitor"):
            number = sum(key[0] == role.role for key in found)
            found[role.role, number] = (part.ref, part.value)
    return found


def _is_decade(one: float, other: float) -> bool:
    return any(isclose(max(one, other) / min(one, other), step, rel_tol=1e-6) for step in DECADES)


def _others(
    listed: list[tuple[Stage, Values]], one: Stage, other: Stage, key: tuple[str, int]
) -> list[float]:
    """What further stages of the kind have in that place."""
    return [
        values[key][1]
        for stage, values in listed
        if stage not in (one, other) and stage.kind == one.kind and key in values
    ]


def _finding(
    survey: Survey, pair: tuple[tuple[str, float], tuple[str, float]], others: list[float]
) -> Finding:
    """The odd one is the one that no third stage agrees with; without a third, both are named."""
    ours, theirs = pair
    agree = [sum(isclose(value, other, rel_tol=1e-6) for other in others) for _, value in pair]
    wrong, right = (theirs, ours) if agree[0] >= agree[1] else (ours, theirs)
    certain = agree[0] != agree[1]
    unit = "ohm" if survey.circuit.by_ref[wrong[0]].kind == "resistor" else "F"
    words = f"Make {wrong[0]} {named(survey.bench, right[0]).partition('(')[2].rstrip(')')} as well"
    return Finding(
        parts=(wrong[0], right[0]),
        what=(
            f"{named(survey.bench, wrong[0])} and {named(survey.bench, right[0])} stand in the same place "
            "of two stages that are alike in everything else: a multiplier may have slipped."
        ),
        evidence=(
            Evidence(name=wrong[0], value=wrong[1], unit=unit),
            Evidence(name=right[0], value=right[1], unit=unit),
        ),
        cure=f"{words}." if certain else f"{words}, or the other way round.",
        changes=(Change(ref=wrong[0], value=right[1]),),
    )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 dual-opamp TL072 v+=V v-=gnd
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
IN > C1 1u > R4 10k > U1a.inv
U1a.inv > R5 47k || C4 1n > U1a.out
U1a.non > VB
U1a.out > C2 1u > R6 10k > U1b.inv
U1b.inv > R7 47k || C5 10n > U1b.out
U1b.non > VB
U1b.out > C6 1u > OUT > R8 100k > gnd
"""

RULE = Rule(
    code="N10",
    name="unlike-twins",
    title="Twin stages differ by a decade in one value",
    gravity=Gravity.NOTE,
    why=(
        "Stages built alike are meant alike. When one value of one of them is just ten times the other's, "
        "the likeliest reason is a zero too many or too few."
    ),
    source="house rule",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("C4", "C5")),),
    quiet=(Trial(text=SPEAKING.replace("C5 10n", "C5 1n")),),
)
