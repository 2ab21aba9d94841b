"""Knobs at every position against separately solved circuits, published tracks, and searches by hand."""

import numpy as np
import pytest

from pedalwright import read_text
from pedalwright.analysis.knob_advice import TURNS, advise, padding_values
from pedalwright.analysis.knob_evenness import Scale, evenness, perceived, spreading, tenth_shares
from pedalwright.analysis.knob_heard import peak_hz, usual_band
from pedalwright.analysis.knob_sweep import swept
from pedalwright.analysis.knob_track import Halves, Wiring, halves_at, law_of
from pedalwright.analysis.memo import Analysis
from pedalwright.devices.ports import INPUT
from pedalwright.solve.response import Drive, respond

from .knob_circuits import DIVIDER, circuit, first, one


@pytest.mark.parametrize(
    ("name", "ref"),
    [
        ("lantern-echo", "TIME"),
        ("lantern-echo", "REPEATS"),
        ("grainloft-reverb", "SIZE"),
        ("kilnhouse-drive", "DRIVE"),
        ("plumtree-fuzz", "FUZZ"),
        ("ferryman-phaser", "BIAS"),
        ("three-shelves-tone", "BASS"),
    ],
)
def test_swept_positions_are_separately_solved_circuits(name: str, ref: str) -> None:
    """Each position solved as a circuit of its own: rest and signals agree to 1e-9 of the largest."""
    analysis = circuit(name)
    part, band = analysis.circuit.by_ref[ref], usual_band(analysis)
    assert band is not None and analysis.circuit.output is not None
    dial = np.linspace(0, 10, 11)
    column = analysis.system.branches[INPUT]
    sweep = swept(analysis, part, halves_at(part.value or 0.0, law_of(part), dial / 10), band, [column])
    assert sweep.ok.all()
    out = analysis.circuit.output.net
    for place in (0, 3, 5, 10):
        alone = Analysis(analysis.circuit.with_settings({ref: float(dial[place])}))
        assert alone.small is not None
        want = respond(alone.small, Drive(source=INPUT), band.frequency_hz, open_delays=True).volts(out)
        error = np.abs(sweep.moved(column, out)[place] - want).max()
        assert error <= 1e-9 * np.abs(want).max()
        for net in part.nets:
            assert sweep.volts(net)[place] == pytest.approx(alone.rest.volts(net), rel=1e-9, abs=1e-9)


def test_a_linear_track_loaded_by_its_own_resistance_gives_0_4_at_half_turn() -> None:
    text = DIVIDER.format(law="linear").replace("100k", "10k").replace("OUT 1M", "OUT 10k")
    analysis = read_text(text + "\n")
    part, band = analysis.circuit.by_ref["LEVEL"], usual_band(analysis)
    assert band is not None
    column = analysis.system.branches[INPUT]
    sweep = swept(analysis, part, halves_at(10e3, "linear", np.array([0.5])), band, [column])
    ratio = sweep.moved(column, "OUT") / sweep.moved(column, "IN")
    assert np.abs(ratio[0]) == pytest.approx(0.4, abs=1e-4)


@pytest.mark.parametrize(
    ("law", "middle"),
    [
        ("linear", 0.5),
        ("audio 5 %", 0.055),
        ("audio 10 %", 0.107),
        ("audio", 0.157),
        ("audio 20 %", 0.204),
        ("audio 25 %", 0.253),
        ("audio 30 %", 0.303),
        ("reverse-audio", 0.843),
    ],
)
def test_tracks_at_half_turn(law: str, middle: float) -> None:
    """Makers' laws, straight between 0.30 and 0.51 (Holmes and van Walstijn, DAFx-19, companion table);
    the mirror for reverse audio. One ohm is left at each end."""
    halves = halves_at(100e3, law, np.array([0.0, 0.5, 1.0]))
    assert halves.lower[1] / 100e3 == pytest.approx(middle, abs=6e-4)
    assert np.allclose(halves.lower + halves.upper, 100e3)
    assert halves.lower[0] == 1.0 and halves.upper[2] == pytest.approx(1.0)


def test_a_resistor_beside_a_half_is_in_parallel_with_it() -> None:
    plain = Halves(lower=np.array([100.0, 900.0]), upper=np.array([900.0, 100.0]))
    assert np.allclose(plain.beside(100.0, "1").lower, [50.0, 90.0])
    assert np.allclose(plain.beside(100.0, "3").upper, [90.0, 50.0])
    assert np.allclose(plain.beside(100.0, "1").upper, plain.upper)


def test_evenness_of_the_two_extremes_and_of_half_and_half() -> None:
    assert evenness(np.full(10, 0.1)) == pytest.approx(1.0)
    assert evenness(np.eye(10)[3]) == pytest.approx(0.0)
    # Five tenths with a fifth each: half of sum|0.2 - 0.1| and |0 - 0.1| is 0.5, over 0.9.
    assert evenness(np.repeat([0.2, 0.0], 5)) == pytest.approx(1 - 0.5 / 0.9)


def test_spreading_finds_where_the_change_is() -> None:
    dial = np.linspace(0, 10, 41)
    ramp = spreading(dial, np.clip(dial - 6, 0, 2))
    assert ramp is not None
    assert ramp.shares[6] == pytest.approx(0.5) and ramp.shares[7] == pytest.approx(0.5)
    assert ramp.dead == ((0.0, 6.0), (8.0, 10.0))
    assert ramp.half_to - ramp.half_from == pytest.approx(1.0)
    assert not ramp.turns_round
    hill = spreading(dial, -np.abs(dial - 5))
    assert hill is not None and hill.turns_round and hill.evenness == pytest.approx(1.0)
    assert spreading(dial, np.zeros(41)) is None


