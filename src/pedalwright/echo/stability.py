"""Where a repeats knob runs the loop away: on the circuit as drawn, for any delays and for the given ones."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from pedalwright.echo.bound import quick_bound, upper_bound
from pedalwright.echo.cut import Corner, CutCircuit
from pedalwright.echo.nyquist import count_growing, threshold
from pedalwright.echo.track import HIGHEST, LOWEST, Track
from pedalwright.solve.arrays import ComplexArray, FloatArray

SEARCHED_HZ = (10.0, 40e3)
SEARCHED_POINTS = 400
SCAN = 21
HALVINGS = 30
AT_ONCE = 16
BASS_HZ = 200.0
"""where a sum of gains is reckoned by hand, filters forgotten"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Peak:
    """The most a loop returns of what set out, and at which frequency."""

    gain: float
    frequency_hz: float

    @property
    def margin_db(self) -> float:
        """How much more it would take to run away [dB]; negative when it does."""
        return float(-20 * np.log10(max(self.gain, 1e-300)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Runaway:
    """How near a loop is to running away with its knob, typical chips, parts as written.

    `position` is the first place of the dial (0 to 10) at which delays of some phase run away, None when none
    does; `exact_position` the same for the delays as they are, None too when it could not be counted (several
    chips; with one chip both are the same but for the spacing of the comb). `howl_hz` is the frequency that
    howls first. `bass_sum` is the largest sum of ways into one chip at 200 Hz: below one it proves nothing.
    """

    knob: str
    now: Peak
    full: Peak
    position: float | None
    howl_hz: float | None
    exact_position: float | None
    growing_now: int | None
    bass_sum: float


def peaks(ways: ComplexArray, frequency_hz: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The largest bound over frequency of A (variants, frequencies, N, N) and where: gains, hertz
    (variants,).

    Between the points a parabola through the three around the highest, level over logarithm of frequency. For
    three delays and more: of one variant the tight bound, of many at once the quick one, which is safe.
    """
    if ways.shape[-1] > 2 and len(ways) == 1:
        return _tight_peak(ways[0], frequency_hz)
    level = np.log(np.maximum(quick_bound(ways), 1e-300))
    top = np.clip(np.argmax(level, axis=1), 1, level.shape[1] - 2)
    rows = np.arange(len(level))
    grid = np.log(frequency_hz)
    before, after = grid[top - 1] - grid[top], grid[top + 1] - grid[top]
    left, middle, right = (level[rows, top + step] for step in (-1, 0, 1))
    fall, rise = (left - middle) / before, (right - middle) / after
    bend = (rise - fall) / (after - before)
    slope = fall - bend * before
    shift = np.where(bend < -1e-9, np.clip(-0.5 * slope / np.minimum(bend, -1e-9), before, after), 0.0)
    found = np.maximum(middle + shift * (slope + bend * shift), np.maximum(np.maximum(left, right), middle))
    return np.exp(found), np.exp(grid[top] + shift)


def _tight_peak(ways: ComplexArray, frequency_hz: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The largest tight bound over frequency: dear, so the frequencies where the quick one is high come
    first, and those where it is below what was found already cannot be it.
    """
    quick = quick_bound(ways)
    order = np.argsort(-quick)
    best, place = 0.0, int(order[0])
    for at in range(0, len(order), AT_ONCE):
        chosen = order[at : at + AT_ONCE]
        if quick[chosen[0]] <= best:
            break
        tight = np.minimum(upper_bound(ways[chosen]), quick[chosen])
        if tight.max() > best:
            best, place = float(tight.max()), int(chosen[int(np.argmax(tight))])
    return np.array([best]), frequency_hz[[place]]


def runaway(circuit: CutCircuit, track: Track, gains: FloatArray, delays_s: FloatArray) -> Runaway:
    """Where a knob whose halves the circuit was cut with runs the loop away; `gains`, `delays_s` (N,)."""
    corner = circuit.corner(np.geomspace(*SEARCHED_HZ, SEARCHED_POINTS))
    at = partial(_peak_at, corner, track, gains)
    position = first_crossing(at)
    exact = position
    if position is not None and len(circuit.taps) > 1:
        ways = partial(_ways_at, circuit, track, gains)
        exact = threshold(ways, delays_s, max(position - 0.02, LOWEST), HIGHEST)
    now = corner.ways(gains[None])
    return Runaway(
        knob=track.ref,
        now=_peak(now, corner.frequency_hz),
        full=at(HIGHEST),
        position=position,
        howl_hz=None if position is None else at(position).frequency_hz,
        exact_position=exact,
        growing_now=count_growing(partial(_ways_now, circuit, gains), delays_s).growing,
        bass_sum=bass_sum(now[0], corner.frequency_hz),
    )


def bass_sum(ways: ComplexArray, frequency_hz: FloatArray) -> float:
    """The largest sum of gains into one chip at a low frequency: what a sum on paper gives."""
    place = int(np.argmin(np.abs(frequency_hz - BASS_HZ)))
    return float(np.abs(ways[place]).sum(axis=1).max())


def first_crossing(at: Callable[[float], Peak]) -> float | None:
    """The first position of the dial at which the peak reaches one, by scan and bisection; None for none."""
    places = np.linspace(LOWEST, HIGHEST, SCAN)
    over = [place for place in places if at(float(place)).gain >= 1.0]
    if not over:
        return None
    high = float(over[0])
    if high == LOWEST:
        return LOWEST
    low = high - (HIGHEST - LOWEST) / (SCAN - 1)
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if at(middle).gain >= 1.0 else (middle, high)
    return 0.5 * (low + high)


def _peak(ways: ComplexArray, frequency_hz: FloatArray) -> Peak:
    gain, frequency = peaks(ways, frequency_hz)
    return Peak(gain=float(gain[0]), frequency_hz=float(frequency[0]))


def _peak_at(corner: Corner, track: Track, gains: FloatArray, position: float) -> Peak:
    return _peak(corner.ways(gains[None], track.grown(position)[None]), corner.frequency_hz)


def _ways_at(
    circuit: CutCircuit, track: Track, gains: FloatArray, position: float, frequency_hz: FloatArray
) -> ComplexArray:
    return np.asarray(circuit.corner(frequency_hz).ways(gains[None], track.grown(position)[None])[0])


def _ways_now(circuit: CutCircuit, gains: FloatArray, frequency_hz: FloatArray) -> ComplexArray:
    return np.asarray(circuit.corner(frequency_hz).ways(gains[None])[0])
