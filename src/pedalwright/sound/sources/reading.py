"""A wish for a built-in sound, as written: ``pluck:E2``, ``chord:Am,seconds=4s``, ``sweep:20Hz..20kHz``.

A name, after a colon the value of its first option, then further options with commas between.
"""

import re
from dataclasses import dataclass
from difflib import get_close_matches

from pedalwright.circuit.remark import Remark
from pedalwright.circuit.span import Span
from pedalwright.devices.sources import source_figures
from pedalwright.sound.sources.catalogue import source, source_names
from pedalwright.sound.sources.chosen import ChosenSource
from pedalwright.sound.sources.notes import shown
from pedalwright.sound.sources.options import HIGHEST_V, INPUTS_LEVEL
from pedalwright.sound.sources.source import Option, Settings, Source, Value
from pedalwright.sound.unusable import UnusableSound
from pedalwright.units.values import ValueMistake, print_value

LONGEST_WISH = 300
PICKUP_V = source_figures("pickup").level_v
_NAME = re.compile(r"\s*([A-Za-z]+)\s*(?:[:,].*)?", re.DOTALL)


@dataclass(frozen=True, slots=True)
class _Piece:
    """A stretch of the wish, its blanks trimmed, and the column it begins at."""

    text: str
    column: int

    @property
    def span(self) -> Span:
        return Span(1, self.column, self.column + max(1, len(self.text)))

    def part(self, begin: int, end: int | None = None) -> "_Piece":
        inner = self.text[begin:end]
        return _Piece(inner.strip(), self.column + begin + len(inner) - len(inner.lstrip()))


def is_source(wish: str) -> bool:
    """Whether a word asks for a built-in sound, rightly written or not, rather than naming a file."""
    found = _NAME.fullmatch(wish)
    return found is not None and found.group(1).lower() in source_names()


def read_source(wish: str, *, level_v: float = PICKUP_V) -> ChosenSource:
    """The built-in sound a wish asks for, at `level_v` [V peak] where it names no level itself.

    Raises UnusableSound with every mistake in the wish, each with its column.
    """
    if not 0 < level_v <= HIGHEST_V:
        raise ValueError(f"{level_v} V is no level of a sound; it is above 0 and at most {HIGHEST_V:g} V")
    if len(wish) > LONGEST_WISH:
        too_long = ("The wish for a sound is too long.", f"It may have {LONGEST_WISH} signs.", "Shorten it.")
        raise UnusableSound((_remark("sound.too-long", None, *too_long),))
    head, *rest = _pieces(wish)
    name, main = _split(head, ":")
    found = _named(name)
    remarks: list[Remark] = []
    values = _defaults(found, level_v)
    for option, piece in _said(found, main, rest, remarks):
        _read_into(values, option, piece, remarks)
    settings = Settings(values)
    if not remarks and (mistake := found.mistake(settings)):
        remarks.append(_remark("sound.values", _Piece(wish, 1), mistake, "", _for_instance(found)))
    if remarks:
        raise UnusableSound(tuple(remarks))
    return ChosenSource(source=found, settings=settings, wish=wish.strip())


def _pieces(wish: str) -> list[_Piece]:
    starts = [0, *(found.end() for found in re.finditer(",", wish))]
    ends = [*(start - 1 for start in starts[1:]), len(wish)]
    whole = _Piece(wish, 1)
    return [whole.part(start, end) for start, end in zip(starts, ends, strict=True)]


def _split(piece: _Piece, sign: str) -> tuple[_Piece, _Piece | None]:
    place = piece.text.find(sign)
    if place < 0:
        return piece, None
    return piece.part(0, place), piece.part(place + 1)


def _named(name: _Piece) -> Source:
    try:
        return source(name.text.lower())
    except KeyError:
        names = source_names()
        near = get_close_matches(name.text.lower(), names, n=1)
        cure = f"Did you mean '{near[0]}'?" if near else f"There are {', '.join(names)}."
        what = f"There is no built-in sound '{shown(name.text)}'."
        raise UnusableSound((_remark("sound.unknown", name, what, "", cure),)) from None


def _defaults(found: Source, level_v: float) -> dict[str, Value]:
    return {
        option.name: level_v if option.usual == INPUTS_LEVEL else option.read(option.usual)
        for option in found.options
    }


def _said(
    found: Source, main: _Piece | None, rest: list[_Piece], remarks: list[Remark]
) -> list[tuple[Option, _Piece]]:
    """The options written down, each once; what is none of them becomes a remark."""
    said: dict[str, tuple[Option, _Piece]] = {}
    if main is not None:
        if found.has_main:
            said[found.options[0].name] = found.options[0], main
        else:
            what = f"Nothing is written after the colon of '{found.name}'."
            remarks.append(_remark("sound.no-main", main, what, "", _for_instance(found)))
    for piece in rest:
        key, value = _split(piece, "=")
        option = found.option(key.text.lower())
        if option is None or value is None:
            remarks.append(_unknown_option(found, key, value))
        elif option.name in said:
            twice = f"{option.name} is said twice."
            remarks.append(_remark("sound.twice", piece, twice, "", "Keep one of the two."))
        else:
            said[option.name] = option, value
    return list(said.values())


def _unknown_option(found: Source, key: _Piece, value: _Piece | None) -> Remark:
    names = [option.name for option in found.options]
    option = found.option(key.text.lower())
    if value is None and option is not None:
        what = f"Nothing is said for {option.name}."
        return _remark("sound.option", key, what, "", f"Write {option.name}={option.example}.")
    what = f"'{shown(key.text)}' is no option of '{found.name}'."
    return _remark(
        "sound.option", key, what, "", f"Its options are {', '.join(names)}, written {_example(found)}."
    )


def _read_into(values: dict[str, Value], option: Option, piece: _Piece, remarks: list[Remark]) -> None:
    try:
        value = option.read(piece.text)
    except ValueMistake as mistake:
        what = f"{option.name}: {mistake.reason}"
        remarks.append(_remark("sound.value", piece, what, "", mistake.cure))
        return
    inner = value if isinstance(value, tuple) else (value,)
    if all(option.lowest <= one <= option.highest for one in inner):
        values[option.name] = value
        return
    what = f"{option.name}: '{shown(piece.text)}' is out of reach."
    cure = f"It lies between {_printed(option, option.lowest)} and {_printed(option, option.highest)}."
    remarks.append(_remark("sound.out-of-reach", piece, what, "", cure))


def _printed(option: Option, value: float) -> str:
    if option.unit == "%":
        return f"{100 * value:g} %"
    return print_value(value, option.unit) if option.unit else f"{value:.0f}"


def _example(found: Source) -> str:
    option = found.options[1] if found.has_main else found.options[0]
    main = f":{found.options[0].example}" if found.has_main else ""
    return f"{found.name}{main},{option.name}={option.example}"


def _for_instance(found: Source) -> str:
    return f"Write, for instance, {_example(found)}."


def _remark(code: str, piece: _Piece | None, what: str, why: str, cure: str) -> Remark:
    return Remark(code=code, span=None if piece is None else piece.span, what=what, why=why, cure=cure)
