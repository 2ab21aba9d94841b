"""What engine and reference are both given: a circuit, what drives it, how long, what is heard."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pedalwright.circuit.primitives import Primitive
from tests.solve.parts import Parts
from tests.solve.time.driving import Waveform
from tests.solve.time.reference_laws import Floats

USUAL_HZ = 8 * 48000.0


@dataclass(frozen=True, kw_only=True)
class Case:
    """One run. `waveforms` stand in place of the direct volts of named sources.

    `told_hz` is the rate of the moments at which the reference says what `output` is. Every run
    begins at the rest point of the direct volts. `quick` runs take the reference less than three seconds; the
    others are kept in the folder `data`.
    """

    name: str
    parts: tuple[Primitive, ...]
    waveforms: Mapping[str, Waveform]
    output: str
    duration_s: float
    told_hz: float = USUAL_HZ
    breaks_s: tuple[float, ...] = ()
    quick: bool = False

    @property
    def times_s(self) -> Floats:
        """The moments told, the first at zero."""
        return np.arange(round(self.duration_s * self.told_hz) + 1) / self.told_hz


def case_of(
    name: str,
    parts: Parts,
    waveforms: Mapping[str, Waveform],
    output: str,
    duration_s: float,
    *,
    told_hz: float = USUAL_HZ,
    breaks_s: tuple[float, ...] = (),
    quick: bool = False,
) -> Case:
    return Case(
        name=name,
        parts=tuple(parts),
        waveforms=waveforms,
        output=output,
        duration_s=duration_s,
        told_hz=told_hz,
        breaks_s=breaks_s,
        quick=quick,
    )
