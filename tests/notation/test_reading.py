"""What a text means: parts, pins, nets, ports and wants, for texts without mistakes."""

import pytest

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.remark import UnusableCircuit
from pedalwright.circuit.span import Span
from pedalwright.notation import examine, read_text

from .texts import BOOSTER, LANTERN


@pytest.fixture(scope="module")
def lantern() -> Circuit:
    return read_text(LANTERN)


def test_the_example_has_no_cautions(lantern: Circuit) -> None:
    assert lantern.cautions == ()
    assert read_text(BOOSTER).cautions == ()


def test_headings_are_free_text_up_to_a_comment(lantern: Circuit) -> None:
    assert lantern.title == "Lantern Echo"
    assert lantern.about == ("Dark repeats from 40 ms to 600 ms.", "The song in A# minor.")
    assert [section.title for section in lantern.sections] == ["Power", "Input stage", "Time"]
    assert lantern.by_ref["R6"].section == "Input stage"
    assert lantern.by_ref["U1"].section == ""


def test_values_types_and_notes(lantern: Circuit) -> None:
    c1 = lantern.by_ref["C1"]
    assert (c1.kind, c1.value, c1.value_text, c1.notes) == (
        "capacitor",
        100e-6,
        "100u",
        ("electrolytic", "16V"),
    )
    assert (lantern.by_ref["D1"].kind, lantern.by_ref["D1"].type) == ("schottky-diode", "1N5817")
    assert (lantern.by_ref["D2"].kind, lantern.by_ref["D2"].type) == ("led", "red")
    assert (lantern.by_ref["D3"].kind, lantern.by_ref["D3"].value) == ("zener-diode", 5.1)
    assert (lantern.by_ref["U3"].kind, lantern.by_ref["U3"].value) == ("regulator", 5.0)


def test_every_part_remembers_its_place(lantern: Circuit) -> None:
    lines = LANTERN.split("\n")
    for part in lantern.parts:
        assert lines[part.span.line - 1][part.span.column - 1 : part.span.end_column - 1] == part.ref


def test_a_walk_joins_its_items_in_a_row(lantern: Circuit) -> None:
    d1, r1, c1 = (lantern.by_ref[ref] for ref in ("D1", "R1", "C1"))
    assert d1.net("1") == "VIN"
    assert d1.net("2") == r1.net("1") == "~D1.2"
    assert r1.net("2") == c1.net("1") == "VA"
    assert c1.net("2") == "gnd"


def test_parts_side_by_side_share_both_nodes(lantern: Circuit) -> None:
    assert lantern.by_ref["R6"].nets == lantern.by_ref["C4"].nets == ("~U1a.inv", "~U1a.out")


def test_pins_of_sections_and_of_the_part_line(lantern: Circuit) -> None:
    u1 = lantern.by_ref["U1"]
    assert (u1.net("v+"), u1.net("v-"), u1.net("a.non"), u1.net("a.inv")) == ("VA", "gnd", "VB", "~U1a.inv")
    assert u1.net("b.out") == "U1/b.out"
    assert lantern.pins_on["U1/b.out"][0].part is u1


def test_the_echo_chip_is_wired_by_number_or_role_and_its_grounds_by_default(lantern: Circuit) -> None:
    u2 = lantern.by_ref["U2"]
    assert (u2.net("1"), u2.net("3"), u2.net("4")) == ("V5", "gnd", "gnd")
    assert u2.net("6") == lantern.by_ref["R18"].net("1")


def test_knobs_trims_and_switches(lantern: Circuit) -> None:
    time, repeats, bias = lantern.knobs
    assert (time.value, time.law, time.setting) == (50e3, "linear", 5.0)
    assert repeats.setting == 5.0
    assert (bias.kind, bias.law, bias.setting) == ("trim", "audio", 2.5)
    assert time.net("1") == time.net("2") == "gnd"
    mode, true = lantern.switches
    assert (mode.setting, [pin for pin, _ in mode.pins]) == ("long", ["common", "short", "long"])
    assert true.setting == "on"
    assert true.net("a.common") == "OUT" and true.net("b.off") == "IN"


def test_ports(lantern: Circuit) -> None:
    (supply,) = lantern.supplies
    assert (supply.net, supply.volts, supply.low_v, supply.high_v) == ("VIN", 9.0, 8.0, 9.6)
    assert lantern.input is not None and lantern.output is not None
    assert (lantern.input.net, lantern.input.source) == ("IN", "pickup")
    assert (lantern.output.net, lantern.output.ohms) == ("OUT", 1e6)
    booster = read_text(BOOSTER)
    assert booster.input is not None
    assert (booster.input.source, booster.input.ohms, booster.input.level_v) == ("custom", 10e3, 1.0)


