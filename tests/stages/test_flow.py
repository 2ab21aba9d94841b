"""Directions of the signal through parts that have none of their own, worked out by hand."""

import pytest

from pedalwright.notation import read_text
from pedalwright.stages.flow import Flow
from pedalwright.stages.recognise import bench_for

AMPLIFIER = """part U1 dual-opamp TL072 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
"""
PORTS = "pedal Ways\nsupply V9 9V wall\ninput IN line\noutput OUT 100k\n"


def flow_of(text: str) -> Flow:
    return bench_for(read_text(PORTS + AMPLIFIER + text)).flow


def upstream(flow: Flow, name: str) -> str | None:
    return flow.upstream_end(next(leaf for leaf in flow.view.leaves if leaf.name == name))


def test_a_signal_goes_from_a_driven_net_to_a_listening_one() -> None:
    flow = flow_of("OUT > C9 1u > MID\nMID > R9 10k > IN\n")
    assert upstream(flow, "R9") == "IN"
    assert upstream(flow, "C9") == "MID"


def test_a_part_to_a_steady_net_carries_nothing_on() -> None:
    flow = flow_of("IN > R9 10k > OUT > R8 10k > VB\n")
    assert upstream(flow, "R8") is None


def test_a_knob_between_two_signals_is_fed_from_both_ends() -> None:
    flow = flow_of(
        "knob BLEND 10k linear at 5\nU1a.non > IN\nU1a.inv > U1a.out\n"
        "U1a.out > BLEND.1\nIN > BLEND.3\nBLEND.2 > U1b.non\nU1b.inv > U1b.out\nU1b.out > C9 1u > OUT\n"
    )
    wiper = flow.view.net(flow.view.circuit.by_ref["BLEND"], "2")
    assert {upstream(flow, "BLEND.1-2"), upstream(flow, "BLEND.2-3")} == {flow.view.amplifiers[0].out, "IN"}
    assert wiper in flow.sinks


def test_a_further_jack_that_nothing_drives_is_an_input() -> None:
    flow = flow_of(
        "part J1 jack tip=AUX\nAUX > C9 100n > U1a.non\nU1a.non > R9 1M > VB\n"
        "U1a.inv > U1a.out\nU1a.out > OUT\n"
    )
    assert "AUX" in flow.sources
    assert upstream(flow, "C9") == "AUX"


def test_a_further_jack_that_an_amplifier_drives_is_an_output() -> None:
    flow = flow_of(
        "part J1 jack tip=SIDE\nIN > U1a.non\nU1a.inv > U1a.out\nU1a.out > C9 1u > SIDE\nU1a.out > OUT\n"
    )
    assert "SIDE" in flow.sinks
    assert upstream(flow, "C9") == flow.view.amplifiers[0].out


@pytest.mark.parametrize(("between", "fed"), [("R8 10k", True), ("C8 1u", False)])
def test_direct_current_is_stopped_by_a_capacitor(between: str, fed: bool) -> None:
    flow = flow_of(
        f"IN > U1a.non\nU1a.inv > U1a.out\nU1a.out > R9 10k > MID > {between} > U1b.non\n"
        "U1b.inv > U1b.out\nU1b.out > OUT\n"
    )
    assert flow.is_fed_dc(flow.view.amplifiers[1].non) is fed


def test_nothing_flows_back_into_a_driven_net() -> None:
    flow = flow_of("IN > R9 10k > U1a.inv\nU1a.inv > R8 10k > U1a.out\nU1a.non > VB\nU1a.out > C9 1u > OUT\n")
    reached, delayed = flow.reaches("OUT")
    assert "IN" not in reached
    assert flow.view.amplifiers[0].out not in reached
    assert not delayed
