"""The array types used in this layer. The last column of every voltage array is ground and is always zero."""

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]
AnyArray = FloatArray | ComplexArray
IndexArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]


def frozen(array: FloatArray) -> FloatArray:
    """The same array, made read-only."""
    array.setflags(write=False)
    return array


def indices(values: list[int]) -> IndexArray:
    """A list of row numbers as an array, also when the list is empty."""
    return np.array(values, dtype=np.int64)
