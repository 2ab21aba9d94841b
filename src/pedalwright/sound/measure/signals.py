"""What every measure shares: players, frames at rest, and what keeps a signal from being measured.

A figure that cannot be stood by is None, and a remark of the same record says why.
"""

from collections.abc import Callable

import numpy as np

from pedalwright.solve.arrays import FloatArray

Play = Callable[[FloatArray], FloatArray]
"""volts in (frames,), volts out (frames,), at one rate"""

Fresh = Callable[[], Play]
"""makes a player that is at rest; a measure that plays twice asks twice"""

SILENCE_V = 1e-9
FLAT_RUN = 4
"""so many frames in a row at exactly the highest or lowest value look like clipping"""


def always(play: Play) -> Fresh:
    """The factory of a player that keeps no state, such as a plain function of an array."""
    return lambda: play


def played(fresh: Fresh, signal_v: FloatArray) -> FloatArray:
    """What a player at rest makes of a signal (frames,) [V]; ValueError where frames are lost or added."""
    heard_v = np.asarray(fresh()(signal_v), dtype=np.float64)
    if heard_v.shape != signal_v.shape:
        raise ValueError(f"the player gave back {heard_v.shape} for {signal_v.shape} frames")
    return heard_v


def obstacles(signal_v: FloatArray, least_frames: int = 64) -> tuple[str, ...]:
    """Why nothing can be measured on a signal; empty when something can."""
    if len(signal_v) < least_frames:
        return (f"too short: {len(signal_v)} frames, where {least_frames} are needed",)
    if not np.isfinite(signal_v).all():
        return ("holds values that are not numbers",)
    if np.abs(signal_v - signal_v.mean()).max() < SILENCE_V:
        return ("silent: nothing above a thousandth of a microvolt",)
    return ()


def flat_tops(signal_v: FloatArray) -> tuple[str, ...]:
    """A remark where the signal stays at exactly its highest or lowest value: it may be clipped."""
    longest = max(_longest_run(signal_v == signal_v.max()), _longest_run(signal_v == signal_v.min()))
    if longest < FLAT_RUN:
        return ()
    return (f"stays at its extreme value for {longest} frames in a row, as if clipped",)


def _longest_run(at: np.ndarray) -> int:
    edges = np.flatnonzero(np.diff(np.concatenate(([0], at.astype(np.int8), [0]))))
    return int((edges[1::2] - edges[::2]).max(initial=0))


def root_sum_square(values: FloatArray) -> float:
    """The size of several rms values together."""
    return float(np.sqrt(np.sum(np.square(values))))


def decibels(ratio: float) -> float | None:
    """A level difference [dB]; None where there is nothing to compare."""
    return float(20 * np.log10(ratio)) if ratio > 0 and np.isfinite(ratio) else None
