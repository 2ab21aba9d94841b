"""What a walk can look like that the grammar refuses.

Every look takes the line without its comment and the column where the grammar gave up, and returns what to
say, or None when the line does not look like that.
"""

import re

from pedalwright.notation.sentences import Sentence
from pedalwright.notation.words import designator, shown


def arrow_of_several_signs(body: str, column: int) -> Sentence | None:
    """``->``, ``=>``, ``>>``."""
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


def arrow_at_the_start(body: str, column: int) -> Sentence | None:
    """``> R1 10k``."""
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


def arrow_at_the_end(body: str, column: int) -> Sentence | None:
    """``R1 10k >``."""
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


def double_arrow(body: str, column: int) -> Sentence | None:
    """``IN > > R1``."""
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


def side_by_side(body: str, column: int) -> Sentence | None:
    """A single stroke, or nothing beside ``||``."""
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


def equals_in_walk(body: str, column: int) -> Sentence | None:
    """``IN = VA``."""
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


def split_value(body: str, column: int) -> Sentence | None:
    """``R1 10 k``."""
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


def missing_arrow(body: str, column: int) -> Sentence | None:
    """``R1 10k VA``."""
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
