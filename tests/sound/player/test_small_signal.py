"""Small sounds through every circuit of the package, against the small-signal solution of the same circuit.

A sum of sines, whole cycles in the window, at most 1 mV at any net. The small-signal solution is proved
elsewhere, against closed forms and published examples; here it checks the engine in time. See `still`
for what stands still meanwhile, and why.
"""

from dataclasses import dataclass

import numpy as np
import pytest

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import Circuit
from pedalwright.devices.ports import INPUT
from pedalwright.solve.arrays import ComplexArray, FloatArray, IndexArray
from pedalwright.solve.response import Drive, respond

from .still import circuit_at, still_player

RATE_HZ = 48000
WINDOW = RATE_HZ // 5
LEAST_HZ, MOST_HZ, TONES = 40.0, 10e3, 28
PEAK_V = 1e-3
SETTLING = 2
"""windows thrown away; oscillators at rest take off after a second (twentyfold every 0.1 s, from rounding)"""
HEARD = 1e-4
"""gains more than 80 dB below the largest are left out"""
WITHIN_DB, WITHIN_DEGREES = 0.1, 1.0


@dataclass(frozen=True)
class Deviation:
    place: float
    level_db: float
    level_hz: float
    phase_degrees: float
    phase_hz: float
    drift: float
    """how far the largest gain still moved from one window to the next: what has not settled"""

    def __str__(self) -> str:
        return (
            f"knobs at {self.place:g}: {self.level_db:.4f} dB at {self.level_hz:.0f} Hz, "
            f"{self.phase_degrees:.4f} degrees at {self.phase_hz:.0f} Hz, drift {self.drift:.0e}"
        )


def lines() -> IndexArray:
    """Odd lines of the spectrum: sums and differences of two, bent out of the sound, fall between them."""
    wanted = np.geomspace(LEAST_HZ, MOST_HZ, TONES) * WINDOW / RATE_HZ
    return np.unique(2 * np.round((wanted - 1) / 2) + 1).astype(np.int64)


def lines_hz() -> FloatArray:
    return lines().astype(np.float64) * (RATE_HZ / WINDOW)


def tones(most: float) -> FloatArray:
    """One window, scaled for the largest gain; phases after Schroeder (1970, from memory) keep peaks low."""
    places, frames = lines(), np.arange(WINDOW)
    late = np.pi * np.arange(len(places)) ** 2 / len(places)
    sound = np.cos(2 * np.pi * places[:, None] * frames / WINDOW + late[:, None]).sum(axis=0)
    return np.asarray(sound * (PEAK_V / np.abs(sound).max() / max(1.0, most)))


def solved(circuit: Circuit) -> tuple[ComplexArray, float]:
    """Gain at the output, and the largest gain at any net."""
    small = Analysis(circuit).small
    assert small is not None and circuit.output is not None
    answer = respond(small, Drive(source=INPUT), lines_hz())
    known = [net for net in circuit.nets if net in small.system.rows]
    return answer.volts(circuit.output.net), max(float(np.abs(answer.volts(net)).max()) for net in known)


def played(
    circuit: Circuit, sound: FloatArray, patch: pytest.MonkeyPatch, oversampling: int | None
) -> ComplexArray:
    """Gains (windows, tones) of the last two windows."""
    player = still_player(circuit, patch, oversampling)
    heard = player.play(np.concatenate([np.tile(sound, SETTLING + 2), np.zeros(player.latency_frames)]))
    assert not player.remarks
    windows = heard[player.latency_frames :].reshape(-1, WINDOW)[-2:]
    return np.asarray(np.fft.rfft(windows, axis=1)[:, lines()] / np.fft.rfft(sound)[lines()])


def deviation(
    circuit: Circuit, place: float, patch: pytest.MonkeyPatch, oversampling: int | None = None
) -> Deviation:
    wanted, most = solved(circuit)
    before, found = played(circuit, tones(most), patch, oversampling)
    loudest = float(np.abs(wanted).max())
    kept = np.abs(wanted) > HEARD * loudest
    at_hz = lines_hz()[kept]
    level_db = np.abs(20 * np.log10(np.abs(found / wanted)))[kept]
    phase = np.abs(np.degrees(np.angle(found / wanted)))[kept]
    return Deviation(
        place,
        float(level_db.max()),
        float(at_hz[level_db.argmax()]),
        float(phase.max()),
        float(at_hz[phase.argmax()]),
        float(np.abs(found - before).max()) / loudest,
    )


@pytest.mark.parametrize("name", circuits.names())
def test_small_sounds_come_out_as_the_small_signal_solution_has_them(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = [deviation(circuit_at(name, place), place, monkeypatch) for place in (0.0, 5.0, 10.0)]
    told = f"{name}: " + "; ".join(str(one) for one in found)
    print(told)
    assert max(one.level_db for one in found) < WITHIN_DB, told
    assert max(one.phase_degrees for one in found) < WITHIN_DEGREES, told


@pytest.mark.parametrize("times", (2, 4, 8))
def test_more_steps_bring_it_nearer(times: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Between steps the input is a cubic: what it lacks high in the band falls with the fourth power."""
    found = deviation(circuit_at("gatepost-buffer", 5.0), 5.0, monkeypatch, times)
    assert found.level_db < 0.03 / (times / 2) ** 3.8, str(found)
