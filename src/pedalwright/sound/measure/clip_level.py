"""The input level from which a circuit clips: above it distortion, or the fall of gain, is beyond a limit."""

import math
from dataclasses import dataclass, replace

import numpy as np

from pedalwright.sound.measure.distortion import Distortion, distortion
from pedalwright.sound.measure.settling import Patience
from pedalwright.sound.measure.signals import Fresh, root_sum_square

_STEP = 2.0
_ENOUGH = 3
_CLOSE = 1.002
"""the level is found to a fifth of a percent"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipLevel:
    """Peak of the input sine at the limit, None where no limit is met within `range_v`.

    `by` is ``distortion`` or ``gain``: what passes its limit there. `start_gain_db` is the gain at the lowest
    level with little distortion, against which the fall counts.
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
    """One level tried. `thd` is a part of its limit; above one is too much."""

    input_peak_v: float
    heard: Distortion
    thd: float

    @property
    def lost(self) -> bool:
        return self.heard.tone_rms_v is None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Search:
    fresh: Fresh
    rate_hz: float
    tone_hz: float
    thd_limit: float
    gain_fall_db: float
    patience: Patience | None

    def tried(self, input_peak_v: float) -> _Probe:
        heard = distortion(
            self.fresh,
            self.rate_hz,
            input_peak_v=input_peak_v,
            tone_hz=self.tone_hz,
            patience=self.patience,
        )
        return _Probe(input_peak_v, heard, _clear_thd(heard) / self.thd_limit)

    def fall(self, probe: _Probe, start: _Probe) -> float:
        """How much of the allowed fall of gain is used up."""
        return ((start.heard.gain_db or 0.0) - (probe.heard.gain_db or 0.0)) / self.gain_fall_db

    def beyond(self, probe: _Probe, start: _Probe) -> bool:
        return probe.lost or max(probe.thd, self.fall(probe, start)) > 1

    def upward(self, range_v: tuple[float, float]) -> list[_Probe]:
        """Levels from the bottom on, as far as there is something to be learnt."""
        probes: list[_Probe] = []
        for level_v in _ladder(range_v):
            probes.append(self.tried(level_v))
            first = _first_within(probes)
            latest = probes[-_ENOUGH:]
            if first is not None and all(self.beyond(one, probes[first]) for one in latest):
                break
        return probes

    def closer(self, start: _Probe, below: _Probe, above: _Probe) -> _Probe:
        """The lowest level found beyond the limits, above one within them."""
        while above.input_peak_v > below.input_peak_v * _CLOSE and not above.lost:
            middle = self.tried(math.sqrt(above.input_peak_v * below.input_peak_v))
            below, above = (below, middle) if self.beyond(middle, start) else (middle, above)
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
    """Levels 6 dB apart, then halving above the last that is within the limits: THD (of the harmonics that
    stand clear of the noise), and gain against that of the first level with little THD.

    Three levels in a row beyond the limits, after one within, end the search. 1 % and 1 dB are common
    practice, no source.
    """
    search = _Search(
        fresh=fresh,
        rate_hz=rate_hz,
        tone_hz=tone_hz,
        thd_limit=thd_limit,
        gain_fall_db=gain_fall_db,
        patience=patience,
    )
    probes = search.upward(range_v)
    unknown = ClipLevel(
        tone_hz=probes[0].heard.conditions.tone_hz,
        range_v=range_v,
        thd_limit=thd_limit,
        gain_fall_db=gain_fall_db,
        rate_hz=rate_hz,
    )
    first = _first_within(probes)
    if first is None:
        return replace(unknown, remarks=_why_nowhere(probes))
    return _found(search, probes, first, unknown)


def _found(search: _Search, probes: list[_Probe], first: int, unknown: ClipLevel) -> ClipLevel:
    start = probes[first]
    last = max(place for place, one in enumerate(probes) if not search.beyond(one, start))
    known = replace(unknown, start_gain_db=start.heard.gain_db, remarks=_told_below(probes, first))
    if last == len(probes) - 1:  # the search has come to the top of the range
        why = f"no limit is met up to {unknown.range_v[1]:.3g} V at the input"
        return replace(known, remarks=(*known.remarks, why))
    found = search.closer(start, probes[last], probes[last + 1])
    if found.lost:
        return replace(known, remarks=(*known.remarks, *_told_lost(found)))
    return replace(
        known,
        input_peak_v=found.input_peak_v,
        output_peak_v=(found.heard.tone_rms_v or 0.0) * math.sqrt(2),
        by="distortion" if found.thd >= search.fall(found, start) else "gain",
    )


def _ladder(range_v: tuple[float, float]) -> list[float]:
    """Levels from bottom to top, 6 dB apart at most."""
    count = max(1, math.ceil(math.log(range_v[1] / range_v[0], _STEP) - 1e-9))
    return [float(at) for at in np.geomspace(*range_v, count + 1)]


def _first_within(probes: list[_Probe]) -> int | None:
    """Place of the first level with a tone and little distortion."""
    return next((place for place, one in enumerate(probes) if not one.lost and one.thd <= 1), None)


def _told_below(probes: list[_Probe], first: int) -> tuple[str, ...]:
    if first == 0:
        return ()
    return (f"not within the limit of distortion below {probes[first].input_peak_v:.3g} V either",)


def _told_lost(probe: _Probe) -> tuple[str, ...]:
    return tuple(f"{why}, at {probe.input_peak_v:.3g} V at the input" for why in probe.heard.remarks)


def _why_nowhere(probes: list[_Probe]) -> tuple[str, ...]:
    if all(probe.lost for probe in probes):
        return _told_lost(probes[-1])
    return ("beyond the limit of distortion at every level tried",)


def _clear_thd(heard: Distortion) -> float:
    """THD of the harmonics that stand clear of the noise, against the tone."""
    above = np.array([one.rms_v for one in heard.harmonics if one.order > 1])
    return root_sum_square(above) / heard.tone_rms_v if heard.tone_rms_v else 0.0
