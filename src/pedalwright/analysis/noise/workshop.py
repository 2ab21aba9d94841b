"""Where changes are tried: the whole circuit computed anew with some parts replaced."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.noise.bench import NoiseBench
from pedalwright.analysis.noise.loop import LoopMistake, chips_in_use
from pedalwright.analysis.noise.picture import Picture, picture
from pedalwright.analysis.noise.plugged import OPEN, PICKUP
from pedalwright.analysis.noise.records import Cure
from pedalwright.analysis.noise.side_effects import side_effects
from pedalwright.analysis.noise.trials import Trial
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.devices.part_facts import MEMORY
from pedalwright.devices.ports import INPUT
from pedalwright.echo.taps import DECODER_OUT
from pedalwright.solve.certificate import NotCertified
from pedalwright.solve.response import Drive, respond
from pedalwright.stages.wording import listed

MIDDLE_HZ = 1000.0
STILL = 1e-3
"""a part with less of the source's volt across it passes no sound"""


@dataclass(frozen=True, kw_only=True, eq=False)
class Tried:
    """One trial with its outcome; a trial without parts is of something else than a part's value.

    `in_reason` says whether the circuit stays what it was.
    """

    trial: Trial
    cure: Cure
    in_reason: bool = True


@dataclass(frozen=True, kw_only=True, eq=False)
class Workshop:
    """The circuit as it is with its picture `base`, and `level`, the same with a source to ask levels of."""

    bench: NoiseBench
    base: Picture
    level: Picture

    def tried(self, trial: Trial, against: Sequence[str]) -> Tried | None:
        """What a trial does; None when the changed circuit cannot be certified, oscillates or runs away."""
        changed = Analysis(self.bench.analysis.circuit.with_parts(trial.parts))
        bench = NoiseBench(changed, self.bench.state, self.bench.held)
        if not bench.rest.certificate.ok or not bench.rest.stays:
            return None
        count = len(self.base.frequencies_hz)
        try:
            found = picture(bench, self.base.at, count)
            level = found if self.level is self.base else self._level(changed, count)
        except (NotCertified, LoopMistake, KeyError):
            return None
        if found.shares is None:
            return None
        besides = side_effects(self.bench, bench, self.level, level)
        told = (*besides.says, *_remembered(trial), *self._silent(trial))
        cure = self._cure(trial, against, found, level, told)
        return Tried(trial=trial, cure=cure, in_reason=besides.in_reason)

    def _level(self, changed: Analysis, count: int) -> Picture:
        return picture(NoiseBench(changed, PICKUP, self.bench.held), self.base.at, count)

    def _cure(
        self, trial: Trial, against: Sequence[str], found: Picture, level: Picture, told: tuple[str, ...]
    ) -> Cure:
        noise_db = decibels_of_power(noise_power(found) / noise_power(self.base))
        before = at_middle(self.level)
        level_db = 2 * decibels_of_power(at_middle(level) / before) if before > 0 else 0.0
        changes = trial.changes(self.bench.analysis)
        return Cure(
            against=tuple(against),
            says=listed([f"{ref} {after} (now {before})" for ref, before, after in changes]),
            changes=changes,
            noise_db=noise_db,
            level_db=level_db,
            better_db=level_db - noise_db,
            side_effects=told,
        )

    @cached_property
    def _moved(self) -> tuple[Mapping[str, complex], ...]:
        """The voltage of every net at 1 kHz for one volt of source, and for one volt that each echo chip puts
        out; nothing without a source.
        """
        bench = self.bench if self.level is self.base else NoiseBench(self.bench.analysis, PICKUP)
        if INPUT not in bench.system.branches:
            return ()
        found = [_voltages(bench, Drive(source=INPUT))]
        for tap, _ in zip(*chips_in_use(bench), strict=True):
            pin = bench.analysis.circuit.by_ref[tap.ref].net(DECODER_OUT)
            moved = _voltages(bench, Drive(injections={tap.decoder: 1.0}))
            found.append({net: volts / moved[pin] for net, volts in moved.items()})
        return tuple(found)

    def _silent(self, trial: Trial) -> Iterable[str]:
        """A word about resistors that no sound passes: what else comes in by them is not measured."""
        if not self._moved:
            return
        resistors = (part for part in trial.parts.values() if part.kind == "resistor")
        still = [part.ref for part in resistors if self._is_still(part)]
        if still:
            yield (
                f"As the knobs stand, no sound from the input jack passes {listed(still)}: what else comes "
                "in that way changes its level."
            )

    def _is_still(self, part: Part) -> bool:
        one, other = part.nets
        return all(abs(moved.get(one, 0j) - moved.get(other, 0j)) < STILL for moved in self._moved)


def _voltages(bench: NoiseBench, drive: Drive) -> Mapping[str, complex]:
    """Every net's voltage at 1 kHz, delayed sound left out."""
    found = respond(bench.small, drive, np.array([MIDDLE_HZ]), open_delays=True)
    return {net: complex(found.x[0, row]) for net, row in bench.system.rows.items()}


def _remembered(trial: Trial) -> Iterable[str]:
    """A word about figures no sheet was read for."""
    for part in trial.parts.values():
        if any(noise.source == MEMORY for noise in device(part.kind).noise(part)):
            yield f"The noise figures of the {part.type} are from memory."


def workshop(bench: NoiseBench, base: Picture) -> Workshop:
    """The workshop of a circuit whose `base` picture knows its noise. Raises NotCertified."""
    if bench.state != OPEN or bench.analysis.circuit.input is None:
        return Workshop(bench=bench, base=base, level=base)
    level = picture(NoiseBench(bench.analysis, PICKUP), base.at, len(base.frequencies_hz))
    return Workshop(bench=bench, base=base, level=level)


def noise_power(found: Picture) -> float:
    """The A-weighted power [V^2] of a picture that knows it."""
    assert found.shares is not None
    return float(found.powers(found.shares, weighted=True).sum())


def at_middle(found: Picture) -> float:
    """The gain at 1 kHz."""
    return float(np.interp(np.log(MIDDLE_HZ), np.log(found.frequencies_hz), found.signal))


def decibels_of_power(ratio: float) -> float:
    """A ratio of powers in decibels; minus infinity for nothing."""
    return float(10 * np.log10(ratio)) if ratio > 0 else float("-inf")
