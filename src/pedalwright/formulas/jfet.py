"""The junction field-effect transistor by its square law.

`idss_a` is the drain current at zero gate voltage, `pinch_off_v` the gate voltage that stops it: below zero
for the n-channel part, above zero for the p-channel part (turn the signs of all voltages). The square law
also serves depletion MOSFETs.
"""

from pedalwright.formulas._kinds import Phasor, sqrt, where


def drain_a(gate_source_v: float, *, idss_a: float, pinch_off_v: float) -> float:
    """Drain current in saturation [A].

    ID = IDSS (1 - VGS/Vp)^2, zero beyond pinch-off

    gate_source_v: VGS [V]
    idss_a: IDSS [A]
    pinch_off_v: Vp [V]
    Valid: drain voltage in the saturated region, channel-length modulation neglected.
    Source: [Floyd] Ex. 7.3.

    >>> print(f"{drain_a(-1.0, idss_a=9e-3, pinch_off_v=-8.0) * 1e3:.6f}")
    6.890625
    """
    share = 1 - gate_source_v / pinch_off_v
    return idss_a * where(share > 0, share, 0.0) ** 2


def self_bias_gate_source_v(
    *, source_ohms: float, idss_a: float, pinch_off_v: float, gate_v: float = 0.0
) -> float:
    """Gate-source voltage with a source resistor [V].

    VGS = VG - ID RS with ID = IDSS (1 - VGS/Vp)^2: the root between Vp and VG

    source_ohms: RS [ohm]
    idss_a: IDSS [A]
    pinch_off_v: Vp, below zero [V]
    gate_v: VG against the lower end of RS [V]
    Valid: saturated region; resistor above zero.
    Source: [Boylestad] Ex. 7.2, 7.5 and 7.6 (the book solves them by drawing).

    >>> print(f"{self_bias_gate_source_v(source_ohms=1e3, idss_a=8e-3, pinch_off_v=-6.0):.6f}")
    -2.587624
    """
    # With u = 1 - VGS/Vp the condition is a u^2 + u - b = 0.
    a = idss_a * source_ohms / abs(pinch_off_v)
    b = 1 + gate_v / abs(pinch_off_v)
    # Below pinch-off (b below zero) no current flows and VGS is VG, which is u = b.
    u = where(b > 0, 2 * b / (1 + sqrt(1 + 4 * a * where(b > 0, b, 0.0))), b)
    return pinch_off_v * (1 - u)


def self_bias_drain_a(*, source_ohms: float, idss_a: float, pinch_off_v: float, gate_v: float = 0.0) -> float:
    """Drain current with a source resistor [A].

    ID = IDSS ((sqrt(1 + 4a) - 1)/(2a))^2 for VG = 0, a = IDSS RS/|Vp|

    source_ohms: RS [ohm]
    idss_a: IDSS [A]
    pinch_off_v: Vp, below zero [V]
    gate_v: VG against the lower end of RS [V]
    Valid: saturated region; resistor above zero.
    Source: [Boylestad] Ex. 7.2 and 7.5.

    >>> amps = self_bias_drain_a(source_ohms=1.5e3, idss_a=8e-3, pinch_off_v=-4.0, gate_v=16.0 * 270 / 2370)
    >>> print(f"{amps * 1e3:.6f}")
    2.416309
    """
    gate_source_v = self_bias_gate_source_v(
        source_ohms=source_ohms, idss_a=idss_a, pinch_off_v=pinch_off_v, gate_v=gate_v
    )
    return drain_a(gate_source_v, idss_a=idss_a, pinch_off_v=pinch_off_v)


