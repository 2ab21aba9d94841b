"""The family of devices as a list, and what whole circuits expand into."""

import pytest

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.ports import SignalInput, SignalOutput, Supply
from pedalwright.circuit.primitives import (
    Capacitance,
    ClippingAmplifier,
    Inductance,
    Resistance,
    SupplyDraw,
    VoltageSource,
)
from pedalwright.circuit.remark import UnusableCircuit
from pedalwright.circuit.span import Span
from pedalwright.devices.catalogue import amplifiers, device, devices, expand_circuit, kinds, two_pin_device
from pedalwright.devices.device import Device
from pedalwright.devices.sources import source_figures, source_names
from pedalwright.notation import read_text
from tests.devices.bench import expand, part

ECHO = """
pedal   A Test Echo
supply  VIN 9V wall
input   IN pickup
output  OUT 1M
part    U1 dual-opamp TL072 v+=VIN v-=gnd
part    U2 echo-chip supply=V5
part    U3 regulator 5V in=VIN out=V5
knob    TIME 50k linear at 5
switch  MODE dry wet at wet
VIN > R1 10k > VB > R2 10k > gnd
VB > C1 47u (electrolytic, 16V) > gnd
IN > C2 47n > R3 220k > U1a.inv
U1a.inv > R4 220k > U1a.out
VB > U1a.non
U1a.out > C3 1u > R5 10k > U2.16
U2.16 > R6 10k > U2.15
U2.time > R7 2k2 > TIME.3
TIME.2 > TIME.1 > gnd
U2.12 > R8 10k > U2.13 > R9 10k > U2.14
U2.14 > MODE.wet
U1a.out > MODE.dry
MODE.common > C4 1u > OUT
OUT > R10 1M > gnd
"""


@pytest.fixture(scope="module")
def echo() -> Circuit:
    return read_text(ECHO)


def test_the_kinds_of_the_notation_are_all_there() -> None:
    expected = {
        "resistor", "capacitor", "inductor", "silicon-diode", "schottky-diode", "germanium-diode", "led",
        "zener-diode", "npn", "pnp", "n-jfet", "p-jfet", "n-mosfet", "p-mosfet", "opamp", "dual-opamp",
        "quad-opamp", "regulator", "knob", "trim", "switch", "jack", "battery", "fuse", "optocoupler",
        "echo-chip",
    }  # fmt: skip
    assert expected <= set(kinds())


@pytest.mark.parametrize("entry", devices(), ids=kinds())
def test_an_entry_is_complete(entry: Device) -> None:
    assert entry.page.strip()
    assert entry.title
    assert entry.says
    words = [word for pin in entry.pins for word in (pin.name, *pin.aliases)]
    assert len(words) == len(set(words)), "two pins answer to one name"
    assert all(figure.source for figures in entry.types.values() for figure in figures.values())
    assert entry.default_type in entry.types or not entry.types or entry.kind == "zener-diode"


@pytest.mark.parametrize(
    ("letters", "word", "notes", "kind"),
    [
        ("R", "220k", (), "resistor"),
        ("C", "100u", ("electrolytic", "16V"), "capacitor"),
        ("L", "500m", (), "inductor"),
        ("D", "1N4148", (), "silicon-diode"),
        ("D", "1n5817", (), "schottky-diode"),
        ("D", "1N34A", (), "germanium-diode"),
        ("D", "red", ("led",), "led"),
        ("D", "red", (), "led"),
        ("D", "5V1", ("zener",), "zener-diode"),
        ("D", "5V1", (), "zener-diode"),
        ("D", "1N4733", (), "zener-diode"),
        ("F", "500mA", (), "fuse"),
        ("BT", "9V", (), "battery"),
    ],
)
def test_a_walk_item_finds_its_device(letters: str, word: str, notes: tuple[str, ...], kind: str) -> None:
    found = two_pin_device(letters, word, notes)
    assert found is not None
    assert found.kind == kind


