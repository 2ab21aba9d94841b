"""The parser for one line, built from grammar.lark on first use."""

from functools import cache, lru_cache
from importlib.resources import files
from typing import NamedTuple

from lark import Lark, Token, Transformer
from lark.exceptions import UnexpectedInput, UnexpectedToken

from pedalwright.notation.limits import MOST_LINES
from pedalwright.notation.written import (
    Argument,
    Assent,
    Command,
    Heading,
    Item,
    Notes,
    Point,
    Position,
    Setting,
    Statement,
    Walk,
    Wish,
    Word,
)


class ParsedLine(NamedTuple):
    """What one line holds."""

    statement: Statement | None
    comment: Word | None


class LineRefused(Exception):
    """The grammar cannot read the line from this column on."""

    def __init__(self, column: int) -> None:
        super().__init__(f"column {column}")
        self.column = column


@lru_cache(maxsize=MOST_LINES)
def parse_line(text: str) -> ParsedLine:
    """Read one line without its ending; raises `LineRefused`.

    Lines are remembered: while somebody edits a text, all but one of its lines are the same as before.
    """
    try:
        return _parser().parse(text)  # type: ignore[return-value]
    except UnexpectedInput as refusal:
        at_end = isinstance(refusal, UnexpectedToken) and refusal.token.type == "$END"
        raise LineRefused(len(text.rstrip()) + 1 if at_end else refusal.column) from None


@cache
def _parser() -> Lark:
    grammar = files("pedalwright.notation").joinpath("grammar.lark").read_text(encoding="utf-8")
    return Lark(grammar, parser="lalr", maybe_placeholders=False, transformer=_Records())


def _word(token: Token) -> Word:
    return Word(token.value, token.column or 1)


class _Records(Transformer[Token, ParsedLine]):
    """Turns each rule into its record while the line is parsed, so no tree is ever built."""

    def start(self, children: list[Statement | Token]) -> ParsedLine:
        found = [_word(child) if isinstance(child, Token) else child for child in children]
        comment = next((child for child in found if isinstance(child, Word)), None)
        return ParsedLine(next((child for child in found if not isinstance(child, Word)), None), comment)

    def heading(self, children: list[Token]) -> Heading:
        return Heading(_word(children[0]), _word(children[1]) if len(children) > 1 else None)

    def point(self, children: list[Token]) -> Point:
        keyword, net, text = [*map(_word, children), None, None][:3]
        assert keyword is not None
        return Point(keyword, net, text)

    def want(self, children: list[Token]) -> Wish:
        keyword, *words = map(_word, children)
        return Wish(keyword, tuple(words))

    def accept(self, children: list[Token]) -> Assent:
        keyword, *text = map(_word, children)
        return Assent(keyword, tuple(word for said in text for word in said.split()))

    def command(self, children: list[Token | Argument]) -> Command:
        keyword, *arguments = [_word(child) if isinstance(child, Token) else child for child in children]
        assert isinstance(keyword, Word)
        return Command(keyword, tuple(arguments))

    def setting(self, children: list[Token]) -> Setting:
        return Setting(_word(children[0]), _word(children[1]))

    def position(self, children: list[Token]) -> Position:
        return Position(_word(children[0]), _word(children[1]))

    def notes(self, children: list[Token]) -> Notes:
        return Notes(tuple(map(_word, children)))

    def item(self, children: list[Token | Notes]) -> Item:
        words = [_word(child) for child in children if isinstance(child, Token)]
        notes = children[-1] if isinstance(children[-1], Notes) else None
        return Item(words[0], words[1] if len(words) > 1 else None, notes)

    def beside(self, children: list[Item]) -> tuple[Item, ...]:
        return tuple(children)

    def walk(self, children: list[tuple[Item, ...] | Token]) -> Walk:
        return Walk(tuple(child for child in children if not isinstance(child, Token)))
