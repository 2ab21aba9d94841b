"""Capacitors, knobs and switches as parts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pedalwright.circuit.primitives import Resistance, Short
from pedalwright.devices.kinds.capacitor import is_polarised, leakage_ohms, rated_v, typical_series_ohms
from pedalwright.devices.kinds.optocoupler import cell_ohms
from tests.devices.bench import expand, part


def lower_ohms(law: str, setting: float, track_ohms: float = 100e3) -> float:
    return halves(law, setting, track_ohms)[0]


def halves(law: str, setting: float, track_ohms: float = 100e3) -> tuple[float, float]:
    lower, upper = expand(part("knob", "LEVEL", value=track_ohms, law=law, setting=setting))
    assert isinstance(lower, Resistance)
    assert isinstance(upper, Resistance)
    return lower.ohms, upper.ohms


# Holmes and van Walstijn, DAFx-19, data files: ohms below the wiper at 75, 150 and 225 of 300 degrees; total.
AUDIO_PARTS = [(5129, 16500, 62090, 98140), (2782, 13501, 45530, 83400), (3090, 15156, 58290, 100420)]
LINEAR_PARTS = [(27490, 54040, 80010, 99450), (24160, 48360, 73660, 93640), (20960, 47140, 73360, 95040)]


@pytest.mark.parametrize("measured", AUDIO_PARTS)
def test_an_audio_track_lies_near_measured_ones(measured: tuple[float, ...]) -> None:
    *ohms, total = measured
    for setting, below in zip((2.5, 5.0, 7.5), ohms, strict=True):
        assert lower_ohms("audio", setting) / 100e3 == pytest.approx(below / total, abs=0.10)


@pytest.mark.parametrize("measured", LINEAR_PARTS)
def test_a_linear_track_lies_near_measured_ones(measured: tuple[float, ...]) -> None:
    *ohms, total = measured
    for setting, below in zip((2.5, 5.0, 7.5), ohms, strict=True):
        assert lower_ohms("linear", setting) / 100e3 == pytest.approx(below / total, abs=0.06)


def test_the_letter_code_names_the_middle_of_an_audio_track() -> None:
    # Holmes and van Walstijn, DAFx-19, table of maker's laws: 15A is 0.157 at half turn.
    assert lower_ohms("audio", 5.0) / 100e3 == pytest.approx(0.157, abs=0.01)


LAWS = st.sampled_from(["linear", "audio", "reverse-audio"])


@given(law=LAWS, setting=st.floats(0, 10), track_ohms=st.floats(10, 1e7))
def test_the_halves_add_up_and_never_vanish(law: str, setting: float, track_ohms: float) -> None:
    lower, upper = halves(law, setting, track_ohms)
    # One ohm is left at each end: 1.0 to 1.2 ohm measured (Holmes and van Walstijn, DAFx-19).
    assert lower >= 0.999
    assert upper >= 0.999
    assert lower + upper == pytest.approx(track_ohms)


@pytest.mark.parametrize("setting", [-0.1, 10.1, float("nan")])
def test_a_setting_off_the_dial_is_refused(setting: float) -> None:
    with pytest.raises(ValueError, match="dial"):
        halves("audio", setting)


@given(setting=st.floats(0, 10))
def test_reverse_audio_is_audio_seen_from_the_other_end(setting: float) -> None:
    assert halves("reverse-audio", setting) == pytest.approx(halves("audio", 10 - setting)[::-1])


@given(law=LAWS, low=st.floats(0, 9.9), step=st.floats(0.01, 5))
def test_turning_clockwise_never_goes_back(law: str, low: float, step: float) -> None:
    assert lower_ohms(law, min(low + step, 10)) >= lower_ohms(law, low) - 1e-6


@given(farads=st.floats(1e-7, 4.7e-3), volts=st.sampled_from([6.3, 10.0, 16.0, 25.0, 50.0]))
def test_an_electrolytic_leaks_less_than_its_sheet_allows(farads: float, volts: float) -> None:
    # The usual sheet limit of a general-purpose aluminium part: 0.01 C V or 3 uA, the greater (from memory).
    capacitor = part("capacitor", "C1", value=farads, notes=("electrolytic", f"{volts:g}V"))
    leak = leakage_ohms(capacitor)
    assert leak is not None
    assert volts / leak < max(0.01 * farads * volts, 3e-6)


def test_film_does_not_leak_and_an_electrolytic_does() -> None:
    film = expand(part("capacitor", "C1", value=1e-6, notes=("film",)))
    assert [type(p).__name__ for p in film] == ["Capacitance"]
    leaky = expand(part("capacitor", "C1", value=1e-6, notes=("electrolytic", "16V")))
    assert [type(p).__name__ for p in leaky] == ["Capacitance", "Resistance"]


def test_notes_of_a_capacitor_are_understood() -> None:
    capacitor = part("capacitor", "C1", value=1e-6, notes=("Tantalum", "16V"))
    assert is_polarised(capacitor)
    assert rated_v(capacitor) == 16.0
    assert rated_v(part("capacitor", "C1", value=1e-6, notes=("film",))) is None


def test_series_resistance_of_a_typical_electrolytic() -> None:
    # tan(delta)/(2 pi f C), the definition of IEC 60384-1 (from memory): 0.14 at 120 Hz and 100 uF.
    assert typical_series_ohms(100e-6) == pytest.approx(1.857, rel=1e-3)


def test_a_switch_joins_only_where_it_stands() -> None:
    one, other = (("a.common", "X"), ("a.up", "U"), ("a.down", "D")), (("b.common", "Y"), ("b.up", "V"))
    pins = (*one, *other, ("b.down", "E"))
    bare = part("switch", "MODE", setting="down")
    moved = type(bare)(ref="MODE", kind="switch", span=bare.span, pins=pins, setting="down")
    joined = {(p.name, p.a, p.b) for p in expand(moved) if isinstance(p, Short)}
    assert joined == {("MODEa", "X", "D"), ("MODEb", "Y", "E")}


def test_a_cell_is_not_guessed_outside_its_range() -> None:
    assert cell_ohms(1e-3) > cell_ohms(5e-3)
    with pytest.raises(ValueError, match="outside"):
        cell_ohms(0.1)
