"""What a player has to say of its own work.

Steps without a solution, clocks that stand still, amplifiers at the stop.
"""

from pedalwright.solve.arrays import IndexArray
from pedalwright.solve.time.tables import FAILED, NOT_FINITE, STEPS, WHERE
from pedalwright.sound.ready import Ready
from pedalwright.sound.unusable import UnusableSound, unusable

TOO_MANY = 0.01
"""the share of steps without a solution from which on a sound is refused"""
FEW = 200


def remarks_of(ready: Ready, counts: IndexArray, stalled: tuple[str, ...]) -> tuple[str, ...]:
    """Sentences about what was played so far."""
    found = [
        f"The clock of {ref} does not start: its time pin sees less than 1 kohm at switch-on. No echo comes."
        for ref in stalled
    ]
    found += [
        f"The clock of {way.ref} stands still: its time pin gives no current. No echo comes."
        for way, rate in zip(ready.taps, ready.along.rate, strict=True)
        if rate == 0.0
    ]
    if counts[FAILED]:
        found.append(
            f"In {counts[FAILED]} of {counts[STEPS]} steps no solution was found near "
            f"{_where(ready, counts)}; there the sound stands still for an instant. It is not certified."
        )
    return tuple(found)


def is_lost(counts: IndexArray) -> bool:
    """Whether so many steps had no solution that what comes out means nothing."""
    return bool(counts[NOT_FINITE] or counts[FAILED] > max(FEW, TOO_MANY * counts[STEPS]))


def refusal(ready: Ready, counts: IndexArray) -> UnusableSound:
    """The sound refused, with the part where it was lost."""
    return unusable(
        "sound.lost",
        f"This circuit cannot be heard as it is driven: near {_where(ready, counts)} no solution is found.",
        f"{counts[FAILED] + counts[NOT_FINITE]} of {counts[STEPS]} steps had none.",
        "Lower the level, or play it with more steps: --oversample 8.",
    )


def _where(ready: Ready, counts: IndexArray) -> str:
    ports = ready.work.ports
    return ports[int(counts[WHERE])].owner if ports else "the input"
