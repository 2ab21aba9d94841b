"""The right sentence for a line the grammar refuses: the looks of the line are tried one after the other."""

import re
from collections.abc import Callable
from typing import NamedTuple

from pedalwright.circuit.span import Span
from pedalwright.notation.characters import LOOKALIKES, look_alike
from pedalwright.notation.notebook import Notebook
from pedalwright.notation.words import FORMS, KEYWORDS, designator, nearest, shown, with_article


class Sentence(NamedTuple):
    """What to say about a line, and where (columns from 1, end one past)."""

    code: str
    column: int
    end: int
    what: str
    why: str
    cure: str


def note_refused_line(number: int, text: str, column: int, notebook: Notebook) -> None:
    """Note the mistake that best explains a line; `column` is where the grammar gave up."""
    body = text.split("#", 1)[0].rstrip()
    for look in _LOOKS:
        found = look(body, column)
        if found is not None:
            break
    else:
        found = _unexpected(text, column)
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


def _misspelt_keyword(body: str, column: int) -> Sentence | None:
    word = re.match(r"\s*(\S+)", body)
    if word is None or ">" in body or word[1] in KEYWORDS or designator(word[1]):
        return None
    meant = nearest(word[1], KEYWORDS)
    if meant is None:
        return None
    return keyword_sentence(word[1], meant, word.start(1) + 1)


def keyword_sentence(word: str, meant: str, column: int) -> Sentence:
    """About a first word that is almost a keyword."""
    if word.lower() == meant:
        return Sentence(
            "keyword.case",
            column,
            column + len(word),
            f"{shown(word)} is written with capitals.",
            "Keywords are written in small letters; capitals are for nets and parts.",
            f"Write {meant}.",
        )
    return Sentence(
        "keyword.unknown",
        column,
        column + len(word),
        f"{shown(word)} is not a keyword.",
        f"A line starts with a keyword ({', '.join(KEYWORDS)}) or is a walk with >.",
        f"Did you mean {meant}? For instance: {FORMS[meant]}",
    )


def _arrow_of_several_signs(body: str, column: int) -> Sentence | None:
    found = re.search(r"[-=]+>|<[-=]+|>>+|=>", body)
    if found is None or body.lstrip().startswith("want"):
        return None
    return Sentence(
        "walk.arrow",
        found.start() + 1,
        found.end() + 1,
        f"{shown(found[0])} is not the sign between items.",
        "The items of a walk are joined by a single > with a space on each side.",
        "Write > instead.",
    )


def _arrow_at_the_start(body: str, column: int) -> Sentence | None:
    if not body.lstrip().startswith((">", "||")):
        return None
    place = len(body) - len(body.lstrip()) + 1
    return Sentence(
        "walk.starts-with-arrow",
        place,
        place + 1,
        f"The walk starts with {body.lstrip()[0]}.",
        "A walk starts at a net or a pin; nothing is carried over from the line above.",
        "Write the net first: VA > R1 10k > gnd",
    )


def _arrow_at_the_end(body: str, column: int) -> Sentence | None:
    if not body.endswith(">"):
        return None
    return Sentence(
        "walk.ends-with-arrow",
        len(body),
        len(body) + 1,
        "The walk ends with >.",
        "A walk ends at a net or a pin, in the same line.",
        "Write the net it goes to, such as > gnd, or delete the last >.",
    )


def _double_arrow(body: str, column: int) -> Sentence | None:
    found = re.search(r">\s*>", body)
    if found is None:
        return None
    return Sentence(
        "walk.double-arrow",
        found.end(),
        found.end() + 1,
        "Two > stand next to each other.",
        "Between two > there is a net, a pin or a part.",
        "Delete one, or write what is missing.",
    )


def _side_by_side(body: str, column: int) -> Sentence | None:
    alone = re.search(r"(?<!\|)\|(?!\|)|\|\|\|+", body)
    if alone is not None:
        return Sentence(
            "walk.side-by-side",
            alone.start() + 1,
            alone.end() + 1,
            f"{shown(alone[0])} is not a sign of the notation.",
            "Parts side by side are joined by two strokes.",
            "Write ||: R6 470k || C4 22p",
        )
    empty = re.search(r">\s*(\|\|)|(\|\|)\s*(?:>|\|\||$)", body)
    if empty is None:
        return None
    place = empty.start(1 if empty[1] else 2) + 1
    return Sentence(
        "walk.side-by-side",
        place,
        place + 2,
        "A part is missing beside ||.",
        "|| joins parts that lie side by side between the same two nodes.",
        "Write a part on each side: R6 470k || C4 22p",
    )


def _parentheses(body: str, column: int) -> Sentence | None:
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


def _misplaced_notes(body: str, column: int) -> Sentence | None:
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


