"""More chips on one regulator than it can feed."""

from collections.abc import Iterable

from pedalwright.circuit.part import Part
from pedalwright.devices.kinds.regulator import DEFAULT_TYPE, TYPES
from pedalwright.devices.part_facts import figure
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import SHEET, Chip, chips, limit
from pedalwright.review.rules.echo_chip._trial import echo
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import listed
from pedalwright.units.values import print_value

FEED_OHMS = 470.0
"""a resistor of a chip's own supply filter is no larger (house rule)"""
NEAR = 0.85
"""of what the regulator gives, from which it is at its limit (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every regulator with the echo chips it feeds, all at their largest current."""
    survey.rest  # noqa: B018  (raises where nothing can be said)
    for part in survey.parts_of("regulator"):
        fed = [chip for chip in chips(survey) if _feeds(survey, part, chip)]
        if fed:
            yield from _judged(survey, part, fed)


def _feeds(survey: Survey, part: Part, chip: Chip) -> bool:
    """Whether the chip's supply is the regulator's output, or hangs on it by a small resistor."""
    out, pin = survey.view.net(part, "out"), chip.net("1")
    near = (leaf for leaf in survey.view.on(pin) if leaf.sort == "R" and leaf.value <= FEED_OHMS)
    return pin == out or any(leaf.other(pin) == out for leaf in near)


def _judged(survey: Survey, part: Part, fed: list[Chip]) -> Iterable[Finding]:
    typical = abs(survey.rest.amperes(part.ref))
    most = typical + len(fed) * (limit("most_supply_a") - limit("supply_a"))
    bound = figure(part, "most_a", TYPES, DEFAULT_TYPE)
    if most <= NEAR * bound:
        return
    names = listed([chip.ref for chip in fed])
    yield Finding(
        parts=(part.ref, *(chip.ref for chip in fed)),
        what=(
            f"{part.ref} gives up to {print_value(most, 'A')} with {names} at their largest current, "
            f"{'more than' if most > bound else 'near'} the {print_value(bound, 'A')} it is made for."
        ),
        evidence=(
            Evidence(
                name="current out of the regulator",
                value=most,
                unit="A",
                high=bound,
                basis=f"30 mA each chip at most; typical is {print_value(typical, 'A')}",
            ),
        ),
        cure="Give each chip a regulator of its own, or take one for 1 A (7805).",
        gravity=Gravity.POOR if most > bound else None,
    )


def _several(count: int) -> str:
    more = "".join(
        f"part U{n} echo-chip supply=V5\nU{n}.6 > R{n}1 10k > gnd\n" for n in range(11, 11 + count)
    )
    return (
        echo(("supply V5 5V wall 4.9V..5.1V", "supply VIN 9V wall\npart U2 regulator 5V in=VIN out=V5"))
        + more
    )


RULE = Rule(
    code="E18",
    name="chips-on-one-regulator",
    title="Several echo chips ask much of one regulator",
    gravity=Gravity.NOTE,
    why=(
        "An echo chip draws 15 mA typically and 30 mA at most, more the faster its clock. Three of them "
        "bring a 100 mA regulator to its limit: it gets hot and its voltage sags."
    ),
    source=f"{SHEET}: supply current; regulator: its own data sheet",
    look=look,
    speaks=(
        Trial(text=_several(2), blames=("U2", "U1", "U11")),
        Trial(text=_several(3), blames=("U13",), says="more"),
    ),
    quiet=(Trial(text=_several(0)), Trial(text=_several(1))),
)
