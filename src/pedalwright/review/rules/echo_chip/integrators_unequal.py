"""Coder and decoder with unlike integrators: the echo comes out with a shelf."""

from collections.abc import Iterable
from math import log10, pi

from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import MEASURED, Chip, chips, limit, total
from pedalwright.review.rules.echo_chip._trial import echo
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import hz, named

HEARD_DB = 1.0
"""two parts of 5 % on the same value stay below it (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every chip with both capacitors in place."""
    for chip in chips(survey):
        coder, decoder = chip.between("9", "10"), chip.between("12", "11")
        if coder and decoder:
            shelf = shelf_db(total(coder), total(decoder))
            if abs(shelf) >= HEARD_DB:
                yield _finding(survey, chip, shelf)


def shelf_db(coder_farads: float, decoder_farads: float) -> float:
    """By how much the treble of the echo stands above its bass [dB], from the integrators' capacitors [F]."""
    return 20 * log10(coder_farads / decoder_farads)


def _finding(survey: Survey, chip: Chip, shelf: float) -> Finding:
    coder, decoder = (
        max(chip.between(*pins), key=lambda leaf: leaf.value) for pins in (("9", "10"), ("12", "11"))
    )
    corners = sorted(
        1 / (2 * pi * limit("integrator_ohms") * total(chip.between(*pins)))
        for pins in (("9", "10"), ("12", "11"))
    )
    way = "brighter" if shelf > 0 else "darker"
    return Finding(
        parts=(coder.ref, decoder.ref, chip.ref),
        what=(
            f"{named(survey.bench, coder.ref)} and {named(survey.bench, decoder.ref)} are unlike: each "
            f"repeat comes out {abs(shelf):.1f} dB {way} above {hz(corners[1])} than below "
            f"{hz(corners[0])}."
        ),
        evidence=(
            Evidence(name="shelf, treble over bass", value=shelf, unit="dB", low=-HEARD_DB, high=HEARD_DB),
        ),
        cure=f"Make {decoder.ref} the same as {named(survey.bench, coder.ref)}.",
        changes=(Change(ref=decoder.ref, value=coder.value),),
    )


RULE = Rule(
    code="E09",
    name="integrators-unequal",
    title="Coder and decoder of the echo chip are not alike",
    gravity=Gravity.POOR,
    why=(
        "The decoder undoes what the coder does only when both integrators are alike. Unlike capacitors tilt "
        "the echo, and each time round the loop tilts it again."
    ),
    source=f"{MEASURED}: 47 against 100 nF give a shelf of 6.5 dB; 20 log of the ratio",
    look=look,
    speaks=(
        Trial(text=echo(("C7 100n", "C7 47n")), blames=("C6", "C7"), says="6.6 dB brighter"),
        Trial(text=echo(("C6 100n", "C6 47n")), blames=("C6", "C7"), says="6.6 dB darker"),
    ),
    quiet=(Trial(text=echo()), Trial(text=echo(("C6 100n", "C6 91n"), ("C7 100n", "C7 91n")))),
)
