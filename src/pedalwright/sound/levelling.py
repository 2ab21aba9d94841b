"""How loud takes are put into a file: alike to the ear where they are compared, never louder than is safe."""

from collections.abc import Sequence

from pedalwright.sound.loudness.matching import Match, matched, safe_gain
from pedalwright.sound.loudness.meter import loudness_of_stream
from pedalwright.sound.loudness.records import Loudness
from pedalwright.sound.tape import Tape
from pedalwright.sound.through import RATE_HZ


def heard_on(tape: Tape) -> Loudness:
    """The loudness and the peaks of a tape, with 1 V as full scale."""
    return loudness_of_stream(tape.blocks(), RATE_HZ, tape.channels)


def gains(sounds: Sequence[Loudness]) -> tuple[float, ...]:
    """By what each take is multiplied on its way into the file; never more than one: nothing is raised.

    One sound is brought down as far as is safe. Several are made equally loud first, as loud as the quietest
    of them, and then brought down together.
    """
    if len(sounds) == 1:
        return (safe_gain(sounds[0], 1.0),)
    found = matched(sounds).gains
    most = max(1.0, *found)
    return tuple(gain / most for gain in found)


def are_alike(sounds: Sequence[Loudness]) -> bool:
    """Whether several sounds can be made equally loud."""
    return len(sounds) > 1 and matched(sounds).how is Match.EQUAL
