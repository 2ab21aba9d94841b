"""The bipolar transistor: bias by hand and small-signal gains.

`beta` is the current gain, `re` the resistance VT/IE the emitter shows. Books differ in whether the base
current is neglected; every function says what it does.
"""

import math
from dataclasses import dataclass

from pedalwright.formulas._kinds import Phasor


@dataclass(frozen=True, slots=True, kw_only=True)
class Bias:
    """Operating point of one transistor: currents [A] and voltages against the emitter's return [V]."""

    base_a: float
    collector_a: float
    emitter_a: float
    base_v: float
    emitter_v: float
    collector_v: float


def divider_bias(
    *,
    supply_v: float,
    upper_ohms: float,
    lower_ohms: float,
    collector_ohms: float,
    emitter_ohms: float,
    base_emitter_v: float = 0.7,
    beta: float = math.inf,
) -> Bias:
    """Operating point with a base divider and an emitter resistor, the base current counted.

    IE = (VTH - VBE)/(RE + RTH/(beta + 1)),  VTH = VCC R2/(R1 + R2),  RTH = R1 || R2

    supply_v: VCC [V]
    upper_ohms, lower_ohms: R1, R2 [ohm]
    collector_ohms, emitter_ohms: RC, RE [ohm]
    base_emitter_v: VBE [V]
    beta: current gain; infinite neglects the base current [-]
    Valid: the transistor is neither cut off nor saturated.
    Source: [Malvino] Ex. 8-1 and 8-3.

    >>> point = divider_bias(
    ...     supply_v=10.0, upper_ohms=10e3, lower_ohms=2.2e3,
    ...     collector_ohms=3.6e3, emitter_ohms=1e3, beta=200.0,
    ... )
    >>> print(f"{point.emitter_a * 1e3:.7f} {point.base_a * 1e6:.5f} {point.collector_v:.6f}")
    1.0934686 5.44014 6.083098
    """
    thevenin_v = supply_v * lower_ohms / (upper_ohms + lower_ohms)
    thevenin_ohms = upper_ohms * lower_ohms / (upper_ohms + lower_ohms)
    emitter_a = (thevenin_v - base_emitter_v) / (emitter_ohms + thevenin_ohms / (beta + 1))
    return _bias(emitter_a, supply_v, collector_ohms, emitter_ohms, base_emitter_v, beta)


def fixed_bias(
    *,
    supply_v: float,
    base_ohms: float,
    collector_ohms: float,
    beta: float,
    emitter_ohms: float = 0.0,
    base_emitter_v: float = 0.7,
) -> Bias:
    """Operating point with one base resistor from the supply.

    IB = (VCC - VBE)/(RB + (beta + 1) RE)

    supply_v: VCC [V]
    base_ohms: RB [ohm]
    collector_ohms: RC [ohm]
    beta: current gain [-]
    emitter_ohms: RE [ohm]
    base_emitter_v: VBE [V]
    Valid: the transistor is neither cut off nor saturated; the point moves with beta.
    Source: [Boylestad] Ex. 4.1.

    >>> point = fixed_bias(supply_v=12.0, base_ohms=240e3, collector_ohms=2.2e3, beta=50.0)
    >>> print(f"{point.base_a * 1e6:.4f} {point.collector_a * 1e3:.6f} {point.collector_v:.6f}")
    47.0833 2.354167 6.820833
    """
    base_a = (supply_v - base_emitter_v) / (base_ohms + (beta + 1) * emitter_ohms)
    return _bias((beta + 1) * base_a, supply_v, collector_ohms, emitter_ohms, base_emitter_v, beta)


def feedback_bias(
    *,
    supply_v: float,
    base_ohms: float,
    collector_ohms: float,
    beta: float,
    emitter_ohms: float = 0.0,
    base_emitter_v: float = 0.7,
) -> Bias:
    """Operating point with the base resistor from the collector.

    IB = (VCC - VBE)/(RB + (beta + 1)(RC + RE))

    supply_v: VCC [V]
    base_ohms: RB, from the collector to the base [ohm]
    collector_ohms: RC [ohm]
    beta: current gain [-]
    emitter_ohms: RE [ohm]
    base_emitter_v: VBE [V]
    Valid: not cut off; it cannot saturate.
    Source: [Boylestad] section 4.6 (section from memory).

    >>> point = feedback_bias(supply_v=9.0, base_ohms=470e3, collector_ohms=10e3, beta=100.0)
    >>> print(f"{point.collector_v:.4f}")
    3.3358
    """
    base_a = (supply_v - base_emitter_v) / (base_ohms + (beta + 1) * (collector_ohms + emitter_ohms))
    emitter_a = (beta + 1) * base_a
    # The base current comes through the collector resistor too, so it carries the emitter current.
    return Bias(
        base_a=base_a,
        collector_a=beta * base_a,
        emitter_a=emitter_a,
        base_v=emitter_a * emitter_ohms + base_emitter_v,
        emitter_v=emitter_a * emitter_ohms,
        collector_v=supply_v - emitter_a * collector_ohms,
    )


