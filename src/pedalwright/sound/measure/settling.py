"""Playing a sound that repeats itself until what comes out repeats itself as well."""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import FloatArray, IndexArray
from pedalwright.sound.measure.signals import Fresh, obstacles, played
from pedalwright.sound.measure.spectrum import noise_beside

_NOISE_MARGIN = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Patience:
    """How long to wait. `least_s` must be longer than the longest delay: what has not arrived yet cannot
    be waited for. `tolerance` is the change still to come, against the strongest tone.
    """

    least_s: float = 0.5
    most_s: float = 10.0
    tolerance: float = 1e-5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Settled:
    """The last windows heard (windows, frames) [V], when the first of them began, and what they lack.

    `to_come` is the change still to be expected against the strongest tone [-]; None where nothing is heard.
    """

    windows_v: FloatArray
    since_s: float
    to_come: float | None
    remarks: tuple[str, ...]

    @property
    def settled(self) -> bool:
        """Whether the windows may be measured."""
        return not self.remarks


def settle(
    fresh: Fresh,
    rate_hz: float,
    window_v: FloatArray,
    bins: IndexArray,
    *,
    patience: Patience | None = None,
    keep: int = 1,
) -> Settled:
    """Play one window (frames,) over and over until its lines at `bins` agree from window to window.

    Every longer try begins again from rest. Windows agree when the change still to come, taken from how the
    last three differ, is within the tolerance or no larger than the noise between the lines.
    """
    patience = patience or Patience()
    frames = len(window_v)
    count = int(np.ceil(patience.least_s * rate_hz / frames)) + max(keep, 3)
    while True:
        heard_v = played(fresh, np.tile(window_v, count)).reshape(count, frames)
        to_come, remarks = _judged(heard_v[-max(keep, 3) :], bins, patience.tolerance)
        hopeless = not np.isfinite(heard_v).all() or 2 * count * frames > patience.most_s * rate_hz
        if not remarks or hopeless:
            return Settled(
                windows_v=heard_v[-keep:],
                since_s=(count - keep) * frames / rate_hz,
                to_come=to_come,
                remarks=remarks,
            )
        count *= 2


def _judged(
    windows_v: FloatArray, bins: IndexArray, tolerance: float
) -> tuple[float | None, tuple[str, ...]]:
    """The change still to come, and what speaks against measuring."""
    troubles = obstacles(windows_v.ravel())
    if troubles:
        return None, troubles
    spectra = np.fft.rfft(windows_v[-3:], axis=1)
    lines = spectra[:, bins]
    strongest = float(np.abs(lines[-1]).max())
    before, last = np.linalg.norm(np.diff(lines, axis=0), axis=1)
    if last <= _NOISE_MARGIN * np.linalg.norm(noise_beside(spectra[-1], bins)):
        return 0.0, ()
    shrinking = min(last / before, 1.0) if before > 0 else 1.0
    to_come = float(last / max(1 - shrinking, 1e-3) / max(strongest, 1e-300))
    if to_come <= tolerance or last <= 1e-13 * strongest:
        return to_come, ()
    away_db = 20 * np.log10(last / max(strongest, 1e-300))
    return to_come, (f"did not settle: windows in a row still differ ({away_db:+.0f} dB of the tone)",)
