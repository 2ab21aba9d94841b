"""The noise of a pedal at rest: how much, who makes it, what would help, and what the echo loop adds."""

from pedalwright.analysis.noise.answers import noise_answers, played_noise
from pedalwright.analysis.noise.plugged import OPEN, PICKUP, SHORTED, STATES
from pedalwright.analysis.noise.records import NoiseAnswers

__all__ = ["OPEN", "PICKUP", "SHORTED", "STATES", "NoiseAnswers", "noise_answers", "played_noise"]
