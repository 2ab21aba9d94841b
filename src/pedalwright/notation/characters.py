"""Characters a text must not hold, because they cannot be seen or look like others."""

import re
import unicodedata
from typing import NamedTuple

TAB = "\t"
_HIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_DIRECTIONS = frozenset({"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI", "R", "L"})
LOOKALIKES = {
    "→": ">",
    "➔": ">",
    "⇒": ">",
    "＞": ">",
    "›": ">",
    "»": ">",
    "‖": "||",
    "∥": "||",
    "＝": "=",
    "＃": "#",
    "（": "(",
    "）": ")",
    "，": ",",
    "．": ".",
    "–": "-",
    "—": "-",
    "−": "-",
    "±": "+-",
    "“": "",
    "”": "",
    "‘": "",
    "’": "",
}


class StrangeCharacter(NamedTuple):
    """A character out of place: its column, what is wrong with it, why, and what to write instead."""

    column: int
    what: str
    why: str
    cure: str


def hidden_character(text: str) -> StrangeCharacter | None:
    """The first character of a line that cannot be seen, or None. Tabs are spacing and are welcome."""
    if text.isascii() and text.replace(TAB, " ").isprintable():
        return None
    for place, character in enumerate(text):
        if character != TAB and unicodedata.category(character) in _HIDDEN:
            return StrangeCharacter(
                place + 1,
                f"There is a hidden character here ({_named(character)}).",
                _why_hidden(character),
                "Delete it, or type the line again.",
            )
    return None


def look_alike(text: str, column: int) -> StrangeCharacter | None:
    """What to say about a character at `column` that is no part of the notation; None for an ordinary one."""
    character = text[column - 1 : column]
    if not character or character.isascii():
        return None
    if character in LOOKALIKES:
        meant = LOOKALIKES[character]
        cure = f"Write {meant} instead." if meant else "Leave the quotation mark away."
        return StrangeCharacter(
            column,
            f"{character} is not a sign of the notation.",
            "A word processor or a web page may have put it there.",
            cure,
        )
    if unicodedata.category(character) == "Zs":
        return StrangeCharacter(
            column,
            f"This looks like a space but is another character ({_named(character)}).",
            "Text copied from web pages often holds it.",
            "Write an ordinary space.",
        )
    return StrangeCharacter(
        column,
        f"The character {character} ({_named(character)}) cannot stand here.",
        "Names are made of Latin letters, digits and _ + -.",
        "Write it in Latin letters.",
    )


def strange_in_word(word: str) -> str | None:
    """The name of the first character of a word that is not plain Latin, or None."""
    found = re.search("[^\x00-\u024f]", word)
    return f"{found[0]} ({_named(found[0])})" if found else None


def _named(character: str) -> str:
    code = f"U+{ord(character):04X}"
    name = unicodedata.name(character, "").lower()
    return f"{code}, {name}" if name else code


def _why_hidden(character: str) -> str:
    if unicodedata.bidirectional(character) in _DIRECTIONS:
        return "It changes the direction the line is shown in, so what is read is not what is seen."
    return "It cannot be seen, so the text would not mean what it shows."
