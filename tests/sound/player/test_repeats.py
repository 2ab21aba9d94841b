"""Repeats as they are heard from the chips' bits, against the loop analysis of the same circuit.

A short burst of 1 kHz at 0.3 V peak from the source, averaged over chips with other noise; from 0.01 to 0.4 V
the levels came out alike within 0.03 dB. The loop analysis says what each arrival looks like; it is fitted to
what is heard by its size and its time. Arrivals that lie upon others are left out.
"""

from dataclasses import dataclass

import numpy as np
import pytest

from pedalwright import circuits
from pedalwright.analysis.echo_answers import echo_answers
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import Circuit
from pedalwright.devices.ports import INPUT
from pedalwright.echo.repeats import Repeat
from pedalwright.notation import read_text
from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.response import Drive, respond
from pedalwright.sound.player import Player

RATE_HZ = 48000
LEVEL_V, BURST_HZ, BURST_S = 0.3, 1000.0, 4e-3
AT = 4800
SECONDS = 1.2
POINTS = 1 << 17
SEEDS = range(1, 5)
HEARD_DB = 40.0
"""arrivals further below the first than this are in the noise"""
APART = 0.05
"""the share of energy a fit may leave: more is another arrival upon it"""
WITHIN_TIME, WITHIN_DB = 0.005, 0.2


@dataclass(frozen=True)
class Found:
    repeat: Repeat
    late: float
    """relative"""
    louder_db: float
    left: float

    def __str__(self) -> str:
        return (
            f"{self.repeat.passes} after {self.repeat.time_s * 1e3:.1f} ms: {self.late:+.4%}, "
            f"{self.louder_db:+.3f} dB ({self.left:.1e} left)"
        )


def burst() -> FloatArray:
    time_s = (np.arange(round(SECONDS * RATE_HZ)) - AT) / RATE_HZ
    return np.asarray(
        LEVEL_V * np.exp(-0.5 * (time_s / BURST_S) ** 2) * np.cos(2 * np.pi * BURST_HZ * time_s)
    )


