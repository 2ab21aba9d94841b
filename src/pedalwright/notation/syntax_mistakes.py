"""The right sentence for a line the grammar refuses: the looks of the line are tried one after the other."""

from collections.abc import Callable

from pedalwright.circuit.span import Span
from pedalwright.notation.characters import LOOKALIKES, look_alike
from pedalwright.notation.notebook import Notebook
from pedalwright.notation.notes_sentences import misplaced_notes, notes_in_the_open, parentheses
from pedalwright.notation.sentences import Sentence
from pedalwright.notation.statement_sentences import (
    arrow_in_statement,
    misspelt_keyword,
    pin_setting,
    several_in_a_line,
    unknown_statement,
)
from pedalwright.notation.walk_sentences import (
    arrow_at_the_end,
    arrow_at_the_start,
    arrow_of_several_signs,
    double_arrow,
    equals_in_walk,
    missing_arrow,
    side_by_side,
    split_value,
)
from pedalwright.notation.words import KEYWORDS, shown


def note_refused_line(number: int, text: str, column: int, notebook: Notebook) -> None:
    """Note the mistake that best explains a line; `column` is where the grammar gave up."""
    body = text.split("#", 1)[0].rstrip()
    looks = (look(body, column) for look in _LOOKS)
    found = next((sentence for sentence in looks if sentence is not None), None) or _unexpected(text, column)
    span = Span(number, found.column, max(found.end, found.column + 1))
    notebook.mistake(found.code, span, found.what, found.why, found.cure)


def _strange_character(body: str, column: int) -> Sentence | None:
    first = next((place for place, sign in enumerate(body, 1) if sign in LOOKALIKES), column)
    strange = look_alike(body, first)
    if strange is None:
        return None
    return Sentence(
        "character.unknown", strange.column, strange.column + 1, strange.what, strange.why, strange.cure
    )


def _unexpected(text: str, column: int) -> Sentence:
    sign = text[column - 1 : column]
    what = f"{shown(sign)} cannot stand here." if sign else "The line ends too early."
    return Sentence(
        "line.unreadable",
        column,
        column + 1,
        what,
        "The line fits none of the statements.",
        "Write a walk such as IN > C1 100n > R1 10k > gnd, or one of: " + ", ".join(KEYWORDS) + ".",
    )


_LOOKS: tuple[Callable[[str, int], Sentence | None], ...] = (
    _strange_character,
    misspelt_keyword,
    arrow_in_statement,
    arrow_of_several_signs,
    arrow_at_the_start,
    double_arrow,
    arrow_at_the_end,
    side_by_side,
    parentheses,
    misplaced_notes,
    pin_setting,
    equals_in_walk,
    notes_in_the_open,
    split_value,
    several_in_a_line,
    missing_arrow,
    unknown_statement,
)
