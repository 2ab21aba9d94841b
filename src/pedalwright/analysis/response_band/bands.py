"""The band of a response: many builds, each at its own rest point, each certified or left out."""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from pedalwright.analysis.driving import Driven, driven_at
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.response_band.builds import Builds, capacitances
from pedalwright.analysis.response_band.records import (
    BUILDS,
    ENOUGH,
    FEWEST_BUILDS,
    MOST_BUILDS,
    PERCENTS,
    BandRefused,
    LevelBand,
)
from pedalwright.analysis.response_table import SILENT, USUAL, Asked, ResponseTable, ends_of
from pedalwright.analysis.voltages.bands import TooFewBuilds, build_many
from pedalwright.analysis.voltages.spreads import SEED, Draws, supply_range
from pedalwright.devices.catalogue import device
from pedalwright.solve.answer import answer_many
from pedalwright.solve.arrays import BoolArray, FloatArray
from pedalwright.solve.certificate import RESIDUAL_BOUND
from pedalwright.solve.response import drive_vector

BATCH_NUMBERS = 1_500_000
"""how many complex unknowns are worked on at once"""
PARTS = (
    "Spread either way unless the text says otherwise: resistors 1 %, capacitors 10 % (electrolytic ones "
    "20 %), tracks 20 %"
)
NOTABLE_DB = 0.05
"""by which the circuit as written must lie outside its own band before that is told"""


def response_band(
    analysis: Analysis,
    *,
    from_net: str | None = None,
    to_net: str | None = None,
    asked: Asked = USUAL,
    builds: int = BUILDS,
    seed: int = SEED,
) -> LevelBand:
    """The band of the level from one net to another over `builds` builds (20 to 20,000), those of the jacks
    when None; nets or pins by name.

    Every build is drawn whole, as for the bands of resting voltages, and its rest point solved anew. Raises
    NetMistake, ValueError and NotCertified as `response_table` does, and BandRefused when less than 95 % of
    the builds are certified, or nothing arrives.
    """
    source, goal = ends_of(analysis, from_net, to_net)
    if not FEWEST_BUILDS <= builds <= MOST_BUILDS:
        raise ValueError(f"There can be {FEWEST_BUILDS} to {MOST_BUILDS} builds, not {builds}.")
    frequency_hz = asked.frequencies()
    driven = driven_at(analysis, source, frequency_hz)
    gain, ok = _gains(_builds(analysis, builds, seed), driven, (source, goal), frequency_hz)
    _checked(gain, ok, spoken(source), spoken(goal))
    with np.errstate(divide="ignore"):
        low, median, high = 20 * np.log10(np.percentile(gain[ok], PERCENTS, axis=0))
    return LevelBand(
        frequency_hz=frequency_hz,
        low_db=low,
        median_db=median,
        high_db=high,
        builds=builds,
        certified=int(ok.sum()),
        seed=seed,
        conditions=tuple(_conditions(analysis, builds, int(ok.sum()), seed)),
    )


def banded(
    table: ResponseTable,
    analysis: Analysis,
    *,
    from_net: str | None = None,
    to_net: str | None = None,
    asked: Asked = USUAL,
    builds: int = BUILDS,
    seed: int = SEED,
) -> ResponseTable:
    """A table with its band and the sentences that belong to it. Raises as `response_band` does."""
    band = response_band(analysis, from_net=from_net, to_net=to_net, asked=asked, builds=builds, seed=seed)
    notes = (*table.notes, *band.conditions, *_outside(table.level_db, band))
    return replace(table, band=band, notes=notes)


def _builds(analysis: Analysis, builds: int, seed: int) -> Builds:
    try:
        people = build_many(analysis, {}, builds=builds, seed=seed)
    except TooFewBuilds as refusal:
        raise BandRefused(f"{refusal}.") from None
    changes = {**people.versions.changes, **capacitances(analysis, Draws(seed, builds))}
    return Builds(people=people, changes=changes)


def _gains(
    builds: Builds, driven: Driven, ends: tuple[str, str], frequency_hz: FloatArray
) -> tuple[FloatArray, BoolArray]:
    """The size of the gain in every build (builds, frequencies), and which builds are certified."""
    small, s = driven.small, np.asarray(2j * np.pi * frequency_hz, dtype=np.complex128)
    drive, rows = drive_vector(small, driven.drive), [small.row(net) for net in ends]
    gain, ok = np.zeros((builds.count, len(s))), builds.people.ok.copy()
    block = max(1, BATCH_NUMBERS // (len(s) * (small.size + 1)))
    for at in range(0, builds.count, block):
        piece = slice(at, at + block)
        x, residual = answer_many(small, builds.linear(small, piece), drive, s)
        ok[piece] &= (residual <= RESIDUAL_BOUND).all(axis=1)
        over, heard = (np.abs(x[:, row]) if row < small.size else np.zeros(len(s)) for row in rows)
        with np.errstate(all="ignore"):
            gain[piece] = heard / over
    return gain, ok & np.isfinite(gain).all(axis=1)


def _checked(gain: FloatArray, ok: BoolArray, source: str, goal: str) -> None:
    if ok.mean() < ENOUGH:
        raise BandRefused(
            f"only {int(ok.sum())} of {len(ok)} builds could be certified from {source} to {goal}."
        )
    if gain[ok].max(initial=0.0) < SILENT:
        raise BandRefused(f"no signal from {source} arrives at {goal}.")


def _conditions(analysis: Analysis, builds: int, certified: int, seed: int) -> Iterable[str]:
    share = "all certified" if certified == builds else f"{certified} certified, and the others left out"
    yield (
        f"Tolerance band: 5 to 95 % of {builds} builds (seed {seed}, {share}), at each frequency by itself; "
        "the rest point of every build was solved anew."
    )
    yield f"{PARTS}{_others(analysis)}; knobs stay where they are."
    for supply in analysis.circuit.supplies:
        low, high = supply_range(supply)
        yield f"{spoken(supply.net)} lies anywhere from {low:.3g} V to {high:.3g} V."


def _others(analysis: Analysis) -> str:
    families = {device(part.kind).family for part in analysis.circuit.parts}
    told = (
        ("bipolar", "transistors' gain and forward voltage as types spread"),
        ("fet", "field-effect transistors over their sheets' limits"),
        ("diode", "diodes' forward voltage"),
        ("opamp", "amplifiers' offsets"),
        ("regulator", "regulators 4 %"),
    )
    return "".join(f", {words}" for family, words in told if family in families)


def _outside(level_db: FloatArray, band: LevelBand) -> Iterable[str]:
    """A sentence when parts spread so unevenly that the circuit as written is not within its own band."""
    beyond = band.beyond_db(level_db)
    at = int(np.argmax(np.abs(beyond)))
    if abs(beyond[at]) > NOTABLE_DB:
        side = "above" if beyond[at] > 0 else "below"
        yield (
            f"As written the circuit lies {side} its own band, by {abs(beyond[at]):.1f} dB near "
            f"{float(f'{band.frequency_hz[at]:.2g}'):g} Hz: a notch or a peak that builds have elsewhere, "
            "or parts that spread unevenly around what is written."
        )
