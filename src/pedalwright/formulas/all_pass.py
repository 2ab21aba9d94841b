"""First-order all-pass stages and the phaser they make with the dry signal."""

import math

import numpy as np

from pedalwright.formulas._kinds import Phasor, Value, plain


def response(s: Phasor, *, ohms: float, farads: float) -> Phasor:
    """Voltage ratio of a first-order all-pass with equal resistors around the amplifier [-].

    H = (1 - s R C)/(1 + s R C): R from the signal to the + input, C from there to the reference

    s: complex frequency [rad/s]
    ohms: R [ohm]
    farads: C [F]
    Valid: ideal amplifier; with R and C exchanged the sign turns.
    Source: [Gayakwad] Ex. 7.11.

    >>> import cmath
    >>> print(f"{math.degrees(cmath.phase(response(2j * math.pi * 1e3, ohms=15.9e3, farads=10e-9))):.4f}")
    -89.9442
    """
    x = s * (ohms * farads)
    return (1 - x) / (1 + x)


def general_response(
    *, feedback_z: Value, input_z: Value, plus_series_z: Value, plus_ground_z: Value
) -> Value:
    """Voltage ratio of the all-pass form with any impedances, one source feeding both inputs [-].

    H = (1 + Zf/Zi) Zb/(Za + Zb) - Zf/Zi

    feedback_z: Zf, from the output to the inverting input [ohm]
    input_z: Zi, from the source to the inverting input [ohm]
    plus_series_z: Za, from the source to the + input [ohm]
    plus_ground_z: Zb, from the + input to the reference [ohm]
    Valid: ideal amplifier, stiff source.
    Source: common practice, no source (superposition of both inputs).

    >>> general_response(feedback_z=10e3, input_z=10e3, plus_series_z=1e3, plus_ground_z=-1e3j)
    -1j
    """
    ratio = feedback_z / input_z
    return (1 + ratio) * plus_ground_z / (plus_series_z + plus_ground_z) - ratio


def phase_lag_deg(frequency_hz: float, *, ohms: float, farads: float) -> float:
    """Phase lag of the all-pass `response` [degree]; the form with R and C exchanged leads by 180 less this.

    phi = 2 atan(2 pi f R C)

    frequency_hz: frequency [Hz]
    ohms: R [ohm]
    farads: C [F]
    Valid: ideal amplifier.
    Source: [Coughlin] Ex. 5.14.

    >>> print(f"{phase_lag_deg(1000.0, ohms=100e3, farads=10e-9):.4f}")
    161.9139
    """
    return 2 * plain(np.degrees(np.arctan(2 * math.pi * frequency_hz * ohms * farads)))


def ohms_for_phase(frequency_hz: float, *, farads: float, lag_deg: float) -> float:
    """Resistor that gives a phase lag at a frequency [ohm].

    R = tan(phi/2)/(2 pi f C)

    frequency_hz: frequency [Hz]
    farads: C [F]
    lag_deg: phi, above 0 and below 180 [degree]
    Valid: ideal amplifier.
    Source: [Coughlin] Ex. 5.13.

    >>> print(f"{ohms_for_phase(1000.0, farads=10e-9, lag_deg=90.0):.2f}")
    15915.49
    """
    return math.tan(math.radians(lag_deg / 2)) / (2 * math.pi * frequency_hz * farads)


def phaser_notches_hz(stages: int, corner_hz: float) -> tuple[float, ...]:
    """Notch frequencies of equal all-pass stages added to the dry signal at equal level, rising [Hz].

    f = fc tan((2i + 1) pi/(2N)), where the stages together turn by an odd multiple of 180 degrees

    stages: N, number of equal stages [-]
    corner_hz: fc, where one stage lags 90 degrees [Hz]
    Valid: no sign reversal in the chain, equal levels; N/2 notches for even N.
    Source: common practice, no source (sum of the phases).

    >>> [round(f, 6) for f in phaser_notches_hz(6, 1.0)]
    [0.267949, 1.0, 3.732051]
    """
    return tuple(corner_hz * math.tan((2 * i + 1) * math.pi / (2 * stages)) for i in range(stages // 2))
