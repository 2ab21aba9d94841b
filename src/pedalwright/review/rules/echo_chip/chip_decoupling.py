"""An echo chip whose supply has no capacitors of its own."""

from collections.abc import Iterable

from pedalwright.devices.kinds.capacitor import is_polarised
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import SHEET, Chip, chips, total
from pedalwright.review.rules.echo_chip._trial import echo, without
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import farads, listed

LEAST_F = 10e-6
"""the maker draws 100 uF; a fifth of the usual 47 uF is told (house rule)"""
FAST_F = (10e-9, 10e-6)
"""a capacitor of this size that is no electrolytic works at the clock's frequency (common practice)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Pin 1 of every chip; chips on one supply together."""
    nets: dict[str, list[Chip]] = {}
    for chip in chips(survey):
        nets.setdefault(chip.net("1"), []).append(chip)
    for together in nets.values():
        leaves = together[0].to_ground("1")
        held = total(leaves)
        fast = [
            leaf
            for leaf in leaves
            if FAST_F[0] <= leaf.value <= FAST_F[1] and not is_polarised(survey.circuit.by_ref[leaf.ref])
        ]
        if held < LEAST_F or not fast:
            yield _finding(together, held, has_fast=bool(fast))


def _finding(together: list[Chip], held: float, *, has_fast: bool) -> Finding:
    refs = [chip.ref for chip in together]
    poor = held < LEAST_F
    lacks = ["47 to 100 µF"] * poor + ["100 nF (ceramic)"] * (not has_fast)
    small = f"only {farads(held)}" if held else "no capacitor"
    what = (
        f"Pin 1 of {listed(refs)} has {small} to ground"
        if poor
        else f"No small capacitor holds pin 1 of {listed(refs)} still at the clock's frequency"
    )
    return Finding(
        parts=tuple(refs),
        what=f"{what}: clock and bits get from the chip's supply into the sound.",
        evidence=(Evidence(name="capacitance at pin 1", value=held, unit="F", low=LEAST_F),),
        cure=f"Put {listed(lacks)} from pin 1 to the analogue ground, close to each chip.",
        gravity=Gravity.POOR if poor else None,
    )


RULE = Rule(
    code="E26",
    name="chip-decoupling",
    title="The echo chip's supply is not decoupled at its pin",
    gravity=Gravity.NOTE,
    why=(
        "The chip draws its current in gulps at the clock's rate, and lets only 30 to 40 dB less of what "
        "is on its supply into the sound. The gulps must come from a capacitor beside pin 1."
    ),
    source=f"{SHEET}: 100 nF and 100 uF at pin 1, supply rejection 30 to 40 dB",
    look=look,
    speaks=(
        Trial(text=without("V5 > C1", "V5 > C2"), blames=("U1",), says="no capacitor"),
        Trial(text=without("V5 > C2"), blames=("U1",), says="small capacitor"),
        Trial(text=echo(("C1 100u", "C1 1u")), blames=("U1",)),
    ),
    quiet=(Trial(text=echo()), Trial(text=echo(("C1 100u", "C1 47u")))),
)
