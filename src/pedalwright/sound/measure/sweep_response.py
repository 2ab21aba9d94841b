"""Frequency response by sweep: linear response, harmonics, where each may be trusted."""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import BoolArray, ComplexArray, FloatArray
from pedalwright.sound.measure.latency import latency_frames as latency_frames_of
from pedalwright.sound.measure.signals import Fresh, obstacles, played
from pedalwright.sound.measure.spectrum import audio_band_hz
from pedalwright.sound.measure.sweep import Sweep, sweep, taken_apart
from pedalwright.sound.measure.sweep_pieces import Piece, harmonic_piece, linear_piece, noise_size

A_DECADE = 80
LINEAR_WITHIN = 0.006
"""change of the gain from half the level to the whole, that still counts as none: 0.05 dB"""
LEAST_SNR_DB = 30.0
_TAIL_DB = -50.0
_CLEAR = 10.0
"""a harmonic counts where it is so many times what may be noise or another order"""
_LEAST = 1e-6
_LEAK = 0.005
"""part of one order that rings into the next at the bottom; measured on a square beside a cube"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HarmonicResponse:
    """Peak of one harmonic for one volt peak of a sine at `input_hz` (frequencies,), at the level of the
    sweep; its phase against the tone with both as sines. Trusted where `valid`.
    """

    order: int
    input_hz: FloatArray
    ratio: ComplexArray
    valid: BoolArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SweepResponse:
    """Linear response `gain` at `frequency_hz` (frequencies,), without the latency, at the peak of the sweep.

    `valid` where the sweep was loud enough against the noise (`snr_db`); `linear` where half the level gives
    the same gain; `level_change_db` is the gain at the whole level against that at half.
    """

    peak_v: float
    rate_hz: float
    sweep_s: float
    tail_s: float
    band_hz: tuple[float, float]
    latency_s: float
    frequency_hz: FloatArray
    gain: ComplexArray
    valid: BoolArray
    snr_db: FloatArray
    level_change_db: FloatArray
    linear: BoolArray
    harmonics: tuple[HarmonicResponse, ...]
    remarks: tuple[str, ...] = ()


def sweep_response(
    fresh: Fresh,
    rate_hz: float,
    *,
    peak_v: float,
    seconds: float = 6.0,
    tail_s: float = 1.0,
    band_hz: tuple[float, float] | None = None,
    orders: int = 5,
    latency_frames: int | None = None,
) -> SweepResponse:
    """Response of a player to a sweep of `peak_v`, played once at that level and once at half of it.

    `tail_s` must be longer than what rings on or repeats. `latency_frames` is taken off; None looks for the
    lateness that all frequencies share. Frequencies are bins near 80 a decade.
    """
    low_hz, high_hz = band_hz or audio_band_hz(rate_hz)
    swept = sweep(rate_hz, seconds=seconds, low_hz=low_hz, high_hz=high_hz)
    band_hz = (low_hz, min(high_hz, swept.band_hz[1]))
    whole, half = (_impulse(fresh, swept, peak_v * part, tail_s) for part in (1.0, 0.5))
    troubles = obstacles(whole) or obstacles(half)
    if troubles:
        return _unknown(swept, peak_v, tail_s, band_hz, troubles)
    late = _late(swept, whole, tail_s, band_hz) if latency_frames is None else latency_frames
    whole, half = np.roll(whole, -late), np.roll(half, -late)
    pieces = linear_piece(swept, whole, tail_s), linear_piece(swept, half, tail_s)
    hz = _grid_hz(band_hz, rate_hz / pieces[0].bins)
    return _compared(swept, whole, pieces, hz, band_hz, (peak_v, tail_s, late), orders)


def _late(swept: Sweep, whole: FloatArray, tail_s: float, band_hz: tuple[float, float]) -> int:
    piece = linear_piece(swept, whole, tail_s)
    return latency_frames_of(piece.values, swept.rate_hz, band_hz, round(piece.first))


def _impulse(fresh: Fresh, swept: Sweep, peak_v: float, tail_s: float) -> FloatArray:
    sent_v = swept.signal(peak_v, tail_s)
    heard_v = played(fresh, sent_v)
    troubled = obstacles(heard_v)
    return heard_v if troubled else taken_apart(swept, sent_v, heard_v)


def _grid_hz(band_hz: tuple[float, float], step_hz: float) -> FloatArray:
    low, high = np.ceil(band_hz[0] / step_hz), np.floor(band_hz[1] / step_hz)
    count = int(np.log10(band_hz[1] / band_hz[0]) * A_DECADE) + 1
    return np.unique(np.clip(np.rint(np.geomspace(*band_hz, count) / step_hz), low, high)) * step_hz


def _compared(
    swept: Sweep,
    impulse: FloatArray,
    pieces: tuple[Piece, Piece],
    hz: FloatArray,
    band_hz: tuple[float, float],
    played_as: tuple[float, float, int],
    orders: int,
) -> SweepResponse:
    peak_v, tail_s, late = played_as
    gain, gentle = (piece.at_bins(hz) for piece in pieces)
    noise = noise_size(swept, impulse, hz, pieces[0].frames)
    snr_db = _db(np.abs(gain) / noise)
    change = np.abs(gain / np.where(gentle == 0, 1e-300, gentle) - 1)
    valid = snr_db >= LEAST_SNR_DB
    level_change_db = _db(np.abs(gain) / np.maximum(np.abs(gentle), 1e-300))
    linear = change <= LINEAR_WITHIN
    return SweepResponse(
        peak_v=peak_v,
        rate_hz=swept.rate_hz,
        sweep_s=swept.seconds,
        tail_s=tail_s,
        band_hz=band_hz,
        latency_s=late / swept.rate_hz,
        frequency_hz=hz,
        gain=gain,
        valid=valid,
        snr_db=snr_db,
        level_change_db=level_change_db,
        linear=linear,
        harmonics=_harmonics(swept, impulse, hz, band_hz[1], orders),
        remarks=_warnings(pieces[0], valid, linear, level_change_db),
    )


def _harmonics(
    swept: Sweep, impulse: FloatArray, hz: FloatArray, high_hz: float, orders: int
) -> tuple[HarmonicResponse, ...]:
    found = []
    lower = linear_piece(swept, impulse, swept.early_s(2))
    for order in range(2, orders + 1):
        input_hz = hz[order * hz <= high_hz]
        piece = harmonic_piece(swept, impulse, order)
        ratio = piece.at(order * input_hz)
        doubt = noise_size(swept, impulse, order * input_hz, piece.frames)
        # The bottom of the sweep rings on into the next higher order.
        doubt += _LEAK * (swept.band_hz[0] / input_hz) ** 4 * np.abs(lower.at(order * input_hz))
        valid = np.abs(ratio) > np.maximum(_CLEAR * doubt, _LEAST * np.abs(impulse).max())
        found.append(HarmonicResponse(order=order, input_hz=input_hz, ratio=ratio, valid=valid))
        lower = piece
    return tuple(found)


def _warnings(
    piece: Piece, valid: BoolArray, linear: BoolArray, level_change_db: FloatArray
) -> tuple[str, ...]:
    told = []
    if not valid.all():
        told.append(f"too faint against the noise at {(~valid).sum()} of {len(valid)} frequencies")
    bent = valid & ~linear
    if bent.any():
        most_db = level_change_db[bent][np.argmax(np.abs(level_change_db[bent]))]
        told.append(
            f"not linear at this level at {bent.sum()} of {len(valid)} frequencies: "
            f"up to {most_db:+.2f} dB against half the level"
        )
    if piece.end_db > _TAIL_DB:
        told.append("rings on beyond the silence after the sweep: a longer tail is needed")
    return tuple(told)


def _unknown(
    swept: Sweep, peak_v: float, tail_s: float, band_hz: tuple[float, float], remarks: tuple[str, ...]
) -> SweepResponse:
    nothing = np.zeros(0)
    return SweepResponse(
        peak_v=peak_v,
        rate_hz=swept.rate_hz,
        sweep_s=swept.seconds,
        tail_s=tail_s,
        band_hz=band_hz,
        latency_s=0.0,
        frequency_hz=nothing,
        gain=nothing.astype(complex),
        valid=nothing.astype(bool),
        snr_db=nothing,
        level_change_db=nothing,
        linear=nothing.astype(bool),
        harmonics=(),
        remarks=remarks,
    )


def _db(ratio: FloatArray) -> FloatArray:
    return np.asarray(20 * np.log10(np.maximum(ratio, 1e-300)))
