"""Nine-volt batteries: how their voltage sinks with the charge taken, and how much they hold at which
current.

All figures are from memory, read off makers' curves of the 9 V block years ago; between makers, and with
temperature and rest, expect a third more or less.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import FloatArray

SOURCE = "from memory: makers' discharge curves, good to a third"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chemistry:
    """One sort: `curve` pairs the share of the charge taken with the voltage under load [V]; `holds` pairs a
    current [A] with the whole charge down to the end of the curve [Ah].
    """

    name: str
    curve: tuple[tuple[float, float], ...]
    holds: tuple[tuple[float, float], ...]

    @property
    def empty_v(self) -> float:
        """Where the curve ends [V]."""
        return self.curve[-1][1]

    def capacity_ah(self, amps: float) -> float:
        """Charge [Ah] down to the end of the curve at a current, straight between known points over its
        logarithm; the nearest known point beyond them.
        """
        at = np.log([point for point, _ in self.holds])
        return float(np.interp(np.log(max(amps, 1e-9)), at, [charge for _, charge in self.holds]))

    def share_at(self, volts: float) -> float:
        """Share of the charge taken when the voltage has sunk to `volts`."""
        falling = [(v, share) for share, v in reversed(self.curve)]
        return float(np.interp(volts, [v for v, _ in falling], [share for _, share in falling]))

    def volts_at(self, share: FloatArray) -> FloatArray:
        """Voltage under load after a share of the charge."""
        return np.interp(share, [s for s, _ in self.curve], [v for _, v in self.curve])


CHEMISTRIES = (
    Chemistry(
        name="alkaline",
        curve=((0.0, 9.2), (0.05, 8.7), (0.2, 8.1), (0.4, 7.6), (0.6, 7.2), (0.75, 6.8), (0.88, 6.3),
               (0.95, 5.8), (1.0, 4.8)),
        holds=((0.01, 0.6), (0.025, 0.55), (0.05, 0.48), (0.1, 0.4), (0.3, 0.25)),
    ),
    Chemistry(
        name="zinc-carbon",
        curve=((0.0, 9.2), (0.1, 8.4), (0.3, 7.8), (0.5, 7.2), (0.7, 6.6), (0.85, 6.0), (1.0, 4.8)),
        holds=((0.005, 0.4), (0.01, 0.36), (0.025, 0.28), (0.05, 0.18), (0.1, 0.09)),
    ),
    Chemistry(
        name="NiMH, seven cells",
        curve=((0.0, 9.4), (0.05, 8.9), (0.2, 8.6), (0.5, 8.4), (0.8, 8.1), (0.93, 7.7), (1.0, 7.0)),
        holds=((0.02, 0.2), (0.1, 0.18), (0.2, 0.16)),
    ),
)  # fmt: skip
