"""What goes first with a 12 V, 18 V or AC adaptor in the socket."""

from collections.abc import Callable, Iterable
from dataclasses import replace

from pedalwright.analysis.power.records import AbuseCase, Strain
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.supply._abuse import cases
from pedalwright.review.survey import Survey
from pedalwright.stages.ratings import standard_rating
from pedalwright.stages.wording import listed, named, volts

REVERSED, TURNED = "reversed", "turned"
SURGE = 1.15
"""an electrolytic stands so much above its rating for a while (IEC 60384-4, from memory)"""
NEAR_V = 12.5
"""below this a mistaken adaptor is an everyday event (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The cases of a supply that is fed from a socket, told as one finding."""
    if not any(one.source == "wall" for one in survey.circuit.supplies):
        return
    told = [
        case
        for case in map(_fresh_of(survey), cases(survey))
        if case.survives is False and case.name != REVERSED and not case.name.endswith(TURNED)
        if any(_is_told(strain) for strain in case.strains)
    ]
    told = [case for case in told if not _as_reversed(survey, case)]
    if told:
        yield _finding(survey, told)


def _fresh_of(survey: Survey) -> Callable[[AbuseCase], AbuseCase]:
    """A case without what the right supply exceeds already: other rules tell of that."""
    from pedalwright.analysis.power.rated import ratings

    known = {(one.ref, one.rating) for one in ratings(survey.analysis) if one.factor > 1.0}
    return lambda case: replace(
        case, strains=tuple(one for one in case.strains if (one.ref, one.rating) not in known)
    )


def _is_told(strain: Strain) -> bool:
    """Not a capacitor within its surge voltage, and not a fuse."""
    return not strain.blows and (strain.rating != "rated voltage" or strain.factor > SURGE)


def _as_reversed(survey: Survey, case: AbuseCase) -> bool:
    """AC that only does what the reversed supply does already, about which its own rule speaks."""
    reverse = next((one for one in cases(survey) if one.name == REVERSED), None)
    known = {strain.ref for strain in reverse.strains} if reverse is not None else set()
    return case.name.endswith("AC") and {strain.ref for strain in case.strains} <= known


def _finding(survey: Survey, told: list[AbuseCase]) -> Finding:
    first = {case.name: next(one for one in case.strains if _is_told(one)) for case in told}
    parts = [one.ref for case in told for one in case.strains if _is_told(one)]
    words: dict[str, list[str]] = {}
    for name, one in first.items():
        at = f" from {volts(abs(one.at_v))}" if one.at_v is not None else ""
        words.setdefault(f"{named(survey.bench, one.ref)} goes first{at} ({one.rating})", []).append(name)
    said = "; ".join(f"with {listed(names)} {what}" for what, names in words.items())
    lowest = min(abs(volt) for case in told for volt in case.volts)
    return Finding(
        parts=tuple(dict.fromkeys(parts)),
        what=f"{said[0].upper()}{said[1:]}.",
        evidence=tuple(
            Evidence(
                name=f"{name}, {one.ref}: {one.rating}",
                value=one.value,
                unit=one.unit,
                high=one.limit,
                basis=one.source,
            )
            for name, one in first.items()
        ),
        cure=_cure(told),
        gravity=Gravity.POOR if lowest < NEAR_V else None,
    )


def _cure(told: list[AbuseCase]) -> str:
    """Ratings where capacitors alone are the trouble; else the socket's label."""
    strains = [strain for case in told for strain in case.strains if not strain.blows]
    if all(strain.rating == "rated voltage" for strain in strains):
        most = {
            ref: max(one.value for one in strains if one.ref == ref) for ref in {one.ref for one in strains}
        }
        wanted = [f"{ref} {volts(standard_rating(value) or value)}" for ref, value in sorted(most.items())]
        return f"Take a higher rating ({listed(wanted)}), or write volts and polarity beside the socket."
    return "Write volts and polarity beside the socket; a zener diode behind a fuse keeps more out."


SPEAKING = """
supply V 9V wall
output OUT 1M
V > D1 1N5817 > A > C1 100u (electrolytic, 10V) > gnd
A > R2 10k > OUT > R3 10k > gnd
"""

RULE = Rule(
    code="S11",
    name="wrong-adaptor",
    title="What goes first with the wrong adaptor",
    gravity=Gravity.NOTE,
    why=(
        "Adaptors of 12 V, 18 V and AC fit the same socket. It is worth knowing what they do before "
        "somebody tries."
    ),
    source="solved at rest at each voltage, against the ratings of the cards",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("C1",), says="18 V"),),
    quiet=(Trial(text=SPEAKING.replace("10V", "16V")),),
)
