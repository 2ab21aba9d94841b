"""Figures of a first-order all-pass: where it turns by a quarter, and how well it is balanced."""

from pedalwright.stages.amplifier_says import corner_hz
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import sorts
from pedalwright.stages.channel import conductance
from pedalwright.stages.multiple_feedback_shape import farads_of
from pedalwright.stages.stage import (
    Stage,
)
from pedalwright.stages.wording import plain_resistance


def turning_hz(stage: Stage, bench: Bench) -> float:
    """Frequency at which the phase has turned by 90 degrees, in hertz; infinite when the resistance is not
    known.
    """
    side = resistive_side(stage)
    known = sum(1.0 / plain_resistance(branch) for branch in stage.branches[side])
    known += sum(conductance(bench, ref) for ref in channels_in(stage, side))
    other = "series" if side == "ground" else "ground"
    farads = sum(farads_of(branch) for branch in stage.branches[other])
    return corner_hz(1.0 / known, farads) if known else float("inf")


def resistive_side(stage: Stage) -> str:
    """Which arm at the non-inverting input holds the resistance."""
    series = stage.branches["series"]
    return "ground" if series and sorts(series[0]) == {"C"} else "series"


def balance(stage: Stage) -> float:
    """Feedback over input resistance: 1 in a true all-pass."""
    return plain_resistance(stage.branch("feedback")) / plain_resistance(stage.branch("input"))


def known_ohms(stage: Stage, bench: Bench) -> bool:
    """The turning frequency can be told: every channel's resistance is known."""
    channels = [ref for side in ("series", "ground") for ref in channels_in(stage, side)]
    return all(conductance(bench, ref) for ref in channels) and turning_hz(stage, bench) != float("inf")


def channels_in(stage: Stage, side: str) -> tuple[str, ...]:
    """The transistors and cells in one arm."""
    return tuple(
        name.removeprefix("channel ")
        for name, where in stage.nets.items()
        if name.startswith("channel ") and where == side
    )
