"""What a change for the sake of noise does besides: to the tone, to the resting voltages, to the supply."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.noise.bench import NoiseBench
from pedalwright.analysis.noise.picture import Picture
from pedalwright.devices.catalogue import device
from pedalwright.devices.ports import supply_name
from pedalwright.units.value_writing import print_value

TOLD_HZ = (80.0, 8000.0)
"""the range of a guitar through its amplifier, over which a change of tone is looked for"""
TONE_DB, BIAS_V, SUPPLY_A = 0.5, 0.1, 0.3e-3
"""smaller changes than these are not told"""
MOST_TONE_DB, MOST_BIAS_V = 2.0, 0.7
"""what changes more than this is another circuit, not a cure"""
SILENT = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class SideEffects:
    """`tone_db` is the largest change of level against that at 1 kHz, `balance_db` by how much the echo gains
    on the dry sound there, `bias_v` the largest change of a resting voltage; `says` tells what is worth
    telling.
    """

    tone_db: float
    balance_db: float
    bias_v: float
    says: tuple[str, ...]

    @property
    def in_reason(self) -> bool:
        """Whether the circuit stays what it was: a duller one, or one at another rest, is no cure."""
        heard_db = max(abs(self.tone_db), abs(self.balance_db))
        return heard_db <= MOST_TONE_DB and abs(self.bias_v) <= MOST_BIAS_V


def side_effects(before: NoiseBench, after: NoiseBench, was: Picture, becomes: Picture) -> SideEffects:
    """What changed between two circuits, from their benches and the pictures that have a source."""
    hz, tone_db = _tone(was, becomes)
    net, bias_v = _bias(before, after)
    balance_db = _balance_db(was, becomes)
    says = list(_supply(before, after))
    if abs(bias_v) >= BIAS_V:
        volts = before.rest.volts(net)
        says.insert(0, f"{spoken(net)} comes to rest at {volts + bias_v:.2f} V, not {volts:.2f} V.")
    if abs(tone_db) >= TONE_DB:
        at = print_value(hz, "Hz", figures=2)
        says.insert(0, f"The tone changes: {tone_db:+.1f} dB at {at} against 1 kHz.")
    if abs(balance_db) >= TONE_DB:
        says.insert(0, f"The echo changes by {balance_db:+.1f} dB against the dry sound.")
    return SideEffects(tone_db=tone_db, balance_db=balance_db, bias_v=bias_v, says=tuple(says))


def _balance_db(was: Picture, becomes: Picture) -> float:
    """By how much the echo gains on the dry sound at 1 kHz [dB]; nothing where one of them is not there."""
    place = int(np.argmin(np.abs(was.frequencies_hz - 1000.0)))
    levels = [float(line[place]) for line in (was.wet, was.dry, becomes.wet, becomes.dry)]
    if min(levels) <= SILENT:
        return 0.0
    wet, dry, new_wet, new_dry = levels
    return float(20 * np.log10(new_wet / wet * dry / new_dry))


def _tone(was: Picture, becomes: Picture) -> tuple[float, float]:
    """The frequency whose level changes most against that at 1 kHz [Hz], and by how much [dB]."""
    hz = was.frequencies_hz
    told = (hz >= TOLD_HZ[0]) & (hz <= TOLD_HZ[1]) & (was.signal > SILENT * was.signal.max(initial=0.0))
    if not told.any():
        return 0.0, 0.0
    # What falls silent counts as just audible no more, so that a level stays a number.
    left = np.maximum(becomes.signal[told], SILENT * was.signal.max())
    moved = 20 * np.log10(left / was.signal[told])
    away = moved - float(np.interp(np.log(1000.0), np.log(hz[told]), moved))
    place = int(np.argmax(np.abs(away)))
    return float(hz[told][place]), float(away[place])


def _bias(before: NoiseBench, after: NoiseBench) -> tuple[str, float]:
    """The amplifier output or transistor terminal that comes to rest furthest from where it was [V]."""
    old, new = before.rest, after.rest
    known = set(old.system.rows) & set(new.system.rows) - set(old.floating) - set(new.floating)
    moved = {net: new.volts(net) - old.volts(net) for net in _active_nets(before) if net in known}
    net = max(moved, key=lambda one: abs(moved[one]), default="")
    return net, moved.get(net, 0.0)


def _active_nets(bench: NoiseBench) -> tuple[str, ...]:
    found = []
    for part in bench.analysis.circuit.parts:
        entry = device(part.kind)
        found += [unit.output for unit in entry.amplifiers(part)]
        if entry.family in ("bipolar", "fet"):
            found += list(part.nets)
    return tuple(dict.fromkeys(found))


def _supply(before: NoiseBench, after: NoiseBench) -> Iterable[str]:
    for supply in before.analysis.circuit.supplies:
        name = supply_name(supply)
        more = abs(after.rest.amperes(name)) - abs(before.rest.amperes(name))
        if abs(more) >= SUPPLY_A:
            word = "more" if more > 0 else "less"
            yield f"It draws {print_value(abs(more), 'A', figures=2)} {word} from {spoken(supply.net)}."
