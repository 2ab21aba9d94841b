"""The echo among a walk-through's figures at a glance."""

from collections.abc import Iterable

from pedalwright.analysis.records import WalkEcho, WalkEchoChip, WalkEchoKnob
from pedalwright.report.figures import figure, percent

SIDES = {1: "in step", -1: "upside down"}


def echo_glance(echo: WalkEcho | None) -> Iterable[tuple[str, str]]:
    """Delay and its range, the first repeat, how many are heard, and the margin: name and value."""
    if echo is None:
        return
    several = len(echo.chips) > 1
    for chip in echo.chips:
        yield f"delay{f' of {chip.chip}' if several else ''}", _delay(chip)
    if echo.against_dry_db is not None:
        side = f", {SIDES[echo.side]}" if echo.side is not None else ""
        yield "first repeat against dry sound", f"{figure(echo.against_dry_db, 'dB')}{side}"
    if echo.first_s is not None:
        yield "repeats until 60 dB down", _heard(echo)
    for knob in echo.knobs:
        yield f"margin to running away ({knob.knob})", _margin(knob)


def _delay(chip: WalkEchoChip) -> str:
    now = figure(chip.delay_s, "s")
    if chip.shortest_s is None or chip.longest_s is None:
        return now
    return f"{now}; {figure(chip.shortest_s, 's')} to {figure(chip.longest_s, 's')} over the knob"


def _heard(echo: WalkEcho) -> str:
    if echo.heard is None or echo.last_heard_s is None:
        return "no end among those looked at"
    return f"{echo.heard}, the last after {figure(echo.last_heard_s, 's')}"


def _margin(knob: WalkEchoKnob) -> str:
    away = "none" if knob.share_running_away == 0 else percent(knob.share_running_away)
    return (
        f"{figure(knob.margin_db, 'dB')} now, {figure(knob.fully_up_margin_db, 'dB')} fully up; "
        f"{away} of {knob.builds} builds run away fully up"
    )
