"""Why an amplifier rests where it should not, told once: which rule speaks about which section."""

from pedalwright.circuit.circuit import GROUND
from pedalwright.review.rules.bias._sections import Section, heard_at, resting_table, sections
from pedalwright.review.survey import Survey
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.branch import Leaf

CODER_PIN = "15"
REACHES = 1e-3
"""60 dB down: less of an output arrives at the jack than is worth calling a path (house rule)"""
SUPPLIED = 0.5
MULTIPLIES = 1.5
"""a section that multiplies its own resting voltage by more than this has no capacitor where one belongs"""


def is_told_elsewhere(survey: Survey, section: Section) -> bool:
    """A floating input, exchanged inputs, a missing feedback or a direct-coupled gain explain it better."""
    return bool(
        section.floating or section.latches or section.is_open or resting_gain(survey, section) is not None
    )


def leads_on(survey: Survey, section: Section) -> bool:
    """What the section puts out arrives at the output jack, or at an echo chip's coder."""
    band, view = survey.band, survey.view
    column = exciting_column(band, section.amplifier.out)
    moved = abs(band.table[:, band.row(section.amplifier.out), column])
    ends = [view.output_net, *(view.net(chip, CODER_PIN) for chip in survey.parts_of("echo-chip"))]
    return any(
        band.knows(net) and bool((abs(band.table[:, band.row(net), column]) > REACHES * moved).any())
        for net in ends
        if net
    )


def resting_gain(survey: Survey, section: Section) -> tuple[float, Leaf] | None:
    """How many times the section amplifies its own resting voltage, and the resistor to ground that makes it;
    None where there is no such resistor, or it does no harm.
    """
    if section.minus_share <= 0 or section.is_decisive:
        return None
    gain = 1.0 / section.minus_share
    leg = next(
        (leaf for leaf in survey.view.on(section.amplifier.inv) if _is_leg(survey, section, leaf)), None
    )
    if leg is None or gain < MULTIPLIES or section.non_inverting_v < SUPPLIED:
        return None
    return gain, leg


def _is_leg(survey: Survey, section: Section, leaf: Leaf) -> bool:
    """A resistor from the inverting input to ground, though the section rests on a half supply."""
    return leaf.sort == "R" and leaf.other(section.amplifier.inv) == GROUND


def hearing_sections(survey: Survey) -> tuple[Section, ...]:
    """The powered sections on the way of the sound that are meant to be linear, outside the echo chips."""
    return tuple(
        one
        for one in sections(survey)
        if one.is_powered and one.listens and not one.is_decisive and "/" not in one.ref
    )


def resting_ohms(survey: Survey, net: str) -> float:
    """Resistance to ground that a steady current into a net meets, in ohms."""
    row = survey.rest.system.row(net)
    return float(resting_table(survey)[row, row])


__all__ = ["heard_at", "hearing_sections", "is_told_elsewhere", "leads_on", "resting_gain", "resting_ohms"]
