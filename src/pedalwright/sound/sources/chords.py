"""A chord on six strings: which note each string sounds.

The strings are those of a guitar in its usual tuning, E2 A2 D3 G3 B3 E4, and the names of chords are common
practice, no source. The fingering is our own choice: of all notes of the chord within reach of the first
frets, the ones that leave no note of the chord out, put the root lowest and lie nearest to the nut.
"""

from itertools import product

from pedalwright.sound.sources.notes import note_hz, root_of, semitone_of, shown
from pedalwright.units.values import ValueMistake

OPEN_STRINGS = (28, 33, 38, 43, 47, 52)
"""semitones from C0"""
HIGHEST_FRET = 4
KINDS = {
    "": (0, 4, 7), "m": (0, 3, 7), "7": (0, 4, 7, 10), "m7": (0, 3, 7, 10), "maj7": (0, 4, 7, 11),
    "sus2": (0, 2, 7), "sus4": (0, 5, 7), "dim": (0, 3, 6), "aug": (0, 4, 8), "6": (0, 4, 7, 9), "5": (0, 7),
}  # fmt: skip
"""What follows the root's letter, and the semitones above the root."""
_FIFTH = 7
MOST_NOTES = len(OPEN_STRINGS)

Frets = tuple[int | None, ...]


def read_chord(text: str) -> tuple[float, ...]:
    """Pitches [Hz], lowest string first, of a chord's name (``Am``) or of up to six notes (``E2+B2+E3``).

    Raises ValueMistake.
    """
    word = text.strip()
    if "+" in word or semitone_of(word) is not None:
        return _read_notes(word)
    found = root_of(word)
    if found is None or found[1] not in KINDS:
        raise ValueMistake(
            f"'{shown(word)}' is not a chord.",
            f"Write a root and nothing or one of {', '.join(filter(None, KINDS))}, such as Am or G7; "
            f"or notes, such as E2+B2+E3.",
        )
    root, kind = found
    sounded = zip(OPEN_STRINGS, fingering(root, kind), strict=True)
    return tuple(note_hz(string + fret) for string, fret in sounded if fret is not None)


def _read_notes(word: str) -> tuple[float, ...]:
    names = [name.strip() for name in word.split("+", MOST_NOTES)]
    if len(names) > MOST_NOTES:
        raise ValueMistake(f"There are more than {MOST_NOTES} notes.", "A chord has as many as strings: six.")
    semitones = [(name, semitone_of(name)) for name in names]
    wrong = [name for name, semitone in semitones if semitone is None]
    if wrong:
        raise ValueMistake(f"'{shown(wrong[0])}' is not a note.", "Write each as E2, F#3 or Bb1.")
    return tuple(note_hz(semitone) for _, semitone in semitones if semitone is not None)


def fingering(root: int, kind: str) -> Frets:
    """The fret of each string, None for one that rests, of the chord on `root` (semitones above C).

    >>> fingering(9, "m"), fingering(0, "")
    ((None, 0, 2, 2, 1, 0), (None, 3, 2, 0, 1, 0))
    """
    tones = frozenset((root + step) % 12 for step in KINDS[kind])
    choices = [_frets_within(string, tones) for string in OPEN_STRINGS]
    lowest = next(
        number for number, frets in enumerate(choices) if _root_fret(number, frets, root) is not None
    )
    bass = _root_fret(lowest, choices[lowest], root)
    upper = product(*choices[lowest + 1 :])
    best = min(upper, key=lambda frets: _cost((bass, *frets), lowest, root, tones))
    return (*(None for _ in range(lowest)), bass, *best)


def _frets_within(string: int, tones: frozenset[int]) -> list[int | None]:
    frets: list[int | None] = [fret for fret in range(HIGHEST_FRET + 1) if (string + fret) % 12 in tones]
    return frets or [None]


def _root_fret(number: int, frets: list[int | None], root: int) -> int | None:
    for fret in frets:
        if fret is not None and (OPEN_STRINGS[number] + fret) % 12 == root:
            return fret
    return None


def _cost(frets: Frets, lowest: int, root: int, tones: frozenset[int]) -> tuple[int, int, Frets]:
    """Notes left out first (the fifth is missed least), then the way along the neck."""
    strings = zip(OPEN_STRINGS[lowest:], frets, strict=True)
    sounded = {(string + fret) % 12 for string, fret in strings if fret is not None}
    missed = sum(1 if (tone - root) % 12 == _FIFTH else 2 for tone in tones - sounded)
    return missed, sum(fret for fret in frets if fret is not None), frets
