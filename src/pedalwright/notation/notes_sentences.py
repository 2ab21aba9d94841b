"""What parentheses can look like that the grammar refuses; the looks are built as those of walks are."""

import re

from pedalwright.notation.sentences import Sentence
from pedalwright.notation.words import shown


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
