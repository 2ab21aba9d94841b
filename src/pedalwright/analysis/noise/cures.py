"""What would help: for every loud contributor the changes that help most, tried on the whole circuit."""

from collections.abc import Iterable, Sequence

from pedalwright.analysis.noise.bench import NoiseBench
from pedalwright.analysis.noise.contributors import CHIP_LABEL
from pedalwright.analysis.noise.picture import Picture
from pedalwright.analysis.noise.records import Contributor, Cure
from pedalwright.analysis.noise.trials import Trial, is_amplifier, trials_against
from pedalwright.analysis.noise.workshop import Tried, Workshop, decibels_of_power, noise_power
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import own_noise
from pedalwright.echo.delay_law import noise_dbv
from pedalwright.echo.figures import value
from pedalwright.solve.noise_sources import NoiseSource, noise_sources
from pedalwright.units.value_writing import print_value

WORTH_DB = 0.1
"""a cure that brings less is not told"""
MUCH_DB = 0.5
"""by how much a cure that changes the level must be better than one that does not, to be told as well"""
TYPES_TRIED = 2
LOOKED_AT = 6
LEAST_SHARE = 0.02
"""the contributors looked at: so many at the most, none with less than this share of the A-weighted power"""


def cures(shop: Workshop, whole: Sequence[Contributor]) -> tuple[Tried, ...]:
    """What was found to help, what keeps the level first, best first; each change once.

    Behind them, not `in_reason`, what would help much against a contributor nothing else was found for.
    """
    found: dict[str, Tried] = {}
    made: _Made = {}
    for against in whole[:LOOKED_AT]:
        if against.weighted_share >= LEAST_SHARE:
            for tried in (*_of_parts(shop, against, made), *_of_delay(shop.base, against)):
                found.setdefault(tried.cure.says, tried)
    return tuple(sorted(found.values(), key=_rank))


def _rank(one: Tried) -> tuple[bool, bool, float]:
    return not one.in_reason, not one.cure.keeps_level, -one.cure.better_db


def together(shop: Workshop, found: Sequence[Tried]) -> Cure | None:
    """All changes of parts that keep the level, made at once; None for fewer than two, or when that brings no
    more than the best of them.
    """
    chosen: dict[str, Part] = {}
    against: list[str] = []
    for one in found:
        if (
            one.in_reason
            and one.cure.keeps_level
            and one.trial.parts
            and not set(one.trial.parts) & set(chosen)
        ):
            chosen |= one.trial.parts
            against += one.cure.against
    if len(against) < 2:
        return None
    outcome = shop.tried(Trial(parts=chosen), tuple(dict.fromkeys(against)))
    if outcome is None or not outcome.in_reason:
        return None
    alone = max(one.cure.better_db for one in found if one.in_reason and one.trial.parts)
    return outcome.cure if outcome.cure.better_db >= alone + WORTH_DB else None


_Made = dict[tuple[tuple[str, str, str], ...], Tried | None]
"""Trials by their changes: parts of one network, and sections of one package, ask for the same ones."""


def _of_parts(shop: Workshop, against: Contributor, made: _Made) -> Iterable[Tried]:
    """The best trial that keeps the level, and the best of the others where it brings much more; where none
    leaves the circuit what it is, the best of those that do not.
    """
    trials = _screened(shop, trials_against(shop.bench, against))
    for trial in trials:
        if (changes := trial.changes(shop.bench.analysis)) not in made:
            made[changes] = shop.tried(trial, (against.name,))
    all_made = (made[trial.changes(shop.bench.analysis)] for trial in trials)
    outcomes = [one for one in all_made if one is not None]
    outcomes.sort(key=lambda one: -one.cure.better_db)
    worth = [one for one in outcomes if one.in_reason and one.cure.better_db >= WORTH_DB]
    if not worth:
        yield from [one for one in outcomes if min(one.cure.better_db, -one.cure.noise_db) >= MUCH_DB][:1]
        return
    keeping = [one for one in worth if one.cure.keeps_level][:1]
    yield from keeping
    needed = keeping[0].cure.better_db + MUCH_DB if keeping else WORTH_DB
    yield from [one for one in worth if not one.cure.keeps_level and one.cure.better_db >= needed][:1]


def _screened(shop: Workshop, trials: Sequence[Trial]) -> Sequence[Trial]:
    """Of several amplifier types those that promise most; they alone are then tried in earnest."""
    if len(trials) <= TYPES_TRIED or not is_amplifier(shop.bench.analysis.circuit, trials[0]):
        return trials
    return sorted(trials, key=lambda trial: _promised(shop.bench, shop.base, trial))[:TYPES_TRIED]


def _promised(bench: NoiseBench, base: Picture, trial: Trial) -> float:
    """The A-weighted power [V^2] with another type's published noise in the circuit as it is."""
    assert base.shares is not None
    changed = own_noise(bench.analysis.circuit.with_parts(trial.parts))
    new = noise_sources(bench.system, bench.rest, changed)
    densities = dict(zip(map(_place, new.each), new.densities(base.frequencies_hz), strict=True))
    shares = base.shares.copy()
    for row, source in enumerate(base.sources):
        if _place(source) in densities:
            flat = source.density * (1.0 + source.corner_hz / base.frequencies_hz)
            shares[row] *= densities[_place(source)] / flat
    return float(base.powers(shares, weighted=True).sum())


def _place(source: NoiseSource) -> tuple[str, int, int]:
    return source.name, source.plus, source.minus


def _of_delay(base: Picture, against: Contributor) -> Iterable[Tried]:
    """An echo chip at half its delay: its own noise alone changes."""
    if against.label != CHIP_LABEL or base.shares is None:
        return
    place = [chip.ref for chip in base.chips].index(against.ref)
    chip = base.chips[place]
    half_s = chip.delay_s / 2
    if half_s < value("least_delay_s"):
        return
    shares = base.shares.copy()
    shares[len(base.sources) + place] *= 10.0 ** ((float(noise_dbv(half_s)) - chip.noise_dbv) / 10.0)
    noise_db = decibels_of_power(float(base.powers(shares, weighted=True).sum()) / noise_power(base))
    if noise_db > -WORTH_DB:
        return
    half, now = print_value(half_s, "s"), print_value(chip.delay_s, "s")
    cure = Cure(
        against=(against.name,),
        says=f"half the delay of {chip.ref}, {half} (now {now})",
        changes=(),
        noise_db=noise_db,
        level_db=0.0,
        better_db=-noise_db,
        side_effects=("The echo comes back in half the time.",),
    )
    yield Tried(trial=Trial(parts={}), cure=cure)
