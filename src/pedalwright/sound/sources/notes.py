"""Names of notes and their pitch in equal temperament, A4 = 440 Hz.

Source: ISO 16:1975 for A4; scientific pitch notation (the octave number changes at C, A4 is the A of 440
Hz) is common practice, from memory.
"""

import re

from pedalwright.units.values import Quantity, ValueMistake, parse_value

_STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_ALTERED = {"": 0, "#": 1, "♯": 1, "b": -1, "♭": -1}
_NOTE = re.compile(r"([A-Ga-g])([#♯b♭]?)(-?[0-9])")
_LETTER = re.compile(r"([A-Ga-g])([#♯b♭]?)(.*)", re.DOTALL)
A4_SEMITONE, A4_HZ = 57, 440.0
LONGEST_WORD = 48


def note_hz(semitone: float) -> float:
    """Pitch [Hz] of a note counted in semitones from C0.

    >>> round(note_hz(28), 3)
    82.407
    """
    return float(A4_HZ * 2 ** ((semitone - A4_SEMITONE) / 12))


def semitone_of(word: str) -> int | None:
    """A note such as ``E2``, ``F#3`` or ``Bb1`` in semitones from C0; None for what is no note.

    >>> semitone_of("A4"), semitone_of("Cb4"), semitone_of("H2")
    (57, 47, None)
    """
    found = _NOTE.fullmatch(word)
    if found is None:
        return None
    letter, sign, octave = found.groups()
    return 12 * int(octave) + _STEPS[letter.upper()] + _ALTERED[sign]


def root_of(word: str) -> tuple[int, str] | None:
    """The root a chord's name begins with, in semitones above C (0 to 11), and the rest of the name."""
    found = _LETTER.fullmatch(word)
    if found is None:
        return None
    letter, sign, rest = found.groups()
    return (_STEPS[letter.upper()] + _ALTERED[sign]) % 12, rest


def read_pitch(text: str) -> float:
    """A note (``E2``) or a frequency (``110Hz``) in Hz; raises ValueMistake."""
    word = text.strip()
    semitone = semitone_of(word)
    if semitone is not None:
        return note_hz(semitone)
    if word[:1].isalpha():
        raise ValueMistake(
            f"'{shown(word)}' is not a note.",
            "Write letter, sharp or flat, and octave, such as E2, F#3 or Bb1; or a frequency, such as 110Hz.",
        )
    return parse_value(word, Quantity.FREQUENCY)


def shown(word: str) -> str:
    """The written word, cut, with anything unprintable made visible."""
    cut = word if len(word) <= LONGEST_WORD // 2 else f"{word[: LONGEST_WORD // 2 - 3]}..."
    return "".join(sign if sign.isprintable() else "?" for sign in cut)
