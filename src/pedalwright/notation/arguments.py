"""What every statement asks of its arguments: enough words, readable values, known words, usable names."""

from collections.abc import Iterable
from typing import NamedTuple

from pedalwright.circuit.span import Span
from pedalwright.notation.characters import strange_in_word
from pedalwright.notation.draft import Draft, Node
from pedalwright.notation.limits import LONGEST_NAME
from pedalwright.notation.notebook import Notebook
from pedalwright.notation.words import (
    FORMS,
    RESERVED,
    designator,
    did_you_mean,
    is_name,
    listed,
    shown,
    with_article,
)
from pedalwright.notation.written import Command, Notes, Position, Setting, Word, WrittenLine
from pedalwright.units.values import Quantity, ValueMistake, parse_value


class Arguments(NamedTuple):
    """A command's arguments by kind."""

    words: tuple[Word, ...]
    settings: tuple[Setting, ...]
    positions: tuple[Position, ...]
    notes: tuple[Word, ...]


def arguments_of(command: Command) -> Arguments:
    """Sort a command's arguments."""
    given = command.arguments
    return Arguments(
        words=tuple(argument for argument in given if isinstance(argument, Word)),
        settings=tuple(argument for argument in given if isinstance(argument, Setting)),
        positions=tuple(argument for argument in given if isinstance(argument, Position)),
        notes=tuple(word for argument in given if isinstance(argument, Notes) for word in argument.words),
    )


def enough_words(
    draft: Draft, line: WrittenLine, command: Command, names: tuple[str, ...], most: int
) -> bool:
    """True when there are at least as many words as `names` and at most `most`; else the mistake is noted."""
    words, keyword = arguments_of(command).words, command.keyword.text
    if len(words) < len(names):
        last = words[-1] if words else command.keyword
        draft.notebook.mistake(
            "statement.incomplete",
            Span(line.number, last.end, last.end + 1),
            f"The {names[len(words)]} is missing.",
            f"{with_article(keyword).capitalize()} line says {listed(names)}.",
            f"Write it as, for instance: {FORMS[keyword]}",
        )
        return False
    if len(words) > most:
        draft.notebook.mistake(
            "statement.extra-word",
            line.span(words[most]),
            f"{shown(words[most].text)} is one word too many.",
            f"{with_article(keyword).capitalize()} line says {listed(names)}.",
            f"Write it as, for instance: {FORMS[keyword]}",
        )
        return False
    return True


def refuse_others(draft: Draft, line: WrittenLine, command: Command, **welcome: bool) -> bool:
    """Note settings, positions or notes that this statement does not take; True when there are none."""
    given, keyword = arguments_of(command), command.keyword.text
    strays = [
        *((setting.key, "A setting (with =)") for setting in given.settings if not welcome.get("settings")),
        *((position.at, "A position (at)") for position in given.positions if not welcome.get("positions")),
        *((note, "A note in parentheses") for note in given.notes if not welcome.get("notes")),
    ]
    for word, what in strays:
        draft.notebook.mistake(
            "statement.stray-argument",
            line.span(word),
            f"{what} does not belong in {with_article(keyword)} line.",
            f"Its form is: {FORMS[keyword]}",
            f"Take {shown(word.text)} out.",
        )
    return not strays


def read_value(notebook: Notebook, span: Span, text: str, quantity: Quantity) -> float | None:
    """The number a word stands for, or None with the mistake noted."""
    try:
        return parse_value(text, quantity)
    except ValueMistake as mistake:
        code = "value.decimal-comma" if "," in text else "value.unreadable"
        notebook.mistake(
            code,
            span,
            mistake.reason,
            f"{with_article(quantity.noun).capitalize()} is read here.",
            mistake.cure,
        )
        return None


def read_above_zero(notebook: Notebook, span: Span, text: str, quantity: Quantity) -> float | None:
    """Like `read_value`, for a value that cannot be zero or less."""
    value = read_value(notebook, span, text, quantity)
    if value is not None and value <= 0:
        notebook.mistake(
            "value.not-above-zero",
            span,
            f"{shown(text)} is not above zero.",
            f"With a {quantity.noun} of zero or less this means nothing.",
            f"Write a {quantity.noun} such as {quantity.value.example}.",
        )
        return None
    return value


def known_word(
    draft: Draft, line: WrittenLine, word: Word, known: Iterable[str], code: str, what: str
) -> bool:
    """True when the word is one of `known`; else the mistake names the nearest."""
    known = tuple(known)
    if word.text in known:
        return True
    draft.notebook.mistake(
        code,
        line.span(word),
        f"{shown(word.text)} is not {what}.",
        f"Known are: {listed(known)}.",
        did_you_mean(word.text, known, f"Write one of: {listed(known)}."),
    )
    return False


def node(line: WrittenLine, word: Word) -> Node:
    """A net or pin mentioned by a word."""
    return Node(word.text, line.span(word))


def usable_name(notebook: Notebook, span: Span, text: str, what: str, example: str) -> bool:
    """True when `text` can name a net, knob or switch; else the mistake says why not."""
    if is_name(text) and text not in RESERVED and designator(text) is None:
        return True
    code, why = _why_no_name(text)
    notebook.mistake(code, span, f"{shown(text)} cannot be {what}.", why, f"Write a name such as {example}.")
    return False


def _why_no_name(text: str) -> tuple[str, str]:
    strange = strange_in_word(text)
    if text in RESERVED:
        return "name.reserved", f"{text} is a keyword."
    if designator(text) is not None:
        return "name.designator", "It has the shape of a designator, and those name parts."
    if len(text) > LONGEST_NAME:
        return "name.too-long", f"A name has at most {LONGEST_NAME} characters."
    if strange is not None:
        return "name.character", f"It holds {strange}; names are made of Latin letters, digits and _ + -."
    if text[0].isdigit() or (text[0] in "+-." and len(text) > 1 and text[1].isdigit()):
        return "name.number", "It reads as a number; a name starts with a letter."
    return "name.character", "A name starts with a letter and goes on with letters, digits and _ + - only."
