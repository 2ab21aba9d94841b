"""What the walk-through says of an echo, each thing at the stage it belongs to."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import log10

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.records import WalkEcho, WalkEchoChip, WalkEchoKnob, WalkEchoMix
from pedalwright.echo.figures import value
from pedalwright.stages.stage import Number, Stage
from pedalwright.stages.wording import hz, listed, ohms, times, volts
from pedalwright.units.values import print_value

TIME, CHIP, FEEDBACK = "delay-time-network", "echo-chip", "feedback-path"
GROUNDED_DB = 30.0
"""a change of the delayed sound by so much: the knob takes it away (house rule)"""
UNTOUCHED_DB = 3.0
"""a change by less: the knob leaves the delayed sound alone (house rule)"""
STARTS = {
    "sure": "The clock is sure to start.",
    "risky": "The clock may fail to start now and then.",
    "fails": "The clock may not start at all: the dry sound comes, the echo does not.",
    "helped": "Here a start-up transistor keeps the way to ground open until the clock runs.",
}
SIDES = {1: "in step with the dry sound", -1: "upside down against the dry sound"}


def besides(analysis: Analysis, echo: WalkEcho | None) -> Mapping[str, tuple[str, ...]]:
    """Sentences on the echo by stage name; nothing without an echo chip."""
    found: dict[str, list[str]] = {}
    if echo is not None:
        for name, said in _all(analysis, echo):
            found.setdefault(name, []).extend(said)
    return {name: tuple(said) for name, said in found.items()}


def _all(analysis: Analysis, echo: WalkEcho) -> Iterable[tuple[str, Iterable[str]]]:
    for stage in analysis.stages.stages:
        for chip in echo.chips:
            if stage.kind == TIME and _is_at_pin_of(analysis, stage, chip):
                yield stage.name, delay_sentences(chip, stage.with_role("time knob"))
                yield stage.name, start_sentences(chip, stage.with_role("stopper resistor"))
            if stage.kind == CHIP and chip.chip in stage.refs:
                yield stage.name, chip_sentences(chip)
    first = next((stage.name for stage in analysis.stages.stages if stage.kind == CHIP), "")
    yield first, arrival_sentences(echo)
    if echo.comes_again and not echo.knobs:
        yield first, heard_sentences(echo)
    for knob in echo.knobs:
        role = analysis.stages.roles.get(knob.knob)
        name = role.stage if role is not None and role.stage else first
        tops = _fed_at(analysis, name)
        yield name, (*loop_sentences(knob), *heard_sentences(echo), *wiring_sentences(knob, tops))
    for mix in echo.mixes:
        yield mix.stage, mix_sentences(mix, echo)


def _fed_at(analysis: Analysis, name: str) -> str:
    stage = analysis.stages.stage(name) if name else None
    return spoken(stage.inputs[0]) if stage is not None and stage.kind == FEEDBACK and stage.inputs else ""


def with_delays(
    analysis: Analysis, stage: Stage, numbers: tuple[Number, ...], echo: WalkEcho | None
) -> tuple[Number, ...]:
    """A delay-time network's figures with those of the solved circuit and the maker's table beside them."""
    if stage.kind != TIME or echo is None:
        return numbers
    for chip in echo.chips:
        if _is_at_pin_of(analysis, stage, chip):
            full = {
                "resistance at pin 6": chip.time_ohms,
                "delay": chip.delay_s,
                "shortest delay": chip.shortest_s,
                "longest delay": chip.longest_s,
            }
            return tuple(replace(one, full=full.get(one.name, one.full)) for one in numbers)
    return numbers


def _is_at_pin_of(analysis: Analysis, stage: Stage, chip: WalkEchoChip) -> bool:
    joined = analysis.view.joined
    return joined[stage.output] == joined[analysis.circuit.by_ref[chip.chip].net("6")]


def delay_sentences(chip: WalkEchoChip, knobs: tuple[str, ...]) -> Iterable[str]:
    """The delay now, over the spread of chips, and over the knob's turn."""
    source = "by the maker's table" if chip.within_table else "by the fitted law, beyond the maker's table"
    yield (
        f"{ohms(chip.time_ohms)} at pin 6 makes {_s(chip.delay_s)} {source}; from chip to chip "
        f"{_s(chip.low_s)} to {_s(chip.high_s)} (measured spread)."
    )
    if chip.shortest_s is not None and chip.longest_s is not None:
        who = listed(list(knobs)) if knobs else "The time knob"
        verb = "turn" if len(knobs) > 1 else "turns"
        yield (
            f"{who} {verb} the delay from {_s(chip.shortest_s)} to {_s(chip.longest_s)} (resting current of "
            "pin 6, solved over the dial)."
        )


