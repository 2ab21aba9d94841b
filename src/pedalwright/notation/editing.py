"""Changing one token of a text and leaving every other character as it is."""

import re

from pedalwright.circuit.span import Span
from pedalwright.notation.reading import examine
from pedalwright.notation.words import shown
from pedalwright.notation.written import Command, Position, Walk, Word, Written, WrittenLine, words_of
from pedalwright.units.values import ValueMistake

_ONE_WORD = re.compile(r"[^\s<>|()=#]+")


def change_value(text: str, ref: str, new_value: str) -> str:
    """The text with the value (or type) of one part replaced; a part without one gets it.

    KeyError when the text gives no such part; `ValueMistake` when the new value cannot be read for it.
    """
    line, kind, value = _value_of(examine(text).written, ref)
    return _changed(text, line, kind, value, new_value, before=" ")


def set_position(text: str, name: str, position: float | str) -> str:
    """The text with a knob or switch moved; `` at 7`` is added where it has none yet.

    `position` is 0..10 for a knob or trim, a position's name for a switch. KeyError when there is no such
    control; `ValueMistake` when it cannot stand there.
    """
    new = position if isinstance(position, str) else f"{position:g}"
    for line in examine(text).written.lines:
        command = line.statement
        if isinstance(command, Command) and _declares(command, ("knob", "trim", "switch"), name):
            given = [argument.value for argument in command.arguments if isinstance(argument, Position)]
            last = words_of(command)[-1]
            return _changed(text, line, last, given[0] if given else None, new, before=" at ")
    raise KeyError(name)


def _declares(command: Command, keywords: tuple[str, ...], name: str) -> bool:
    first = command.arguments[0] if command.arguments else None
    return command.keyword.text in keywords and isinstance(first, Word) and first.text == name


def _value_of(written: Written, ref: str) -> tuple[WrittenLine, Word, Word | None]:
    """The line that declares a part, the word its value follows, and the value if there is one."""
    for line in written.lines:
        match line.statement:
            case Walk(stops):
                for item in (item for stop in stops for item in stop):
                    if item.name.text == ref and item.value is not None:
                        return line, item.name, item.value
            case Command(_, arguments) as command if _declares(command, ("part", "knob", "trim"), ref):
                words = [argument for argument in arguments if isinstance(argument, Word)]
                before = 2 if command.keyword.text == "part" else 1
                if len(words) >= before:
                    return line, words[before - 1], words[before] if len(words) > before else None
    raise KeyError(ref)


def _changed(text: str, line: WrittenLine, last: Word, old: Word | None, new: str, before: str) -> str:
    """The text with `old` replaced, or `new` put in after `last`; refused when that makes a mistake there."""
    if not _ONE_WORD.fullmatch(new):
        raise ValueMistake(
            f"{shown(new)} is not one word.", "Write a value without spaces and signs, such as 4k7."
        )
    put_in = new if old is not None else before + new
    start, end = (old.column - 1, old.end - 1) if old is not None else (last.end - 1, last.end - 1)
    changed = line.text[:start] + put_in + line.text[end:]
    edited = _with_line(text, line.number, changed + line.ending)
    _refuse_mistake(edited, Span(line.number, start + 1, start + 1 + len(put_in)))
    return edited


def _with_line(text: str, number: int, replacement: str) -> str:
    mark = "\ufeff" if text.startswith("\ufeff") else ""
    pieces = text.removeprefix("\ufeff").split("\n")
    pieces[number - 1] = replacement.removesuffix("\n")
    return mark + "\n".join(pieces)


def _refuse_mistake(edited: str, place: Span) -> None:
    reading = examine(edited)
    if reading.circuit is not None:
        return
    for remark in reading.remarks:
        span = remark.span
        if span is not None and span.line == place.line and place.column <= span.column < place.end_column:
            raise ValueMistake(remark.what, remark.cure)
