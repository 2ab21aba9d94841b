"""A knob's answer as data: what every renderer shows."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pedalwright.analysis.knob_advice import Advice
from pedalwright.analysis.knob_evenness import Spreading

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tolerance:
    """A figure at 0, 1 ... 10 with a track a fifth too small, and a fifth too large, each (11,)."""

    smaller: FloatArray
    larger: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Heard:
    """One figure a knob is heard by, over its travel. `values` (positions,) are nan where not known.

    `weight` is the whole change in steps just worth telling; `spreading`, `tolerance` and `advice` are only
    worked out for the figure that leads, `advice` only where every position is known.
    """

    name: str
    unit: str
    sort: str
    scale: str
    note: str
    values: FloatArray
    at_0: float
    at_noon: float
    at_10: float
    weight: float
    spreading: Spreading | None
    tolerance: Tolerance | None = None
    advice: Advice | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KnobAnswer:
    """Everything about one knob or trim, all others as they stand.

    `dial` (positions,) goes from 0 to 10; `certified` (positions,) says which positions are known, `residual`
    is the largest of those. `heard` begins with the weightiest figure. `refusals` are sentences on what is
    not told and why.
    """

    ref: str
    kind: str
    ohms: float
    law: str
    wiring: str
    role: str
    stage_title: str
    setting: float
    line: int
    dial: FloatArray
    certified: BoolArray
    residual: float
    bound: float
    heard: tuple[Heard, ...]
    refusals: tuple[str, ...] = ()
