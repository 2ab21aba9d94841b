"""An echo as JSON: the schema ``pedalwright.repeats/1``, told in docs/json-schemas.md."""

from typing import Any

from pedalwright.analysis.echo_records import ChipAnswer, EchoAnswers, RepeatsKnob, TimeKnob
from pedalwright.echo.delay_law import DelayShifts
from pedalwright.echo.repeats import Repeat
from pedalwright.echo.stability import Peak
from pedalwright.report.plain_data import json_text, number, numbers
from pedalwright.report.repeats_envelope import envelope_data
from pedalwright.report.repeats_movement_json import modulation_data, reverb_data
from pedalwright.report.walk_json import certified_data

SCHEMA = "pedalwright.repeats/1"
KEPT = 10
"""every tenth of the loop's frequencies"""


def repeats_json(answers: EchoAnswers) -> str:
    """The JSON text of an echo."""
    return json_text(repeats_data(answers))


def repeats_data(answers: EchoAnswers) -> dict[str, Any]:
    """The echo as plain data."""
    return {
        "schema": SCHEMA,
        "title": answers.title,
        "text_sha256": answers.text_sha256,
        "settings": dict(answers.settings),
        "sound": answers.is_sound,
        "reference_hz": number(answers.reference_hz),
        "dry_db": number(answers.dry_db),
        "dry_polarity": answers.dry_polarity,
        "chips": [_chip(one) for one in answers.chips],
        "repeats": [_repeat(one, answers) for one in answers.repeats],
        "silent_after": answers.silent_after,
        "silent_after_s": number(answers.silent_after_s),
        "loop": _loop(answers),
        "time_knobs": [_time_knob(one) for one in answers.time_knobs],
        "repeats_knobs": [_repeats_knob(one) for one in answers.repeats_knobs],
        "reverb": reverb_data(answers.reverb),
        "modulation": [modulation_data(one) for one in answers.modulation],
        "envelopes": [envelope_data(one) for one in answers.envelopes],
        "certificates": [certified_data(one) for one in answers.certificates],
        "conditions": list(answers.conditions),
        "refusals": list(answers.refusals),
    }


def _chip(answer: ChipAnswer) -> dict[str, Any]:
    state = answer.state
    return {
        "ref": state.ref,
        "delay_s": number(state.delay_s),
        "low_s": number(state.low_s),
        "high_s": number(state.high_s),
        "within_table": state.within_table,
        "clock_hz": number(state.clock_hz),
        "bits_per_s": number(state.bit_rate),
        "noise_dbv": number(state.noise_dbv),
        "distortion_percent": number(state.distortion_percent),
        "slope_v_per_s": number(state.slope_v_per_s),
        "supply_v": number(state.supply_v),
        "time_pin_v": number(state.time_pin_v),
        "time_pin_a": number(state.time_pin_a),
        "time_ohms": number(state.time_ohms),
        "start": state.start.name.lower(),
        "coder_peak_v": number(answer.coder_peak_v),
        "highest_clean_hz": number(answer.highest_clean_hz),
        "shifts": _shifts(answer.shifts),
        "remarks": list(state.remarks),
    }


def _shifts(found: DelayShifts) -> dict[str, Any]:
    return {
        "at_supply_s": number(found.at_supply_s),
        "supply_measured": found.supply_measured,
        "over_supply": [{"supply_v": number(at), "shift_s": number(by)} for at, by in found.over_supply],
        "over_temperature": [
            {"temperature_c": number(at), "shift_s": number(by)} for at, by in found.over_temperature
        ],
        "mark": found.mark.value,
    }


def _repeat(one: Repeat, answers: EchoAnswers) -> dict[str, Any]:
    chips = answers.loop.chips if answers.loop else ()
    return {
        "number": one.number,
        "passes": [
            {"chip": chip, "times": int(times)} for chip, times in zip(chips, one.passes, strict=True)
        ],
        "time_s": number(one.time_s),
        "filters_s": number(one.filters_s),
        "level_db": number(one.level_db),
        "against_dry_db": number(one.against_dry_db),
        "low_corner_hz": number(one.corners.low_hz) if one.corners else None,
        "high_corner_hz": number(one.corners.high_hz) if one.corners else None,
        "polarity": one.polarity,
    }


def _loop(answers: EchoAnswers) -> dict[str, Any] | None:
    if answers.loop is None:
        return None

    def kept(values: Any) -> list[float | None] | None:
        return None if values is None else numbers(values[::KEPT])

    return {
        "recirculates": answers.loop.recirculates,
        "frequency_hz": kept(answers.loop.frequency_hz),
        "once_round": kept(answers.once_round),
        "decay_s": kept(answers.decay_s),
        "buildup_db": kept(answers.buildup_db),
    }


def _time_knob(one: TimeKnob) -> dict[str, Any]:
    return {
        "knob": one.knob,
        "chip": one.chip,
        "position": number(one.now),
        "positions": numbers(one.positions),
        "delay_s": numbers(one.delay_s),
        "low_s": numbers(one.low_s),
        "high_s": numbers(one.high_s),
        "track_tolerance": number(one.track_tolerance),
    }


def _repeats_knob(one: RepeatsKnob) -> dict[str, Any]:
    found = one.runaway
    return {
        "knob": one.knob,
        "position": number(one.now),
        "now": _peak(found.now),
        "full": _peak(found.full),
        "runs_away_from": number(found.position),
        "runs_away_from_these_delays": number(found.exact_position),
        "howl_hz": number(found.howl_hz),
        "growing_roots": found.growing_now,
        "bass_sum": number(found.bass_sum),
        "positions": numbers(one.positions),
        "gain": numbers(one.gain),
        "gain_low": numbers(one.low),
        "gain_high": numbers(one.high),
        "builds": one.builds,
        "runs_away_from_percentiles": [number(place) for place in one.position_percentiles],
        "margin_percentiles_db": numbers(one.margin_percentiles_db),
        "share_running_away": number(one.share_running_away),
        "share_running_away_now": number(one.share_running_away_now),
    }


def _peak(peak: Peak) -> dict[str, Any]:
    return {
        "gain": number(peak.gain),
        "frequency_hz": number(peak.frequency_hz),
        "margin_db": number(peak.margin_db),
    }
