"""What was heard as JSON: the schema ``pedalwright.hear/1``, told in docs/json-schemas.md."""

from typing import Any

import numpy as np

from pedalwright.report.plain_data import json_text, number, numbers
from pedalwright.sound.measure.clip_level import ClipLevel
from pedalwright.sound.measure.repeats_heard import HeardRepeats
from pedalwright.sound.measured import Measured
from pedalwright.sound.through import RATE_HZ
from pedalwright.sound.wish import Heard, Take, TakeLevel

SCHEMA = "pedalwright.hear/1"


def sound_json(heard: Heard) -> str:
    """The JSON text of what was heard."""
    return json_text(sound_data(heard))


def sound_data(heard: Heard) -> dict[str, Any]:
    """What was heard as plain data."""
    return {
        "schema": SCHEMA,
        "title": heard.title,
        "text_sha256": heard.text_sha256,
        "settings": dict(heard.settings),
        "sound": heard.sound,
        "channels": heard.channels,
        "rate_hz": RATE_HZ,
        "source": heard.source_says,
        "input": _level(heard.input),
        "seed": heard.seed,
        "movements": list(heard.moved),
        "equally_loud": heard.matched,
        "takes": [_take(take) for take in heard.takes],
        "remarks": list(heard.remarks),
    }


def _level(level: TakeLevel) -> dict[str, Any]:
    return {"peak_v": number(level.peak_v), "rms_v": number(level.rms_v)}


def _take(take: Take) -> dict[str, Any]:
    return {
        "label": take.label,
        "output": {**_level(take.output), "loudness_lufs": number(take.output.loudness_lufs)},
        "file": str(take.file),
        "replaced": take.replaced,
        "start_s": number(take.start_s),
        "seconds": number(take.seconds),
        "tail_s": number(take.tail_s),
        "ending": take.ending.value,
        "gain_db": number(take.gain_db),
        "remarks": list(take.remarks),
        "measured": None if take.measured is None else _measured(take.measured),
    }


def _measured(found: Measured) -> dict[str, Any]:
    tone, response = found.distortion, found.response
    level_db = 20 * np.log10(np.maximum(np.abs(response.gain), 1e-12))
    return {
        "peak_v": number(found.peak_v),
        "noise": {
            "rms_v": number(found.idle.rms_v),
            "a_weighted_rms_v": number(found.idle.a_weighted_rms_v),
            "remarks": list(found.idle.remarks),
        },
        "distortion": {
            "tone_hz": number(tone.conditions.tone_hz),
            "gain_db": number(tone.gain_db),
            "thd_ratio": number(tone.thd_ratio),
            "thd_n_ratio": number(tone.thd_n_ratio),
            "noise_rms_v": number(tone.noise_rms_v),
            "harmonics": [
                {
                    "order": one.order,
                    "frequency_hz": number(one.frequency_hz),
                    "level_db": number(one.level_db),
                    "phase_deg": number(one.phase_deg),
                }
                for one in tone.harmonics
            ],
            "remarks": list(tone.remarks),
        },
        "clipping": None if found.clip_level is None else _clipping(found.clip_level),
        "response": {
            "frequency_hz": numbers(response.frequency_hz),
            "level_db": numbers(_trusted(level_db, response.valid)),
            "phase_deg": numbers(_trusted(np.degrees(np.angle(response.gain)), response.valid)),
            "level_change_db": numbers(_trusted(response.level_change_db, response.valid)),
            "remarks": list(response.remarks),
        },
        "arrivals": [
            {
                "number": one.number,
                "time_s": number(one.time_s),
                "gain_db": number(one.gain_db),
                "reference_db": number(one.reference_db),
            }
            for one in (() if found.pattern is None else found.pattern.arrivals)
        ],
        "repeats": None if found.repeats is None else _repeats(found.repeats),
    }  # fmt: skip


def _clipping(found: ClipLevel) -> dict[str, Any]:
    return {
        "input_peak_v": number(found.input_peak_v),
        "by": found.by,
        "remarks": list(found.remarks),
    }


def _repeats(found: HeardRepeats) -> dict[str, Any]:
    return {
        "count": found.count,
        "spacing_s": number(found.spacing_s),
        "ratio": number(found.ratio),
        "remarks": list(found.remarks),
    }


def _trusted(values: Any, valid: Any) -> Any:
    return np.where(valid, values, np.nan)
