"""Where in a sound its repeats are expected, from the analysis of the echo loop: for the pictures."""

from pedalwright.sound.looking import onset_s
from pedalwright.sound.movement import BYPASS
from pedalwright.sound.playing import Played

MOST_MARKS = 24
BUILDS = 1
"""how far parts are off does not matter here"""


def repeat_marks(take: Played) -> tuple[tuple[float, str], ...]:
    """(seconds, number of the repeat), counted from where the sound sets in.

    Nothing for a circuit without an echo chip, and where a knob moves, which would move the repeats.
    """
    still = all(movement.ref == BYPASS for movement in take.part.movements)
    begin_s = onset_s(take.before) if take.before is not None else None
    if begin_s is None or not still or not take.part.analysis.view.parts_of("echo-chip"):
        return ()
    from pedalwright.analysis.echo_answers import echo_answers

    answers = echo_answers(take.part.analysis, MOST_MARKS, BUILDS)
    if answers is None:
        return ()
    times = ((begin_s + one.time_s, str(one.number)) for one in answers.repeats)
    return tuple(mark for mark in times if mark[0] < take.seconds)
