"""The echo of a walk-through as plain data: the key ``echo`` of the schema ``pedalwright.walk/1``."""

from typing import Any

from pedalwright.analysis.records import WalkEcho, WalkEchoChip, WalkEchoKnob, WalkEchoMix
from pedalwright.report.plain_data import number


def walk_echo_data(echo: WalkEcho) -> dict[str, Any]:
    """The echo with its chips, repeats knobs and mixers."""
    return {
        "reference_hz": number(echo.reference_hz),
        "chips": [_chip(one) for one in echo.chips],
        "knobs": [_knob(one) for one in echo.knobs],
        "mixes": [_mix(one) for one in echo.mixes],
        "first_s": number(echo.first_s),
        "against_dry_db": number(echo.against_dry_db),
        "side": echo.side,
        "comes_again": echo.comes_again,
        "heard": echo.heard,
        "last_heard_s": number(echo.last_heard_s),
        "refusals": list(echo.refusals),
    }


def _chip(chip: WalkEchoChip) -> dict[str, Any]:
    return {
        "chip": chip.chip,
        "delay_s": number(chip.delay_s),
        "low_s": number(chip.low_s),
        "high_s": number(chip.high_s),
        "within_table": chip.within_table,
        "shortest_s": number(chip.shortest_s),
        "longest_s": number(chip.longest_s),
        "time_ohms": number(chip.time_ohms),
        "least_ohms": number(chip.least_ohms),
        "start": chip.start,
        "coder_peak_v": number(chip.coder_peak_v),
        "coder_room_db": number(chip.coder_room_db),
    }


def _knob(knob: WalkEchoKnob) -> dict[str, Any]:
    return {
        "knob": knob.knob,
        "position": number(knob.position),
        "comes_back": number(knob.comes_back),
        "peak_hz": number(knob.peak_hz),
        "margin_db": number(knob.margin_db),
        "fully_up": number(knob.fully_up),
        "fully_up_margin_db": number(knob.fully_up_margin_db),
        "runs_away_from": number(knob.runs_away_from),
        "howl_hz": number(knob.howl_hz),
        "builds": knob.builds,
        "share_running_away": number(knob.share_running_away),
        "share_running_away_now": number(knob.share_running_away_now),
        "wet_change_db": number(knob.wet_change_db),
    }


def _mix(mix: WalkEchoMix) -> dict[str, Any]:
    return {
        "stage": mix.stage,
        "dry_net": mix.dry_net,
        "wet_net": mix.wet_net,
        "dry_parts": list(mix.dry_parts),
        "wet_parts": list(mix.wet_parts),
        "dry_ohms": number(mix.dry_ohms),
        "wet_ohms": number(mix.wet_ohms),
        "dry_weight": number(mix.dry_weight),
        "wet_weight": number(mix.wet_weight),
        "dry_level_db": number(mix.dry_level_db),
        "wet_level_db": number(mix.wet_level_db),
    }
