"""The walk-through of a circuit: stages in a teacher's order, each with its figures, its parts and its
proof.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from hashlib import sha256

from pedalwright.analysis.curves import StageCurve, completed, plotted, read_off, stage_curves
from pedalwright.analysis.effects import effects
from pedalwright.analysis.impedances import behind_output_ohms, input_ohms
from pedalwright.analysis.levels import Clipper, clippers, level_at
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.overall import overall
from pedalwright.analysis.proofs import proof_summaries
from pedalwright.analysis.records import (
    Certified,
    Effect,
    Level,
    ProofSummary,
    Walk,
    WalkEcho,
    WalkPart,
    WalkStage,
)
from pedalwright.analysis.supply_figures import with_supply_figures
from pedalwright.analysis.unheard import is_unheard
from pedalwright.analysis.walk_echo import walk_echo
from pedalwright.analysis.walk_echo_says import besides, with_delays
from pedalwright.circuit.circuit import GROUND
from pedalwright.devices.catalogue import device
from pedalwright.solve.band import Band, band_hz
from pedalwright.solve.certificate import RESIDUAL_BOUND
from pedalwright.stages.recognise import PartRole, kind_of
from pedalwright.stages.stage import Number, Stage, StageKind, Transfer
from pedalwright.stages.wording import value_of

SUPPLY, SIGNAL, REST = "Supply", "Signal path", "Beside the path"


@dataclass(frozen=True)
class _Known:
    """What all stages of one walk share."""

    analysis: Analysis
    band: Band | None
    transfers: Mapping[str, Transfer | None]
    proofs: Mapping[str, ProofSummary]
    effects: Mapping[str, tuple[Effect, Effect]]
    clipped: tuple[Clipper, ...]
    echo: WalkEcho | None
    beside: Mapping[str, tuple[str, ...]]
    echo_certificates: tuple[Certified, ...]


def walk(analysis: Analysis) -> Walk:
    """The whole walk-through. Never raises for a circuit that was read: what is not certified is listed as
    refused.
    """
    known = _know(analysis)
    stages = {stage.name: stage for stage in analysis.stages.stages}
    path = analysis.path
    ordered = list(_ordered(analysis))
    return Walk(
        title=analysis.circuit.title,
        about=analysis.circuit.about,
        text_sha256=sha256(analysis.text.encode("utf-8")).hexdigest(),
        settings=tuple(
            (part.ref, str(part.setting)) for part in (*analysis.circuit.knobs, *analysis.circuit.switches)
        ),
        overall=overall(analysis, known.band),
        stages=tuple(_stage(known, stages[name], heading) for heading, name in ordered),
        unstaged=tuple(_unstaged(analysis)),
        loops=path.loops,
        rest_volts=_rest_volts(analysis),
        certificates=(*_certificates(analysis, known.band), *known.echo_certificates),
        cautions=analysis.circuit.cautions,
        refusals=tuple(_refusals(analysis, known.band)),
        source=analysis.circuit.input,
        load=analysis.circuit.output,
        supplies=analysis.circuit.supplies,
        echo=known.echo,
    )


def _know(analysis: Analysis) -> _Known:
    band = Band(analysis.small, band_hz()) if analysis.small is not None else None
    if band is not None and not band.ok:
        band = None
    transfers = {
        stage.name: kind_of(stage).transfer(stage, analysis.bench) for stage in analysis.stages.stages
    }
    echo, echo_certificates = walk_echo(analysis, band, transfers)
    return _Known(
        analysis=analysis,
        band=band,
        transfers=transfers,
        proofs=proof_summaries(analysis, transfers, band),
        effects=effects(analysis, band) if band is not None else {},
        clipped=clippers(analysis, band) if band is not None else (),
        echo=echo,
        beside=besides(analysis, echo),
        echo_certificates=echo_certificates,
    )


def _ordered(analysis: Analysis) -> Iterable[tuple[str, str]]:
    """(heading, stage name) in the order of the walk; a stage the path does not place comes last."""
    path = analysis.path
    placed: set[str] = set()
    groups = [
        (SUPPLY, path.supply),
        (SIGNAL, path.main),
        *((chain.title, chain.stages) for chain in path.chains),
    ]
    groups.append((REST, tuple(stage.name for stage in analysis.stages.stages)))
    for heading, names in groups:
        for name in names:
            if name not in placed:
                placed.add(name)
                yield heading, name


def _stage(known: _Known, stage: Stage, heading: str) -> WalkStage:
    kind, transfer = kind_of(stage), known.transfers[stage.name]
    bench = known.analysis.bench
    curves = stage_curves(stage, transfer, known.band)
    own = with_supply_figures(
        known.analysis, stage, completed(stage, kind.numbers(stage, bench), curves, known.band)
    )
    own = with_delays(known.analysis, stage, tuple(own), known.echo)
    first = min(_line(known.analysis, member.ref) for member in stage.roles)
    return WalkStage(
        name=stage.name,
        kind=stage.kind,
        title=kind.title,
        heading=heading,
        section=_section(known.analysis, stage),
        says=kind.says,
        purpose=kind.purpose(stage, bench),
        inputs=stage.inputs,
        output=stage.output,
        parts=tuple(_part(known, kind, stage, member.ref) for member in stage.roles),
        numbers=(
            *own,
            *(number for number in _read_off(known, stage, curves) if _is_new(number.name, own)),
        ),
        formula=transfer.formula if transfer else "",
        formula_source=transfer.source if transfer else "",
        curves=plotted(stage, curves, known.band) if first else (),
        levels=tuple(_levels(known, stage)),
        input_ohms=_input(known, stage),
        output_ohms=behind_output_ohms(transfer),
        proof=known.proofs[stage.name],
        beside=known.beside.get(stage.name, ()),
    )


def _read_off(known: _Known, stage: Stage, curves: tuple[StageCurve, ...]) -> tuple[Number, ...]:
    if is_unheard(known.analysis, stage):
        return ()
    return read_off(curves, known.band, known.transfers[stage.name])


def _is_new(name: str, own: Iterable[object]) -> bool:
    return name not in {getattr(number, "name", "") for number in own}


def _levels(known: _Known, stage: Stage) -> Iterable[Level]:
    if known.band is not None and stage.output and known.band.knows(stage.output):
        level = level_at(known.analysis, known.band, stage.output, known.clipped)
        if level.from_jack or level.limit_v is not None:
            yield level


def _input(known: _Known, stage: Stage) -> float | None:
    if known.band is None or not stage.inputs or not known.band.knows(stage.inputs[0]):
        return None
    return input_ohms(known.band, stage.inputs[0], stage.refs)


def _part(known: _Known, kind: StageKind, stage: Stage, ref: str) -> WalkPart:
    analysis = known.analysis
    role = analysis.stages.roles[ref]
    smaller, larger = known.effects.get(ref, (None, None))
    return WalkPart(
        ref=ref,
        label=label(analysis, ref),
        role=role.role,
        says=kind.part_says(stage, ref, analysis.bench),
        also=role.also,
        larger=larger,
        smaller=smaller,
        line=_line(analysis, ref),
    )


def label(analysis: Analysis, ref: str) -> str:
    """What a part is, as bought: value or type; for a section of a package, the package."""
    if ref in analysis.circuit.by_ref:
        return value_of(analysis.bench, ref) or device(analysis.circuit.by_ref[ref].kind).title.lower()
    package = _package(analysis, ref)
    return f"section of {package} ({label(analysis, package)})" if package else ""


def _package(analysis: Analysis, ref: str) -> str:
    return next((amp.part.ref for amp in analysis.view.amplifiers if amp.ref == ref), "")


def _line(analysis: Analysis, ref: str) -> int:
    part = analysis.circuit.by_ref.get(ref) or analysis.circuit.by_ref.get(_package(analysis, ref))
    return part.span.line if part is not None else 0


def _section(analysis: Analysis, stage: Stage) -> str:
    """The text's own heading over most of the stage's parts."""
    parts = [
        analysis.circuit.by_ref[member.ref] for member in stage.roles if member.ref in analysis.circuit.by_ref
    ]
    headings = [part.section for part in parts if part.section]
    return max(headings, key=headings.count) if headings else ""


def _unstaged(analysis: Analysis) -> Iterable[tuple[str, str, str]]:
    for member in analysis.stages.unstaged:
        role: PartRole = analysis.stages.roles[member.ref]
        yield member.ref, label(analysis, member.ref), role.role


def _rest_volts(analysis: Analysis) -> tuple[tuple[str, float], ...]:
    if not analysis.rest.certificate.ok:
        return ()
    floating = set(analysis.rest.floating)
    return tuple(
        (net, analysis.rest.volts(net))
        for net in _nets_in_order(analysis)
        if net in analysis.system.rows and net not in floating
    )


def _nets_in_order(analysis: Analysis) -> Iterable[str]:
    """Every net as the walk comes by it: ground, what feeds the pedal, then stage by stage."""
    circuit, met = analysis.circuit, [GROUND, *(supply.net for supply in analysis.circuit.supplies)]
    # What another stage puts out is met there, not where it arrives.
    outputs = {stage.output for stage in analysis.stages.stages}
    for name in analysis.path.order:
        stage = analysis.stages.stage(name)
        parts = [circuit.by_ref[member.ref] for member in stage.roles if member.ref in circuit.by_ref]
        around = [*stage.inputs, *(net for part in parts for net in part.nets)]
        met += [*(net for net in around if net not in outputs), stage.output]
    known = set(circuit.nets)
    return (net for net in dict.fromkeys([*met, *circuit.nets]) if net in known)


def _certificates(analysis: Analysis, band: Band | None) -> Iterable[Certified]:
    rest = analysis.rest.certificate
    yield Certified(
        what="resting voltages",
        residual=rest.residual_a,
        bound=RESIDUAL_BOUND,
        condition=rest.condition,
        method=rest.method,
        ok=rest.ok,
    )
    if band is not None:
        yield Certified(
            what="signal response",
            residual=band.residual,
            bound=RESIDUAL_BOUND,
            condition=band.condition,
            method="balanced inverse of the nodal equations",
            ok=band.ok,
        )


def _refusals(analysis: Analysis, band: Band | None) -> Iterable[str]:
    if not analysis.rest.certificate.ok:
        yield f"Resting voltages are not printed: {analysis.rest.certificate.says()}."
    if band is None:
        yield "Signal levels, corners and the effects of other values are not printed: not certified."
