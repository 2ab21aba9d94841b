"""Two tones at once: what appears at their sums and differences.

Definitions, from memory: IEC 60268-3 and SMPTE RP 120 for modulation distortion (a strong low tone and a weak
high one, the lines beside the high tone against the high tone); IEC 60268-3 and ITU-R (formerly CCIF) for
difference-frequency distortion (two equal tones, the difference lines against the sum of both tones).
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.coherent import odd_bin, tone, window_frames
from pedalwright.sound.measure.settling import Patience, settle
from pedalwright.sound.measure.signals import Fresh

_LEAST = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoTones:
    """Second- and third-order distortion as ratios, with the conditions they hold under.

    `input_peaks_v` are the two tones at the input, `tones_hz` where they came to lie. A ratio is None where a
    line falls outside the spectrum, or nothing could be measured.
    """

    method: str
    tones_hz: tuple[float, float]
    input_peaks_v: tuple[float, float]
    settled_after_s: float
    second_ratio: float | None = None
    third_ratio: float | None = None
    remarks: tuple[str, ...] = ()


def modulation_distortion(
    fresh: Fresh,
    rate_hz: float,
    *,
    input_peak_v: float,
    tones_hz: tuple[float, float] = (60.0, 7000.0),
    patience: Patience | None = None,
) -> TwoTones:
    """A low tone and a high one four times weaker, together `input_peak_v` at most."""
    peaks_v = (0.8 * input_peak_v, 0.2 * input_peak_v)
    heard = _Heard.of(fresh, rate_hz, tones_hz, peaks_v, patience)
    low, high = heard.bins
    return heard.record(
        "modulation distortion",
        against=heard.line(high),
        second=heard.line(high - low) + heard.line(high + low),
        third=heard.line(high - 2 * low) + heard.line(high + 2 * low),
    )


def difference_distortion(
    fresh: Fresh,
    rate_hz: float,
    *,
    input_peak_v: float,
    tones_hz: tuple[float, float] = (19e3, 20e3),
    patience: Patience | None = None,
) -> TwoTones:
    """Two equal tones, together `input_peak_v` at most."""
    peaks_v = (input_peak_v / 2, input_peak_v / 2)
    heard = _Heard.of(fresh, rate_hz, tones_hz, peaks_v, patience)
    low, high = heard.bins
    return heard.record(
        "difference-frequency distortion",
        against=heard.line(low) + heard.line(high),
        second=heard.line(high - low),
        third=heard.line(2 * low - high) + heard.line(2 * high - low),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Heard:
    bins: tuple[int, int]
    tones_hz: tuple[float, float]
    peaks_v: tuple[float, float]
    since_s: float
    sizes_v: FloatArray
    remarks: tuple[str, ...]

    @classmethod
    def of(
        cls,
        fresh: Fresh,
        rate_hz: float,
        tones_hz: tuple[float, float],
        peaks_v: tuple[float, float],
        patience: Patience | None,
    ) -> "_Heard":
        frames = window_frames(rate_hz, min(tones_hz) / 2)
        low, high = (odd_bin(at_hz, rate_hz, frames) for at_hz in sorted(tones_hz))
        window_v = tone(peaks_v[0], low, frames) + tone(peaks_v[1], high, frames)
        bins = np.array([0, low, high, high - low, abs(high - 2 * low)], dtype=np.int64)
        settled = settle(fresh, rate_hz, window_v, bins, patience=patience)
        step_hz = rate_hz / frames
        return cls(
            bins=(low, high),
            tones_hz=(low * step_hz, high * step_hz),
            peaks_v=peaks_v,
            since_s=settled.since_s,
            sizes_v=np.abs(np.fft.rfft(settled.windows_v[-1])),
            remarks=settled.remarks,
        )

    def line(self, at: int) -> float:
        """Size of one line; not a number outside the spectrum."""
        return float(self.sizes_v[at]) if 0 < at < len(self.sizes_v) else float("nan")

    def record(self, method: str, *, against: float, second: float, third: float) -> TwoTones:
        lost = not self.remarks and against < _LEAST * self.sizes_v.max()
        remarks = ("the tones are lost in what comes with them",) if lost else self.remarks
        known = not remarks
        return TwoTones(
            method=method,
            tones_hz=self.tones_hz,
            input_peaks_v=self.peaks_v,
            settled_after_s=self.since_s,
            second_ratio=second / against if known and np.isfinite(second) else None,
            third_ratio=third / against if known and np.isfinite(third) else None,
            remarks=remarks,
        )
