"""Two hundred circuits by chance under full-scale noise, knobs swept: all numbers, no runaway, or a refusal.

A passive circuit can never give its load more than its source could give a matched one (V squared over four
times the source's ohms); an active one stays within what its supply could charge a coupling capacitor to. A
refusal names a part.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.notation import read_text
from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.movement import Glide, KnobMovement, Swing
from pedalwright.sound.player import Player
from pedalwright.sound.unusable import UnusableSound

from .random_texts import SUPPLY_V, active_text, passive_text

RATE_HZ, TIMES = 48000, 2
FRAMES = RATE_HZ // 10
PASSIVE, ACTIVE = range(100), range(100)
ROOM_V = 2.0 * SUPPLY_V
"""a coupling capacitor charged to the whole supply, and the whole supply swung on top of it"""
SILENT_V = 1e-9
BATCH = 25
MOST_REFUSED = 4
"""of a hundred: amplifiers that rest hard at their stop, mostly comparators with hysteresis"""


@dataclass(frozen=True)
class Heard:
    sent_v: FloatArray
    out_v: FloatArray
    rest_v: float
    remarks: tuple[str, ...]
    refusal: str = ""


def noise(number: int) -> FloatArray:
    return np.random.default_rng([4, number]).uniform(-1.0, 1.0, FRAMES)


def sweeps(circuit: Circuit, number: int) -> list[KnobMovement]:
    """Every knob over its whole dial: to and fro, gliding down, or jumping up."""
    rng, found = np.random.default_rng([3, number]), []
    for knob in circuit.knobs:
        how = int(rng.integers(3))
        if how == 0:
            swing = Swing(low=0.0, high=10.0, period_s=float(rng.uniform(0.02, 0.2)))
            found.append(KnobMovement(ref=knob.ref, stands_at=5.0, swing=swing))
        elif how == 1:
            down = Glide(first=10.0, last=0.0, start_s=0.02, over_s=0.05)
            found.append(KnobMovement(ref=knob.ref, stands_at=10.0, glides=(down,)))
        else:
            jump = Glide(first=0.0, last=10.0, start_s=0.05, over_s=0.0)
            found.append(KnobMovement(ref=knob.ref, stands_at=0.0, glides=(jump,)))
    return found


def play(circuit: Circuit, sent_v: FloatArray, movements: list[KnobMovement]) -> Heard:
    rest_v = 0.0
    try:
        player = Player.of(circuit, oversampling=TIMES, movements=movements)
        rest_v = float(player._ready.told_rest_v[0])
        out_v = player.play(np.concatenate([sent_v, np.zeros(player.latency_frames)]))
    except UnusableSound as refusal:
        return Heard(sent_v, np.zeros(0), rest_v, (), str(refusal))
    return Heard(sent_v, out_v[player.latency_frames :], rest_v, tuple(player.remarks))


@cache
def passive(number: int) -> tuple[Circuit, Heard]:
    circuit = read_text(passive_text(number))
    return circuit, play(circuit, noise(number), sweeps(circuit, number))


@cache
def active(number: int) -> tuple[Circuit, Heard]:
    circuit = read_text(active_text(number))
    return circuit, play(circuit, noise(number), sweeps(circuit, number))


def batches(numbers: range) -> list[range]:
    return [numbers[at : at + BATCH] for at in range(0, len(numbers), BATCH)]


@pytest.mark.slow
@pytest.mark.parametrize("numbers", batches(PASSIVE), ids=str)
def test_passive_circuits_give_no_more_than_they_get(numbers: range) -> None:
    for number in numbers:
        circuit, heard = passive(number)
        assert circuit.input is not None and circuit.output is not None
        assert not heard.refusal and not heard.remarks, f"passive {number}: {heard.refusal} {heard.remarks}"
        given = float(heard.sent_v @ heard.sent_v) / (4.0 * circuit.input.ohms)
        taken = float(heard.out_v @ heard.out_v) / circuit.output.ohms
        assert np.isfinite(taken) and taken < given, f"passive {number}: {taken / given:.3f} of what is given"


@pytest.mark.slow
@pytest.mark.parametrize("numbers", batches(ACTIVE), ids=str)
def test_active_circuits_stay_within_their_supply_or_are_refused(numbers: range) -> None:
    for number in numbers:
        circuit, heard = active(number)
        if heard.refusal:
            assert any(f"near {part.ref}" in heard.refusal for part in circuit.parts), heard.refusal
            continue
        assert np.isfinite(heard.out_v).all(), f"active {number}: no number"
        loudest = float(np.abs(heard.out_v - heard.rest_v).max())
        assert loudest < ROOM_V, f"active {number}: {loudest:.1f} V"
        assert not heard.remarks or "clock" in heard.remarks[0], f"active {number}: {heard.remarks}"


@pytest.mark.slow
def test_hardly_any_circuit_is_refused() -> None:
    refused = {number: heard.refusal for number in ACTIVE if (heard := active(number)[1]).refusal}
    assert len(refused) <= MOST_REFUSED, refused


@pytest.mark.slow
@pytest.mark.parametrize("numbers", batches(PASSIVE), ids=str)
def test_silence_in_is_silence_out_of_passive_circuits(numbers: range) -> None:
    for number in numbers:
        strays_v = in_silence(read_text(passive_text(number)))
        assert strays_v is not None and strays_v < SILENT_V, f"passive {number}: {strays_v} V"


@pytest.mark.slow
@pytest.mark.parametrize("numbers", batches(ACTIVE)[:2], ids=str)
def test_silence_in_is_silence_out_of_active_ones(numbers: range) -> None:
    """Of all without oscillation, an echo chip's noise or an amplifier at its stop."""
    for number in numbers:
        circuit = read_text(active_text(number))
        if any(part.kind == "echo-chip" for part in circuit.parts) or has_stopped(circuit):
            continue
        strays_v = in_silence(circuit)
        assert strays_v is None or strays_v < SILENT_V, f"active {number}: {strays_v} V"


def has_stopped(circuit: Circuit) -> bool:
    """Whether an amplifier rests where its output hardly follows its inputs any more."""
    small = Analysis(circuit).small
    assert small is not None
    amplifiers = [one.name for one in small.system.primitives if isinstance(one, ClippingAmplifier)]
    return any(abs(small.parameter(f"{name}/gain")) < 1.0 for name in amplifiers)


def in_silence(circuit: Circuit) -> float | None:
    """How far the output strays from rest [V]; None for a circuit that swings by itself.

    The first 10 ms are left out: there rounding at the first step, amplified, has made two nanovolts.
    """
    player = Player.of(circuit, oversampling=TIMES)
    if not player._ready.analysis.rest.stays or player._ready.work.is_tamed:
        return None
    strays_v = np.abs(player.play(np.zeros(FRAMES + player.latency_frames)) - player._ready.told_rest_v[0])
    strays_v = strays_v[player.latency_frames :]
    assert strays_v.max() < 10.0 * SILENT_V
    return float(strays_v[RATE_HZ // 100 :].max())
