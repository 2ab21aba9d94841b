"""The capacitors across coder and decoder: missing, or far from what the chip is made for."""

from collections.abc import Iterable

from pedalwright.echo.delay_law import highest_clean_hz, slope_v_per_s
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import MEASURED, SHEET, Chip, chips, total
from pedalwright.review.rules.echo_chip._trial import echo, without
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import farads, hz, named

LEAST_F, MOST_F, SHEET_F = 47e-9, 100e-9, 100e-9
TOLERANCE = 0.15
"""by so much a part may be off and still be one of the maker's (house rule)"""
LOUD_V = 0.5
"""the peak at which steepness is told"""
INTEGRATORS = {"coder": ("9", "10"), "decoder": ("12", "11")}


def look(survey: Survey) -> Iterable[Finding]:
    """Both integrators of every chip."""
    for chip in chips(survey):
        for name, pins in INTEGRATORS.items():
            size = total(chip.between(*pins))
            if not size:
                yield _missing(chip, name, pins)
            elif not LEAST_F * (1 - TOLERANCE) <= size <= MOST_F * (1 + TOLERANCE):
                yield _off(survey, chip, name, size)


def _missing(chip: Chip, name: str, pins: tuple[str, str]) -> Finding:
    first, second = sorted(pins, key=int)
    return Finding(
        parts=(chip.ref,),
        what=f"No capacitor lies between pins {first} and {second} of {chip.ref}: its {name} cannot work.",
        cure=f"Put 100 nF between pins {first} and {second}, the same as at the other integrator.",
    )


def _off(survey: Survey, chip: Chip, name: str, size: float) -> Finding:
    leaf = max(chip.between(*INTEGRATORS[name]), key=lambda one: one.value)
    clean = highest_clean_hz(slope_v_per_s(size), LOUD_V)
    if size > MOST_F:
        effect = f"A note of {LOUD_V:g} V peak is followed only up to {hz(clean)}: loud repeats get dark."
    else:
        effect = (
            "The steps get coarser in proportion: more noise and distortion, the more the longer the delay."
        )
    return Finding(
        parts=(leaf.ref, chip.ref),
        what=(
            f"{named(survey.bench, leaf.ref)} across the {name} of {chip.ref} is outside 47 to 100 nF. "
            f"{effect}"
        ),
        evidence=(
            Evidence(name=f"capacitance across the {name}", value=size, unit="F", low=LEAST_F, high=MOST_F),
            Evidence(name=f"clean up to, at {LOUD_V:g} V peak", value=clean, unit="Hz"),
        ),
        cure=f"Make both integrators' capacitors {farads(SHEET_F)}.",
        changes=_both(chip),
        gravity=Gravity.POOR,
    )


def _both(chip: Chip) -> tuple[Change, ...]:
    found = [
        max(chip.between(*pins), key=lambda one: one.value, default=None) for pins in INTEGRATORS.values()
    ]
    return tuple(Change(ref=leaf.ref, value=SHEET_F) for leaf in found if leaf is not None)


RULE = Rule(
    code="E08",
    name="integrator-capacitors",
    title="The echo chip's integrators have no fitting capacitors",
    gravity=Gravity.DEAD,
    why=(
        "Coder and decoder are integrators: the capacitor turns single bits into a sound. Without it nothing "
        "can be coded; too large it cannot follow steep sounds, too small the bits are heard."
    ),
    source=f"{SHEET}: 100 nF and 82 nF; {MEASURED}: 47 to 100 nF, slope limit 1.05 mA over the capacitance",
    look=look,
    speaks=(
        Trial(text=without("U1.9 >"), blames=("U1",), says="coder"),
        Trial(text=without("U1.12 > C7"), blames=("U1",), says="decoder"),
        Trial(text=echo(("C6 100n", "C6 1u")), blames=("C6",), says="dark"),
        Trial(text=echo(("C7 100n", "C7 10n")), blames=("C7",), says="noise"),
    ),
    quiet=(
        Trial(text=echo()),
        Trial(text=echo(("C6 100n", "C6 47n"), ("C7 100n", "C7 47n"))),
        Trial(text=echo(("C6 100n", "C6 82n"), ("C7 100n", "C7 82n"))),
    ),
)
