"""An echo chip whose supply is outside what it stands or works with."""

from collections.abc import Iterable

from pedalwright.analysis.memo import Analysis
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import SHEET, Chip, chips, limit
from pedalwright.review.rules.echo_chip._trial import echo
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import volts

STOPS_V = 3.0
"""below it no chip of this kind is known to run (house rule; the maker promises nothing below 4.5 V)"""
BACKWARDS_V = -0.5
"""a supply backwards by more than a diode's drop (from memory)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every chip at the lowest, the stated and the highest supply."""
    survey.rest  # noqa: B018  (raises where nothing can be said)
    for chip in chips(survey):
        cases = (
            ("supply as written", survey.analysis),
            ("supply at its lowest", survey.at_lowest),
            ("supply at its highest", survey.at_highest),
        )
        measured = [(says, _supply_v(one, chip)) for says, one in cases if one.rest.certificate.ok]
        finding = _judged(survey, chip, measured)
        if finding is not None:
            yield finding


def _supply_v(analysis: Analysis, chip: Chip) -> float:
    return analysis.rest.volts(chip.part.net("1")) - analysis.rest.volts(chip.part.net("4"))


def _judged(survey: Survey, chip: Chip, measured: list[tuple[str, float]]) -> Finding | None:
    most, least = max(measured, key=lambda one: one[1]), min(measured, key=lambda one: one[1])
    if most[1] > limit("destructive_supply_v"):
        return _too_much(chip, *most, Gravity.DAMAGE)
    if least[1] < BACKWARDS_V:
        return _told(chip, *least, "The supply is backwards.", _cure(chip), Gravity.DAMAGE)
    if most[1] > limit("most_supply_v"):
        return _too_much(chip, *most, Gravity.POOR)
    if measured[0][1] < STOPS_V:
        return _told(chip, *measured[0], "It cannot run.", _cure(chip), Gravity.DEAD)
    if least[1] < limit("least_supply_v") and (least == measured[0] or not _is_regulated(survey, chip)):
        lacks = volts(limit("least_supply_v") - least[1])
        return _told(chip, *least, f"That is {lacks} too little.", _cure(chip), Gravity.POOR)
    return None


def _is_regulated(survey: Survey, chip: Chip) -> bool:
    """Behind a regulator it is the regulator's headroom that is told."""
    return any(survey.view.net(part, "out") == chip.net("1") for part in survey.parts_of("regulator"))


def _too_much(chip: Chip, says: str, supply_v: float, gravity: Gravity) -> Finding:
    dies = "It dies above 6.5 V." if gravity is Gravity.DAMAGE else "The maker recommends 5.5 V at most."
    return _told(chip, says, supply_v, dies, _cure(chip), gravity)


def _cure(chip: Chip) -> str:
    return (
        f"Feed pin 1 of {chip.ref} from a 5 V regulator such as a 78L05, and measure its output before the "
        "chip goes into its socket."
    )


def _told(chip: Chip, says: str, supply_v: float, why: str, cure: str, gravity: Gravity) -> Finding:
    return Finding(
        parts=(chip.ref,),
        what=f"{chip.ref} gets {volts(supply_v)} with the {says}. {why}",
        evidence=(
            Evidence(
                name="between pins 1 and 4",
                value=supply_v,
                unit="V",
                low=limit("least_supply_v"),
                high=limit("most_supply_v"),
                basis=f"{says}; destroyed above 6.5 V",
            ),
        ),
        cure=cure,
        gravity=gravity,
    )


NINE = echo(("supply V5 5V wall 4.9V..5.1V", "supply V5 9V wall"))
REGULATED = echo(("supply V5 5V wall 4.9V..5.1V", "supply VIN 9V wall\npart U2 regulator 5V in=VIN out=V5"))

RULE = Rule(
    code="E01",
    name="chip-supply",
    title="The echo chip's supply is outside its limits",
    gravity=Gravity.DAMAGE,
    why=(
        "The chip is made for 4.5 to 5.5 V and is destroyed above 6.5 V. A 9 V supply on pin 1, or a "
        "regulator the wrong way round, kills it at once."
    ),
    source=f"{SHEET}: recommended 4.5 to 5.5 V, absolute maximum 6.5 V; 3 V where it stops: house rule",
    look=look,
    speaks=(
        Trial(text=NINE, blames=("U1",), says="6.5 V"),
        Trial(text=echo(("5V wall 4.9V..5.1V", "4V wall 3.9V..4.1V")), blames=("U1",), says="too little"),
        Trial(text=echo(("5V wall 4.9V..5.1V", "2V wall 1.9V..2.1V")), blames=("U1",), says="cannot run"),
    ),
    quiet=(Trial(text=echo()), Trial(text=REGULATED)),
)
