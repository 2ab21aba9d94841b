"""Ratings of all parts while the pedal works as it should, shared by the rules that hold against them."""

from pedalwright.analysis.power.records import Strain
from pedalwright.circuit.span import Span
from pedalwright.review.rule import CannotSay, Evidence
from pedalwright.review.rules.supply._backwards import all_forwards
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named
from pedalwright.units.values import print_value

OVER = 1.0
SIZES_W = (0.25, 0.5, 1.0, 2.0, 5.0, 10.0)
"""heat that resistors are sold for (common practice, no source)"""
WORST_FIRST = (
    "over the supply's range: as written, else 5 % either way from the wall, 7.2 to 9.6 V for 9 V of battery"
)


def strains(survey: Survey, *families: str) -> tuple[Strain, ...]:
    """Every known rating of the parts of some families, the hardest used first; CannotSay without figures."""
    from pedalwright.analysis.power.rated import ratings

    if not survey.circuit.supplies:
        return ()
    all_forwards(survey)
    found = survey.once("ratings", lambda: ratings(survey.analysis))
    if not found:
        raise CannotSay("The circuit could not be solved at rest over its supply's range.")
    return tuple(one for one in found if survey.view.family[one.ref] in families)


def overloaded(survey: Survey, *families: str, ratings: tuple[str, ...] = ()) -> dict[str, list[Strain]]:
    """The exceeded ratings, by designator; all of them, or those named."""
    found: dict[str, list[Strain]] = {}
    for one in strains(survey, *families):
        if one.factor > OVER and not one.blows and (not ratings or one.rating in ratings):
            found.setdefault(one.ref, []).append(one)
    return found


def strained(survey: Survey, ref: str, found: list[Strain]) -> str:
    """``D1 (1N4148): forward current 310 mA, made for 150 mA``."""
    words = [
        f"{one.rating} {print_value(one.value, one.unit)}, made for {print_value(one.limit, one.unit)}"
        for one in found
    ]
    return f"{named(survey.bench, ref)}: {'; '.join(words)}"


def evidence(found: list[Strain]) -> tuple[Evidence, ...]:
    """The figures with the limits they were held against."""
    return tuple(
        Evidence(
            name=one.rating,
            value=one.value,
            unit=one.unit,
            high=one.limit,
            basis=f"{WORST_FIRST}; limit: {one.source}",
        )
        for one in found
    )


def supply_spans(survey: Survey) -> tuple[Span, ...]:
    """The lines of the supplies: with more than a part stands, the supply may be what is wrong."""
    return tuple(supply.span for supply in survey.circuit.supplies)
