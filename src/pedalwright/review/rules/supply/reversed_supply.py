"""What a reversed supply does: nothing stands between it and the parts."""

from collections.abc import Iterable

from pedalwright.analysis.power.records import AbuseCase, Strain
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.supply._abuse import cases
from pedalwright.review.rules.supply._rated import SIZES_W
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import listed, named, volts
from pedalwright.units.values import print_value


def look(survey: Survey) -> Iterable[Finding]:
    """The case of the reversed supply, where something is exceeded."""
    for case in cases(survey):
        blown = any(strain.blows for strain in case.strains)
        if case.name == "reversed" and case.survives is False and not blown:
            yield _finding(survey, case)


def _finding(survey: Survey, case: AbuseCase) -> Finding:
    first = next(strain for strain in case.strains if not strain.blows)
    guarded = bool(case.protected_by)
    refs = list(dict.fromkeys(strain.ref for strain in case.strains if not strain.blows))
    others = f"; then {listed(refs[1:])}" if len(refs) > 1 else ""
    at = f" from {volts(abs(first.at_v))} on" if first.at_v is not None else ""
    guard = f" ({'; '.join(case.protected_by)})" if guarded else ""
    return Finding(
        parts=tuple(refs),
        spans=tuple(one.span for one in survey.circuit.supplies if one.net == case.net),
        what=(
            f"With the supply reversed {named(survey.bench, first.ref)} goes first{at}: {first.rating} "
            f"{print_value(first.value, first.unit)}, made for "
            f"{print_value(first.limit, first.unit)}{others}{guard}."
        ),
        evidence=tuple(
            Evidence(
                name=f"{one.ref}: {one.rating}",
                value=one.value,
                unit=one.unit,
                high=one.limit,
                basis=one.source,
            )
            for one in case.strains[:4]
        ),
        cure=_cure(survey, first, case.net, guarded=guarded),
        gravity=Gravity.NOTE if guarded or _has_battery_only(survey) else None,
    )


def _cure(survey: Survey, first: Strain, net: str, *, guarded: bool) -> str:
    family = survey.view.family[first.ref]
    if not guarded:
        below = any(one.net == net and one.volts < 0 for one in survey.circuit.supplies)
        band = "towards it, for it is below ground" if below else "away from it"
        return f"Put a 1N5817 in series with the supply, band {band}: it costs about 0.3 V."
    if family == "resistor" and first.unit == "W":
        size = next((size for size in SIZES_W if first.value <= size <= LARGEST_W), None)
        first_aid = (
            f"Take {print_value(size, 'W')} for {first.ref}"
            if size
            else f"Put a fuse in place of {first.ref}"
        )
        return f"{first_aid}, or a diode in series instead of the one across the supply."
    if family == "diode":
        return f"Put a fuse of 100 mA to 500 mA before {first.ref}: it blows before the diode does."
    return "Take a 1N4001 in series with the supply: it leaks less and costs about 0.7 V."


def _has_battery_only(survey: Survey) -> bool:
    return all(one.source == "battery" for one in survey.circuit.supplies)


LARGEST_W = 2.0
"""resistors larger than this do not go into pedals (house rule)"""

SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=VA v-=gnd
V > R9 0R > VA
VA > C9 100u (electrolytic, 16V) > gnd
IN > C1 100n > U1.non > R1 470k > VB
VA > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.out > U1.inv
U1.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="S10",
    name="reversed-supply",
    title="A reversed supply destroys something",
    gravity=Gravity.POOR,
    why=(
        "Sooner or later an adaptor with the other polarity is plugged in, or a battery touches its clip "
        "the wrong way round. Chips and electrolytics die of it within seconds."
    ),
    source="solved at rest with the supply reversed, against the ratings of the cards",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1", "C9")),),
    quiet=(Trial(text=SPEAKING.replace("R9 0R", "D9 1N5817")),),
)