@pytest.mark.parametrize(
    ("letters", "word"), [("D", "1N9999"), ("D", "47"), ("D", ""), ("Q", "2N3904"), ("U", "TL072")]
)
def test_what_is_no_two_pin_part_finds_nothing(letters: str, word: str) -> None:
    assert two_pin_device(letters, word) is None


def test_an_unknown_kind_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        device("gramophone")


def test_names_are_unique_and_main_primitives_carry_the_parts_name(echo: Circuit) -> None:
    names = [primitive.name for primitive in expand_circuit(echo)]
    assert len(names) == len(set(names))
    assert {"R1", "C2", "TIME.1-2", "TIME.2-3", "U1a", "U2/coder", "U3", "MODE"} <= set(names)
    assert {"supply VIN", "input", "output load"} <= set(names)


def test_owners_are_parts_sections_or_ports(echo: Circuit) -> None:
    known = {part.ref for part in echo.parts} | {"U1a", "U1b", "supply VIN", "input", "output load"}
    assert {primitive.owner for primitive in expand_circuit(echo)} <= known


def test_a_section_never_mentioned_only_draws_its_current(echo: Circuit) -> None:
    found = {primitive.name: primitive for primitive in expand_circuit(echo)}
    assert "U1b" not in found
    draw = found["U1/supply"]
    assert isinstance(draw, SupplyDraw)
    # TI SLOS080M: 1.4 mA typical per amplifier.
    assert draw.dc_a == pytest.approx(2.8e-3)


def test_amplifiers_carry_their_roles_and_the_names_of_their_primitives(echo: Circuit) -> None:
    units = amplifiers(echo)
    assert [(unit.ref, unit.role) for unit in units] == [
        ("U1a", "opamp"), ("U1b", "opamp"), ("U2/input-filter", "input-filter"), ("U2/coder", "coder"),
        ("U2/decoder", "decoder"), ("U2/output-filter", "output-filter"),
    ]  # fmt: skip
    clipping = {p.name: p for p in expand_circuit(echo) if isinstance(p, ClippingAmplifier)}
    for unit in units:
        if unit.ref in clipping:
            assert clipping[unit.ref].output == unit.output
            assert clipping[unit.ref].inverting == unit.inverting
            assert clipping[unit.ref].non_inverting == unit.non_inverting


@pytest.mark.parametrize(
    ("line", "cure"),
    [
        ("part U1 dual-opamp TL072 v-=gnd", "v+=VA"),
        ("part U1 dual-opamp TL072 v+=VIN", "v-=gnd"),
        ("part U1 dual-opamp v+=VIN v-=gnd", "TL072"),
        ("part U2 echo-chip", "supply=V5"),
        ("part U3 regulator in=VIN out=V5", "regulator 5V"),
        ("part U3 regulator 5V in=VIN", "out=NET"),
        ("part U3 regulator LM317 in=VIN out=V5", "adj=NET"),
        ("part Q1 npn c=VIN b=B e=gnd", "2N3904"),
        ("part Q1 n-jfet 2N5457 d=VIN g=gnd s=S idss=0", "idss"),
        ("part Q1 n-jfet 2N5457 d=VIN g=gnd s=S idss=plenty", "idss"),
        ("part Q1 n-jfet 2N5457 d=VIN g=gnd s=S vp=0", "vp"),
        ("part Q1 n-jfet 2N5457 d=VIN g=gnd s=S modulation=-1", "modulation"),
        ("part Q1 n-mosfet 2N7000 d=VIN g=VIN s=S vth=0V", "vth"),
        ("part Q1 npn 2N3904 c=VIN b=VIN e=S beta=-20", "beta"),
        ("part U4 optocoupler led+=VIN led-=gnd r1=A r2=B", "ohms=10k"),
        ("VIN > C1 0u > gnd", "C1"),
        ("VIN > C1 100n (esr=0) > gnd", "esr"),
    ],
)
def test_a_part_that_cannot_be_used_is_a_mistake_with_a_cure(line: str, cure: str) -> None:
    with pytest.raises(UnusableCircuit) as caught:
        read_text(f"supply VIN 9V wall\n{line}\nVIN > R99 1k > gnd\n")
    assert any(cure in remark.cure and remark.what and remark.why for remark in caught.value.remarks)


