"""Tone controls: around an amplifier, in its feedback, and passive."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pedalwright.formulas._kinds import Phasor


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tee:
    """Three impedances that meet at a wiper [ohm]: from input, from output, and to the inverting input."""

    input_z: Phasor
    output_z: Phasor
    inverting_z: Phasor


@dataclass(frozen=True, slots=True, kw_only=True)
class ToneStackParts:
    """Parts of a passive three-knob tone stack [F, ohm]."""

    treble_farads: float
    bass_farads: float
    middle_farads: float
    treble_ohms: float
    bass_ohms: float
    middle_ohms: float
    slope_ohms: float


def inverting_tees_response(tees: Sequence[Tee]) -> Phasor:
    """Voltage ratio of an inverting amplifier whose input and feedback are T networks side by side [-].

    H = -sum(ya yc/(ya + yb + yc)) / sum(yb yc/(ya + yb + yc)), y the admittance of each arm

    tees: the networks; a plain resistor pair is a tee with a very small third arm [ohm]
    Valid: ideal amplifier, stiff source. No arm may be exactly zero.
    Source: common practice, no source (star-delta transformation); checked on [Franco] Ex. 3.7.

    >>> print(f"{inverting_tees_response([Tee(input_z=10e3, output_z=30e3, inverting_z=1e3)]):.4f}")
    -3.0000
    """
    forward: Phasor = 0.0
    back: Phasor = 0.0
    for tee in tees:
        total = 1 / tee.input_z + 1 / tee.output_z + 1 / tee.inverting_z
        forward = forward + 1 / (tee.input_z * tee.inverting_z * total)
        back = back + 1 / (tee.output_z * tee.inverting_z * total)
    return -forward / back


def bass_tee(
    s: Phasor, *, boost: float, end_ohms: float, pot_ohms: float, end_farads: float, inverting_ohms: float
) -> Tee:
    """The bass half of an active bass and treble control, as a T network.

    Za = R1 + x R2 || 1/(s C1) on the output side, mirrored on the input side; R5 to the inverting input

    s: complex frequency, not zero [rad/s]
    boost: x, 1 for full boost, 0 for full cut: share of the track on the output side [-]
    end_ohms: R1, from each pot end to input and output [ohm]
    pot_ohms: R2, the track [ohm]
    end_farads: C1, from each pot end to the wiper [F]
    inverting_ohms: R5, from the wiper to the inverting input [ohm]
    Valid: ideal amplifier; see `inverting_tees_response`.
    Source: [Franco] Ex. 3.7.

    >>> tee = bass_tee(
    ...     1j, boost=1.0, end_ohms=11e3, pot_ohms=100e3, end_farads=51e-9, inverting_ohms=11e3
    ... )
    >>> print(f"{abs(tee.output_z):.0f}")
    110999
    """
    return Tee(
        input_z=end_ohms + _beside((1 - boost) * pot_ohms, s * end_farads),
        output_z=end_ohms + _beside(boost * pot_ohms, s * end_farads),
        inverting_z=inverting_ohms,
    )


def treble_tee(s: Phasor, *, boost: float, end_ohms: float, pot_ohms: float, farads: float) -> Tee:
    """The treble half of an active bass and treble control, as a T network.

    R3 and a share of the track on each side; C2 from the wiper to the inverting input

    s: complex frequency, not zero [rad/s]
    boost: 1 for full boost, 0 for full cut: share of the track on the output side [-]
    end_ohms: R3, from each pot end to input and output [ohm]
    pot_ohms: R4, the track [ohm]
    farads: C2, from the wiper to the inverting input [F]
    Valid: ideal amplifier; see `inverting_tees_response`.
    Source: [Franco] Ex. 3.7.

    >>> tee = treble_tee(1j, boost=0.5, end_ohms=3.6e3, pot_ohms=500e3, farads=5.1e-9)
    >>> tee.input_z, tee.output_z
    (253600.0, 253600.0)
    """
    return Tee(
        input_z=end_ohms + (1 - boost) * pot_ohms,
        output_z=end_ohms + boost * pot_ohms,
        inverting_z=1 / (s * farads),
    )


def bass_limit(end_ohms: float, pot_ohms: float) -> float:
    """Largest bass boost of the active control, and the inverse of its largest cut [-].

    A = (R1 + R2)/R1

    end_ohms: R1 [ohm]
    pot_ohms: R2 [ohm]
    Valid: far below the bass corner.
    Source: [Franco] Ex. 3.7.

    >>> print(f"{20 * math.log10(bass_limit(11e3, 100e3)):.4f}")
    20.0786
    """
    return (end_ohms + pot_ohms) / end_ohms


def treble_limit(*, bass_end_ohms: float, treble_end_ohms: float, inverting_ohms: float) -> float:
    """Largest treble boost of the active control [-].

    A = (R1 + R3 + 2 R5)/R3

    bass_end_ohms: R1 [ohm]
    treble_end_ohms: R3 [ohm]
    inverting_ohms: R5, from the bass wiper to the inverting input [ohm]
    Valid: far above the treble corner, treble pot much larger than the rest.
    Source: [Franco] Ex. 3.7.

    >>> ratio = treble_limit(bass_end_ohms=11e3, treble_end_ohms=3.6e3, inverting_ohms=11e3)
    >>> print(f"{20 * math.log10(ratio):.4f}")
    20.1436
    """
    return (bass_end_ohms + treble_end_ohms + 2 * inverting_ohms) / treble_end_ohms


def pot_across_inputs_response(
    *, plus_half_z: Phasor, minus_half_z: Phasor, wiper_z: Phasor, feedback_z: Phasor
) -> Phasor:
    """Voltage ratio of a tone control whose pot lies between the + and - input with a leg at its wiper [-].

    vm = (1/a + 1/b)/(1/a + 1/b + 1/g),  H = 1 + f (1 - vm)/b, the signal being at the + input

    plus_half_z: a, from the + input to the wiper [ohm]
    minus_half_z: b, from the wiper to the inverting input [ohm]
    wiper_z: g, from the wiper to the reference [ohm]
    feedback_z: f, from the output to the inverting input [ohm]
    Valid: ideal amplifier, signal voltage given at the + input itself; a and b not zero.
    Source: common practice, no source (node equation at the wiper).

    >>> h = pot_across_inputs_response(plus_half_z=5e3, minus_half_z=5e3, wiper_z=1e3, feedback_z=10e3)
    >>> print(f"{h:.6f}")
    2.428571
    """
    joined = 1 / plus_half_z + 1 / minus_half_z
    wiper_ratio = joined / (joined + 1 / wiper_z)
    return 1 + feedback_z * (1 - wiper_ratio) / minus_half_z


def shelf_response(s: Phasor, *, low_gain: float, high_gain: float, pole_hz: float) -> Phasor:
    """First-order shelf [-].

    H = (A0 + Ainf s/wp)/(1 + s/wp); its zero lies at fp A0/Ainf

    s: complex frequency [rad/s]
    low_gain: A0, far below the shelf [-]
    high_gain: Ainf, far above the shelf [-]
    pole_hz: fp, the pole [Hz]
    Valid: any gains.
    Source: common practice, no source.

    >>> print(f"{abs(shelf_response(2j * math.pi * 1e6, low_gain=1.0, high_gain=11.0, pole_hz=720.0)):.3f}")
    11.000
    """
    x = s / (2 * math.pi * pole_hz)
    return (low_gain + high_gain * x) / (1 + x)


def tone_stack_response(
    s: Phasor, parts: ToneStackParts, *, treble: float, middle: float, bass: float
) -> Phasor:
    """Voltage ratio of the passive three-knob tone stack, unloaded [-].

    H = (b1 s + b2 s^2 + b3 s^3)/(1 + a1 s + a2 s^2 + a3 s^3)

    s: complex frequency [rad/s]
    parts: C1 treble, C2 bass, C3 middle [F]; R1 treble, R2 bass, R3 middle track, R4 slope resistor [ohm]
    treble, middle, bass: wiper positions from 0 to 1, after the taper [-]
    Valid: stiff source, no load; bass and middle wired as variable resistors, treble as a divider.
    Source: [YehSmith] section 2 (read in implementations that agree with one another).

    >>> parts = ToneStackParts(
    ...     treble_farads=250e-12, bass_farads=20e-9, middle_farads=20e-9,
    ...     treble_ohms=250e3, bass_ohms=1e6, middle_ohms=25e3, slope_ohms=56e3,
    ... )
    >>> h = tone_stack_response(2j * math.pi * 1000.0, parts, treble=0.5, middle=0.5, bass=0.5)
    >>> print(f"{20 * math.log10(abs(h)):.4f}")
    -11.7494
    """
    b = _tone_stack_zeros(parts, treble, middle, bass)
    a = _tone_stack_poles(parts, middle, bass)
    return s * (b[0] + s * (b[1] + s * b[2])) / (1 + s * (a[0] + s * (a[1] + s * a[2])))


def _tone_stack_zeros(p: ToneStackParts, t: float, m: float, low: float) -> tuple[float, float, float]:
    """Numerator coefficients b1, b2, b3 of the published transfer function."""
    c1, c2, c3 = p.treble_farads, p.bass_farads, p.middle_farads
    r1, r2, r3, r4 = p.treble_ohms, p.bass_ohms, p.middle_ohms, p.slope_ohms
    b1 = t * c1 * r1 + m * c3 * r3 + low * (c1 + c2) * r2 + (c1 + c2) * r3
    b2 = (
        t * c1 * (c2 + c3) * r1 * r4
        + (m - m**2) * (c1 + c2) * c3 * r3**2
        + m * c1 * c3 * r1 * r3
        + low * (c1 * c2 * r1 * r2 + c1 * (c2 + c3) * r2 * r4)
        + low * m * (c1 + c2) * c3 * r2 * r3
        + c1 * c2 * r1 * r3
        + c1 * (c2 + c3) * r3 * r4
    )
    spread = low * m * r2 * r3 * (r1 + r4) + (m - m**2) * r3**2 * (r1 + r4)
    b3 = c1 * c2 * c3 * (spread + t * (1 - m) * r1 * r3 * r4 + t * low * r1 * r2 * r4)
    return b1, b2, b3


def _tone_stack_poles(p: ToneStackParts, m: float, low: float) -> tuple[float, float, float]:
    """Denominator coefficients a1, a2, a3 of the published transfer function."""
    c1, c2, c3 = p.treble_farads, p.bass_farads, p.middle_farads
    r1, r2, r3, r4 = p.treble_ohms, p.bass_ohms, p.middle_ohms, p.slope_ohms
    a1 = c1 * r1 + (c1 + c2) * r3 + (c2 + c3) * r4 + m * c3 * r3 + low * (c1 + c2) * r2
    a2 = (
        m * (c1 * c3 * r1 * r3 - c2 * c3 * r3 * r4)
        + (m - m**2) * (c1 + c2) * c3 * r3**2
        + low * m * (c1 + c2) * c3 * r2 * r3
        + low * (c1 * c2 * (r1 + r4) * r2 + (c1 + c2) * c3 * r2 * r4)
        + c1 * (c2 + c3) * r1 * r4
        + c1 * c2 * r3 * (r1 + r4)
        + (c1 + c2) * c3 * r3 * r4
    )
    spread = low * m * r2 * r3 * (r1 + r4) + (m - m**2) * r3**2 * (r1 + r4)
    a3 = c1 * c2 * c3 * (spread + (1 - m) * r1 * r3 * r4 + low * r1 * r2 * r4)
    return a1, a2, a3


def _beside(ohms: float, admittance: Phasor) -> Phasor:
    """A resistor, perhaps of zero ohms, beside an admittance."""
    return ohms / (1 + ohms * admittance)
