"""How many seconds of sound a second of computing gives, beside SciPy in the same run. Prints only.

A chord of three tones, loud enough to clip what clips, goes through four circuits at 48 kHz. The linear part
is set beside scipy.signal filters with as many states (one output, where ours tells every device's voltage
too), the whole beside scipy.integrate.solve_ivp (Radau) on the same equations, its right-hand side in NumPy,
the chips standing still. Then the verb `hear` as a whole process, with and without compiled code at hand. Use
one core: OPENBLAS_NUM_THREADS=1, as `make bench` does.
"""

import math
import os
import sys
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from subprocess import run
from tempfile import TemporaryDirectory
from time import perf_counter

import numpy as np
from hearing_reference import by_solve_ivp, linear_seconds

from pedalwright.circuits import text
from pedalwright.notation import read_text
from pedalwright.sound.player import Player
from pedalwright.sound.ready import made_ready

SOUND_S, ROUNDS = 4.0, 5
TIMES_FASTER_GOAL = 200
FIRST_SOUND_GOAL_S = 1.5
CHORD_HZ = (110.0, 164.8, 220.0)


@dataclass(frozen=True)
class Job:
    """A circuit with its goal; None steps a frame: as many as the player chooses."""

    name: str
    says: str
    times: int | None
    goal: float
    peak_v: float
    exact_s: float


JOBS = (
    Job("lantern-echo", "echo pedal", None, 60.0, 0.3, 0.01),
    Job("grainloft-reverb", "two-chip reverb", None, 30.0, 0.3, 0.01),
    Job("kilnhouse-drive", "overdrive", 4, 15.0, 0.3, 0.01),
    Job("plumtree-fuzz", "two-transistor fuzz", 4, 8.0, 0.1, 0.01),
)


def chord(peak_v: float, t: float) -> float:
    """The tones come in within a few milliseconds and beat a little."""
    tones = sum(math.sin(2.0 * math.pi * hz * t) for hz in CHORD_HZ) / len(CHORD_HZ)
    return -peak_v * math.expm1(-((t / 2e-3) ** 2)) * tones


def sound_a_second(player: Player, peak_v: float) -> float:
    """Seconds of sound for each second of computing: the median of several rounds after one to warm up."""
    frames = np.array([chord(peak_v, n / 48000.0) for n in range(round(SOUND_S * 48000))])
    player.play(frames[:4800])
    took = []
    for _ in range(ROUNDS):
        begin = perf_counter()
        player.play(frames)
        took.append(perf_counter() - begin)
    return SOUND_S / median(took)


def one_circuit(job: Job) -> None:
    """The figures of one circuit."""
    circuit = read_text(text(job.name))
    player = Player.of(circuit, oversampling=job.times)
    ours = sound_a_second(player, job.peak_v)
    quiet = sound_a_second(Player.of(circuit, oversampling=job.times), 1e-9)
    states = made_ready(circuit, 1.0 / (48000 * player.oversampling)).work.space.size
    print(f"{job.says} ({job.name}), {player.oversampling} steps a frame, {states} states")
    print(f"  {ours:.1f} times real time (goal {job.goal:.0f}); {quiet:.1f} in silence, nothing to bend")
    steps = np.random.default_rng(1).standard_normal(48000 * player.oversampling)
    beside = linear_seconds(states, steps)
    words = ", ".join(f"{name} {1.0 / took:.0f} ({1.0 / took / quiet:.2g})" for name, took in beside.items())
    words = ", ".join(f"{name} {1.0 / took:.0f} ({1.0 / took / quiet:.2g})" for name, took in beside.items())
    print("  filters with as many states and steps, times real time (and against ours in silence):")
    print(f"  {words}")
    exact = by_solve_ivp(text(job.name), lambda t: chord(job.peak_v, t), job.exact_s)
    accuracy = f"rtol {exact.relative:.0e}, error {exact.error:.1e} of the signal"
    print(f"  solve_ivp on the same equations, {accuracy}:")
    print(f"  {1.0 / exact.seconds_a_second:.2g} times real time, {exact.calls_a_second:.2g} calls a second;")
    print(f"  ours {ours * exact.seconds_a_second:.0f} times faster (goal {TIMES_FASTER_GOAL})")


def whole_process() -> None:
    """`hear` from the command to the finished file, a tenth of a second of sound."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "echo.pedal"
        file.write_text(text("lantern-echo"), encoding="utf-8")
        verb = [sys.executable, "-m", "pedalwright", "hear", str(file), "tone:440Hz"]
        verb += ["--seconds", "100ms", "--tail", "0s"]
        cold = {**os.environ, "PEDALWRIGHT_COMPILED": str(Path(folder) / "compiled")}
        first_s = _process_s([*verb, "--wav", str(Path(folder) / "cold.wav")], cold)
        warm = [_process_s([*verb, "--wav", str(Path(folder) / f"{k}.wav")], cold) for k in range(ROUNDS)]
    print("hear, lantern-echo, 0.1 s of a tone, whole process")
    print(
        f"  {median(warm):.2f} s (goal {FIRST_SOUND_GOAL_S} s); {first_s:.1f} s when nothing is compiled yet"
    )


def _process_s(command: list[str], environment: dict[str, str]) -> float:
    begin = perf_counter()
    run(command, check=True, capture_output=True, env=environment)
    return perf_counter() - begin


def main() -> None:
    """Print the figures."""
    for job in JOBS:
        one_circuit(job)
    whole_process()


if __name__ == "__main__":
    main()