def port_circuit(source: str = "wall", drive: str = "pickup") -> Circuit:
    here = Span(1, 1, 1)
    return Circuit(
        title="Ports",
        parts=(),
        supplies=(Supply(net="VIN", volts=9.0, source=source, low_v=9.0, high_v=9.0, span=here),),
        input=SignalInput(net="IN", source=drive, ohms=4700.0, level_v=0.2, span=here),
        output=SignalOutput(net="OUT", ohms=1e6, span=here),
    )


def test_a_wall_supply_holds_its_net_and_a_battery_has_resistance() -> None:
    wall = {p.name: p for p in expand_circuit(port_circuit("wall"))}
    source = wall["supply VIN"]
    assert isinstance(source, VoltageSource)
    assert (source.plus, source.minus, source.dc_v) == ("VIN", "gnd", 9.0)
    battery = {p.name: p for p in expand_circuit(port_circuit("battery"))}
    inside = battery["supply VIN/internal"]
    assert isinstance(inside, Resistance)
    assert {inside.b} == {"VIN"}
    assert inside.ohms > 0


def test_a_source_of_stated_ohms_is_these_ohms() -> None:
    found = {p.name: p for p in expand_circuit(port_circuit(drive="custom"))}
    ohms = found["input/ohms"]
    assert isinstance(ohms, Resistance)
    assert (ohms.a, ohms.b, ohms.ohms) == ("input/emf", "IN", 4700.0)
    assert not any(isinstance(p, Inductance | Capacitance) for p in found.values())


def test_a_pickup_on_its_cable_resonates_where_pickups_do() -> None:
    # Common practice, no source: 2 to 5 kHz with a cable of a few metres.
    figures = source_figures("pickup")
    assert 2e3 <= (figures.henries * figures.farads) ** -0.5 / 6.283185 <= 5e3


def test_line_level_is_four_dbu() -> None:
    # 0 dBu = sqrt(0.6) V rms (IEC 60027-3, from memory); +4 dBu = 1.227653 V rms.
    assert source_figures("line").level_v == pytest.approx(1.227653 * 2**0.5, rel=1e-3)
    assert source_names() == ("pickup", "buffered", "line")


def test_package_numbers_name_the_pins_of_dual_and_quad_amplifiers() -> None:
    # The common eight- and fourteen-pin arrangements (common practice, no source).
    by_number = {alias: pin.name for pin in device("dual-opamp").pins for alias in pin.aliases}
    assert [by_number[str(number)] for number in range(1, 9)] == [
        "a.out", "a.inv", "a.non", "v-", "b.non", "b.inv", "b.out", "v+",
    ]  # fmt: skip
    of_quad = sorted(int(alias) for pin in device("quad-opamp").pins for alias in pin.aliases)
    assert of_quad == list(range(1, 15))


def test_bias_current_flows_the_way_the_inputs_are_built() -> None:
    # LM358 has pnp inputs, so its bias current comes out of the pins; NE5532 has npn inputs (from memory).
    nets = {"a.inv": "I", "a.non": "N", "a.out": "O", "v+": "P", "v-": "M"}
    out_of = {p.name: p for p in expand(part("dual-opamp", "U1", type="LM358", pins=nets))}
    into = {p.name: p for p in expand(part("dual-opamp", "U1", type="NE5532", pins=nets))}
    assert (out_of["U1a/bias+"].a, out_of["U1a/bias+"].b) == ("P", "N")  # type: ignore[attr-defined]
    assert (into["U1a/bias-"].a, into["U1a/bias-"].b) == ("I", "M")  # type: ignore[attr-defined]
