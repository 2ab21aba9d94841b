"""What a resistor across a jack costs the signal, in decibels."""

import numpy as np

from pedalwright.review.survey import Survey

TOLD_HZ = 1e3
HIGHEST_HZ = 5e3


def output_loss_db(survey: Survey, load_ohms: float) -> float:
    """What one more resistor across the output takes at 1 kHz, by the impedance measured there."""
    port = survey.circuit.output
    return 0.0 if port is None else _loss_db(survey, port.net, load_ohms, TOLD_HZ)


def input_loss_db(survey: Survey, load_ohms: float) -> float:
    """What one more resistor across the input takes at most up to 5 kHz, by the impedance measured there."""
    port = survey.circuit.input
    if port is None:
        return 0.0
    return max(_loss_db(survey, port.net, load_ohms, hz) for hz in (TOLD_HZ, HIGHEST_HZ))


def _loss_db(survey: Survey, net: str, load_ohms: float, hz: float) -> float:
    band = survey.band
    at = int(np.argmin(np.abs(np.log(band.frequency_hz / hz))))
    return float(20 * np.log10(abs(1 + band.impedance(net)[at] / load_ohms)))
