"""Every quantity a want may name, against handbook formulas and the maker's table.

Sources: Ohm's law and first-order sections from any handbook; the echo chip's delay table (maker's data
sheet, V1.6, 2010) and its ECHO circuit; repeats until 60 dB down are 60 over the loss of one round.
"""

from math import log10, pi

import numpy as np
import pytest
from numpy.typing import NDArray

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.wants import Desk, NotKnown, nearest_names, wanted_quantities
from pedalwright.notation.reading import read_text
from pedalwright.solve.band import Band, band_hz
from tests.echo.circuits import APPLICATION_DELAY, APPLICATION_ECHO

DIVIDER = """pedal Divider
supply V 9V wall
input IN 100 1V
output OUT 1M
V > R9 9k > gnd
IN > C1 100n > R1 10k > OUT
OUT > R2 10k > gnd
OUT > C2 1n > gnd
"""
QUIET_LOOP = APPLICATION_ECHO.replace("R10 10k", "R10 22k")
LOAD = 1 / (1 / 10e3 + 1 / 1e6)


def _measured(name: str, text: str) -> float:
    return wanted_quantities()[name].measure(Desk(Analysis(read_text(text)))).value


def _why(name: str, text: str) -> str:
    with pytest.raises(NotKnown) as reason:
        wanted_quantities()[name].measure(Desk(Analysis(read_text(text))))
    return str(reason.value)


@pytest.mark.parametrize("name", ["gain", "dry.gain"])
def test_gain_of_a_divider(name: str) -> None:
    s = 2j * pi * 1000.0
    lower = 1 / (1 / LOAD + s * 1e-9)
    upper = 10e3 + 1 / (s * 100e-9)
    assert _measured(name, DIVIDER) == pytest.approx(20 * log10(abs(lower / (upper + lower))), abs=0.005)


def test_corners_are_those_of_one_over_two_pi_rc() -> None:
    between = 1 / (1 / 10e3 + 1 / LOAD)
    assert _measured("bass.corner", DIVIDER) == pytest.approx(1 / (2 * pi * (10e3 + LOAD) * 100e-9), rel=0.01)
    assert _measured("treble.corner", DIVIDER) == pytest.approx(1 / (2 * pi * between * 1e-9), rel=0.02)


def test_impedances_of_the_jacks() -> None:
    across = 1592.0  # 100 nF at 1 kHz
    assert _measured("input.ohms", DIVIDER) == pytest.approx((20e3**2 + across**2) ** 0.5, rel=0.01)
    assert _measured("output.ohms", DIVIDER) == pytest.approx(5e3, rel=0.02)


def test_current_of_all_supplies() -> None:
    assert _measured("current", DIVIDER) == pytest.approx(1e-3, rel=1e-6)


def test_delays_are_those_of_the_makers_table_and_law() -> None:
    """10 to 30 kohm: between 9.2 and 10.5 k of the table, and 11.46 R + 29.70 beyond its end within 5 %."""
    assert 136.6e-3 < _measured("delay.min", APPLICATION_ECHO) < 151e-3
    assert _measured("delay.max", APPLICATION_ECHO) == pytest.approx(373e-3, rel=0.02)
    assert 228e-3 < _measured("delay", APPLICATION_ECHO) < 273e-3


def test_repeats_follow_from_the_gain_once_round() -> None:
    gain = _measured("loop.gain", QUIET_LOOP)
    assert gain < 0.0
    assert _measured("repeats.count", QUIET_LOOP) == pytest.approx(60 / -gain, rel=1e-9)
    # Its knob stands at 10, where it is loudest.
    assert _measured("loop.gain.max", QUIET_LOOP) == pytest.approx(gain, abs=1e-6)
    assert _measured("repeats.most", QUIET_LOOP) == pytest.approx(60 / -gain, rel=1e-6)


def test_the_loop_of_the_makers_circuit() -> None:
    """0.847 in the middle of the band with a typical chip, by Ohm's law; its filters peak a little above."""
    assert _measured("loop.gain.max", APPLICATION_ECHO) == pytest.approx(20 * log10(0.847), abs=0.35)


def test_decay_is_repeats_times_delay() -> None:
    """At 1 kHz, one chip: 60 dB over the loss of one round, times delay and group delay of one round."""
    loop = Desk(Analysis(read_text(QUIET_LOOP))).loop
    loss = -20 * log10(abs(loop.a[loop.at(1000.0), 0, 0]))
    least = 60 / loss * float(loop.delays_s[0])
    assert least < _measured("decay.time", QUIET_LOOP) < 1.02 * least


def test_where_a_loop_runs_away() -> None:
    """A smaller resistor at the wiper: typical chips run away before the end, and the gain there is one."""
    loud = APPLICATION_ECHO.replace("R10 10k", "R10 4k7")
    place = _measured("runaway.from", loud)
    assert 5.0 < place < 10.0
    there = loud.replace("linear at 10", f"linear at {place:.4f}", 1)
    assert _measured("loop.gain", there) == pytest.approx(0.0, abs=0.05)


