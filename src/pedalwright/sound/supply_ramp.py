"""The supply coming up at switch-on."""

import numpy as np

from pedalwright.circuit.circuit import Circuit
from pedalwright.solve.arrays import FloatArray

RISE_S = 5e-3
"""from nothing to all of it: a plug pushed in, its bounces left out (house choice)"""


class SupplyRamp:
    """What every supply of a circuit lacks, step by step, after the pedal is switched on."""

    def __init__(self, circuit: Circuit, step_s: float) -> None:
        self._volts = [supply.volts for supply in circuit.supplies]
        self._step_s = step_s

    def changes(self, first: int, steps: int) -> list[FloatArray]:
        """For each supply what it lacks (steps + 3,), from the step before `first` on [V]."""
        time_s = (first - 1 + np.arange(steps + 3)) * self._step_s
        share = np.clip(time_s / RISE_S, 0.0, 1.0)
        risen = 0.5 - 0.5 * np.cos(np.pi * share)
        return [volts * (risen - 1.0) for volts in self._volts]
