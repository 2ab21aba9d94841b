"""One transistor's stage in a text, and its figures by name."""

from pedalwright.notation import read_text
from pedalwright.stages.bench import Bench
from pedalwright.stages.recognise import bench_for, kind_named, recognise
from pedalwright.stages.stage import Number, Proposal, Stage


def stage_in(text: str, ref: str = "Q1") -> tuple[Stage, Bench]:
    """The stage of one transistor on a bench without a solved circuit: values alone."""
    bench = bench_for(read_text(text))
    return next(stage for stage in recognise(bench).stages if ref in stage.refs), bench


def by_name(numbers: tuple[Number, ...]) -> dict[str, Number]:
    return {number.name: number for number in numbers}


def purpose_of(stage: Stage, bench: Bench) -> str:
    return kind_named(stage.kind).purpose(stage, bench)


def staged(proposal: Proposal) -> Stage:
    return Stage(
        name="S1",
        kind=proposal.kind,
        roles=proposal.roles,
        inputs=proposal.inputs,
        output=proposal.output,
        branches=proposal.branches,
        nets=proposal.nets,
    )