def source_ohms_for(*, drain_a: float, idss_a: float, pinch_off_v: float) -> float:
    """Source resistor for a wanted drain current, gate at the lower end [ohm].

    RS = |Vp| (1 - sqrt(ID/IDSS))/ID

    drain_a: wanted drain current, at most IDSS [A]
    idss_a: IDSS [A]
    pinch_off_v: Vp [V]
    Valid: saturated region.
    Source: [Floyd] Ex. 7.9 (the book's rule VGS = Vp/3.4 rounds Vp/3.41421).

    >>> print(f"{source_ohms_for(drain_a=6e-3, idss_a=12e-3, pinch_off_v=-3.0):.3f}")
    146.447
    """
    return abs(pinch_off_v) * (1 - sqrt(drain_a / idss_a)) / drain_a


def transconductance_s(gate_source_v: float, *, idss_a: float, pinch_off_v: float) -> float:
    """Transconductance in saturation [S].

    gm = (2 IDSS/|Vp|)(1 - VGS/Vp)

    gate_source_v: VGS [V]
    idss_a: IDSS [A]
    pinch_off_v: Vp [V]
    Valid: saturated region; zero beyond pinch-off.
    Source: [Floyd] Ex. 7.4 (1.667 mS is right; its companion's current lacks the square).

    >>> print(f"{transconductance_s(-2.587624, idss_a=8e-3, pinch_off_v=-6.0) * 1e3:.5f}")
    1.51661
    """
    share = 1 - gate_source_v / pinch_off_v
    return 2 * idss_a / abs(pinch_off_v) * where(share > 0, share, 0.0)


def beta_a_per_v2(idss_a: float, pinch_off_v: float) -> float:
    """Square-law coefficient of a model card [A/V^2].

    beta = IDSS/Vp^2

    idss_a: IDSS [A]
    pinch_off_v: Vp [V]
    Valid: channel-length modulation zero.
    Source: common practice, no source (definition).

    >>> print(f"{beta_a_per_v2(4.8e-3, -2.0) * 1e3:.3f}")
    1.200
    """
    return idss_a / pinch_off_v**2


def channel_ohms(gate_source_v: float, *, idss_a: float, pinch_off_v: float) -> float:
    """Resistance of the channel at small drain voltage: the voltage-controlled resistor [ohm].

    r = |Vp|/(2 IDSS (1 - VGS/Vp)), infinite beyond pinch-off

    gate_source_v: VGS [V]
    idss_a: IDSS [A]
    pinch_off_v: Vp [V]
    Valid: drain-source voltage much smaller than |Vp|.
    Source: from memory (slope of the square law at the origin).

    >>> print(f"{channel_ohms(-1.0, idss_a=5e-3, pinch_off_v=-2.0):.1f}")
    400.0
    """
    share = 1 - gate_source_v / pinch_off_v
    conducting = where(share > 0, share, 1.0)
    return where(share > 0, abs(pinch_off_v) / (2 * idss_a * conducting), float("inf"))


def common_source_gain(*, transconductance_s: float, load_z: Phasor, source_z: Phasor = 0.0) -> Phasor:
    """Voltage gain of a common-source stage from gate to drain [-].

    A = -gm ZL/(1 + gm ZS)

    transconductance_s: gm [S]
    load_z: everything at the drain in parallel [ohm]
    source_z: what is left unbypassed in the source [ohm]
    Valid: small signals, output resistance large or counted in the load.
    Source: from memory (textbook).

    >>> print(f"{common_source_gain(transconductance_s=1.5e-3, load_z=10e3, source_z=1e3):.4f}")
    -6.0000
    """
    return -transconductance_s * load_z / (1 + transconductance_s * source_z)


def source_follower_gain(*, transconductance_s: float, load_z: Phasor) -> Phasor:
    """Voltage gain of a source follower from gate to source [-].

    A = gm ZL/(1 + gm ZL)

    transconductance_s: gm [S]
    load_z: everything from the source to the reference [ohm]
    Valid: small signals.
    Source: from memory (textbook).

    >>> print(f"{source_follower_gain(transconductance_s=2e-3, load_z=4.5e3):.4f}")
    0.9000
    """
    return transconductance_s * load_z / (1 + transconductance_s * load_z)
