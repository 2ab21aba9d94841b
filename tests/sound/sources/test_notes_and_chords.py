"""Pitches by ISO 16 and equal temperament; chords against the shapes every chord book prints."""

import pytest

from pedalwright.sound.sources.chords import KINDS, OPEN_STRINGS, fingering, read_chord
from pedalwright.sound.sources.notes import note_hz, read_pitch, semitone_of
from pedalwright.units.values import ValueMistake


@pytest.mark.parametrize(
    ("note", "pitch_hz"),
    # The equal-tempered scale as printed in handbooks of acoustics, from memory.
    [("A4", 440.0), ("E2", 82.407), ("C4", 261.626), ("G#3", 207.652), ("Bb1", 58.270), ("C0", 16.352)],
)
def test_a_note_has_the_pitch_of_equal_temperament(note: str, pitch_hz: float) -> None:
    assert read_pitch(note) == pytest.approx(pitch_hz, abs=0.0006)


def test_sharps_flats_and_octaves_count_from_c() -> None:
    assert semitone_of("F#3") == semitone_of("Gb3") == semitone_of("f♯3")
    assert semitone_of("Cb4") == semitone_of("B3")
    assert semitone_of("B#3") == semitone_of("C4")


def test_a_pitch_may_be_a_frequency() -> None:
    assert read_pitch("1.5kHz") == 1500.0


@pytest.mark.parametrize(
    ("root", "kind", "frets"),
    # Open chords as in any chord book: common practice, no source.
    [
        (4, "", (0, 2, 2, 1, 0, 0)),
        (4, "m", (0, 2, 2, 0, 0, 0)),
        (9, "", (None, 0, 2, 2, 2, 0)),
        (9, "m", (None, 0, 2, 2, 1, 0)),
        (0, "", (None, 3, 2, 0, 1, 0)),
        (2, "", (None, None, 0, 2, 3, 2)),
        (7, "", (3, 2, 0, 0, 0, 3)),
        (7, "7", (3, 2, 0, 0, 0, 1)),
        (11, "7", (None, 2, 1, 2, 0, 2)),
    ],
)
def test_the_fingering_is_the_one_of_the_chord_books(
    root: int, kind: str, frets: tuple[int | None, ...]
) -> None:
    assert fingering(root, kind) == frets


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("root", range(12))
def test_every_chord_has_its_root_lowest_and_no_strange_note(root: int, kind: str) -> None:
    frets = fingering(root, kind)
    sounded = [string + fret for string, fret in zip(OPEN_STRINGS, frets, strict=True) if fret is not None]
    tones = {(root + step) % 12 for step in KINDS[kind]}
    assert sounded[0] % 12 == root
    assert {note % 12 for note in sounded} <= tones
    # The fifth is the note players leave out.
    assert tones - {note % 12 for note in sounded} <= {(root + 7) % 12}


def test_a_chord_may_be_its_notes() -> None:
    assert read_chord("E2+B2+E3") == pytest.approx([note_hz(28), note_hz(35), note_hz(40)])


@pytest.mark.parametrize("word", ["Xm", "Amaj13", "E2+", "E2+H3", "E2+E2+E2+E2+E2+E2+E2", ""])
def test_what_is_no_chord_is_told(word: str) -> None:
    with pytest.raises(ValueMistake):
        read_chord(word)
