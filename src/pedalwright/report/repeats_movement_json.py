"""Reverberation and modulation as plain data: keys of the schema ``pedalwright.repeats/1``."""

from typing import Any

from pedalwright.analysis.echo_movement import ModulationAnswer, ReverbAnswer
from pedalwright.report.plain_data import number, numbers


def reverb_data(answer: ReverbAnswer | None) -> dict[str, Any] | None:
    """Several chips as a reverberation; None where they are none."""
    if answer is None:
        return None
    found = answer.advice
    return {
        "chips": list(answer.chips),
        "delays_s": numbers(answer.delays_s),
        "counts": [
            {"time_s": number(at), "echoes": count, "echoes_per_s": number(density)}
            for at, count, density in answer.counts
        ],
        "modes_per_hz": number(answer.modes_per_hz),
        "enough_for_s": number(answer.enough_for_s),
        "rt60_s": number(answer.rt60_s),
        "separate": answer.separate,
        "least_separate": answer.least_separate,
        "advice": None
        if found is None
        else {
            "ohms": numbers(found.ohms),
            "delays_s": numbers(found.delays_s),
            "separate": found.separate,
            "least_separate": found.least_separate,
        },
        "octaves": [{"centre_hz": number(hz), "rt60_s": number(time)} for hz, time in answer.octaves_s],
    }


def modulation_data(one: ModulationAnswer) -> dict[str, Any]:
    """One chip's delay moved over one period."""
    moved, kind = one.moved, one.character
    return {
        "chip": one.chip,
        "rate_hz": number(one.rate_hz),
        "known": one.known,
        "rest_s": number(one.rest_s),
        "shortest_s": number(kind.shortest_s) if kind else None,
        "longest_s": number(kind.longest_s) if kind else None,
        "up_cents": number(moved.up_cents) if moved else None,
        "down_cents": number(moved.down_cents) if moved else None,
        "word": kind.word if kind else "",
        "says": kind.says if kind else "",
        "shortest_notches_hz": numbers(kind.shortest_notches_hz) if kind else [],
        "longest_notches_hz": numbers(kind.longest_notches_hz) if kind else [],
        "notch_db": number(kind.notch_db) if kind else None,
        "stalls": one.reach.stalls,
        "held": one.reach.held,
        "at_limit": number(one.reach.at_limit),
    }
