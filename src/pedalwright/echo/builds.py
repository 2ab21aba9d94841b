"""The same loop built many times: parts within their tolerance, chips as they come.

Every resistor, capacitor and track is drawn evenly within its tolerance, every chip's gain from a normal
spread around the typical value that leaves one chip in about 700 above the maker's largest (the maker
gives no smallest). All builds are solved exactly, with resting voltages kept.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pedalwright.echo.cut import Corner, CutCircuit
from pedalwright.echo.figures import value
from pedalwright.echo.stability import peaks
from pedalwright.echo.track import HIGHEST, LOWEST, Track
from pedalwright.solve.arrays import FloatArray

LISTENED_HZ = np.concatenate([np.geomspace(40.0, 800.0, 11), np.geomspace(1e3, 16e3, 25)])
"""closer where filters peak; between the points a parabola is good to a thousandth"""
SCAN = 11
HALVINGS = 11
BLOCK = 500
DEVIATIONS = 3.0
"""the maker's largest chip gain lies so many standard deviations above the typical one (our assumption)"""
PERCENTILES = (5.0, 50.0, 95.0)
CHECKED = 3
"""builds of every block that are solved once more by the ordinary way"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Builds:
    """What every build does: arrays (builds,); `position` is infinite where the knob's travel is too short.

    `now_gain` and `full_gain` are the most the loop returns with the knob as it stands and fully up. `misfit`
    is the largest relative difference from an ordinary solution over the builds checked.
    """

    position: FloatArray
    howl_hz: FloatArray
    now_gain: FloatArray
    full_gain: FloatArray
    misfit: float

    @property
    def runs_away(self) -> float:
        """The share of builds that run away somewhere on the dial."""
        return float(np.isfinite(self.position).mean())

    @property
    def runs_away_now(self) -> float:
        """The share that runs away with the knob as it stands."""
        return float((self.now_gain >= 1.0).mean())

    def position_percentiles(self) -> tuple[float | None, ...]:
        """The dial below which 5, 50 and 95 % of the builds run away; None: beyond the end of the dial."""
        found = np.percentile(self.position, PERCENTILES, method="higher")
        return tuple(float(one) if np.isfinite(one) else None for one in found)

    def margin_percentiles(self) -> tuple[float, ...]:
        """The margin [dB] with the knob as it stands that 5, 50 and 95 % of the builds stay below."""
        margin = -20 * np.log10(np.maximum(self.now_gain, 1e-300))
        return tuple(float(one) for one in np.percentile(margin, PERCENTILES))


def chip_gains(count: int, chips: int, rng: np.random.Generator) -> FloatArray:
    """Gains of chips as they come (count, chips)."""
    typical, largest = value("through_gain_db"), value("most_through_gain_db")
    level_db = rng.normal(typical, (largest - typical) / DEVIATIONS, (count, chips))
    return np.asarray(10 ** (level_db / 20))


def build_many(
    circuit: CutCircuit, track: Track, tolerances: Mapping[str, float], *, count: int = 2000, seed: int = 1
) -> Builds:
    """Runaway of many builds. `tolerances` gives the share for names of values and for the track's own
    designator; the same seed gives the same builds.
    """
    rng = np.random.default_rng(seed)
    pieces = [
        _block(circuit, track, tolerances, min(BLOCK, count - at), rng) for at in range(0, count, BLOCK)
    ]
    joined = [np.concatenate(column) for column in zip(*(piece[:4] for piece in pieces), strict=True)]
    return Builds(
        position=joined[0],
        howl_hz=joined[1],
        now_gain=joined[2],
        full_gain=joined[3],
        misfit=max(float(piece[4]) for piece in pieces),
    )


def _block(
    circuit: CutCircuit, track: Track, tolerances: Mapping[str, float], count: int, rng: np.random.Generator
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, float]:
    small = circuit.small
    changes = {
        name: small.parameter(name) * (1 + share * rng.uniform(-1, 1, count))
        for name, share in tolerances.items()
        if name != track.ref
    }
    variants = small.changed(changes)
    corner = circuit.corner(LISTENED_HZ, variants)
    gains = chip_gains(count, len(circuit.taps), rng)
    factor = 1 + tolerances.get(track.ref, 0.0) * rng.uniform(-1, 1, count)
    search = _Search(corner, track, gains, factor)
    position = search.positions()
    _, howl = search.peaks(np.where(np.isfinite(position), position, HIGHEST))
    return (
        position,
        howl,
        search.peaks(np.full(count, track.now))[0],
        search.peaks(np.full(count, HIGHEST))[0],
        _misfit(circuit, corner, variants.g, variants.c),
    )


@dataclass(frozen=True, eq=False)
class _Search:
    """Bisection of all builds of a block at once."""

    corner: Corner
    track: Track
    gains: FloatArray
    factor: FloatArray

    def peaks(self, position: FloatArray) -> tuple[FloatArray, FloatArray]:
        ways = self.corner.ways(self.gains, self.track.grown(position, self.factor))
        return peaks(ways, self.corner.frequency_hz)

    def positions(self) -> FloatArray:
        places = np.linspace(LOWEST, HIGHEST, SCAN)
        over = np.stack([self.peaks(np.full(len(self.factor), place))[0] >= 1.0 for place in places])
        first = np.argmax(over, axis=0)
        high = places[first]
        low = np.where(first > 0, places[np.maximum(first - 1, 0)], LOWEST)
        for _ in range(HALVINGS):
            middle = 0.5 * (low + high)
            grows = self.peaks(middle)[0] >= 1.0
            low, high = np.where(grows, low, middle), np.where(grows, middle, high)
        return np.asarray(np.where(over.any(axis=0), 0.5 * (low + high), np.inf))


def _misfit(circuit: CutCircuit, corner: Corner, g: FloatArray, c: FloatArray) -> float:
    """How far the ways from decoders to coders are from a plain solution, relative to the largest of them."""
    s, count, worst = np.asarray(2j * np.pi * corner.frequency_hz), len(circuit.taps), 0.0
    for place in range(min(CHECKED, len(g))):
        plain = circuit.plain(g[place], c[place], s)[:, :count, 1 : 1 + count]
        apart = np.abs(corner.values[place, :, :count, 1 : 1 + count] - plain)
        worst = max(worst, float(apart.max() / (np.abs(plain).max() + 1e-30)))
    return worst
