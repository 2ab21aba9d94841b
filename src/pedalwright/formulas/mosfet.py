"""The enhancement field-effect transistor by its square law: no current until the gate passes the
threshold.
"""

from pedalwright.formulas._kinds import sqrt, where


def drain_a(gate_source_v: float, *, factor_a_per_v2: float, threshold_v: float) -> float:
    """Drain current in saturation [A].

    ID = k (VGS - Vth)^2, zero below the threshold

    gate_source_v: VGS [V]
    factor_a_per_v2: k [A/V^2]
    threshold_v: Vth [V]
    Valid: drain voltage in the saturated region, channel-length modulation neglected.
    Source: [Boylestad] chapter 6 (section from memory).

    >>> print(f"{drain_a(3.1, factor_a_per_v2=0.128, threshold_v=2.1):.3f}")
    0.128
    """
    above = gate_source_v - threshold_v
    return factor_a_per_v2 * where(above > 0, above, 0.0) ** 2


def self_bias_drain_a(
    *, gate_v: float, source_ohms: float, factor_a_per_v2: float, threshold_v: float
) -> float:
    """Drain current with a source resistor and a fixed gate voltage [A].

    ID = k u^2 with u the root above zero of k RS u^2 + u - (VG - Vth) = 0

    gate_v: VG against the lower end of RS [V]
    source_ohms: RS, zero allowed [ohm]
    factor_a_per_v2: k [A/V^2]
    threshold_v: Vth [V]
    Valid: saturated region.
    Source: from the square law by solving the quadratic; [Boylestad] solves it by drawing.

    >>> amps = self_bias_drain_a(gate_v=5.0, source_ohms=1e3, factor_a_per_v2=0.128, threshold_v=2.1)
    >>> print(f"{amps * 1e3:.4f}")
    2.7533
    """
    above = gate_v - threshold_v
    over = where(above > 0, above, 0.0)
    u = 2 * over / (1 + sqrt(1 + 4 * factor_a_per_v2 * source_ohms * over))
    return factor_a_per_v2 * u**2


def transconductance_s(drain_a: float, *, factor_a_per_v2: float) -> float:
    """Transconductance in saturation [S].

    gm = 2 sqrt(k ID)

    drain_a: ID [A]
    factor_a_per_v2: k [A/V^2]
    Valid: saturated region.
    Source: from memory (slope of the square law, textbook).

    >>> print(f"{transconductance_s(0.2, factor_a_per_v2=0.128):.4f}")
    0.3200
    """
    return 2 * sqrt(factor_a_per_v2 * drain_a)