def emitter_ohms(emitter_a: float, thermal_v: float = 0.026) -> float:
    """Small-signal resistance re of the emitter [ohm]; its inverse is nearly the transconductance.

    re = VT/IE

    emitter_a: emitter current [A]
    thermal_v: VT; books take 26 mV [V]
    Valid: small signals.
    Source: [Boylestad] Ex. 5.1.

    >>> print(f"{emitter_ohms(101 * (12.0 - 0.7) / 470e3):.5f}")
    10.70709
    """
    return thermal_v / emitter_a


def common_emitter_gain(
    *, load_z: Phasor, re_ohms: float, emitter_z: Phasor = 0.0, alpha: float = 1.0
) -> Phasor:
    """Voltage gain of a common-emitter stage from base to collector [-].

    A = -alpha ZL/(re + ZE)

    load_z: everything at the collector in parallel, the output resistance included [ohm]
    re_ohms: re = VT/IE [ohm]
    emitter_z: what is left unbypassed in the emitter [ohm]
    alpha: beta/(beta + 1); one is the book's form [-]
    Valid: small signals.
    Source: [Boylestad] Ex. 5.1, 5.2 and 5.5.

    >>> print(f"{common_emitter_gain(load_z=2.2e3, re_ohms=19.64444, emitter_z=0.68e3):.6f}")
    -3.144454
    """
    return -alpha * load_z / (re_ohms + emitter_z)


def base_input_z(*, beta: float, re_ohms: float, emitter_z: Phasor = 0.0) -> Phasor:
    """Impedance into the base, bias resistors not counted [ohm].

    Zb = beta re + (beta + 1) ZE

    beta: current gain [-]
    re_ohms: re = VT/IE [ohm]
    emitter_z: everything from the emitter to the reference [ohm]
    Valid: output resistance of the transistor neglected.
    Source: [Boylestad] Ex. 5.3 (the book shortens it to beta (re + RE)).

    >>> print(f"{base_input_z(beta=100.0, re_ohms=10.70709):.3f}")
    1070.709
    """
    return beta * re_ohms + (beta + 1) * emitter_z


def emitter_follower_gain(*, load_z: Phasor, re_ohms: float) -> Phasor:
    """Voltage gain of an emitter follower from base to emitter [-].

    A = ZL/(ZL + re)

    load_z: everything from the emitter to the reference [ohm]
    re_ohms: re = VT/IE [ohm]
    Valid: small signals, output resistance neglected.
    Source: [Boylestad] section 5.8 (section from memory).

    >>> print(f"{emitter_follower_gain(load_z=3.3e3, re_ohms=12.61):.5f}")
    0.99619
    """
    return load_z / (load_z + re_ohms)


def emitter_follower_output_z(
    *, re_ohms: float, source_z: Phasor, beta: float, emitter_ohms: float = math.inf
) -> Phasor:
    """Output impedance of an emitter follower [ohm].

    Zo = RE || (re + Zs/(beta + 1))

    re_ohms: re = VT/IE [ohm]
    source_z: everything that drives the base, bias resistors in parallel [ohm]
    beta: current gain [-]
    emitter_ohms: RE [ohm]
    Valid: small signals.
    Source: from memory (textbook).

    >>> print(f"{emitter_follower_output_z(re_ohms=26.0, source_z=10e3, beta=199.0, emitter_ohms=4.7e3):.3f}")
    74.791
    """
    looking_in = re_ohms + source_z / (beta + 1)
    return looking_in / (1 + looking_in / emitter_ohms)


def _bias(
    emitter_a: float,
    supply_v: float,
    collector_ohms: float,
    emitter_ohms: float,
    base_emitter_v: float,
    beta: float,
) -> Bias:
    collector_a = emitter_a if math.isinf(beta) else emitter_a * beta / (beta + 1)
    emitter_v = emitter_a * emitter_ohms
    return Bias(
        base_a=emitter_a / (beta + 1),
        collector_a=collector_a,
        emitter_a=emitter_a,
        base_v=emitter_v + base_emitter_v,
        emitter_v=emitter_v,
        collector_v=supply_v - collector_a * collector_ohms,
    )
