"""Maximum ratings, each against the sheet that prints it."""

import pytest

from pedalwright import circuits
from pedalwright.analysis.power.rated import ratings
from pedalwright.analysis.power.ratings import heat_rating, value_of
from pedalwright.circuit.part import Part
from pedalwright.circuit.span import Span
from pedalwright.devices.catalogue import devices
from pedalwright.devices.ratings import rated
from tests.analysis.power.circuits_by_hand import analysis

PRINTED = [
    ("npn", "2N3904", "most_collector_v", 40.0, "Fairchild 2N3904, 2001"),
    ("npn", "2N3904", "most_collector_a", 0.2, "Fairchild 2N3904, 2001"),
    ("npn", "2N3904", "most_w", 0.625, "Fairchild 2N3904, 2001"),
    ("npn", "2N3904", "k_per_w", 200.0, "Fairchild 2N3904, 2001"),
    ("npn", "2N3904", "most_junction_c", 150.0, "625 mW at 5 mW/K above 25 degrees C"),
    ("npn", "2N5088", "most_collector_v", 30.0, "ON Semiconductor 2N5088/D"),
    ("npn", "2N5088", "k_per_w", 200.0, "ON Semiconductor 2N5088/D"),
    ("pnp", "2N3906", "most_collector_v", 40.0, "Fairchild 2N3906, 2010"),
    ("n-jfet", "2N5457", "most_gate_v", 25.0, "Motorola 2N5457/D, 1996"),
    ("n-jfet", "2N5457", "most_w", 0.31, "Motorola 2N5457/D, 1996"),
    ("silicon-diode", "1N4148", "most_reverse_v", 75.0, "Vishay 81857"),
    ("silicon-diode", "1N4148", "k_per_w", 350.0, "Vishay 81857"),
    ("silicon-diode", "1N4001", "most_reverse_v", 50.0, "Fairchild 2014"),
    ("silicon-diode", "1N4001", "most_forward_a", 1.0, "Fairchild 2014"),
    ("silicon-diode", "1N4001", "surge_a", 30.0, "Fairchild 2014"),
    ("silicon-diode", "1N4001", "k_per_w", 50.0, "Fairchild 2014"),
    ("schottky-diode", "1N5817", "most_reverse_v", 20.0, "International Rectifier PD-20646"),
    ("dual-opamp", "TL072", "destructive_supply_v", 36.0, "TI SLOS080M: +-18 V"),
    ("dual-opamp", "TL072", "most_supply_a", 2.5e-3, "TI SLOS080M"),
    ("dual-opamp", "NE5532", "most_supply_a", 8e-3, "ON Semiconductor: 16 mA both"),
    ("dual-opamp", "LM358", "destructive_supply_v", 32.0, "TI SLOS068T"),
    ("regulator", "78L05", "most_a", 0.1, "Wing Shing 78L05"),
    ("regulator", "78L05", "most_input_v", 30.0, "ST L78L"),
    ("regulator", "78L05", "most_quiescent_a", 6e-3, "Wing Shing 78L05"),
    ("regulator", "7805", "most_quiescent_a", 8e-3, "Fairchild LM78XX"),
    ("regulator", "7805", "k_per_w", 65.0, "Fairchild LM78XX"),
    ("echo-chip", "", "destructive_supply_v", 6.5, "maker's data sheet, page 5"),
    ("echo-chip", "", "destructive_supply_a", 0.1, "maker's data sheet, page 5"),
    ("echo-chip", "", "most_w", 1.7, "maker's data sheet, page 5"),
    ("resistor", "", "most_w", 0.25, "common practice, no source"),
]


@pytest.mark.parametrize(("kind", "name", "figure", "expected", "source"), PRINTED)
def test_a_rating_is_that_of_its_sheet(
    kind: str, name: str, figure: str, expected: float, source: str
) -> None:
    part = Part(ref="X1", kind=kind, type=name, span=Span(1, 1, 2))
    assert value_of(part, figure) == pytest.approx(expected), source


def test_every_rating_of_every_type_names_its_source() -> None:
    for device in devices():
        for name, card in {**device.types, "": device.figures}.items():
            for key, figure in card.items():
                assert figure.source.strip(), (device.kind, name, key)
                if key.startswith(("most_", "destructive_", "k_per_w", "surge_a")):
                    assert figure.value > 0.0 or key == "most_noise_dbv", (device.kind, name, key)


def test_every_semiconductor_has_a_heat_rating() -> None:
    for device in devices():
        if device.family in ("bipolar", "fet", "regulator", "opamp"):
            for name in device.types:
                part = Part(ref="X1", kind=device.kind, type=name, span=Span(1, 1, 2))
                assert heat_rating(part).allowed_w, (device.kind, name)


def test_ratings_of_unknown_types_are_refused() -> None:
    with pytest.raises(KeyError, match="NOT"):
        rated({"A": {}}, {"NOT": {}})


@pytest.mark.parametrize("name", circuits.names())
def test_the_package_s_circuits_stay_within_every_rating(name: str) -> None:
    for one in ratings(analysis(circuits.text(name))):
        assert one.factor < 1.0, (one.ref, one.rating)


def test_a_healthy_circuit_s_hardest_used_rating_comes_first() -> None:
    found = ratings(analysis(circuits.text("lantern-echo")))
    assert [one.factor for one in found] == sorted((one.factor for one in found), reverse=True)
    chip = next(one for one in found if one.ref == "U2" and one.rating == "supply voltage")
    # 5.0 V of 6.5 V.
    assert chip.factor == pytest.approx(5.0 / 6.5, rel=2e-3)


def test_watts_written_on_a_resistor_are_read_and_checked() -> None:
    from pedalwright import UnusableCircuit, read_text

    with pytest.raises(UnusableCircuit) as caught:
        read_text("supply V 9V wall\nV > R1 1k (watts=-1W) > gnd\n")
    assert "watts" in caught.value.remarks[0].what
