"""What parentheses can look like that the grammar refuses; the looks are built as those of walks are."""

import re

from pedalwright.notation.sentences import Sentence
from pedalwright.notation.words import designator, shown

NOTE_WORDS = {
    "C": ("film", "ceramic", "electrolytic", "tantalum"),
    "D": ("led", "zener", "schottky", "silicon", "germanium"),
}
"""words that say what a part is made of or for, and belong in parentheses, by designator letters"""
_RATING = re.compile(r"\d+(\.\d+)?V", re.ASCII)


def parentheses(body: str, column: int) -> Sentence | None:
    """Parentheses that do not match, or hold nothing."""
    opened: int | None = None
    for place, character in enumerate(body, 1):
        if character == "(" and opened is not None:
            return _parenthesis(
                place,
                "A second ( opens before the first is closed.",
                "Close the first one: (electrolytic, 16V)",
            )
        if character == ")" and opened is None:
            return _parenthesis(place, "There is a ) without a (.", "Write both: (electrolytic, 16V)")
        if character == ")" and opened is not None and not body[opened : place - 1].strip():
            return _parenthesis(
                opened, "There is nothing between the parentheses.", "Write the note, or delete them."
            )
        opened = place if character == "(" else None if character == ")" else opened
    if opened is not None:
        return _parenthesis(
            opened, "The ( is never closed.", "Write ) after the last note: (electrolytic, 16V)"
        )
    comma = re.search(r"\(\s*(,)|(,)\s*[,)]", body)
    if comma is not None:
        place = comma.start(1 if comma[1] else 2) + 1
        return _parenthesis(
            place, "A note is missing beside the comma.", "Write it, or delete the comma: (electrolytic, 16V)"
        )
    return None


def _parenthesis(column: int, what: str, cure: str) -> Sentence:
    why = "Notes on a part stand in parentheses after its value, with commas between them."
    return Sentence("notes.parentheses", column, column + 1, what, why, cure)


def misplaced_notes(body: str, column: int) -> Sentence | None:
    """``C1 (16V) 100u``."""
    found = re.search(r"\)\s*[^\s>|)]", body)
    if found is None or ">" not in body:
        return None
    word = re.match(r"[^\s<>|()=]+", body[found.end() - 1 :])
    text = word[0] if word else body[found.end() - 1]
    return Sentence(
        "notes.place",
        found.end(),
        found.end() + len(text),
        f"{shown(text)} stands after the parentheses.",
        "Notes come last, after the value.",
        "Write the name, the value, then the notes: C1 100u (electrolytic, 16V)",
    )


def notes_in_the_open(body: str, column: int) -> Sentence | None:
    """``D1 LED red`` and ``C1 10u electrolytic``."""
    last = re.match(r"[^\s<>|()=#]+", body[column - 1 :])
    before = re.search(r"(\S+)\s+(\S+)\s+$", body[: column - 1])
    found = designator(before[1]) if before else None
    if last is None or before is None or found is None:
        return None
    words = {before[2]: (before.start(2) + 1, last[0]), last[0]: (column, before[2])}
    for word, (place, other) in words.items():
        if _is_note(found.letters, word) and not _is_note(found.letters, other):
            return Sentence(
                "notes.in-the-open",
                place,
                place + len(word),
                f"{shown(word)} is a note on {before[1]} and stands in the open.",
                "A part has its name, one value or type, and then its notes in parentheses.",
                f"Write {before[1]} {other} ({word if _RATING.fullmatch(word) else word.lower()})",
            )
    return None


def _is_note(letters: str, word: str) -> bool:
    rating = letters == "C" and _RATING.fullmatch(word) is not None
    return rating or word.lower() in NOTE_WORDS.get(letters, ())
