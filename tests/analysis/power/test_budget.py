"""Currents against makers' figures, Ohm's law and the conservation of energy."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pedalwright import circuits
from pedalwright.analysis.power import budget
from pedalwright.analysis.power.ranges import healthy
from pedalwright.devices.ports import supply_name
from tests.analysis.power.circuits_by_hand import CHIP, FOLLOWER, REGULATOR, TIGHT, analysis

FED = tuple(name for name in circuits.names() if name != "three-shelves-tone")


def test_a_regulator_draws_its_load_and_its_own_current() -> None:
    # 30 mA at 5 V and 3.8 mA typical, 6 mA at most: Wing Shing 78L05 sheet.
    found = budget(analysis(REGULATOR))
    ((_, amps),) = found.supply_a
    assert amps.typical == pytest.approx(33.8e-3, rel=2e-3)
    assert amps.most == pytest.approx(36e-3, rel=2e-3)
    rail = found.rail("V5")
    assert rail is not None
    assert rail.amps.typical == pytest.approx(30e-3, rel=2e-3)
    assert rail.feeds == ("U1",) and rail.from_nets == ("VIN",)
    # Rated 100 mA on the same sheet.
    assert rail.limit_a == pytest.approx(0.1)


def test_the_echo_chip_draws_15_ma_typical_and_30_at_most() -> None:
    # Maker's data sheet, Echo Processor IC, V1.6, 2010, page 5.
    text = """supply V 5V wall 4.999V..5.001V
