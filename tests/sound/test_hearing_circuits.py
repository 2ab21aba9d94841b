"""Circuits heard as a whole: the files `hear` writes, held to what the solver says of the same circuits."""

import signal as signals
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
import soundfile

import pedalwright as pw
from pedalwright import circuits
from pedalwright.analysis.echo_answers import echo_answers
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import Circuit
from pedalwright.devices.ports import INPUT
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.response import Drive, respond
from pedalwright.sound.foot_switch import bypassed
from pedalwright.sound.through import RATE_HZ

TONE_HZ = 1000.0


def heard_volts(path: Path, gain_db: float) -> FloatArray:
    samples, rate_hz = soundfile.read(path)
    assert rate_hz == RATE_HZ
    return np.asarray(samples) * 10 ** (-gain_db / 20)


def tone_peak(volts: FloatArray) -> float:
    """The peak of the tone in the last half second but for its very end, by correlation over whole cycles."""
    piece = volts[-RATE_HZ // 2 : -RATE_HZ // 10]
    turn = np.exp(-2j * np.pi * TONE_HZ / RATE_HZ * np.arange(len(piece)))
    return float(2 * abs(np.mean(piece * turn)))


def solved_db(circuit: Circuit) -> float:
    """From the source's own volts to the output jack, as the solver has it."""
    small = Analysis(circuit).small
    assert small is not None and circuit.output is not None
    found = respond(small, Drive(source=INPUT), np.array([TONE_HZ])).volts(circuit.output.net)
    return float(20 * np.log10(abs(found[0])))


@pytest.mark.parametrize("name", ["lesson-non-inverting-booster", "gatepost-buffer", "windowsill-tone"])
def test_the_level_in_the_file_is_that_of_the_solver(name: str, tmp_path: Path) -> None:
    analysis = pw.read_text(circuits.text(name))
    sound = "tone:1kHz,seconds=1s"
    heard = pw.hear(analysis, tmp_path / "a.wav", sound, level_v=0.02, tail_s=0.0, with_bypass=True)
    dry, engaged = heard.takes
    volts = heard_volts(tmp_path / "a.wav", 0.0)
    one, other = volts[:RATE_HZ], volts[-RATE_HZ:]
    for take, samples, circuit in (
        (dry, one, bypassed(analysis.circuit)),
        (engaged, other, analysis.circuit),
    ):
        peak = tone_peak(samples) * 10 ** (-take.gain_db / 20)
        assert 20 * np.log10(peak / 0.02) == pytest.approx(solved_db(circuit), abs=0.02), take.label


def test_a_knob_that_is_moved_is_heard_where_the_solver_has_it(tmp_path: Path) -> None:
    text = "input IN line\noutput OUT 1M\nknob VOL 10k linear at 5\nIN > VOL.3\nVOL.2 > OUT\nVOL.1 > gnd\n"
    heard = pw.hear(
        pw.read_text(text),
        tmp_path / "a.wav",
        "tone:1kHz,seconds=2s",
        level_v=0.1,
        moves=("VOL 5 at 0s", "VOL 8 over 500ms at 1s"),
        tail_s=0.0,
    )
    volts = heard_volts(tmp_path / "a.wav", heard.takes[0].gain_db)
    ends = tone_peak(volts[: RATE_HZ - 2000]), tone_peak(volts)
    # Ohm's law: 150 ohm of the line output, the upper part of the track, the lower beside the load of 1 Mohm.
    loaded = [1 / (1 / lower + 1e-6) for lower in (5e3, 8e3)]
    wanted = [0.1 * one / (one + 150 + upper) for one, upper in zip(loaded, (5e3, 2e3), strict=True)]
    assert ends == pytest.approx(wanted, rel=1e-3)


@pytest.mark.slow
def test_the_echo_of_a_circuit_is_measured_where_its_loop_has_it(tmp_path: Path) -> None:
    analysis = pw.read_text(circuits.text("lantern-echo"))
    heard = pw.hear(
        analysis, tmp_path / "a.wav", "pluck:E2,seconds=1s", level_v=0.2, measure=True, picture=True
    )
    answers = echo_answers(analysis, 3, 1)
    found = heard.takes[0].measured
    assert answers is not None and found is not None and found.pattern is not None
    dry, first = found.pattern.arrivals[:2]
    assert dry.reference_db is not None and first.reference_db is not None and answers.dry_db is not None
    # Filters on the way count with their group delay in what is heard; the loop's figure is the chip's delay
    # with the phase of its filters, so half a millisecond may lie between.
    assert first.after_first_s == pytest.approx(answers.repeats[0].time_s, rel=0.005)
    assert first.reference_db - dry.reference_db == pytest.approx(answers.repeats[0].against_dry_db, abs=0.7)
    marks = [time_s for time_s, _ in heard.repeats]
    assert np.diff(marks) == pytest.approx(answers.repeats[0].time_s, rel=0.01)


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="looks into the running process")
def test_a_real_interrupt_leaves_no_half_file(tmp_path: Path) -> None:
    (tmp_path / "lantern.pedal").write_text(circuits.text("lantern-echo"), encoding="utf-8")
    noise = np.random.default_rng(1).uniform(-0.5, 0.5, RATE_HZ * 600)
    soundfile.write(tmp_path / "long.wav", noise, RATE_HZ)
    words = [sys.executable, "-m", "pedalwright", "hear", "lantern.pedal", "long.wav", "--wav", "out.wav"]
    with subprocess.Popen(words, cwd=tmp_path, stderr=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        until_it_plays(process.pid)
        process.send_signal(signals.SIGINT)
        out, err = process.communicate(timeout=120)
    assert (process.returncode, out, err) == (2, b"", b"pedalwright: stopped before it was done.\n")
    assert {path.name for path in tmp_path.iterdir()} == {"lantern.pedal", "long.wav"}


def until_it_plays(pid: int) -> None:
    """Wait until the process has a nameless file open, its tape."""
    folder = Path("/proc") / str(pid) / "fd"
    while not any("(deleted)" in goal_of(entry) for entry in folder.iterdir()):
        time.sleep(0.05)
    time.sleep(0.3)


def goal_of(entry: Path) -> str:
    try:
        return str(entry.readlink())
    except FileNotFoundError:
        return ""  # closed in the meantime
