"""The track of a knob or trim: how its two halves follow the turn, under any law, with a resistor beside
it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.part import Part
from pedalwright.devices.kinds._knob import AUDIO_PERCENT, END_OHMS
from pedalwright.formulas.taper import MAKER_FRACTIONS, linear, maker_audio
from pedalwright.stages.view import View

FloatArray = NDArray[np.float64]
Law = Callable[[FloatArray], FloatArray]
PARALLEL_LEAST_OHMS = 1e-3


class Wiring(Enum):
    """Which of a track's halves carry anything."""

    DIVIDER = "divider"
    LOWER = "variable resistor between lug 1 and the wiper"
    UPPER = "variable resistor between the wiper and lug 3"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Halves:
    """The resistances on both sides of the wiper at some positions: `lower` lug 1 to wiper, `upper` wiper to
    lug 3, each (positions,) [ohm].
    """

    lower: FloatArray
    upper: FloatArray

    @property
    def count(self) -> int:
        """How many positions."""
        return len(self.lower)

    def beside(self, padding_ohms: float, end: str) -> "Halves":
        """With a resistor from the wiper to lug 1 or lug 3."""
        if end == "1":
            return Halves(lower=_parallel(self.lower, padding_ohms), upper=self.upper)
        return Halves(lower=self.lower, upper=_parallel(self.upper, padding_ohms))


def joined(pieces: list[Halves]) -> Halves:
    """Several sets of positions, one after another."""
    return Halves(
        lower=np.concatenate([one.lower for one in pieces]),
        upper=np.concatenate([one.upper for one in pieces]),
    )


def _parallel(ohms: FloatArray, other: float) -> FloatArray:
    return np.maximum(ohms * other / (ohms + other), PARALLEL_LEAST_OHMS)


def halves_at(track_ohms: float, law: str, turn: FloatArray) -> Halves:
    """The halves of a track of `law` (a name of `LAWS`) at rotations 0 to 1 (positions,)."""
    lower = END_OHMS + np.asarray(LAWS[law](turn), dtype=float) * (track_ohms - 2 * END_OHMS)
    return Halves(lower=lower, upper=track_ohms - lower)


def _maker(percent: int) -> Law:
    return lambda turn: np.asarray(maker_audio(turn, percent))  # type: ignore[arg-type]


def _reverse_maker(percent: int) -> Law:
    return lambda turn: np.asarray(1.0 - maker_audio(1.0 - turn, percent))  # type: ignore[arg-type]


def _linear(turn: FloatArray) -> FloatArray:
    return np.asarray(linear(turn))  # type: ignore[arg-type]


LAWS: dict[str, Law] = {
    "linear": _linear,
    "audio": _maker(AUDIO_PERCENT),
    "reverse-audio": _reverse_maker(AUDIO_PERCENT),
    **{f"audio {p} %": _maker(p) for p in MAKER_FRACTIONS if p != AUDIO_PERCENT},
}
"""law -> fraction of the track below the wiper; the plain ``audio`` is a maker's 15 % law"""


def law_of(part: Part) -> str:
    """The name of a part's law; linear when the text gives none."""
    return part.law if part.law in LAWS else "linear"


def wiring_of(view: View, part: Part) -> Wiring:
    """How a track is wired: an end on the wiper, or left open, makes it a variable resistor."""
    first, wiper, last = view.knob_nets(part)
    if wiper == last or view.alone(last) == part.ref:
        return Wiring.LOWER
    if wiper == first or view.alone(first) == part.ref:
        return Wiring.UPPER
    return Wiring.DIVIDER


def change_names(part: Part) -> tuple[str, str]:
    """The names of the two halves in the circuit's equations."""
    return f"{part.ref}.1-2", f"{part.ref}.2-3"
