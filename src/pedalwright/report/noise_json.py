"""The noise of a circuit as JSON: the schema ``pedalwright.noise/1``, told in docs/json-schemas.md."""

from typing import Any

from pedalwright.analysis.noise.records import (
    ChipNoise,
    Contributor,
    Cure,
    InputNoise,
    LoopNoise,
    NoiseAnswers,
    PlayingLevel,
    dbv,
)
from pedalwright.report.plain_data import json_text, number, numbers
from pedalwright.report.walk_json import certified_data

SCHEMA = "pedalwright.noise/1"


def noise_json(answers: NoiseAnswers) -> str:
    """The JSON text of a noise analysis."""
    return json_text(noise_data(answers))


def noise_data(answers: NoiseAnswers) -> dict[str, Any]:
    """The noise analysis as plain data."""
    return {
        "schema": SCHEMA,
        "title": answers.title,
        "text_sha256": answers.text_sha256,
        "settings": dict(answers.settings),
        "sound": answers.is_sound,
        "at": answers.at,
        "source": answers.state,
        "temperature_k": number(answers.temperature_k),
        "low_hz": number(answers.low_hz),
        "high_hz": number(answers.high_hz),
        "inputs": [_input(one) for one in answers.inputs],
        "playing": _playing(answers.playing),
        "contributors": [_contributor(one) for one in answers.contributors],
        "cures": [_cure(one) for one in answers.cures],
        "left_aside": [_cure(one) for one in answers.left_aside],
        "together": None if answers.together is None else _cure(answers.together),
        "loop": _loop(answers.loop),
        "chips": [_chip(one) for one in answers.chips],
        "with_quiet_chips_v": number(answers.with_quiet_chips_v),
        "with_noisy_chips_v": number(answers.with_noisy_chips_v),
        "frequency_hz": numbers(answers.frequency_hz),
        "density_v_per_rthz": numbers(answers.density_v_per_rthz),
        "certificates": [certified_data(one) for one in answers.certificates],
        "conditions": list(answers.conditions),
        "refusals": list(answers.refusals),
    }


def _input(one: InputNoise) -> dict[str, Any]:
    return {
        "source": one.state,
        "words": one.words,
        "unweighted_v": number(one.unweighted_v),
        "weighted_v": number(one.weighted_v),
        "weighted_dbv": number(dbv(one.weighted_v)),
        "signal_to_noise_db": number(one.signal_to_noise_db),
        "refusal": one.refusal,
    }


def _playing(one: PlayingLevel | None) -> dict[str, Any] | None:
    if one is None:
        return None
    return {
        "frequency_hz": number(one.frequency_hz),
        "input_v": number(one.input_v),
        "output_v": number(one.output_v),
        "clipped_at": one.clipped_at,
    }


def _contributor(one: Contributor) -> dict[str, Any]:
    return {
        "ref": one.ref,
        "label": one.label,
        "weighted_v": number(one.weighted_v),
        "weighted_share": number(one.weighted_share),
        "unweighted_v": number(one.unweighted_v),
        "unweighted_share": number(one.unweighted_share),
        "causes": [{"cause": cause, "share": number(share)} for cause, share in one.causes],
    }


def _cure(one: Cure) -> dict[str, Any]:
    return {
        "says": one.says,
        "against": list(one.against),
        "changes": [{"ref": ref, "now": now, "tried": tried} for ref, now, tried in one.changes],
        "noise_db": number(one.noise_db),
        "level_db": number(one.level_db),
        "better_db": number(one.better_db),
        "side_effects": list(one.side_effects),
    }


def _loop(one: LoopNoise | None) -> dict[str, Any] | None:
    if one is None:
        return None
    return {
        "closed_v": number(one.closed_v),
        "opened_v": number(one.opened_v),
        "buildup_db": number(one.buildup_db),
        "once_round": number(one.once_round),
        "peak_hz": number(one.peak_hz),
    }


def _chip(one: ChipNoise) -> dict[str, Any]:
    return {
        "ref": one.ref,
        "delay_s": number(one.delay_s),
        "typical_dbv": number(one.typical_dbv),
        "quiet_dbv": number(one.quiet_dbv),
        "noisy_dbv": number(one.noisy_dbv),
        "output_v": number(one.output_v),
        "share": number(one.share),
    }