def test_wants_become_limits_in_base_units(lantern: Circuit) -> None:
    found = [(want.quantity, want.low, want.high, want.unit) for want in lantern.wants]
    assert found == [
        ("delay.min", None, 0.06, "s"),
        ("dry.gain", -1.0, 1.0, "dB"),
        ("delay.max", 0.4, 0.6, "s"),
    ]


@pytest.mark.parametrize(
    "text, low, high",
    [
        ("> 20Hz", 20.0, None),
        ("= 340ms +- 5%", 0.323, 0.357),
        ("= 100k..200k", 100e3, 200e3),
        ("= 3", 3.0, 3.0),
        ("40..600ms", 0.04, 0.6),
        ("= -6dB +- 3dB", -9.0, -3.0),
        ("< 5%", None, 0.05),
    ],
)
def test_every_form_of_a_want(text: str, low: float | None, high: float | None) -> None:
    (want,) = read_text(f"want some.thing {text}\nIN > R1 1k > gnd\n").wants
    assert want.low == pytest.approx(low)
    assert want.high == pytest.approx(high)


def test_two_nodes_in_a_row_are_one_and_a_written_name_wins_over_a_pin() -> None:
    text = "IN > R1 1k > U1.non\npart U1 opamp TL071 v+=VA v-=gnd\nU1.out > U1.inv > BUFFERED > R2 1k > gnd\n"
    circuit = read_text(text)
    u1 = circuit.by_ref["U1"]
    assert u1.net("out") == u1.net("inv") == "BUFFERED" == circuit.by_ref["R2"].net("1")


def test_ground_wins_over_every_name_wherever_it_is_written() -> None:
    circuit = read_text("IN > R1 1k > COLD\nCOLD > gnd\n")
    assert circuit.by_ref["R1"].nets == ("IN", "gnd")


def test_joining_does_not_depend_on_the_order_of_the_walks() -> None:
    walks = ["IN > R1 1k > R2 2k > gnd", "R1.2 > MID", "MID > C1 1u > OTHER", "OTHER > gnd"]
    forward = read_text("\n".join(walks))
    backward = read_text("\n".join(reversed(walks)))
    nets = [{part.ref: part.nets for part in circuit.parts} for circuit in (forward, backward)]
    assert nets[0] == nets[1]
    assert nets[0]["R2"] == ("MID", "gnd")


def test_ground_by_another_name_is_ground_and_says_so() -> None:
    reading = examine("input IN line\nIN > R1 1k > GND\n")
    assert reading.circuit is not None
    assert reading.circuit.by_ref["R1"].net("2") == "gnd"
    assert reading.remarks[0].code == "net.ground-spelling"
    assert reading.circuit.cautions == reading.remarks


def test_unusable_text_raises_with_every_remark() -> None:
    with pytest.raises(UnusableCircuit, match="comma") as raised:
        read_text("IN > R1 4,7k > gnd\nIN > R2 10x > gnd", source="my.pedal")
    assert [remark.span for remark in raised.value.remarks] == [Span(1, 9, 13), Span(2, 9, 12)]
    assert raised.value.source == "my.pedal"


def test_a_supply_shorted_through_several_names_is_found() -> None:
    reading = examine("supply VIN 9V wall\nVIN > X > R1 1k > Y > gnd\nY > X\n")
    assert [(remark.code, remark.span) for remark in reading.remarks] == [
        ("net.short-circuit", Span(3, 1, 6))
    ]


@pytest.mark.parametrize("spacing", ["\t", "   ", " \t "])
def test_spacing_between_words_is_free(spacing: str) -> None:
    text = "IN > R1 10k > gnd".replace(" ", spacing)
    assert read_text(text).by_ref["R1"].nets == ("IN", "gnd")


def test_micro_may_be_written_in_three_ways() -> None:
    values = {read_text(f"IN > C1 10{micro} > gnd").by_ref["C1"].value for micro in ("u", "µ", "μ")}
    assert values == {10e-6}


def test_a_capacitor_may_look_like_a_type_number() -> None:
    text = "pedal Odd\ninput IN line\noutput OUT 100k\nIN > R1 1k > OUT > C1 1n94 > gnd\n"
    assert read_text(text).by_ref["C1"].value == pytest.approx(1.94e-9)


def test_a_point_may_be_the_only_mention_of_a_pin() -> None:
    circuit = read_text("supply V5 5V wall\npart U1 echo-chip supply=V5\npoint U1.2 reference\n")
    assert circuit.points[0].net == circuit.by_ref["U1"].net("2")


def test_a_port_may_be_the_only_mention_of_a_pin() -> None:
    text = "supply V 9V wall\ninput U1b.non pickup\npart U1 dual-opamp TL072 v+=V v-=gnd\n"
    circuit = read_text(text + "U1b.inv > U1b.out > R1 10k > OUT\noutput OUT 1M\n")
    assert circuit.input is not None
    assert circuit.input.net == circuit.by_ref["U1"].net("b.non") == "~U1b.non"
