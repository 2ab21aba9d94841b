"""The loop around an operational amplifier at high frequencies, with what the drawing does not show.

Assumed, and said in every finding: one open-loop pole, an input capacitance with its wiring, an output
resistance, a cable at the output jack.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.review.survey import Survey
from pedalwright.solve.band import ComplexArray, FloatArray

INPUT_FARADS = 10e-12
"""of an inverting input with its pad and wire: some picofarads of the part and about as much again (from
memory)"""
OUTPUT_OHMS = 150.0
"""open-loop output resistance; plain parts have 50 to 300 ohm (from memory)"""
CABLE_FARADS = 500e-12
"""five metres of cable at 100 pF a metre (from memory)"""
PLACES_HZ: FloatArray = np.geomspace(2e4, 3e7, 13)


@dataclass(frozen=True, slots=True, kw_only=True)
class Margin:
    """Where a loop's gain falls to one, and how far its phase is from turning round there, in degrees.

    `stiff_deg` is the same for an amplifier without output resistance.
    """

    amplifier: ClippingAmplifier
    crossing_hz: float
    phase_deg: float
    stiff_deg: float


def margins(
    survey: Survey,
    amplifiers: Sequence[ClippingAmplifier],
    *,
    across_farads: float = 0.0,
    series_ohms: float = 0.0,
) -> tuple[Margin, ...]:
    """The phase margin of each loop that has a crossing between 20 kHz and 30 MHz.

    `across_farads` puts a capacitor from output to inverting input, `series_ohms` a resistor before all that
    hangs on the output.
    """
    live = [one for one in amplifiers if one.name in survey.small.system.branches and one.gain_bandwidth_hz]
    if not live:
        return ()
    seen = _returns(survey, live, across_farads)
    found = []
    for place, one in enumerate(live):
        load = seen.load[:, place]
        behind = OUTPUT_OHMS * load / (1 + series_ohms * load)
        main, stiff = _crossing(seen.ratio[:, place] / (1 + behind)), _crossing(seen.ratio[:, place])
        if main is not None:
            found.append(
                Margin(
                    amplifier=one,
                    crossing_hz=main[0],
                    phase_deg=main[1],
                    stiff_deg=stiff[1] if stiff else 180.0,
                )
            )
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Returns:
    """Loop gain with a stiff output, and the admittance on the output in siemens: (frequencies, loops)."""

    ratio: ComplexArray
    load: ComplexArray


def _returns(survey: Survey, live: Sequence[ClippingAmplifier], across: float) -> _Returns:
    """An error of one volt in an amplifier's own equation moves its output by -1/(1/A + feedback share)."""
    small = survey.small
    rows = [small.row(one.output) for one in live]
    branches = [small.system.branches[one.name] for one in live]
    c = small.c.copy()
    for one in live:
        _add(c, small.row(one.inverting), None, INPUT_FARADS)
        _add(c, small.row(one.inverting), small.row(one.output), across)
    if survey.circuit.output is not None:
        _add(c, small.row(survey.circuit.output.net), None, CABLE_FARADS)
    s = 2j * np.pi * PLACES_HZ
    drives = np.zeros((small.size, len(live)), dtype=complex)
    drives[branches, range(len(live))] = 1.0
    moved = np.linalg.solve(small.g + s[:, None, None] * c, np.broadcast_to(drives, (len(s), *drives.shape)))
    own = np.arange(len(live))
    out, amperes = moved[:, rows, own], moved[:, branches, own]
    gains = [1 / (1 / one.dc_gain + s / (2 * np.pi * (one.gain_bandwidth_hz or 1.0))) for one in live]
    with np.errstate(all="ignore"):
        ratio = np.asarray(-np.stack(gains, axis=1) / out - 1, dtype=np.complex128)
        return _Returns(ratio=ratio, load=np.asarray(-amperes / out, dtype=np.complex128))


def _add(c: FloatArray, row: int, far: int | None, farads: float) -> None:
    """A capacitor from a row to another one, or to ground."""
    ends = [(one, sign) for one, sign in ((row, 1.0), (far, -1.0)) if one is not None and one < len(c)]
    for here, sign in ends:
        for there, other in ends:
            c[here, there] += sign * other * farads


def _crossing(ratio: ComplexArray) -> tuple[float, float] | None:
    """Where the size passes one from above for the last time, and 180 degrees plus the phase there."""
    if not np.all(np.isfinite(ratio)) or np.any(ratio == 0):
        return None
    size, phase = np.log(np.abs(ratio)), np.unwrap(np.angle(ratio))
    above = np.flatnonzero(size > 0)
    if not len(above) or above[-1] == len(size) - 1 or (ratio[0].real < 0 and abs(phase[0]) > 2.8):
        return None
    left = int(above[-1])
    share = size[left] / (size[left] - size[left + 1])
    logs = np.log(PLACES_HZ)
    return (
        float(np.exp(logs[left] + share * (logs[left + 1] - logs[left]))),
        float(180 + np.degrees(phase[left] + share * (phase[left + 1] - phase[left]))),
    )