def _pin_setting(body: str, column: int) -> Sentence | None:
    if not re.match(r"\s*(supply|input|output|part|knob|trim|switch)\s", body):
        return None
    found = re.search(r"(?:^|\s)(=)|(=)\s*(?:=|\(|$)", body)
    if found is not None:
        place = found.start(1 if found[1] else 2) + 1
        return Sentence(
            "setting.incomplete",
            place,
            place + 1,
            "One side of = is missing.",
            "A pin and its net, or an option and its value, stand on the two sides of =.",
            "Write it as, for instance, v+=VA",
        )
    if re.search(r"=[^\s=]*=", body):
        place = body.index("=", body.index("=") + 1) + 1
        return Sentence(
            "setting.incomplete",
            place,
            place + 1,
            "There is a second = in one setting.",
            "Each pin has one net.",
            "Write two settings with a space between them: v+=VA v-=gnd",
        )
    at = re.search(r"\sat\s*$", body)
    if at is not None:
        return Sentence(
            "position.missing",
            len(body) - 1,
            len(body) + 1,
            "The position after 'at' is missing.",
            "A knob stands anywhere from 0 to 10, a switch at one of its positions.",
            "Write at 5.",
        )
    return None


def _arrow_in_statement(body: str, column: int) -> Sentence | None:
    keyword = re.match(r"\s*(\S+)", body)
    if keyword is None or keyword[1] not in KEYWORDS or body[column - 1 : column] not in (">", "|"):
        return None
    return Sentence(
        "statement.arrow",
        column,
        column + 1,
        f"{with_article(keyword[1]).capitalize()} line has no {body[column - 1]} in it.",
        f"{keyword[1]} is a keyword, so this line is not a walk.",
        f"Write {FORMS[keyword[1]]}, and walks in lines of their own; a net needs another name.",
    )


def _equals_in_walk(body: str, column: int) -> Sentence | None:
    if body[column - 1 : column] != "=":
        return None
    return Sentence(
        "walk.equals",
        column,
        column + 1,
        "There is a = in a walk.",
        "A walk says what is joined to what by going along it.",
        "Write pin=net in a part line, or join two nodes with >.",
    )


def _split_value(body: str, column: int) -> Sentence | None:
    found = re.search(r"(?:^|[\s>|])([A-Z]{1,2}\d+)\s+([+-]?[\d.,]+)\s+([A-Za-zµμΩ%]+)(?=\s|$)", body)
    if found is None or found.start(3) + 1 != column:
        return None
    return Sentence(
        "value.split",
        found.start(2) + 1,
        found.end(3) + 1,
        f"The value {found[2]} {found[3]} is written in two words.",
        "A value is one word.",
        f"Write {found[2]}{found[3]}",
    )


def _several_in_a_line(body: str, column: int) -> Sentence | None:
    found = re.search(r"(?:^|\s)(;)|(;)(?:\s|$)", body)
    if found is None:
        return None
    place = found.start(1 if found[1] else 2) + 1
    return Sentence(
        "line.semicolon",
        place,
        place + 1,
        "There is a semicolon in this line.",
        "A line holds one statement or one walk, and nothing marks its end.",
        "Write what follows in a line of its own; a comment starts with #.",
    )


def _missing_arrow(body: str, column: int) -> Sentence | None:
    word = re.match(r"[^\s<>|()=#]+", body[column - 1 :])
    if word is None:
        return None
    before = body[: column - 1].split()
    if ">" not in body and not (before and designator(before[0])):
        return None
    if before and designator(before[-1]) and ">" not in before[-2:]:
        # VA R1 10k: the parser stumbles over the value, but the sign is missing before the part.
        word = re.match(r"\S+", before[-1])
        column = body[: column - 1].rindex(before[-1]) + 1
        before.pop()
        assert word is not None
    if re.match(r"[\d.,]+%", word[0]):
        return Sentence(
            "walk.missing-arrow",
            column,
            column + len(word[0]),
            f"{shown(word[0])} stands alone after the value.",
            "Tolerances, ratings and types of construction are notes.",
            f"Write it in parentheses: ({word[0]})",
        )
    return Sentence(
        "walk.missing-arrow",
        column,
        column + len(word[0]),
        f"A > is missing before {shown(word[0])}.",
        "An item of a walk is a net, a pin, or a part with one value.",
        f"Write {' '.join(before[-2:])} > {word[0]}",
    )


def _unknown_statement(body: str, column: int) -> Sentence | None:
    word = re.match(r"\s*(\S+)", body)
    if word is None or ">" in body or word[1] in KEYWORDS:
        return None
    start = word.start(1) + 1
    return Sentence(
        "statement.unknown",
        start,
        start + len(word[1]),
        f"This line is neither a statement nor a walk: {shown(word[1])}.",
        f"A line starts with a keyword ({', '.join(KEYWORDS)}) or is a walk with >.",
        "Put # before it to make it a comment, or write a walk: IN > R1 10k > gnd",
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
    _misspelt_keyword,
    _arrow_in_statement,
    _arrow_of_several_signs,
    _arrow_at_the_start,
    _double_arrow,
    _arrow_at_the_end,
    _side_by_side,
    _parentheses,
    _misplaced_notes,
    _pin_setting,
    _equals_in_walk,
    _split_value,
    _several_in_a_line,
    _missing_arrow,
    _unknown_statement,
)
