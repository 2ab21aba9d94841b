"""The order in which stages are told: by hand for the package circuits, and the same in disguise."""

from random import Random

import pytest

from pedalwright.circuit.circuit import Circuit
from pedalwright.notation import read_text
from pedalwright.stages.path import Path, order_stages, signal_path
from pedalwright.stages.recognise import StageMap, bench_for, recognise
from tests.stages.disguises import DISGUISES
from tests.stages.golden import odd_circuits, package_circuits

CIRCUITS = {**package_circuits(), **odd_circuits()}


def told(circuit: Circuit) -> tuple[StageMap, Path]:
    bench = bench_for(circuit)
    stages = recognise(bench)
    return stages, signal_path(stages, bench)


def kinds(stages: StageMap, names: tuple[str, ...]) -> list[str]:
    return [stages.stage(name).kind for name in names]


@pytest.mark.parametrize("name", CIRCUITS)
def test_every_stage_is_told_once(name: str) -> None:
    circuit, _ = CIRCUITS[name]
    stages, path = told(circuit)
    assert sorted(path.order) == sorted(stage.name for stage in stages.stages)
    assert [stage.name for stage in order_stages(stages, bench_for(circuit))] == list(path.order)


@pytest.mark.parametrize("name", CIRCUITS)
def test_the_main_path_goes_from_jack_to_jack(name: str) -> None:
    circuit, _ = CIRCUITS[name]
    stages, path = told(circuit)
    bench = bench_for(circuit)
    reached = {bench.view.input_net}
    for stage in (stages.stage(one) for one in path.main):
        if stage.output and reached & set(stage.inputs):
            reached.add(stage.output)
    assert bench.view.output_net in reached


@pytest.mark.parametrize("disguise", DISGUISES, ids=lambda disguise: disguise.__name__)
@pytest.mark.parametrize("name", CIRCUITS)
def test_no_disguise_moves_a_stage_to_another_chain(name: str, disguise: object) -> None:
    circuit, _ = CIRCUITS[name]

    def places(one: Circuit) -> dict[str, str]:
        stages, path = told(one)
        chains = {"supply": path.supply, "main": path.main}
        chains |= {chain.title: chain.stages for chain in path.chains}
        return {
            ref: title for title, names in chains.items() for each in names for ref in stages.stage(each).refs
        }

    assert places(disguise(circuit, Random(1))) == places(circuit)  # type: ignore[operator]


def test_an_echo_is_told_supply_first_then_dry_then_wet_then_its_knobs() -> None:
    stages, path = told(CIRCUITS["lantern-echo"][0])
    assert kinds(stages, path.supply)[0] == "series-polarity-diode"
    assert kinds(stages, path.main) == [
        "pull-down",
        "dc-blocking",
        "bias-feed",
        "non-inverting-amplifier",
        "summing-mixer",
        "dc-blocking",
        "pull-down",
    ]
    titles = {chain.title: kinds(stages, chain.stages) for chain in path.chains}
    assert titles == {
        "Echo path": [
            "multiple-feedback-low-pass",
            "echo-chip",
            "multiple-feedback-low-pass",
            "rc-low-pass",
            "dc-blocking",
            "volume-divider",
        ],
        "Repeats": ["feedback-path"],
        "Delay time": ["delay-time-network"],
    }
    assert [kinds(stages, loop) for loop in path.loops] == [
        [
            "multiple-feedback-low-pass",
            "echo-chip",
            "multiple-feedback-low-pass",
            "rc-low-pass",
            "dc-blocking",
            "feedback-path",
        ]
    ]


def test_a_phaser_has_a_parallel_path_and_a_slow_oscillator() -> None:
    stages, path = told(CIRCUITS["ferryman-phaser"][0])
    titles = {chain.title: kinds(stages, chain.stages) for chain in path.chains}
    assert titles["Parallel path"] == ["all-pass"] * 4
    assert titles["Slow oscillator"][:2] in (
        ["schmitt-trigger", "integrator"],
        ["integrator", "schmitt-trigger"],
    )


def test_a_loop_that_the_signal_enters_is_no_slow_oscillator() -> None:
    _, path = told(CIRCUITS["state-variable"][0])
    assert path.loops
    assert all(chain.title != "Slow oscillator" for chain in path.chains)


def test_an_echo_chip_whose_time_is_moved_belongs_to_the_echo() -> None:
    circuit, _ = CIRCUITS["duckpond-chorus"]
    stages, path = told(circuit)
    titles = {name: chain.title for chain in path.chains for name in chain.stages}
    chip = next(stage for stage in stages.stages if stage.kind == "echo-chip")
    assert titles[chip.name] == "Echo path"


def test_each_rail_is_told_with_its_own_capacitors() -> None:
    circuit = read_text(
        """pedal Two rails
supply VIN 9V wall
part U1 dual-opamp TL072 v+=VA v-=gnd
part U2 regulator 5V in=VIN out=V5 gnd=gnd
VIN > C1 100u > gnd
VIN > R1 100 > VA > C2 47u > gnd
VA > C3 100n > gnd
V5 > C4 47u > gnd
V5 > C5 100n > gnd
V5 > R2 10k > gnd
"""
    )
    stages, path = told(circuit)
    assert [sorted(stages.stage(name).refs) for name in path.supply] == [
        ["C1"],
        ["C2", "R1"],
        ["C3"],
        ["U2"],
        ["C4"],
        ["C5"],
    ]
