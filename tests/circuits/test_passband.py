"""The signal comes out at the level the text promises."""

import numpy as np
import pytest

from pedalwright import circuits
from pedalwright.circuit.circuit import Circuit
from pedalwright.devices.catalogue import expand_circuit
from pedalwright.notation import read_text
from pedalwright.solve.linear import SmallSignal, linearise
from pedalwright.solve.poles import natural_modes
from pedalwright.solve.response import Drive, respond
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system

SLOW_OSCILLATORS = ("duckpond-chorus", "ferryman-phaser", "millwheel-tremolo")


def _circuit(name: str, **settings: float | str) -> Circuit:
    return read_text(circuits.text(name)).with_settings(settings)


def _small(circuit: Circuit) -> SmallSignal:
    system = compile_system(expand_circuit(circuit))
    return linearise(system, operating_point(system))


def _ends(circuit: Circuit) -> tuple[str, str]:
    """The nets of its output and its input."""
    assert circuit.output is not None and circuit.input is not None
    return circuit.output.net, circuit.input.net


def _gain_db(circuit: Circuit, hz: float) -> float:
    response = respond(_small(circuit), Drive(source="input"), np.array([hz]))
    return float(20 * np.log10(abs(response.gain(*_ends(circuit))[0])))


@pytest.mark.parametrize("name", ["lantern-echo", "grainloft-reverb", "duckpond-chorus"])
@pytest.mark.parametrize("hz", [82.4, 440.0, 5000.0])
def test_the_dry_sound_passes_unchanged(name: str, hz: float) -> None:
    assert _gain_db(_circuit(name), hz) == pytest.approx(0.0, abs=1.0)


@pytest.mark.parametrize("level", [0.0, 5.0, 10.0])
def test_the_repeats_die_away_at_full_repeats(level: float) -> None:
    """From the decoder round to the coder: below one, and the right way up, whatever LEVEL does to it."""
    circuit = _circuit("lantern-echo", REPEATS=10.0, LEVEL=level)
    chip = circuit.by_ref["U2"]
    drive = Drive(injections={chip.net("11"): 1.0})
    response = respond(_small(circuit), drive, np.geomspace(20.0, 20e3, 61))
    loop = response.gain(chip.net("15"), chip.net("12"))
    assert 0.7 < abs(loop).max() < 0.95
    assert abs(np.angle(loop[np.argmax(abs(loop))], deg=True)) < 30.0


def test_turning_the_repeats_down_leaves_the_first_echo() -> None:
    circuit = _circuit("lantern-echo", REPEATS=0.0, LEVEL=10.0)
    chip = circuit.by_ref["U2"]
    response = respond(_small(circuit), Drive(injections={chip.net("11"): 1.0}), np.array([440.0]))
    heard = abs(response.gain(_ends(circuit)[0], chip.net("12"))[0])
    sent_back = abs(response.gain(chip.net("15"), chip.net("12"))[0])
    assert heard > 1.0 and sent_back < 1e-3


@pytest.mark.parametrize(
    ("name", "settings", "hz", "ratio"),
    [
        ("lesson-voltage-follower", {}, 1000.0, 1.0),
        ("lesson-inverting-amplifier", {}, 1000.0, 100 / 22),
        ("lesson-non-inverting-booster", {"GAIN": 0.0, "LEVEL": 10.0}, 1000.0, 1 + 4.7 / 4.7),
        ("lesson-non-inverting-booster", {"GAIN": 10.0, "LEVEL": 10.0}, 1000.0, 1 + 104.7 / 4.7),
        ("lesson-mixer", {"FIRST": 10.0}, 1000.0, 100 / 47),
        ("windowsill-tone", {}, 50.0, 1.0),
        ("windowsill-tone", {}, 8000.0, 1.0),
        ("lesson-one-band-equaliser", {"BAND": 5.0}, 734.0, 1.0),
    ],
)
def test_gains_of_the_textbook(name: str, settings: dict[str, float], hz: float, ratio: float) -> None:
    """Ratios of resistors (ideal amplifier: any textbook of amplifiers), within a quarter of a decibel."""
    assert _gain_db(_circuit(name, **settings), hz) == pytest.approx(20 * np.log10(ratio), abs=0.25)


def test_the_sallen_key_lesson_keeps_its_promise() -> None:
    """Corner and Q of the unity-gain low-pass (Sallen and Key, IRE Trans. CT-2, 1955): |H| at f0 is Q."""
    corner_hz = 1 / (2 * np.pi * 10e3 * np.sqrt(6.8e-9 * 3.3e-9))
    quality = np.sqrt(6.8 / 3.3) / 2
    assert corner_hz == pytest.approx(3.4e3, rel=0.02)
    measured = _gain_db(_circuit("lesson-sallen-key"), corner_hz)
    assert measured == pytest.approx(20 * np.log10(quality), abs=0.2)


@pytest.mark.parametrize(
    ("name", "knob", "hz", "least_db"),
    [
        ("doorbell-booster", "BOOST", 1000.0, 20.0),
        ("plumtree-fuzz", "FUZZ", 1000.0, 15.0),
        ("windowsill-tone", "BASS", 60.0, 20.0),
        ("windowsill-tone", "TREBLE", 8000.0, 20.0),
        ("lesson-one-band-equaliser", "BAND", 734.0, 20.0),
        ("lesson-mixer", "FIRST", 1000.0, 60.0),
    ],
)
def test_clockwise_is_more(name: str, knob: str, hz: float, least_db: float) -> None:
    down, up = (_gain_db(_circuit(name, **{knob: setting}), hz) for setting in (0.0, 10.0))
    assert up - down > least_db


@pytest.mark.parametrize("beta", [300, 600, 900])
def test_the_tremolo_swings_at_every_rate_with_every_transistor(beta: int) -> None:
    """It starts when one pair of modes grows; 300 to 900 is the 2N5088's spread of gain (from memory)."""
    text = circuits.text("millwheel-tremolo").replace("npn 2N5088", f"npn 2N5088 beta={beta}")
    rates_hz = []
    for setting in (0.0, 2.5, 5.0, 7.5, 10.0):
        modes = natural_modes(_small(read_text(text).with_settings({"RATE": setting})))
        rates_hz += [mode.frequency_hz for mode in modes if mode.pole.real > 0.0]
    assert len(rates_hz) == 5
    assert rates_hz == sorted(rates_hz)
    assert 2.0 < rates_hz[0] < 4.0 and 7.0 < rates_hz[-1] < 11.0


@pytest.mark.parametrize("name", [name for name in circuits.names() if name not in SLOW_OSCILLATORS])
@pytest.mark.parametrize("setting", [0.0, 10.0])
def test_nothing_else_sings_by_itself(name: str, setting: float) -> None:
    circuit = read_text(circuits.text(name))
    circuit = circuit.with_settings({knob.ref: setting for knob in circuit.knobs})
    assert [mode for mode in natural_modes(_small(circuit)) if mode.pole.real > 1e-6 * abs(mode.pole)] == []
