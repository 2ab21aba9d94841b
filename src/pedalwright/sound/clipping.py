"""From which level on a circuit clips, by one tone that grows from a whisper to more than a pickup gives."""

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.player import Player
from pedalwright.sound.through import RATE_HZ

TONE_HZ = 1000.0
FIRST_V, LAST_V, SECONDS = 5e-3, 5.0, 3.0
"""0.2 dB in ten milliseconds: slow beside the tone, quick beside what shifts when a circuit is driven hard"""
WINDOW = 960
"""frames: twenty turns of the tone"""
HARMONICS = 9
LIMIT = 0.01
"""distortion that counts as clipping: 1 %, common practice, no source"""


def clips_from_v(analysis: Analysis) -> float | None:
    """The input peak [V] from which on the harmonics of 1 kHz are 1 % of it; None when that is nowhere.

    Good to a few per cent. Nothing is said (None) of a circuit that distorts a whisper as much. Raises
    UnusableSound for a circuit that cannot play.
    """
    player = Player.of(analysis.circuit)
    time_s = np.arange(round(SECONDS * RATE_HZ)) / RATE_HZ
    peak_v = FIRST_V * (LAST_V / FIRST_V) ** (time_s / SECONDS)
    late = player.latency_frames
    sent = np.concatenate([peak_v * np.sin(2.0 * np.pi * TONE_HZ * time_s), np.zeros(late)])
    windows = player.play(sent)[late:].reshape(-1, WINDOW)
    share = _distortion(windows)
    beyond = np.flatnonzero(share > LIMIT)
    if not len(beyond) or beyond[0] == 0:
        return None
    return float(peak_v[beyond[0] * WINDOW + WINDOW // 2])


def _distortion(windows: FloatArray) -> FloatArray:
    """Harmonics over tone, of every window (windows, frames)."""
    spectrum = np.abs(np.fft.rfft(windows * np.hanning(WINDOW), axis=1))
    tone = round(TONE_HZ * WINDOW / RATE_HZ)
    harmonics = spectrum[:, [tone * order for order in range(2, HARMONICS + 1)]]
    return np.asarray(np.sqrt((harmonics**2).sum(axis=1)) / np.maximum(spectrum[:, tone], 1e-30))
