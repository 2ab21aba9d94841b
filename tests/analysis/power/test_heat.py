"""Heat and junction temperatures against the sheets' own arithmetic."""

import pytest

from pedalwright import circuits
from pedalwright.analysis.power import Heat, heat
from pedalwright.formulas.heat import allowed_w
from tests.analysis.power.circuits_by_hand import REGULATOR, TIGHT, analysis


def of(text: str, ref: str) -> Heat:
    return next(one for one in heat(analysis(text)) if one.ref == ref)


def test_a_small_regulator_gets_31_kelvin_hotter() -> None:
    # (9 V - 5 V) 30 mA + 9 V 3.8 mA = 0.1542 W; at 200 K/W 30.84 K: the 2N3904 sheet's TO-92 figure.
    found = of(REGULATOR, "U1")
    assert found.watts.typical == pytest.approx(0.1542, rel=3e-3)
    assert found.k_per_w == 200.0
    # 6 mA of its own at most: 0.174 W.
    assert found.room_c == pytest.approx(25 + 200 * 0.174, rel=5e-3)
    assert found.box_c == pytest.approx(40 + 200 * 0.174, rel=5e-3)


def test_a_large_regulator_stays_cooler() -> None:
    # LM7805: 65 K/W, Fairchild LM78XX rev 1.3.1; 8 mA of its own at most: 0.12 + 0.072 W.
    found = of(REGULATOR.replace("78L05", "7805"), "U1")
    assert found.room_c == pytest.approx(25 + 65 * 0.192, rel=5e-3)


def test_a_transistor_loses_5_mw_for_every_kelvin() -> None:
    # 2N3904: 625 mW at 25 degrees C, 5 mW/K, 150 degrees C: 450 mW at 60 and 550 mW at 40.
    text = f"supply V 9V wall {TIGHT}\npart Q1 npn 2N3904 c=C b=B e=gnd\nV > R1 1k > C\nV > R2 470k > B\n"
    found = of(text, "Q1")
    assert found.most_w == 0.625 and found.allowed_w == pytest.approx(0.55)
    assert allowed_w(ambient_c=60.0, maximum_c=150.0, k_per_w=200.0) == pytest.approx(0.45)
    solved = analysis(text).rest
    # Collector and base both bring their current in.
    base_a = (solved.volts("V") - solved.volts("B")) / 470e3
    collector_a = (solved.volts("V") - solved.volts("C")) / 1e3
    expected = collector_a * solved.volts("C") + base_a * solved.volts("B")
    assert found.watts.typical == pytest.approx(expected, rel=1e-4)


def test_a_resistor_is_told_against_what_it_is_made_for() -> None:
    text = f"supply V 9V wall {TIGHT}\nV > R1 100 > gnd\n"
    plain, large = of(text, "R1"), of(text.replace("R1 100", "R1 100 (watts=1W)"), "R1")
    assert plain.watts.typical == pytest.approx(0.81, rel=1e-6)
    # 0.25 W for the usual size: common practice.
    assert plain.most_w == 0.25 and plain.share == pytest.approx(3.24, rel=1e-3)
    assert large.most_w == 1.0 and large.share == pytest.approx(0.81, rel=1e-3)


def test_the_series_resistor_of_a_lamp_makes_13_6_mw() -> None:
    # 9 V, 2.2 V, 2 mA: 3400 ohm take 6.8 V; Ohm's law.
    assert of("supply V 6.8V wall\nV > R1 3400 > gnd\n", "R1").watts.typical == pytest.approx(13.6e-3)


def test_an_amplifier_s_output_stage_is_heated_by_its_load() -> None:
    text = f"""supply V 9V wall {TIGHT}
part U1 opamp NE5534 v+=V v-=gnd
V > R1 10k > VB > R2 20k > gnd
VB > U1.non
U1.inv > U1.out > OUT
OUT > R3 1k > gnd
"""
    # 4 mA of its own at 9 V; 6 mA at 6 V out leave 3 V in the output stage.
    assert of(text, "U1").watts.typical == pytest.approx(4e-3 * 9 + 6e-3 * 3, rel=1e-2)


def test_a_diode_in_series_costs_its_voltage() -> None:
    # 1N5817 at 100 mA: 0.2912 V by the circulated card; 50 K/W (from memory).
    found = of(f"supply VIN 9V wall {TIGHT}\nVIN > D1 1N5817 > VP\nVP > R1 87.088 > gnd\n", "D1")
    assert found.watts.typical == pytest.approx(0.02912, rel=1e-3)


@pytest.mark.parametrize("name", circuits.names())
def test_no_part_of_the_package_s_circuits_is_over_its_rating(name: str) -> None:
    for one in heat(analysis(circuits.text(name))):
        assert one.watts.least >= 0.0, one.ref
        assert one.share is None or one.share < 1.0, one.ref
        assert one.box_c is None or one.most_junction_c is None or one.box_c < one.most_junction_c


def test_the_hardest_used_part_comes_first() -> None:
    found = heat(analysis(circuits.text("lantern-echo")))
    assert found[0].ref == "U3"
    shares = [one.share or 0.0 for one in found]
    assert shares == sorted(shares, reverse=True)