def test_a_divider_is_more_even_in_decibels_with_an_audio_track() -> None:
    linear, audio = (first(read_text(DIVIDER.format(law=law)), "LEVEL") for law in ("linear", "audio"))
    assert linear.unit == audio.unit == "dB"
    assert linear.spreading is not None and audio.spreading is not None
    assert audio.spreading.evenness > linear.spreading.evenness + 0.1
    assert linear.advice is not None and linear.advice.law is not None
    assert linear.advice.law.startswith("audio")


def test_a_linear_trim_that_sets_a_voltage_is_even_in_volts() -> None:
    text = "supply V 9V wall\noutput OUT 1M\ntrim SET 10k linear at 5\nV > SET.3\nSET.1 > gnd\nSET.2 > OUT\n"
    heard = first(read_text(text), "SET")
    assert heard.unit == "V" and heard.spreading is not None
    assert heard.spreading.evenness == pytest.approx(1.0, abs=0.01)
    # Half of 9 V behind 2.5 kohm into 1 Mohm.
    assert heard.at_noon == pytest.approx(4.5 * 1e6 / (1e6 + 2.5e3), rel=1e-4)


def test_levels_of_a_divider_are_the_textbook_ratio() -> None:
    """Source, upper half, and the lower half beside the load: Ohm's law."""
    answer = one(read_text(DIVIDER.format(law="linear")), "LEVEL", 21)
    values = answer.heard[0].values
    track, load, source = 100e3, 1e6, 1e3
    lower = 1.0 + answer.dial / 10 * (track - 2)
    foot = lower * load / (lower + load)
    want = 20 * np.log10(foot / (foot + track - lower + source))
    assert np.abs(values - want).max() < 1e-9


@pytest.mark.parametrize("wiring", [Wiring.LOWER, Wiring.DIVIDER])
def test_the_padding_resistor_is_the_one_a_plain_search_finds(wiring: Wiring) -> None:
    """Every E12 value at every end, one by one, with an explicit figure."""
    track = 100e3

    def figure(halves: Halves) -> np.ndarray:
        if wiring is Wiring.LOWER:
            return 1e6 / (10e3 + halves.lower)
        loaded = 1 / (1 / halves.lower + 1 / 22e3)
        return 20 * np.log10(loaded / (loaded + halves.upper))

    scale = Scale.OCTAVES if wiring is Wiring.LOWER else Scale.LEVEL
    plain = _score(figure(halves_at(track, "linear", TURNS)), scale)
    found = advise(track, "linear", wiring, figure, scale, present_evenness=plain)
    best, best_pad = 0.0, (0.0, "")
    whole = np.ptp(perceived(figure(halves_at(track, "linear", TURNS)), scale))
    for end in ("1",) if wiring is Wiring.LOWER else ("1", "3"):
        for ohms in padding_values(track):
            values = figure(halves_at(track, "linear", TURNS).beside(ohms, end))
            score = _score(values, scale)
            if score > best and np.ptp(perceived(values, scale)) >= 0.8 * whole:
                best, best_pad = score, (ohms, end)
    if best >= plain + 0.05:
        assert found.padding is not None
        assert (found.padding.ohms, found.padding.end) == best_pad
        assert found.padding.evenness == pytest.approx(best, abs=2e-3)
    else:
        assert found.padding is None


def _score(values: np.ndarray, scale: Scale) -> float:
    shares = tenth_shares(perceived(values, scale))
    assert shares is not None
    return evenness(shares)


def test_advised_law_scores_as_a_circuit_built_with_it() -> None:
    analysis = read_text(DIVIDER.format(law="linear"))
    heard = first(analysis, "LEVEL")
    assert heard.advice is not None
    tried = {law.law: law.evenness for law in heard.advice.laws}
    rebuilt = first(read_text(DIVIDER.format(law="audio")), "LEVEL")
    assert rebuilt.spreading is not None
    assert tried["audio"] == pytest.approx(rebuilt.spreading.evenness, abs=1e-6)


@pytest.mark.parametrize(
    ("name", "ref", "sort"),
    [
        ("lantern-echo", "TIME", "delay"),
        ("lantern-echo", "REPEATS", "repeats"),
        ("lantern-echo", "LEVEL", "level"),
        ("duckpond-chorus", "RATE", "rate"),
        ("duckpond-chorus", "DEPTH", "pitch"),
        ("ferryman-phaser", "BIAS", "bias"),
        ("lesson-band-pass", "SWEEP", "centre"),
        ("windowsill-tone", "TREBLE", "level"),
        ("kilnhouse-drive", "DRIVE", "level"),
    ],
)
def test_every_knob_is_told_in_the_unit_it_is_heard_in(name: str, ref: str, sort: str) -> None:
    answer = one(circuit(name), ref, 11)
    assert answer.certified.all() and not answer.refusals
    assert answer.heard[0].sort == sort


def test_the_peak_of_a_curve_is_found_between_its_points() -> None:
    frequency = np.geomspace(20, 20e3, 31)
    centre = np.array([[333.0], [1234.0]])
    level = -20 * np.log10(np.abs(1 + 1j * 3 * (frequency / centre - centre / frequency)))
    assert peak_hz(frequency, level) == pytest.approx(centre[:, 0], rel=0.02)
    assert np.isnan(peak_hz(frequency, np.zeros((1, 31)))).all()
