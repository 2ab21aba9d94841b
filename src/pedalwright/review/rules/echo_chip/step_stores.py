"""The two capacitors that store the step sizes: missing, too small, or unlike."""

from collections.abc import Iterable

from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import MEASURED, SHEET, Chip, chips, total
from pedalwright.review.rules.echo_chip._trial import echo, without
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import farads, named

LEAST_F, SHEET_F = 47e-9, 100e-9
LEAST_WITH_TOLERANCE_F = 0.9 * LEAST_F
"""a 47 nF part may be a tenth small"""
UNLIKE = 2.0
"""coder and decoder open their steps alike only with like stores; twice is no tolerance (house rule)"""
STORES = {"7": "decoder", "8": "coder"}


def look(survey: Survey) -> Iterable[Finding]:
    """Pins 7 and 8 of every chip."""
    for chip in chips(survey):
        sizes = {pin: total(chip.to_ground(pin)) for pin in STORES}
        poor = [pin for pin, size in sizes.items() if size < LEAST_WITH_TOLERANCE_F]
        for pin in poor:
            yield _small(survey, chip, pin, sizes[pin])
        if not poor and max(sizes.values()) > UNLIKE * min(sizes.values()):
            yield _unlike(survey, chip, sizes)


def _small(survey: Survey, chip: Chip, pin: str, size: float) -> Finding:
    leaves = chip.to_ground(pin)
    noisy = "the steps then follow every bit, and the sound gets rough and noisy."
    if not leaves:
        return Finding(
            parts=(chip.ref,),
            what=f"No capacitor stores the step size of {chip.ref}'s {STORES[pin]} at pin {pin}: {noisy}",
            cure=f"Put 100 nF from pin {pin} to ground.",
        )
    largest = max(leaves, key=lambda leaf: leaf.value)
    return Finding(
        parts=(largest.ref, chip.ref),
        what=f"{named(survey.bench, largest.ref)} at pin {pin} of {chip.ref} is too small: {noisy}",
        evidence=(Evidence(name=f"capacitance at pin {pin}", value=size, unit="F", low=LEAST_F),),
        cure=f"Make {largest.ref} {farads(SHEET_F)}.",
        changes=(Change(ref=largest.ref, value=SHEET_F),),
    )


def _unlike(survey: Survey, chip: Chip, sizes: dict[str, float]) -> Finding:
    refs = [max(chip.to_ground(pin), key=lambda leaf: leaf.value).ref for pin in STORES]
    both = " and ".join(named(survey.bench, ref) for ref in refs)
    return Finding(
        parts=(*refs, chip.ref),
        what=f"{both} store the steps of {chip.ref} and are unlike: decoder and coder take unlike steps.",
        evidence=tuple(
            Evidence(name=f"capacitance at pin {pin}", value=size, unit="F") for pin, size in sizes.items()
        ),
        cure=f"Make both {farads(SHEET_F)}.",
        changes=tuple(Change(ref=ref, value=SHEET_F) for ref in refs),
    )


RULE = Rule(
    code="E07",
    name="step-stores",
    title="The capacitors for the step size are not right",
    gravity=Gravity.POOR,
    why=(
        "The chip makes its steps larger when the sound gets steeper, and stores how large on two "
        "capacitors. With 1 nF noise and distortion were measured to double; more than 100 nF brought "
        "nothing."
    ),
    source=f"{SHEET}: 100 nF; {MEASURED}; 47 nF as the least: house rule",
    look=look,
    speaks=(
        Trial(text=without("U1.8 >"), blames=("U1",), says="pin 8"),
        Trial(text=echo(("C5 100n", "C5 1n")), blames=("C5",)),
        Trial(text=echo(("C5 100n", "C5 1u")), blames=("C4", "C5"), says="unlike"),
    ),
    quiet=(Trial(text=echo()), Trial(text=echo(("C4 100n", "C4 47n"), ("C5 100n", "C5 47n")))),
)
