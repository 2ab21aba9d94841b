"""Every example of every stage kind gets its roles, plain and in disguise; its stages are proved; near
misses are missed.
"""

from collections.abc import Callable
from random import Random

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.proofs import proof_summaries
from pedalwright.circuit.circuit import Circuit
from pedalwright.notation import read_text
from pedalwright.stages.recognise import kind_of, stage_kinds
from pedalwright.stages.stage import Example, StageKind
from tests.stages.disguises import DISGUISES
from tests.stages.golden import differences, found_roles, odd_circuits, package_circuits

KINDS = stage_kinds()
EXAMPLES = [
    pytest.param(example, id=f"{kind.kind}-{place}")
    for kind in KINDS
    for place, example in enumerate(kind.examples, 1)
]
NEAR_MISSES = [
    pytest.param(kind.kind, example, id=f"{kind.kind}-{place}")
    for kind in KINDS
    for place, example in enumerate(kind.near_misses, 1)
]
CIRCUITS = {
    **{name: circuit for name, (circuit, _) in {**package_circuits(), **odd_circuits()}.items()},
    **{
        f"{kind.kind}-{place}": read_text(example.text)
        for kind in KINDS
        for place, example in enumerate(kind.examples, 1)
    },
}
CIRCUITS = {name: circuit for name, circuit in CIRCUITS.items() if circuit.knobs}
ALL = [*EXAMPLES, *(pytest.param(param.values[1], id=f"near-{param.id}") for param in NEAR_MISSES)]


@pytest.mark.parametrize("kind", [pytest.param(kind, id=kind.kind) for kind in KINDS])
def test_every_kind_has_an_example_of_itself(kind: StageKind) -> None:
    examples = kind.examples
    assert examples
    assert all(any(word == kind.kind for word, _ in example.roles.values()) for example in examples)


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_gets_its_roles(example: Example) -> None:
    found = found_roles(read_text(example.text))
    assert {ref: found.get(ref) for ref in example.roles} == dict(example.roles)


@pytest.mark.parametrize(("kind", "example"), NEAR_MISSES)
def test_a_near_miss_is_another_kind(kind: str, example: Example) -> None:
    found = found_roles(read_text(example.text))
    assert example.roles
    for ref, (wanted, role) in example.roles.items():
        assert found[ref][0] != kind, ref
        assert wanted in ("*", found[ref][0]), ref
        assert wanted == "*" or role == found[ref][1], ref


@pytest.mark.parametrize("disguise", DISGUISES, ids=lambda disguise: disguise.__name__)
@pytest.mark.parametrize("example", ALL)
def test_a_disguise_changes_no_role(example: Example, disguise: Callable[[Circuit, Random], Circuit]) -> None:
    circuit = read_text(example.text)
    plain = found_roles(circuit)
    for seed in range(2):
        assert differences(found_roles(disguise(circuit, Random(seed))), plain) == []


@pytest.mark.parametrize("example", ALL)
def test_every_stage_of_an_example_is_confirmed(example: Example) -> None:
    analysis = Analysis(read_text(example.text))
    transfers = {
        stage.name: kind_of(stage).transfer(stage, analysis.bench) for stage in analysis.stages.stages
    }
    for name, proof in proof_summaries(analysis, transfers, None).items():
        stage = analysis.stages.stage(name)
        assert proof.confirmed, f"{stage.kind} of {sorted(stage.refs)}: {proof.verdict}"


@pytest.mark.parametrize("example", ALL)
def test_every_stage_says_something_of_itself_and_of_each_part(example: Example) -> None:
    analysis = Analysis(read_text(example.text))
    for stage in analysis.stages.stages:
        kind = kind_of(stage)
        said = [kind.purpose(stage, analysis.bench)]
        for member in stage.roles:
            assert member.role in kind.roles, f"{stage.kind}: {member}"
            said.append(kind.part_says(stage, member.ref, analysis.bench))
        assert all(text.strip().endswith((".", ":")) and "  " not in text for text in said), said
        assert not any("nan" in text.split() or "inf" in text.split() for text in said), said
        assert all(number.source for number in kind.numbers(stage, analysis.bench))


@pytest.mark.parametrize("position", [0.0, 10.0])
@pytest.mark.parametrize("name", CIRCUITS)
def test_where_a_knob_stands_changes_no_role(name: str, position: float) -> None:
    circuit = CIRCUITS[name]
    turned = circuit.with_settings({knob.ref: position for knob in circuit.knobs})
    assert differences(found_roles(turned), found_roles(circuit)) == []
