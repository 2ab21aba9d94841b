"""Nothing gets into the coder, or nothing out of the decoder."""

from collections.abc import Iterable
from math import isfinite, log10

from pedalwright.analysis.levels import FAINT, arriving
from pedalwright.review.rule import CannotSay, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import MIDDLE_HZ, Chip, chips, from_net, level_db
from pedalwright.review.rules.echo_chip._trial import echo, without
from pedalwright.review.survey import Survey
from pedalwright.solve.band import Band, band_hz

FAINT_DB = -80.0
"""what arrives weaker came through the supply, not along the way"""
NONE_DB = -200.0
"""told where nothing arrives at all"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every chip: from the input jack to pin 15, from pin 12 to the output jack or another chip."""
    found = chips(survey)
    for chip in found:
        if survey.circuit.input is not None and not _enters(survey, chip):
            yield _nothing(
                chip,
                "No sound gets from the input jack to",
                "15",
                _entering_db(survey, chip),
                "Lead the sound to pins 15 and 16",
            )
        elif survey.circuit.output is not None and not _leaves(survey, chip, found):
            yield _nothing(
                chip,
                "No sound gets to the output jack from",
                "12",
                _leaving_db(survey, chip, found),
                "Lead pin 12 to the output filter",
            )


def _enters(survey: Survey, chip: Chip) -> bool:
    if not chip.uses("15"):
        return False
    return _hears(survey, survey.band, chip) or any(
        _hears_moved(survey, pose) for pose in _elsewhere(survey, chip)
    )


def _elsewhere(survey: Survey, chip: Chip) -> Iterable[tuple[Band, Chip]]:
    """The chip with one knob or switch moved, where that can be solved."""
    for pose in survey.poses[1:]:
        if pose.analysis.small is not None:
            band = Band(pose.analysis.small, band_hz()[24:26])
            yield band, Chip(Survey(pose.analysis), pose.analysis.circuit.by_ref[chip.ref])


def _hears(survey: Survey, band: Band, chip: Chip) -> bool:
    direct, repeat = arriving(survey.analysis, band, chip.part.net("15"))
    return max(direct, repeat) > FAINT


def _hears_moved(survey: Survey, moved: tuple[Band, Chip]) -> bool:
    band, chip = moved
    return _hears(chip.survey, band, chip)


def _leaves(survey: Survey, chip: Chip, all_chips: tuple[Chip, ...]) -> bool:
    if not chip.uses("12"):
        return False
    if _heard_of(survey, chip, all_chips):
        return True
    for pose in survey.poses[1:]:
        moved = Survey(pose.analysis)
        try:
            if _heard_of(moved, Chip(moved, moved.circuit.by_ref[chip.ref]), chips(moved)):
                return True
        except CannotSay:
            continue
    return False


def _heard_of(survey: Survey, chip: Chip, all_chips: tuple[Chip, ...]) -> bool:
    return _leaving_db(survey, chip, all_chips) > FAINT_DB


def _entering_db(survey: Survey, chip: Chip) -> float:
    """What arrives at the coder of what is at the jack."""
    if not chip.uses("15"):
        return NONE_DB
    arrives = max(arriving(survey.analysis, survey.band, chip.part.net("15")))
    return max(20 * log10(arrives), NONE_DB) if arrives > 0 else NONE_DB


def _leaving_db(survey: Survey, chip: Chip, all_chips: tuple[Chip, ...]) -> float:
    """What arrives at the output jack or at another chip's coder of what is at pin 12."""
    if not chip.uses("12"):
        return NONE_DB
    output = survey.circuit.output
    goals = [output.net] if output is not None else []
    goals += [other.part.net("15") for other in all_chips if other.ref != chip.ref and other.uses("15")]
    start = chip.part.net("12")
    levels = (level_db(survey, from_net(survey, start, goal), MIDDLE_HZ) for goal in goals)
    return max((level for level in levels if isfinite(level)), default=NONE_DB)


def _nothing(chip: Chip, what: str, pin: str, level: float, cure: str) -> Finding:
    return Finding(
        parts=(chip.ref,),
        what=f"{what} pin {pin} of {chip.ref}, wherever the knobs stand: there is no echo.",
        evidence=(
            Evidence(
                name="what arrives of it at 1 kHz",
                value=max(level, NONE_DB),
                unit="dB",
                low=FAINT_DB,
                basis="knobs as they stand; what is fainter came along the supply",
            ),
        ),
        cure=f"{cure}: follow the line from part to part and look for the one that ends nowhere.",
    )


RULE = Rule(
    code="E11",
    name="echo-way-broken",
    title="The sound does not pass through the echo chip",
    gravity=Gravity.DEAD,
    why=(
        "The sound enters the chip's coder from its input filter (pins 16 and 15) and comes out of the "
        "decoder at pin 12. Where either way is broken the dry sound may still be fine, but there is no "
        "echo."
    ),
    source="computed: the gain along the way, knobs and switches moved",
    look=look,
    speaks=(
        Trial(text=without("IN > C8"), blames=("U1",), says="15"),
        Trial(
            text=echo(("WET > C14 1u (film) > OUT", "IN > C14 1u (film) > OUT")), blames=("U1",), says="12"
        ),
    ),
    quiet=(Trial(text=echo()),),
)
