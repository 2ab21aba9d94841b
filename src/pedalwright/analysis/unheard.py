"""Stages whose gain at 1 kHz tells nothing: they switch, swing slowly, or keep the time."""

from pedalwright.analysis.memo import Analysis
from pedalwright.stages.path import SWING
from pedalwright.stages.recognise import kind_named
from pedalwright.stages.stage import Stage

TIMEKEEPERS = frozenset({"delay-time-network", "echo-chip"})
"""of the echo's stages the ones no sound is amplified in: what they do shows in seconds and thresholds"""


def is_unheard(analysis: Analysis, stage: Stage | None) -> bool:
    """True for a stage that no sound goes through as through a filter or an amplifier."""
    if stage is None:
        return False
    if kind_named(stage.kind).group == "oscillator" or stage.kind in TIMEKEEPERS:
        return True
    return any(chain.title == SWING and stage.name in chain.stages for chain in analysis.path.chains)


def formula_first(analysis: Analysis, stage: Stage | None) -> bool:
    """True where the stage's own figures say more of a part than any level does."""
    return stage is not None and (kind_named(stage.kind).group == "echo" or is_unheard(analysis, stage))
