"""From primitives to answers in one call, for tests."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.primitives import Primitive
from pedalwright.solve.linear import SmallSignal, linearise
from pedalwright.solve.response import Drive, Response, respond
from pedalwright.solve.rest import OperatingPoint, operating_point
from pedalwright.solve.system import compile_system

INPUT = Drive(source="input")


def rest_of(parts: Sequence[Primitive], temperature_k: float = 300.15) -> OperatingPoint:
    return operating_point(compile_system(parts), temperature_k=temperature_k)


def small_of(parts: Sequence[Primitive]) -> SmallSignal:
    rest = rest_of(parts)
    return linearise(rest.system, rest)


def response_of(parts: Sequence[Primitive], frequencies_hz: NDArray[np.float64]) -> Response:
    return respond(small_of(parts), INPUT, frequencies_hz)
