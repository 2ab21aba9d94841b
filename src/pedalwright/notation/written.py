"""The text as written: every statement with the place of every word. It may be incomplete or wrong."""

import re
from dataclasses import dataclass

from pedalwright.circuit.span import Span


@dataclass(frozen=True, slots=True)
class Word:
    """A word, value or sign; `column` counts from 1."""

    text: str
    column: int

    @property
    def end(self) -> int:
        """One past the last column."""
        return self.column + len(self.text)

    def split(self) -> tuple["Word", ...]:
        """The words of a free text, each with its own place."""
        return tuple(Word(found[0], self.column + found.start()) for found in re.finditer(r"\S+", self.text))


@dataclass(frozen=True, slots=True)
class Setting:
    """``key=value``."""

    key: Word
    value: Word


@dataclass(frozen=True, slots=True)
class Position:
    """``at VALUE``."""

    at: Word
    value: Word


@dataclass(frozen=True, slots=True)
class Notes:
    """The words in parentheses after a part."""

    words: tuple[Word, ...]


Argument = Word | Setting | Position | Notes


@dataclass(frozen=True, slots=True)
class Heading:
    """``pedal``, ``about`` or ``section`` and its free text."""

    keyword: Word
    text: Word | None


@dataclass(frozen=True, slots=True)
class Point:
    """``point NET text``."""

    keyword: Word
    net: Word | None
    text: Word | None


@dataclass(frozen=True, slots=True)
class Wish:
    """``want`` and its words and comparison signs."""

    keyword: Word
    words: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class Assent:
    """``accept`` and its words."""

    keyword: Word
    words: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class Command:
    """A statement made of a keyword and arguments."""

    keyword: Word
    arguments: tuple[Argument, ...]


@dataclass(frozen=True, slots=True)
class Item:
    """One item of a walk: a net, a pin, or a part with its value and notes."""

    name: Word
    value: Word | None
    notes: Notes | None


@dataclass(frozen=True, slots=True)
class Walk:
    """Items joined by ``>``; each stop holds one item, or several joined by ``||``."""

    stops: tuple[tuple[Item, ...], ...]


Statement = Heading | Point | Wish | Assent | Command | Walk


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenLine:
    """One line: its text without the line ending, the ending, and what was read from it.

    `statement` is None for a blank line, a line with a comment only, and a line that could not be read
    (`readable` tells).
    """

    number: int
    text: str
    ending: str
    statement: Statement | None = None
    comment: Word | None = None
    readable: bool = True

    def span(self, first: Word, last: Word | None = None) -> Span:
        """The place of a word, or from one word to another."""
        return Span(self.number, first.column, (last or first).end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A whole text, line by line; nothing of it is lost."""

    lines: tuple[WrittenLine, ...]
    byte_order_mark: bool = False


def print_back(written: Written) -> str:
    """The text exactly as it was: spacing, comments, line endings and byte order mark."""
    mark = "\ufeff" if written.byte_order_mark else ""
    return mark + "".join(line.text + line.ending for line in written.lines)


def words_of(statement: Statement) -> tuple[Word, ...]:
    """Every word of a statement, in the order of the line."""
    match statement:
        case Heading(keyword, text):
            return (keyword, text) if text else (keyword,)
        case Point(keyword, net, text):
            return tuple(word for word in (keyword, net, text) if word)
        case Wish(keyword, words) | Assent(keyword, words):
            return (keyword, *words)
        case Command(keyword, arguments):
            return (keyword, *(word for argument in arguments for word in _words_of_argument(argument)))
        case Walk(stops):
            return tuple(word for stop in stops for item in stop for word in _words_of_item(item))


def _words_of_argument(argument: Argument) -> tuple[Word, ...]:
    match argument:
        case Word():
            return (argument,)
        case Setting(key, value) | Position(key, value):
            return (key, value)
        case Notes(words):
            return words


def _words_of_item(item: Item) -> tuple[Word, ...]:
    notes = item.notes.words if item.notes else ()
    return (item.name, item.value, *notes) if item.value else (item.name, *notes)
