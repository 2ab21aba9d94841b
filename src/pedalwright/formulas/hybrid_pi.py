"""One transistor at rest as its small-signal conductances, and what stands around it; nothing is neglected.

The same equations serve field-effect transistors: gate for base, drain for collector, source for emitter.
"""

from dataclasses import dataclass
from typing import Generic

from pedalwright.formulas._kinds import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class StageGain(Generic[Value]):
    """A stage driven stiffly: voltage ratio [-], and the impedance behind its output [ohm]."""

    gain: Value
    output_ohms: Value


def emitter_stage(
    *, gm: float, gpi: float, go: float, load_siemens: Value, emitter_ohms: Value, bridge_siemens: Value
) -> StageGain[Value]:
    """A common-emitter stage from base to collector.

    H = -(gm - go gpi Ze - Yb D)/N,  Zo = D/N,  D = 1 + (gm + gpi + go) Ze,  N = D (Yl + Yb) + go (1 + gpi Ze)

    gm, gpi, go: transconductance, input and output conductance of the transistor at rest [S]
    load_siemens: Yl, from collector to the reference [S]
    emitter_ohms: Ze, from emitter to the reference [ohm]
    bridge_siemens: Yb, from collector to base [S]
    Valid: small signals, base driven stiffly.
    Source: common practice, no source (nodal equations of the hybrid-pi); without go, gpi and Yb it is
    [Boylestad] Ex. 5.5.

    >>> stage = emitter_stage(
    ...     gm=0.04, gpi=0.0, go=0.0, load_siemens=1 / 4700.0, emitter_ohms=100.0, bridge_siemens=0.0
    ... )
    >>> print(f"{stage.gain:.4f} {stage.output_ohms:.1f}")
    -37.6000 4700.0
    """
    d = 1 + (gm + gpi + go) * emitter_ohms
    n = d * (load_siemens + bridge_siemens) + go * (1 + gpi * emitter_ohms)
    return StageGain(gain=-(gm - go * gpi * emitter_ohms - bridge_siemens * d) / n, output_ohms=d / n)


def follower_stage(*, gm: float, gpi: float, go: float, emitter_siemens: Value) -> StageGain[Value]:
    """A follower from base to emitter.

    H = (gm + gpi)/N,  Zo = 1/N,  N = gm + gpi + go + Ye

    gm, gpi, go: transconductance, input and output conductance of the transistor at rest [S]
    emitter_siemens: Ye, from emitter to the reference [S]
    Valid: small signals, base driven stiffly, collector at the reference.
    Source: from memory (nodal equations of the hybrid-pi, textbook).

    >>> stage = follower_stage(gm=0.04, gpi=0.0, go=0.0, emitter_siemens=1e-3)
    >>> print(f"{stage.gain:.6f} {stage.output_ohms:.4f}")
    0.975610 24.3902
    """
    n = gm + gpi + go + emitter_siemens
    return StageGain(gain=(gm + gpi) / n, output_ohms=1 / n)