def heard(circuit: Circuit) -> FloatArray:
    """The output without its rest value, the mean over several noises."""
    sound, total = burst(), np.zeros(round(SECONDS * RATE_HZ))
    for seed in SEEDS:
        player = Player.of(circuit, seed=seed)
        total += player.play(np.concatenate([sound, np.zeros(player.latency_frames)]))[
            player.latency_frames :
        ]
        assert not player.remarks
    mean = total / len(SEEDS)
    return np.asarray(mean - mean[: AT // 2].mean())


def between(frequency_hz: FloatArray, values: ComplexArray) -> ComplexArray:
    """A spectrum on the points of the transform: size and phase apart."""
    wanted = np.fft.rfftfreq(POINTS, 1 / RATE_HZ)
    turns = np.interp(wanted, frequency_hz, np.unwrap(np.angle(values)))
    return np.asarray(np.interp(wanted, frequency_hz, np.abs(values)) * np.exp(1j * turns))


def fitted(out_v: FloatArray, spectrum: ComplexArray, repeat: Repeat) -> Found:
    """Size and time at which the expected arrival is nearest to what is heard."""
    omega = 2 * np.pi * np.fft.rfftfreq(POINTS, 1 / RATE_HZ)
    expected = np.fft.irfft(spectrum)[: len(out_v)]
    loud = np.flatnonzero(np.abs(expected) > 0.02 * np.abs(expected).max())
    place = slice(int(loud[0]), int(loud[-1]) + 1)
    there, best = out_v[place], Found(repeat, 0.0, 0.0, np.inf)
    for late_s in np.linspace(-2e-4, 2e-4, 81):
        moved = np.fft.irfft(spectrum * np.exp(-1j * omega * late_s))[place]
        size = float(there @ moved) / float(moved @ moved)
        left = float(np.sum((there - size * moved) ** 2) / np.sum(there**2))
        if left < best.left and size > 0:
            best = Found(repeat, float(late_s) / repeat.time_s, float(20 * np.log10(size)), left)
    return best


def arrivals(circuit: Circuit) -> list[Found]:
    analysis = Analysis(circuit)
    answers = echo_answers(analysis, 8, 1)
    assert answers is not None and answers.loop is not None and analysis.small is not None
    assert circuit.input is not None
    grid = answers.loop.frequency_hz
    jack = respond(analysis.small, Drive(source=INPUT), grid).volts(circuit.input.net)
    sent, omega = np.fft.rfft(burst(), POINTS), 2 * np.pi * np.fft.rfftfreq(POINTS, 1 / RATE_HZ)
    out_v, found = heard(circuit), []
    for one in answers.repeats:
        ends = AT / RATE_HZ + one.time_s + one.filters_s + 4 * BURST_S
        if ends < SECONDS and one.level_db > answers.repeats[0].level_db - HEARD_DB:
            spectrum = sent * between(grid, jack * one.spectrum) * np.exp(-1j * omega * one.time_s)
            found.append(fitted(out_v, spectrum, one))
    return found


@pytest.mark.slow
@pytest.mark.parametrize(
    "name, settings",
    (
        ("lantern-echo", {}),
        ("lantern-echo", {"TIME": 2.0, "REPEATS": 8.0}),
        ("grainloft-reverb", {}),
        ("grainloft-reverb", {"SIZE": 8.0, "DECAY": 3.0}),
    ),
    ids=str,
)
def test_repeats_come_when_and_as_loud_as_the_loop_has_them(name: str, settings: dict[str, float]) -> None:
    found = arrivals(read_text(circuits.text(name)).with_settings(settings))
    told = f"{name} {settings}: " + "; ".join(str(one) for one in found)
    print(told)
    clear = [one for one in found if one.left < APART]
    assert len(clear) >= 3, told
    for one in clear:
        assert abs(one.late) < WITHIN_TIME, told
        assert abs(one.louder_db) < WITHIN_DB, told


OFF_THRESHOLD = 0.03
FEEDBACK, LIMITS_OHMS = "R17", (1e3, 1e5)


def once_round(circuit: Circuit) -> float:
    answers = echo_answers(Analysis(circuit), 1, 1)
    assert answers is not None and answers.once_round is not None
    return float(answers.once_round.max())


def with_gain(circuit: Circuit, gain: float) -> Circuit:
    """The circuit with such a resistor in its feedback that the loop's largest gain once round is `gain`."""
    low, high = LIMITS_OHMS
    while high / low > 1.0001:
        middle = float(np.sqrt(low * high))
        low, high = (
            (middle, high) if once_round(circuit.with_value(FEEDBACK, middle)) > gain else (low, middle)
        )
    return circuit.with_value(FEEDBACK, low)


def levels(circuit: Circuit, seconds: int) -> list[float]:
    """Effective volts of every second after a tenth of a second of noise."""
    player = Player.of(circuit, oversampling=2)
    sound = np.zeros(seconds * RATE_HZ)
    sound[: RATE_HZ // 10] = np.random.default_rng(1).uniform(-0.5, 0.5, RATE_HZ // 10)
    played = [player.play(second) for second in sound.reshape(seconds, -1)]
    return [float(np.std(second)) for second in played]


@pytest.mark.slow
def test_a_loop_beyond_its_threshold_settles_where_clipping_holds_it_and_below_dies_away() -> None:
    circuit = read_text(circuits.text("lantern-echo")).with_settings({"TIME": 1.0, "REPEATS": 10.0})
    louder = levels(with_gain(circuit, 1.0 + OFF_THRESHOLD), 36)
    fainter = levels(with_gain(circuit, 1.0 - OFF_THRESHOLD), 16)
    assert 0.1 < louder[-1] < 3.0, louder
    assert louder[-1] == pytest.approx(louder[-4], rel=0.03), louder
    assert fainter[-1] < 0.02 * fainter[1], fainter
