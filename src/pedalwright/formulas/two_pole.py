"""Second-order responses by corner, quality and gain, whatever circuit makes them.

Section numbers of [OAfE] are from memory.
"""

import math
from dataclasses import dataclass

from pedalwright.formulas._kinds import Phasor, sqrt, where


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoPole:
    """A second-order stage: natural frequency [Hz], quality [-], and gain in its pass-band with sign [-]."""

    natural_hz: float
    q: float
    gain: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BandEdges:
    """The two -3.01 dB frequencies of a band-pass [Hz]."""

    lower_hz: float
    upper_hz: float


def low_pass_response(s: Phasor, two_pole: TwoPole) -> Phasor:
    """Second-order low-pass [-].

    H = K / (1 + s/(w0 Q) + (s/w0)^2)

    s: complex frequency [rad/s]
    two_pole: natural frequency [Hz], quality [-] and gain at zero frequency [-]
    Valid: any Q above zero.
    Source: [OAfE] section 16.2 (handbook form with b = (fc/f0)^2, a = sqrt(b)/Q).

    >>> stage = TwoPole(natural_hz=1000.0, q=5.0, gain=1.0)
    >>> abs(low_pass_response(2j * math.pi * 1000.0, stage))
    5.0
    """
    x = s / (2 * math.pi * two_pole.natural_hz)
    return two_pole.gain / (1 + x / two_pole.q + x * x)


def high_pass_response(s: Phasor, two_pole: TwoPole) -> Phasor:
    """Second-order high-pass [-].

    H = K (s/w0)^2 / (1 + s/(w0 Q) + (s/w0)^2)

    s: complex frequency [rad/s]
    two_pole: natural frequency [Hz], quality [-] and gain at high frequency [-]
    Valid: any Q above zero.
    Source: [OAfE] section 16.4.

    >>> stage = TwoPole(natural_hz=200.0, q=1.5, gain=1.0)
    >>> print(f"{20 * math.log10(abs(high_pass_response(2j * math.pi * 20.0, stage))):.4f}")
    -39.9324
    """
    x = s / (2 * math.pi * two_pole.natural_hz)
    return two_pole.gain * x * x / (1 + x / two_pole.q + x * x)


def band_pass_response(s: Phasor, two_pole: TwoPole) -> Phasor:
    """Second-order band-pass [-].

    H = K (s/(w0 Q)) / (1 + s/(w0 Q) + (s/w0)^2)

    s: complex frequency [rad/s]
    two_pole: centre frequency [Hz], quality [-] and gain at the centre [-]
    Valid: any Q above zero.
    Source: [OAfE] section 16.5.

    >>> stage = TwoPole(natural_hz=1000.0, q=10.0, gain=-2.0)
    >>> abs(band_pass_response(2j * math.pi * 1000.0, stage))
    2.0
    """
    x = s / (2 * math.pi * two_pole.natural_hz)
    return two_pole.gain * x / two_pole.q / (1 + x / two_pole.q + x * x)


def notch_response(s: Phasor, two_pole: TwoPole) -> Phasor:
    """Second-order notch with its zeros on the axis [-].

    H = K (1 + (s/w0)^2) / (1 + s/(w0 Q) + (s/w0)^2)

    s: complex frequency [rad/s]
    two_pole: notch frequency [Hz], quality [-] and gain far from the notch [-]
    Valid: any Q above zero.
    Source: [Franco] Ex. 3.14.

    >>> stage = TwoPole(natural_hz=60.0, q=12.0, gain=1.95833)
    >>> print(f"{abs(notch_response(2j * math.pi * 57.5, stage)):.4f}")
    1.3996
    """
    x = s / (2 * math.pi * two_pole.natural_hz)
    return two_pole.gain * (1 + x * x) / (1 + x / two_pole.q + x * x)


def low_pass_minus_3db_hz(natural_hz: float, q: float) -> float:
    """Frequency where a second-order low-pass is 3.01 dB below its zero-frequency gain [Hz].

    f = f0 sqrt(m + sqrt(m^2 + 1)),  m = 1 - 1/(2 Q^2)

    natural_hz: natural frequency [Hz]
    q: quality [-]
    Valid: any Q above zero.
    Source: [OAfE] Table 16.7 (partial -3 dB frequencies).

    >>> print(f"{low_pass_minus_3db_hz(1.0, 0.5411961):.3f} {low_pass_minus_3db_hz(1.0, 1.3065630):.3f}")
    0.719 1.390
    """
    middle = 1 - 1 / (2 * q**2)
    return natural_hz * sqrt(middle + sqrt(middle**2 + 1))


def low_pass_peak_hz(natural_hz: float, q: float) -> float:
    """Frequency of the peak of a second-order low-pass [Hz]; not a number when it has none.

    f = f0 sqrt(1 - 1/(2 Q^2))

    natural_hz: natural frequency [Hz]
    q: quality [-]
    Valid: Q above 1/sqrt(2).
    Source: from memory (derivative of |H| set to zero).

    >>> low_pass_peak_hz(1000.0, 0.5)
    nan
    """
    return natural_hz * sqrt(where(q > math.sqrt(0.5), 1 - 1 / (2 * q**2)))


def peak_ratio(q: float) -> float:
    """Height of the peak of a second-order low- or high-pass over its pass-band [-].

    M = Q / sqrt(1 - 1/(4 Q^2)), one without a peak

    q: quality [-]
    Valid: any Q above zero.
    Source: from memory (|H| at the peak frequency).

    >>> print(f"{20 * math.log10(peak_ratio(5.0)):.4f}")
    14.0230
    """
    return where(q > math.sqrt(0.5), q / sqrt(1 - 1 / (4 * where(q > math.sqrt(0.5), q, 1.0) ** 2)), 1.0)


def band_edges_hz(centre_hz: float, q: float) -> BandEdges:
    """Lower and upper -3.01 dB frequency of a second-order band-pass [Hz].

    f = f0 (sqrt(1 + 1/(4 Q^2)) -/+ 1/(2 Q)); their difference is f0/Q

    centre_hz: centre frequency [Hz]
    q: quality [-]
    Valid: any Q above zero.
    Source: [Coughlin] Ex. 11.15 and 11.16.

    >>> edges = band_edges_hz(1000.0, 2.0)
    >>> print(f"{edges.lower_hz:.3f} {edges.upper_hz:.3f}")
    780.776 1280.776
    """
    middle = sqrt(1 + 1 / (4 * q**2))
    half = 1 / (2 * q)
    return BandEdges(lower_hz=centre_hz * (middle - half), upper_hz=centre_hz * (middle + half))


def butterworth_qs(order: int) -> tuple[float, ...]:
    """Quality of each second-order stage of a Butterworth filter, rising [-].

    Q = 1 / (2 sin((2i - 1) pi / (2n))), i = 1 .. n//2; an odd order adds one real pole

    order: order of the filter [-]
    Valid: order 1 or more; every stage has the same natural frequency.
    Source: [OAfE] Table 16.7.

    >>> [round(q, 4) for q in butterworth_qs(5)]
    [0.618, 1.618]
    """
    angles = ((2 * i - 1) * math.pi / (2 * order) for i in range(order // 2, 0, -1))
    return tuple(1 / (2 * math.sin(angle)) for angle in angles)