def start_sentences(chip: WalkEchoChip, stoppers: tuple[str, ...]) -> Iterable[str]:
    """Why there must always be some resistance at pin 6, and whether there is."""
    who = f"{listed(list(stoppers))} must not be smaller" if stoppers else "It must never be much less"
    least, safe = ohms(value("least_start_ohms")), ohms(value("safe_start_ohms"))
    yield (
        f"Pin 6 sees {ohms(chip.least_ohms)} at the least. {who}: at switch-on with less than {least} (data "
        f"sheet, note 5), by the trade's rule less than {safe} (common practice, no source), too much "
        "current flows and the clock may never start: dry sound, no echo, now and then, until it is switched "
        f"on again. {STARTS[chip.start]}"
    )


def chip_sentences(chip: WalkEchoChip) -> Iterable[str]:
    """What the loudest sound expected is against what the chip takes."""
    if chip.coder_peak_v is None or chip.coder_room_db is None:
        return
    most = volts(value("output_swing_v"))
    where = "below" if chip.coder_room_db >= 0 else "ABOVE"
    yield (
        f"The loudest dry sound expected reaches {volts(chip.coder_peak_v)} peak at the coder of "
        f"{chip.chip}, {abs(chip.coder_room_db):.1f} dB {where} the {most} it typically takes (data sheet); "
        "repeats that come back add to it."
    )


def arrival_sentences(echo: WalkEcho) -> Iterable[str]:
    """When the first repeat comes, how loud, and on which side."""
    at = hz(echo.reference_hz)
    if echo.first_s is None:
        yield "Nothing of the delayed sound arrives at the output."
    elif echo.against_dry_db is not None:
        side = f", {SIDES[echo.side]}" if echo.side is not None else ""
        yield (
            f"The first repeat comes {_s(echo.first_s)} after the dry sound, {echo.against_dry_db:+.1f} dB "
            f"against it at {at}{side}."
        )
    else:
        yield f"The delayed sound comes after {_s(echo.first_s)}, without dry sound beside it."
    if echo.first_s is not None and not echo.comes_again:
        yield "Nothing of it is led back to be delayed once more: one repeat, and it cannot run away."


def loop_sentences(knob: WalkEchoKnob) -> Iterable[str]:
    """How near the loop is to running away: typical, and over builds."""
    yield (
        f"With {knob.knob} at {knob.position:g}, {_percent(knob.comes_back)} of what set out comes back once "
        f"round, most near {hz(knob.peak_hz)}: {_margin(knob.margin_db)}. Fully up it is "
        f"{_percent(knob.fully_up)}: {_margin(knob.fully_up_margin_db)} (typical chips)."
    )
    if knob.runs_away_from is not None and knob.howl_hz is not None:
        yield (
            f"From {knob.runs_away_from:.1f} of the dial on the repeats grow by themselves; "
            f"{hz(knob.howl_hz)} howls first."
        )
    yield (
        f"Of {knob.builds} builds with parts and chips off their values {_share(knob.share_running_away)} "
        f"run away fully up and {_share(knob.share_running_away_now)} as the knob stands; `pedalwright "
        "repeats` tells more, over 2000 builds."
    )


def heard_sentences(echo: WalkEcho) -> Iterable[str]:
    """How many repeats are heard."""
    if echo.heard is None or echo.last_heard_s is None:
        yield "The repeats do not die away within those looked at."
        return
    count = "one repeat is" if echo.heard == 1 else f"{echo.heard} repeats are"
    yield (
        f"As the knobs stand {count} less than 60 dB below the loudest; the last comes after "
        f"{_s(echo.last_heard_s)}."
    )


