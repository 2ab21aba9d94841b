"""The loop of the plucked string, compiled; import it only where a string is about to sound."""

from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.compiled import compiled


@compiled
def turn_around(
    sound: FloatArray, start: FloatArray, period: int, share: float, coefficient: float, kept: float
) -> None:
    """Fill `sound` (frames,): what left the loop `period` frames ago, averaged with its neighbour,
    all-passed, fed back, and `start` (period,) put in during the first turn.
    """
    averaged_before = 0.0
    passed_before = 0.0
    neighbour = 0.0
    for frame in range(len(sound)):
        returned = sound[frame - period] if frame >= period else 0.0
        averaged = kept * ((1.0 - share) * returned + share * neighbour)
        neighbour = returned
        passed = coefficient * (averaged - passed_before) + averaged_before
        averaged_before = averaged
        passed_before = passed
        sound[frame] = passed + (start[frame] if frame < len(start) else 0.0)