def test_the_first_repeat_of_the_makers_delay() -> None:
    """Two low-passes of 7.34 kHz with Q 1.11, gain one, then 2.7 kohm and 10 nF into 100 kohm beside 1 Mohm;
    the chip takes half a decibel (the maker's second circuit, filter figures computed from it by hand).
    """
    load = 1 / (1 / 100e3 + 1 / 1e6)
    hz = np.geomspace(1e3, 20e3, 4001)
    turn = 1j * hz / 7.34e3
    behind = 1 / (1 / 2.7e3 + 1 / load)
    level = np.abs(1 / (1 + turn / 1.11 + turn**2) ** 2 / (1 + 2j * pi * hz * behind * 10e-9))
    corner = float(hz[np.flatnonzero(level >= level[0] * 10**-0.150515)[-1]])
    assert _measured("wet.treble", APPLICATION_DELAY) == pytest.approx(corner, rel=0.02)
    once = 20 * log10(load / (load + 2.7e3)) - 0.5 + 20 * log10(float(level[0]))
    assert _measured("wet.gain", APPLICATION_DELAY) == pytest.approx(once, abs=0.1)


def test_supply_of_the_chip_and_headroom() -> None:
    assert _measured("chip.supply", APPLICATION_ECHO) == pytest.approx(5.0, rel=0.01)
    # 1 V times 0.667, times 0.944 through the chip, times 1.5 at pin 14, which swings 1.77 V: 5.46 dB.
    assert _measured("headroom", APPLICATION_ECHO.replace("R10 10k", "R10 1M")) == pytest.approx(
        20 * log10(1.77 / (0.667 * 10**-0.025 * 1.5)), abs=0.1
    )


def test_what_is_not_there_is_not_known() -> None:
    assert "no echo chip" in _why("delay.max", DIVIDER)
    assert "no supply" in _why("current", DIVIDER.replace("supply V 9V wall\n", ""))
    assert "stands still" in _why(
        "delay.max", APPLICATION_ECHO.replace("TIME.2 > TIME.3 > gnd", "TIME.2 > TIME.3 > N")
    )
    assert "does not run away" in _why("runaway.from", QUIET_LOOP)
    assert "do not die away" in _why("repeats.most", APPLICATION_ECHO.replace("R10 10k", "R10 1k"))


@pytest.mark.parametrize("name", list(wanted_quantities()))
def test_every_quantity_says_what_it_is_and_answers_or_tells_why(name: str) -> None:
    one = wanted_quantities()[name]
    assert one.title and one.says and one.unit in ("s", "dB", "dBV", "Hz", "Ω", "A", "V", "")
    answered = (
        one.measure(Desk(Analysis(read_text(APPLICATION_ECHO))))
        if name not in ("runaway.from", "supply.low")
        else None
    )
    assert answered is None or answered.basis
    assert _why(name, "pedal Nothing\ninput IN 100 1V\nIN > C1 1u > OUT2\n").endswith(".")


def test_a_band_that_is_there_already_is_used() -> None:
    analysis = Analysis(read_text(DIVIDER))
    assert analysis.small is not None
    band = Band(analysis.small, band_hz())
    assert Desk(analysis, band).band is band


@pytest.mark.parametrize(
    ("word", "near"),
    [("dry.gian", "dry.gain"), ("delay.minimum", "delay.min"), ("impedance.input", "input.ohms")],
)
def test_nearest_names(word: str, near: str) -> None:
    assert near in nearest_names(word)
    assert len(nearest_names(word)) <= 3


JOHNSON = """pedal Hiss
input IN 1 1V
output OUT 100M
IN > R1 10k > OUT
OUT > R2 10k > gnd
"""


def _a_weighting(hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """The A curve in power by the poles of IEC 61672-1 (annex E), 0 dB at 1 kHz."""
    f1, f2, f3, f4 = 20.598997, 107.65265, 737.86223, 12194.217
    squared = hz**2
    shape = (
        f4**2
        * squared**2
        / ((squared + f1**2) * np.sqrt((squared + f2**2) * (squared + f3**2)) * (squared + f4**2))
    )
    return np.asarray((shape * 10 ** (2.0 / 20)) ** 2)


def test_noise_of_a_divider_is_johnsons_a_weighted() -> None:
    """4kTR of the resistance behind the jack (Johnson and Nyquist, 1928), weighted by IEC 61672-1."""
    hz = np.geomspace(20.0, 20e3, 4001)
    ohms = 1 / (1 / 10001 + 1 / 10e3)
    volts = np.sqrt(4 * 1.380649e-23 * 300.0 * ohms * np.trapezoid(_a_weighting(hz), hz))
    assert _measured("noise", JOHNSON) == pytest.approx(20 * log10(volts), abs=0.03)
    level = 0.5 / np.sqrt(2.0) / volts
    assert _measured("signal-to-noise", JOHNSON) == pytest.approx(20 * log10(level), abs=0.03)


def test_noise_without_an_output_is_not_known() -> None:
    assert "output" in _why("noise", JOHNSON.replace("output OUT 100M\n", ""))
    assert "output" in _why("signal-to-noise", JOHNSON.replace("output OUT 100M\n", ""))


def test_a_supply_may_sink_until_the_regulator_lets_go() -> None:
    """Output and dropout of a 78L05 (sheet: 1.7 V typical, from memory): the least input is their sum."""
    regulated = """pedal Five
supply V 9V battery
part U1 regulator 5V in=V out=V5 gnd=gnd
V > C1 100u > gnd
V5 > C2 10u > gnd
V5 > R1 1k > gnd
"""
    assert 6.5 < _measured("supply.low", regulated) < 7.1
    assert _measured("supply.low", DIVIDER) == pytest.approx(4.8)
    assert "9 V" in _why("supply.low", DIVIDER.replace("supply V 9V", "supply V 18V"))
