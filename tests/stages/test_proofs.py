"""Every stage of every circuit is proved: closed form against the solver, membership by support."""

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.proofs import proof_summaries
from pedalwright.stages.proof import V1_BOUND
from pedalwright.stages.recognise import kind_of
from tests.stages.golden import blind_circuits, odd_circuits, package_circuits, unseen_circuits

ALL = {
    name: circuit
    for every in (package_circuits(), odd_circuits(), blind_circuits(), unseen_circuits())
    for name, (circuit, _) in every.items()
}


@pytest.mark.parametrize("name", ALL)
def test_every_stage_is_confirmed(name: str) -> None:
    analysis = Analysis(ALL[name])
    transfers = {
        stage.name: kind_of(stage).transfer(stage, analysis.bench) for stage in analysis.stages.stages
    }
    for stage_name, proof in proof_summaries(analysis, transfers, None).items():
        stage = analysis.stages.stage(stage_name)
        said = f"{stage.kind} of {sorted(stage.refs)}: {proof.verdict}"
        assert proof.v1 is None or proof.v1 <= V1_BOUND, said
        assert proof.confirmed, said
