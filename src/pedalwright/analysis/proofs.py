"""The proof of every stage put together: V1 and V3 idealised, V2 and V4 as built, and one sentence of
verdict.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.records import ProofSummary
from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.solve.band import Band
from pedalwright.solve.certificate import NotCertified
from pedalwright.solve.gains import stage_gains
from pedalwright.solve.linear import linearise
from pedalwright.solve.reduce import idealise
from pedalwright.solve.system import compile_system
from pedalwright.stages.proof import FREQUENCIES_HZ, V1_BOUND, StageProof
from pedalwright.stages.stage import Stage, Transfer

ComplexArray = NDArray[np.complex128]
RANDOM_SETTINGS = 2
SETTINGS_SEED = 7
FAINT = 1e-3
"""gains this far below the stage's largest are left out of the shifts: a notch's floor has no relative
meaning
"""
BIAS_WARNING = 0.03
"""a bias net that shifts a gain by more than this deserves a word (house rule, no source)"""


def proof_summaries(
    analysis: Analysis, transfers: Mapping[str, Transfer | None], band: Band | None
) -> Mapping[str, ProofSummary]:
    """The proof of every stage, by stage name."""
    plain = _over_settings(analysis)
    built = _as_built(analysis) if band is not None and band.ok else None
    return {
        stage.name: _summary(stage, plain[stage.name], transfers[stage.name], built)
        for stage in analysis.stages.stages
    }


def _over_settings(analysis: Analysis) -> Mapping[str, StageProof]:
    """V1 and V3; a member that seems idle is tried at other knob positions before it is believed."""
    found = dict(analysis.proofs)
    if not any(proof.idle for proof in found.values()):
        return found
    for other in _moved(analysis):
        by_parts = {(stage.kind, stage.refs): other.proofs[stage.name] for stage in other.stages.stages}
        for stage in analysis.stages.stages:
            second = by_parts.get((stage.kind, stage.refs))
            if second is not None:
                found[stage.name] = _both(found[stage.name], second)
    return found


def _both(first: StageProof, second: StageProof) -> StageProof:
    if first.v1 is None or second.v1 is None:
        return first
    return replace(
        first,
        v1=max(first.v1, second.v1),
        missing=first.missing | second.missing,
        idle=first.idle & second.idle,
    )


def _moved(analysis: Analysis) -> list[Analysis]:
    """The same circuit at random knob positions, for proofs only."""
    random = np.random.default_rng(SETTINGS_SEED)
    moved = []
    for _ in range(RANDOM_SETTINGS if analysis.circuit.knobs else 0):
        settings = {knob.ref: float(random.uniform(1.3, 8.7)) for knob in analysis.circuit.knobs}
        moved.append(Analysis(analysis.circuit.with_settings(settings)))
    return moved


@dataclass(frozen=True, slots=True)
class _AsBuilt:
    """Tables at the proof's frequencies: ideal amplifiers with bias nets as built, and all as built."""

    ideal: Band
    real: Band


def _as_built(analysis: Analysis) -> _AsBuilt | None:
    if analysis.small is None:
        return None
    frequencies = np.asarray(FREQUENCIES_HZ)
    open_loop = {
        amp.ref
        for amp in analysis.view.amplifiers
        if amp.inv != amp.out and not analysis.bench.networks[amp.ref].has_negative_feedback
    }
    keep = {
        primitive.name
        for primitive in analysis.primitives
        if isinstance(primitive, ClippingAmplifier) and primitive.owner in open_loop
    }
    try:
        system = compile_system(idealise(analysis.primitives, keep, junctions=True))
        ideal = Band(linearise(system, analysis.rest.voltages), frequencies)
        real = Band(analysis.small, frequencies)
        return _AsBuilt(ideal, real) if real.ok and _solves(ideal) else None
    except (NotCertified, KeyError):
        return None


def _solves(band: Band) -> bool:
    try:
        return band.ok
    except np.linalg.LinAlgError:
        return False


def _summary(
    stage: Stage, proof: StageProof, transfer: Transfer | None, built: _AsBuilt | None
) -> ProofSummary:
    bias, amplifier = _shifts(stage, transfer, built)
    return ProofSummary(
        v1=proof.v1,
        v1_bound=V1_BOUND,
        missing=tuple(sorted(proof.missing)),
        idle=tuple(sorted(proof.idle)),
        bias_shift=bias,
        amplifier_shift=amplifier,
        confirmed=proof.confirmed,
        verdict=_verdict(proof, bias, amplifier),
    )


def _shifts(
    stage: Stage, transfer: Transfer | None, built: _AsBuilt | None
) -> tuple[float | None, float | None]:
    """V2 and V4: only for stages with a stiff output, whose gain does not depend on what follows."""
    if transfer is None or built is None or transfer.output_ohms is not None:
        return None, None
    closed = np.array(transfer.gains(built.real.s))
    ideal = stage_gains(built.ideal, transfer.inputs, transfer.output)
    real = stage_gains(built.real, transfer.inputs, transfer.output)
    return _largest(ideal, closed), _largest(real, ideal)


def _largest(first: ComplexArray, second: ComplexArray) -> float | None:
    size = np.abs(second)
    counted = size > FAINT * np.nanmax(size, initial=0.0)
    if not np.all(np.isfinite(first)) or not counted.any():
        return None
    return float(np.max(np.abs(first - second)[counted] / size[counted]))


def _verdict(proof: StageProof, bias: float | None, amplifier: float | None) -> str:
    if proof.v1 is None:
        return "No signal gain to prove here; what rests is read from the solved circuit."
    if not proof.confirmed:
        return _doubt(proof)
    close = "exactly" if proof.v1 == 0 else f"to {proof.v1:.0e}"
    said = f"Confirmed: the formula agrees with the idealised whole circuit {close}, "
    said += "with these parts and no others."
    if bias is not None and bias > BIAS_WARNING:
        said += f" The bias net is soft: it shifts the gain by {100 * bias:.1f} %."
    if amplifier is not None and amplifier > BIAS_WARNING:
        said += f" The real amplifier shifts the gain by up to {100 * amplifier:.1f} % within the audio band."
    return said


def _doubt(proof: StageProof) -> str:
    said = f"Not confirmed: residual {proof.v1:.1e} against a bound of {V1_BOUND:.0e}."
    if proof.missing:
        said += f" These parts act on it too: {', '.join(sorted(proof.missing))}."
    if proof.idle:
        said += f" These parts do not act: {', '.join(sorted(proof.idle))}."
    return said