part U1 echo-chip supply=V
U1.2 > C1 47u > gnd
U1.6 > R1 10M > gnd
"""
    found = budget(analysis(text))
    ((_, amps),) = found.supply_a
    assert amps.typical == pytest.approx(15e-3, rel=2e-3)
    assert amps.most == pytest.approx(30e-3, rel=2e-3)


@pytest.mark.parametrize(
    ("kind", "name", "typical_a", "most_a", "source"),
    [
        ("dual-opamp", "TL072", 2.8e-3, 5e-3, "TI SLOS080M: 1.4 typical, 2.5 at most for each"),
        ("quad-opamp", "TL074", 5.6e-3, 10e-3, "the same sheet"),
        ("dual-opamp", "NE5532", 8e-3, 16e-3, "ON Semiconductor NE5532 sheet, both"),
        ("dual-opamp", "LM358", 0.7e-3, 1.2e-3, "TI SLOS068T, both"),
    ],
)
def test_operational_amplifiers_draw_what_their_sheets_say(
    kind: str, name: str, typical_a: float, most_a: float, source: str
) -> None:
    found = budget(analysis(f"supply V 9V wall {TIGHT}\npart U1 {kind} {name} v+=V v-=gnd\n"))
    ((_, amps),) = found.supply_a
    assert amps.typical == pytest.approx(typical_a, rel=1e-3), source
    assert amps.most == pytest.approx(most_a, rel=1e-3), source


def test_an_indicator_draws_20_ma_through_340_ohm() -> None:
    # (9 V - 2.2 V)/340 ohm: red 5 mm, 2.2 V typical at 20 mA, Kingbright WP7113SEC/J3.
    found = budget(analysis(f"supply V 9V wall {TIGHT}\nV > R1 340 > D1 red (led) > gnd\n"))
    ((_, amps),) = found.supply_a
    assert amps.typical == pytest.approx(20e-3, rel=1e-3)


def test_what_an_amplifier_gives_comes_out_of_its_supply_pin() -> None:
    # 4.5 V over 1 kohm on top of 4 mA of its own and 0.45 mA of the divider.
    found = budget(analysis(FOLLOWER))
    ((_, amps),) = found.supply_a
    assert amps.typical == pytest.approx(4e-3 + 4.5e-3 + 0.45e-3, rel=5e-3)
    taking = FOLLOWER.replace("OUT > R3 1k > gnd", "V > R3 1k > OUT")
    ((_, taken),) = budget(analysis(taking)).supply_a
    # The load's current comes straight from the rail; the amplifier passes it to ground.
    assert taken.typical == pytest.approx(4e-3 + 4.5e-3 + 0.45e-3, rel=5e-3)
    rail = budget(analysis(taking)).rail("V")
    assert rail is not None
    loads = {load.ref: load.amps.typical for load in rail.loads}
    assert loads["R3"] == pytest.approx(4.5e-3, rel=5e-3)
    assert loads["U1"] == pytest.approx(4e-3, rel=5e-3)


@pytest.mark.parametrize("name", FED)
def test_the_loads_of_every_rail_add_up_to_what_enters_it(name: str) -> None:
    # Kirchhoff's current law, for every rail of every circuit of the package.
    found = budget(analysis(circuits.text(name)))
    assert found.rails and not found.refusals
    for rail in found.rails:
        total = sum(load.amps.typical for load in rail.loads)
        assert total == pytest.approx(rail.amps.typical, rel=1e-6, abs=1e-9), rail.net
        assert rail.amps.least <= rail.amps.typical <= rail.amps.most


@pytest.mark.parametrize("name", FED)
def test_the_first_rail_takes_what_the_supply_gives(name: str) -> None:
    found = budget(analysis(circuits.text(name)))
    ((net, amps),) = found.supply_a
    rail = found.rail(net)
    assert rail is not None
    assert rail.amps.typical == pytest.approx(amps.typical, rel=1e-6)


@pytest.mark.parametrize("name", FED)
def test_no_energy_is_lost(name: str) -> None:
    # Tellegen's theorem (Philips Research Reports 7, 1952): the powers of all branches add up to nothing.
    tried = healthy(analysis(circuits.text(name)))
    assert tried is not None and tried.ok.all()
    given = sum(abs(tried.watts(owner)) for owner in tried.by_part if owner.startswith("supply "))
    left = sum(tried.watts(owner) for owner in tried.by_part)
    assert np.all(np.abs(left) <= 1e-7 * given)


@settings(max_examples=25, deadline=None)
@given(
    ohms=st.lists(st.floats(100.0, 1e6), min_size=1, max_size=6),
    series_ohms=st.floats(1.0, 500.0),
    supply_v=st.floats(3.0, 18.0),
)
def test_resistors_behind_a_filter_share_by_ohms_law(
    ohms: list[float], series_ohms: float, supply_v: float
) -> None:
    branches = "".join(f"VA > R{place + 2} {value:.6g} > gnd\n" for place, value in enumerate(ohms))
    text = f"supply V {supply_v:.6g}V wall\nV > R1 {series_ohms:.6g} > VA > C1 100u > gnd\n{branches}"
    found = budget(analysis(text))
    total = 1 / sum(1 / float(f"{value:.6g}") for value in ohms) + float(f"{series_ohms:.6g}")
    ((_, amps),) = found.supply_a
    assert amps.typical == pytest.approx(float(f"{supply_v:.6g}") / total, rel=1e-6)
    # An adaptor is taken to keep within 5 % where nothing is stated.
    assert amps.most == pytest.approx(1.05 * amps.typical, rel=1e-6)
    assert amps.least == pytest.approx(0.95 * amps.typical, rel=1e-6)


def test_a_negative_supply_is_told_as_a_size() -> None:
    found = budget(analysis("supply VN -9V wall -9.9V..-8.1V\nVN > R1 1k > gnd\n"))
    ((_, amps),) = found.supply_a
    assert (amps.least, amps.typical, amps.most) == pytest.approx((8.1e-3, 9e-3, 9.9e-3), rel=1e-6)
    assert found.adaptor is not None and found.adaptor.volts == 9.0


def test_a_rail_below_ground_has_its_loads_too() -> None:
    # TL072 between 9 V and -9 V: 1.4 mA each (TI SLOS080M); -9 V also feeds 3 kohm through 100 ohm.
    found = budget(
        analysis("""supply VP 9V wall 9V..9.0001V