def wiring_sentences(knob: WalkEchoKnob, fed_at: str) -> Iterable[str]:
    """Whether the knob, turned down, takes the delayed sound itself away, and why that matters; `fed_at` is
    the net at the end of its track, empty where it is no divider.
    """
    if knob.wet_change_db is None:
        return
    if knob.wet_change_db < UNTOUCHED_DB:
        change = f"over the whole dial that changes by {knob.wet_change_db:.1f} dB only"
        if not fed_at:
            yield f"{knob.knob} leaves the delayed sound on its way to the output alone: {change}."
            return
        yield (
            f"{knob.knob} is fed at the end of its track ({fed_at}) and sends on from its wiper, so turned "
            f"down it grounds what goes back, never the delayed sound on its way to the output: {change}. "
            "Fed at the wiper it would short the echo itself to ground at the end of the dial."
        )
    elif knob.wet_change_db > GROUNDED_DB:
        yield (
            f"Here {knob.knob} does take the delayed sound itself away: turned down, the echo is no longer "
            f"heard at the output ({_more(knob.wet_change_db)} softer than at its loudest), for what is "
            "heard passes the same knob. One repeat alone cannot be had at full level."
        )
    else:
        yield (
            f"{knob.knob} also moves the level of the delayed sound at the output, by "
            f"{knob.wet_change_db:.1f} dB over its dial: it loads what it is fed from."
        )


def mix_sentences(mix: WalkEchoMix, echo: WalkEcho) -> Iterable[str]:
    """The weights of dry sound and repeats, and why the wet resistor is the smaller one."""
    yield (
        f"Weights: dry sound from {spoken(mix.dry_net)} {_arm(mix.dry_parts, mix.dry_ohms)}"
        f"{times(mix.dry_weight)}, repeats from {spoken(mix.wet_net)} {_arm(mix.wet_parts, mix.wet_ohms)}"
        f"{times(mix.wet_weight)}."
    )
    apart = mix.dry_level_db - mix.wet_level_db
    if apart > 0:
        arrives = f"The first repeat arrives here {apart:.1f} dB softer than the dry sound"
    else:
        arrives = f"The first repeat arrives here {-apart:.1f} dB louder than the dry sound"
    yield f"{arrives}, as the knobs stand."
    if mix.wet_ohms is not None and mix.dry_ohms is not None and mix.wet_ohms < mix.dry_ohms and apart > 0:
        yield (
            f"Before the chip that cannot be made up for without limit: it takes "
            f"{volts(value('output_swing_v'))} peak and no more{_rooms(echo)}, and itself loses "
            f"{-value('through_gain_db'):.1f} dB (data sheet, typical). So the mixer does it: the smaller "
            f"resistor gives the repeats {_made_up(mix):.1f} dB more weight."
        )
    if echo.against_dry_db is not None:
        side = f", {SIDES[echo.side]}" if echo.side is not None else ""
        yield f"At the output the first repeat is {echo.against_dry_db:+.1f} dB against the dry sound{side}."


def _arm(parts: tuple[str, ...], resistance: float | None) -> str:
    return f"through {listed(list(parts))} ({ohms(resistance)}) " if parts and resistance is not None else ""


def _made_up(mix: WalkEchoMix) -> float:
    return 20 * log10(mix.wet_weight / mix.dry_weight)


def _rooms(echo: WalkEcho) -> str:
    rooms = [chip.coder_room_db for chip in echo.chips if chip.coder_room_db is not None]
    return f" ({min(rooms):.1f} dB of room are left)" if rooms and min(rooms) >= 0 else ""


def _s(seconds: float) -> str:
    return print_value(seconds, "s")


def _percent(ratio: float) -> str:
    return f"{100 * ratio:.3g} %"


def _share(share: float) -> str:
    return "none" if share == 0 else _percent(share)


def _more(level_db: float) -> str:
    return "more than 60 dB" if level_db > 60 else f"{level_db:.0f} dB"


def _margin(margin_db: float) -> str:
    if margin_db > 0:
        return f"{margin_db:.1f} dB are missing to running away"
    return f"it runs away, {-margin_db:.1f} dB beyond the edge"
