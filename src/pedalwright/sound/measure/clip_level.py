"""The input level from which a circuit clips: where distortion or the fall of gain first passes a limit."""

import math
from dataclasses import dataclass, replace

import numpy as np

from pedalwright.sound.measure.distortion import Distortion, distortion
from pedalwright.sound.measure.settling import Patience
from pedalwright.sound.measure.signals import Fresh, root_sum_square

_STEP = 2.0
_CLOSE = 1.002
"""the level is found to a fifth of a percent"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipLevel:
    """Peak of the input sine at the limit, None where no limit is met within `range_v`.

    `by` is ``distortion`` or ``gain``: what passed its limit first. `start_gain_db` is the gain at the bottom
    of the range, against which the fall counts.
    """

    tone_hz: float
    range_v: tuple[float, float]
    thd_limit: float
    gain_fall_db: float
    rate_hz: float
    input_peak_v: float | None = None
    output_peak_v: float | None = None
    """peak of the tone at the output there"""
    by: str | None = None
    start_gain_db: float | None = None
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Probe:
    """One level tried: how much of each limit is used up; above one is too much."""

    input_peak_v: float
    heard: Distortion
    distortion: float
    gain: float

    @property
    def clips(self) -> bool:
        return max(self.distortion, self.gain) > 1

    @property
    def lost(self) -> tuple[str, ...]:
        """Why there is no tone to judge; empty where there is one."""
        return self.heard.remarks if self.heard.tone_rms_v is None else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Limits:
    fresh: Fresh
    rate_hz: float
    tone_hz: float
    thd_limit: float
    gain_fall_db: float
    patience: Patience | None

    def tried(self, input_peak_v: float, start_db: float | None = None) -> _Probe:
        heard = distortion(
            self.fresh,
            self.rate_hz,
            input_peak_v=input_peak_v,
            tone_hz=self.tone_hz,
            patience=self.patience,
        )
        fall_db = 0.0 if start_db is None or heard.gain_db is None else start_db - heard.gain_db
        return _Probe(input_peak_v, heard, _clear_thd(heard) / self.thd_limit, fall_db / self.gain_fall_db)

    def first_too_loud(self, start: _Probe, most_v: float) -> tuple[_Probe, _Probe]:
        """The last level below the limits and the next above them, a factor of two apart at most; the same
        twice where nothing is met.
        """
        below = start
        while below.input_peak_v < most_v:
            above = self.tried(min(below.input_peak_v * _STEP, most_v), start.heard.gain_db)
            if above.clips or above.lost:
                return below, above
            below = above
        return below, below

    def closer(self, start: _Probe, below: _Probe, above: _Probe) -> _Probe:
        """The lowest level found above the limits."""
        while above.input_peak_v > below.input_peak_v * _CLOSE and not above.lost:
            middle = self.tried(math.sqrt(above.input_peak_v * below.input_peak_v), start.heard.gain_db)
            below, above = (below, middle) if middle.clips or middle.lost else (middle, above)
        return above


def clip_level(
    fresh: Fresh,
    rate_hz: float,
    *,
    tone_hz: float = 1000.0,
    range_v: tuple[float, float] = (1e-3, 10.0),
    thd_limit: float = 0.01,
    gain_fall_db: float = 1.0,
    patience: Patience | None = None,
) -> ClipLevel:
    """Search upward in steps of 6 dB, then by halving: THD (of the harmonics that stand clear of the noise)
    above its limit, or gain below that at the bottom of the range by so much. 1 % and 1 dB are common
    practice, no source.
    """
    limits = _Limits(
        fresh=fresh,
        rate_hz=rate_hz,
        tone_hz=tone_hz,
        thd_limit=thd_limit,
        gain_fall_db=gain_fall_db,
        patience=patience,
    )
    start = limits.tried(range_v[0])
    found = start
    if not start.clips and not start.lost:
        below, above = limits.first_too_loud(start, range_v[1])
        found = limits.closer(start, below, above) if above.clips else above
    return _record(limits, range_v, start, found)


def _record(limits: _Limits, range_v: tuple[float, float], start: _Probe, found: _Probe) -> ClipLevel:
    unknown = ClipLevel(
        tone_hz=start.heard.conditions.tone_hz,
        range_v=range_v,
        thd_limit=limits.thd_limit,
        gain_fall_db=limits.gain_fall_db,
        rate_hz=limits.rate_hz,
        start_gain_db=start.heard.gain_db,
    )
    if found.lost:
        where = f"at {found.input_peak_v:.3g} V at the input"
        return replace(unknown, remarks=tuple(f"{why}, {where}" for why in found.lost))
    if not found.clips:
        return replace(unknown, remarks=(f"no limit is met up to {range_v[1]:.3g} V at the input",))
    if found is start:
        return replace(unknown, remarks=("beyond the limit already at the bottom of the range",))
    return replace(
        unknown,
        input_peak_v=found.input_peak_v,
        output_peak_v=(found.heard.tone_rms_v or 0.0) * math.sqrt(2),
        by="distortion" if found.distortion >= found.gain else "gain",
    )


def _clear_thd(heard: Distortion) -> float:
    """THD of the harmonics that stand clear of the noise, against the tone."""
    above = np.array([harmonic.rms_v for harmonic in heard.harmonics if harmonic.order > 1])
    return root_sum_square(above) / heard.tone_rms_v if heard.tone_rms_v else 0.0
