"""The modes of a circuit at rest that grow."""

import numpy as np

from pedalwright.review.survey import Survey
from pedalwright.solve.arrays import ComplexArray

SHIFT = 1e4
"""where the eigenproblem is taken [1/s]: between slow oscillators and whistles"""
SLOWEST, FASTEST = 0.01, 1e9
"""poles beyond these are rounding [1/s]"""
STEADY = 1e-4
"""a real part smaller than this share of the pole is rounding"""


def growing_modes(survey: Survey) -> tuple[tuple[complex, ComplexArray], ...]:
    """Poles [1/s] with positive real part and their shapes over the unknowns, fastest growing first."""
    return survey.once("growing modes", lambda: _growing_modes(survey))


def _growing_modes(survey: Survey) -> tuple[tuple[complex, ComplexArray], ...]:
    small = survey.small
    matrix = small.g + small.system.signal_g + SHIFT * small.c
    size = np.maximum(np.abs(matrix).max(1), 1e-30)
    try:
        values, shapes = np.linalg.eig(np.linalg.solve(matrix / size[:, None], small.c / size[:, None]))
    except np.linalg.LinAlgError:
        return ()
    with np.errstate(all="ignore"):
        found = SHIFT - 1.0 / values.astype(np.complex128)
    wide = np.isfinite(found) & (np.abs(values) > 1e-13 * np.abs(values).max(initial=0.0))
    grows = (
        wide & (found.real > STEADY * np.abs(found)) & (np.abs(found) < FASTEST) & (np.abs(found) > SLOWEST)
    )
    nodes = small.system.node_count
    modes = [(complex(found[place]), np.asarray(shapes[:nodes, place])) for place in np.flatnonzero(grows)]
    return tuple(sorted(modes, key=lambda mode: -mode[0].real))
