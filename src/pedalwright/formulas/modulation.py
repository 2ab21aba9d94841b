"""Pitch and pulse width of a moving delay time."""

import math

from pedalwright.formulas._kinds import ln


def cents(ratio: float) -> float:
    """Pitch interval of a frequency ratio [cent].

    c = 1200 log2(r)

    ratio: r, above zero [-]
    Valid: above zero.
    Source: common practice, no source (definition).

    >>> print(f"{cents(2.0):.1f}")
    1200.0
    """
    return 1200 * ln(ratio) / math.log(2)


def ratio_of_cents(interval_cents: float) -> float:
    """Frequency ratio of a pitch interval [-].

    r = 2^(c/1200)

    interval_cents: c [cent]
    Valid: any.
    Source: common practice, no source (definition).

    >>> print(f"{ratio_of_cents(100.0):.6f}")
    1.059463
    """
    return 2 ** (interval_cents / 1200)


def sine_sweep_up_cents(rate_hz: float, deviation_s: float) -> float:
    """Highest pitch of a delay that moves as a sine [cent].

    c = 1200 log2(1 + 2 pi fm D), for tau = tau0 + D sin(2 pi fm t) and f'/f = 1 - dtau/dt

    rate_hz: fm [Hz]
    deviation_s: D, peak deviation of the delay time [s]
    Valid: the delay is a smooth read-out, y(t) = x(t - tau(t)).
    Source: from memory (Doppler shift of a moving delay).

    >>> print(f"{sine_sweep_up_cents(5.0, 1e-3):.4f}")
    53.5515
    """
    return cents(1 + 2 * math.pi * rate_hz * deviation_s)


def sine_sweep_down_cents(rate_hz: float, deviation_s: float) -> float:
    """Lowest pitch of a delay that moves as a sine [cent].

    c = 1200 log2(1 - 2 pi fm D)

    rate_hz: fm [Hz]
    deviation_s: D, peak deviation of the delay time [s]
    Valid: 2 pi fm D below one, else not a number.
    Source: from memory (Doppler shift of a moving delay).

    >>> print(f"{sine_sweep_down_cents(5.0, 1e-3):.4f}")
    -55.2610
    """
    return cents(1 - 2 * math.pi * rate_hz * deviation_s)


def sine_deviation_s(up_cents: float, rate_hz: float) -> float:
    """Peak deviation of a sine-moved delay that raises the pitch by an interval [s].

    D = (2^(c/1200) - 1)/(2 pi fm)

    up_cents: c, highest pitch [cent]
    rate_hz: fm [Hz]
    Valid: above zero.
    Source: from memory (`sine_sweep_up_cents` solved for D).

    >>> print(f"{sine_deviation_s(10.0, 1.0) * 1e3:.6f}")
    0.921975
    """
    return (ratio_of_cents(up_cents) - 1) / (2 * math.pi * rate_hz)


def triangle_sweep_cents(rate_hz: float, deviation_s: float, *, rising: bool = False) -> float:
    """Steady pitch during one half-cycle of a delay that moves as a triangle [cent].

    c = 1200 log2(1 +/- 4 fm D): up while the delay shortens, down while it grows

    rate_hz: fm [Hz]
    deviation_s: D, peak deviation of the delay time [s]
    rising: the half-cycle in which the delay grows [-]
    Valid: 4 fm D below one.
    Source: from memory (slope of the triangle).

    >>> print(f"{triangle_sweep_cents(1.0, 1e-3):.4f}")
    6.9111
    """
    slope = 4 * rate_hz * deviation_s
    return cents(1 - slope if rising else 1 + slope)
