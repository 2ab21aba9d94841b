"""The capacitor that holds the chip's half supply still: missing or too small."""

from collections.abc import Iterable
from math import pi

from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import SHEET, Chip, chips, limit, total
from pedalwright.review.rules.echo_chip._trial import echo, without
from pedalwright.review.survey import Survey
from pedalwright.stages.branch import Leaf
from pedalwright.stages.wording import farads, hz, named, ohms

LEAST_F = 10e-6
"""the least the rule takes for good; the maker draws 47 uF (house rule)"""
SHEET_F = 47e-6
MOVED_F = 0.47e-6
"""enough where the reference is moved on purpose: a chorus that was measured has 1 uF there"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every chip with too little capacitance from pin 2 to ground."""
    for chip in chips(survey):
        held = chip.to_ground("2")
        least = MOVED_F if _is_moved(survey, chip) else LEAST_F
        if total(held) < least:
            yield _missing(chip) if not held else _small(survey, chip, held, least)


def _is_moved(survey: Survey, chip: Chip) -> bool:
    """Whether a resistor pulls the reference towards something that moves."""
    return any(
        leaf.sort == "R" and not survey.classes.is_still(leaf.other(chip.net("2")))
        for leaf in chip.outside("2")
        if survey.circuit.by_ref[leaf.ref].kind != "echo-chip"
    )


def _missing(chip: Chip) -> Finding:
    return Finding(
        parts=(chip.ref,),
        what=(
            f"No capacitor holds pin 2 of {chip.ref}: hum and clock on the supply reach all four of its "
            "amplifiers."
        ),
        cure="Put 47 µF (10 V or more) from pin 2 to ground, plus at pin 2.",
    )


def _small(survey: Survey, chip: Chip, held: tuple[Leaf, ...], least_f: float) -> Finding:
    size = total(held)
    corner = 1 / (2 * pi * limit("reference_ohms") * size)
    largest = max(held, key=lambda leaf: leaf.value)
    return Finding(
        parts=(largest.ref, chip.ref),
        what=(
            f"{named(survey.bench, largest.ref)} holds the half supply of {chip.ref} still only above "
            f"{hz(corner)} (against {ohms(limit('reference_ohms'))} inside)."
        ),
        evidence=(
            Evidence(name="capacitance at pin 2", value=size, unit="F", low=least_f),
            Evidence(name="corner", value=corner, unit="Hz"),
        ),
        cure=f"Make {largest.ref} {farads(SHEET_F)}, plus at pin 2.",
        changes=(Change(ref=largest.ref, value=SHEET_F),),
    )


RULE = Rule(
    code="E06",
    name="reference-capacitor",
    title="The echo chip's half supply is not held still",
    gravity=Gravity.POOR,
    why=(
        "All four amplifiers of the chip rest on pin 2, which is half the supply behind some 5.5 kohm. What "
        "moves there is heard; the chip itself keeps only 30 to 40 dB of it out."
    ),
    source=f"{SHEET}: 47 uF; 5.5 kohm measured by a builder, 2021; 10 uF as the least: house rule",
    look=look,
    speaks=(
        Trial(text=without("U1.2 >"), blames=("U1",)),
        Trial(text=echo(("C3 47u", "C3 1u")), blames=("C3",)),
    ),
    quiet=(
        Trial(text=echo()),
        Trial(text=echo(("C3 47u", "C3 1u")) + "IN > R30 100k > U1.2\n"),
    ),
)