supply VN -9V wall -9.0001V..-9V
part U1 dual-opamp TL072 v+=VP v-=VN
VN > R1 100 > VM > R2 2k9 > gnd
VM > C1 100u > gnd
""")
    )
    assert {net: amps.typical for net, amps in found.supply_a} == pytest.approx(
        {"VP": 2.8e-3, "VN": 2.8e-3 + 3e-3}, rel=1e-3
    )
    below, behind = found.rail("VN"), found.rail("VM")
    assert below is not None and behind is not None
    assert {load.ref: load.amps.typical for load in below.loads} == pytest.approx(
        {"U1": 2.8e-3, "R1": 3e-3}, rel=1e-3
    )
    assert behind.feeds == ("R1",) and behind.amps.typical == pytest.approx(3e-3, rel=1e-3)
    assert sum(load.amps.typical for load in behind.loads) == pytest.approx(3e-3, rel=1e-3)


def test_two_supplies_are_told_apart() -> None:
    found = budget(analysis("supply VP 9V wall\nsupply VN -9V wall\nVP > R1 1k > gnd\nVN > R2 3k > gnd\n"))
    given = {net: amps.typical for net, amps in found.supply_a}
    assert given == pytest.approx({"VP": 9e-3, "VN": 3e-3}, rel=1e-6)


# Schmitt trigger and integrator; the lamp hangs on the output that flips.
FLASHING = f"""supply V 9V wall {TIGHT}
input IN pickup
output OUT 1M
IN > OUT
part U1 dual-opamp TL072 v+=V v-=gnd
V > R1 10k > VM > R2 10k > gnd
VM > C1 47u > gnd
U1b.out > R3 47k > U1a.non
U1a.non > R4 100k > U1a.out
U1a.inv > VM
U1a.out > R5 100k > U1b.inv
U1b.inv > C2 1u > U1b.out
U1b.non > VM
U1a.out > R6 1k > D1 red (led) > gnd
"""


def test_a_lamp_on_an_oscillator_counts_as_the_mean_of_on_and_off() -> None:
    flashing = analysis(FLASHING)
    assert not flashing.rest.stays
    tried = healthy(flashing)
    assert tried is not None and len(tried.ok) == 5
    lamp = tried.named("D1")
    # Off below the lamp's knee; on: 7.5 V less the lamp's voltage (1.7 to 2.2 V) over 1 kohm.
    assert lamp[3] < 0.2e-3 and 5.3e-3 < lamp[4] < 5.8e-3
    ((_, amps),) = budget(flashing).supply_a
    ends = np.abs(tried.named(supply_name(flashing.circuit.supplies[0])))[3:]
    assert amps.typical == pytest.approx(ends.mean())
    assert ends[1] - ends[0] == pytest.approx(lamp[4] - lamp[3], rel=0.05)


def test_a_circuit_without_a_supply_says_so() -> None:
    found = budget(analysis(circuits.text("three-shelves-tone")))
    assert found.rails == () and found.adaptor is None and "no supply" in found.notes[0]


def test_rails_come_from_the_supply_inwards() -> None:
    found = budget(analysis(circuits.text("lantern-echo")))
    assert [rail.net for rail in found.rails] == ["VIN", "VP", "VA", "V5"]
    feeds = {rail.net: rail.feeds for rail in found.rails}
    assert feeds == {"VIN": (), "VP": ("D1",), "VA": ("R1",), "V5": ("U3",)}
    # 4.7 kohm and a red lamp at 8.8 V: about 1.4 mA, as the circuit's own text says.
    rail = found.rail("VP")
    assert rail is not None
    assert {load.ref: load.amps.typical for load in rail.loads}["R2"] == pytest.approx(1.45e-3, abs=0.1e-3)


def test_the_chip_budget_of_a_published_builder_holds() -> None:
    # "Budget 25 to 30 mA per chip": a builder's published figure; the sheet's maximum is 30 mA.
    found = budget(analysis(CHIP))
    rail = found.rail("V5")
    assert rail is not None
    assert 25e-3 < rail.amps.most < 31e-3
