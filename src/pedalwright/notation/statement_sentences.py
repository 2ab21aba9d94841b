"""What a statement can look like that the grammar refuses; the looks are built as those of walks are."""

import re

from pedalwright.notation.sentences import Sentence, keyword_sentence
from pedalwright.notation.words import FORMS, KEYWORDS, YOUNGER, designator, nearest, shown, with_article


def misspelt_keyword(body: str, column: int) -> Sentence | None:
    """``suply VIN``."""
    word = re.match(r"\s*(\S+)", body)
    if word is None or ">" in body or word[1] in KEYWORDS or designator(word[1]):
        return None
    meant = nearest(word[1], KEYWORDS)
    if meant is None:
        return None
    return keyword_sentence(word[1], meant, word.start(1) + 1)


def arrow_in_statement(body: str, column: int) -> Sentence | None:
    """``output OUT 1M > gnd``."""
    keyword = re.match(r"\s*(\S+)", body)
    if keyword is None or keyword[1] not in {*KEYWORDS} - YOUNGER:
        return None
    if body[column - 1 : column] not in (">", "|"):
        return None
    return Sentence(
        "statement.arrow",
        column,
        column + 1,
        f"{with_article(keyword[1]).capitalize()} line has no {body[column - 1]} in it.",
        f"{keyword[1]} is a keyword, so this line is not a walk.",
        f"Write {FORMS[keyword[1]]}, and walks in lines of their own; a net needs another name.",
    )


def pin_setting(body: str, column: int) -> Sentence | None:
    """One side of ``=`` missing, two ``=``, or ``at`` without a position."""
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


def several_in_a_line(body: str, column: int) -> Sentence | None:
    """``IN > gnd ; VA > gnd``."""
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


def unknown_statement(body: str, column: int) -> Sentence | None:
    """No keyword, no arrow."""
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
