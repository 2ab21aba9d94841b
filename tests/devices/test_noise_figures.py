"""Whatever amplifies or regulates says how much it hisses, and where that is from."""

import pytest

from pedalwright.circuit.part import Part
from pedalwright.circuit.span import Span
from pedalwright.devices.catalogue import device, devices, own_noise
from pedalwright.devices.device import Device
from pedalwright.notation import read_text

TYPED = [
    pytest.param(entry, name, id=f"{entry.kind} {name}")
    for entry in devices()
    if entry.family in ("opamp", "regulator")
    for name in entry.types
]


@pytest.mark.parametrize(("entry", "name"), TYPED)
def test_every_type_has_noise_in_reason(entry: Device, name: str) -> None:
    part = Part(ref="U1", kind=entry.kind, type=name, span=Span(1, 1, 1))
    pins = tuple((pin.name, f"N{place}") for place, pin in enumerate(entry.pins_for(part)))
    found = entry.noise(Part(ref="U1", kind=entry.kind, type=name, span=Span(1, 1, 1), pins=pins))
    assert len(found) == max(len(entry.sections), 1)
    for hiss in found:
        assert hiss.source
        # Nothing on sale is quieter than 0.5 nV/rtHz; a noisy regulator has some microvolts per root hertz.
        assert 0.5e-9 < hiss.volts_per_rthz < 5e-6
        assert 0.0 <= hiss.amperes_per_rthz < 10e-12


def test_a_regulator_of_another_voltage_hisses_in_proportion() -> None:
    text = "supply V 12V wall\npart U1 regulator {} in=V out=A\nA > R1 1k > gnd\n"
    five, eight = (own_noise(read_text(text.format(volts)))["U1"] for volts in ("5V", "8V"))
    # 42 uV from 10 Hz to 100 kHz (Wing Shing 78L05 sheet), taken as flat: 133 nV/rtHz.
    assert five.volts_per_rthz == pytest.approx(132.8e-9, rel=1e-3)
    assert eight.volts_per_rthz == pytest.approx(five.volts_per_rthz * 8 / 5)


def test_amplifiers_nobody_uses_are_silent_and_names_are_those_of_primitives() -> None:
    text = (
        "supply V 9V wall\n"
        "part U1 dual-opamp TL072 v+=V v-=gnd\n"
        "U1a.inv > U1a.out > R1 1k > gnd\n"
        "V > R2 1k > U1a.non\n"
    )
    circuit = read_text(text)
    assert set(own_noise(circuit)) == {"U1a"}
    assert own_noise(circuit)["U1a"].volts_per_rthz == 18e-9  # TI SLOS080M


def test_the_echo_chips_inner_amplifiers_are_an_assumption() -> None:
    entry = device("echo-chip")
    pins = tuple((pin.name, f"N{pin.name}") for pin in entry.pins)
    found = entry.noise(Part(ref="U2", kind="echo-chip", span=Span(1, 1, 1), pins=pins))
    assert len(found) == 4
    assert all(hiss.source.startswith("assumption") for hiss in found)
