"""Where a chip's delay is cut out of its circuit: what the coder takes, and what drives the decoder.

Coder and decoder are alike: the comparator makes the coder's integrator follow pin 15, so the current of its
steps is that which the feedback of that integrator needs, y times the sound against the reference. The same
steps, a delay later and times the chip's own gain, flow into the decoder's integrator at pin 11. With equal
integrators the sound comes out as it went in; with unequal ones it is shelved, as published measurements
show.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Capacitance, Primitive, Resistance
from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.linear import SmallSignal

REFERENCE, CODER_OUT, CODER_IN, DECODER_IN, DECODER_OUT, SOUND_IN = "2", "9", "10", "11", "12", "15"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tap:
    """One chip's delay, cut: nets, and the names of the values across the coder's integrator."""

    ref: str
    sound: str
    reference: str
    decoder: str
    resistances: tuple[str, ...]
    capacitances: tuple[str, ...]

    def admittance(self, small: SmallSignal, weights: FloatArray, s: ComplexArray) -> ComplexArray:
        """y across the coder's integrator (variants, frequencies) [S]; `weights` (variants, elements)."""
        still, moving = (
            weights[:, [small.element(name) for name in names]].sum(axis=1)
            for names in (self.resistances, self.capacitances)
        )
        return np.asarray(still[:, None] + moving[:, None] * s)


def taps(chips: Sequence[Part], primitives: Sequence[Primitive], small: SmallSignal) -> tuple[Tap, ...]:
    """The cuts of all chips whose filters and decoders are in use; a chip with idle ones delays nothing."""
    known = small.system.rows
    used = [
        chip for chip in chips if all(chip.net(pin) in known for pin in (SOUND_IN, DECODER_IN, DECODER_OUT))
    ]
    return tuple(_tap(chip, primitives) for chip in used)


def _tap(chip: Part, primitives: Sequence[Primitive]) -> Tap:
    ends = {chip.net(CODER_OUT), chip.net(CODER_IN)}
    across = [
        one for one in primitives if isinstance(one, Resistance | Capacitance) and {one.a, one.b} == ends
    ]
    return Tap(
        ref=chip.ref,
        sound=chip.net(SOUND_IN),
        reference=chip.net(REFERENCE),
        decoder=chip.net(DECODER_IN),
        resistances=tuple(one.name for one in across if isinstance(one, Resistance)),
        capacitances=tuple(one.name for one in across if isinstance(one, Capacitance)),
    )
