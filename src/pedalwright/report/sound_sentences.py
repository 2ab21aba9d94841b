"""What was heard, in sentences."""

from collections.abc import Iterable

from pedalwright.sound.through import DIED_DB, LONGEST_TAIL_S, RATE_HZ
from pedalwright.sound.wish import Ending, Heard, Take

UNMOVED_DB = 0.05
"""a gain so small is none"""


def written(heard: Heard) -> Iterable[str]:
    """Which files were written, and what is in them."""
    for file in heard.files:
        inside = [take for take in heard.takes if take.file == file]
        names = ", then ".join(take.label for take in inside)
        replaced = ", in the place of the file of that name" if inside[0].replaced else ""
        yield f"{file} has been written{replaced}: {names} ({RATE_HZ / 1000:g} kHz, 24 bits)."
    if len(heard.takes) > 1:
        yield _compared(heard)


def _compared(heard: Heard) -> str:
    if heard.matched:
        return "All takes are equally loud in the file (ITU-R BS.1770), whatever the volts at the jack."
    return "The takes could not be made equally loud, for not all of them have a loudness."


def in_the_file(take: Take) -> str:
    """What was done to the level on the way into the file."""
    if abs(take.gain_db) < UNMOVED_DB:
        return "as it is"
    return f"{-take.gain_db:.1f} dB down"


def loudness(lufs: float | None) -> str:
    """A loudness, or that there is none."""
    return "none" if lufs is None else f"{lufs:.1f} LUFS"


def ending(take: Take, name: str) -> str:
    """How the take ends; `name` is what to call it."""
    match take.ending:
        case Ending.DIED:
            down = f"{-DIED_DB:.0f} dB down"
            return f"{name} rang on until it was {down}, {take.tail_s:.1f} s behind the sound's end."
        case Ending.CUT:
            return f"{name} was still sounding {LONGEST_TAIL_S:g} s behind the sound's end, and is cut there."
        case Ending.ASKED:
            return f"{name} ends {take.tail_s:.1f} s behind the sound's end, as asked for."
