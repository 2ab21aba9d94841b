"""``knob``, ``trim`` and ``switch``: the parts a hand moves."""

import re

from pedalwright.circuit.span import Span
from pedalwright.devices.catalogue import device
from pedalwright.notation.arguments import (
    arguments_of,
    enough_words,
    known_word,
    read_above_zero,
    read_value,
    refuse_others,
    usable_name,
)
from pedalwright.notation.draft import Draft, DraftPart
from pedalwright.notation.words import FORMS, listed, nearest, shown
from pedalwright.notation.written import Command, Position, Word, WrittenLine
from pedalwright.units.values import Quantity

LAWS = ("linear", "audio", "reverse-audio")
_LAW_HINTS = {
    "log": "audio",
    "logarithmic": "audio",
    "lin": "linear",
    "antilog": "reverse-audio",
    "rev-log": "reverse-audio",
    "a": "audio",
    "b": "linear",
    "c": "reverse-audio",
}
_LETTER_AT_THE_VALUE = re.compile(r"([\d.]+[RkKM]?\d*)([ABCabc])", re.ASCII)
LOWEST_POSITION, HIGHEST_POSITION, MIDDLE_POSITION = 0.0, 10.0, 5.0
_POSITION_NAME = re.compile(r"[^\W_][\w+\-]{0,39}")
POLES = "abcd"


def take_control(draft: Draft, line: WrittenLine, command: Command) -> None:
    """Keep a knob, a trim or a switch."""
    if command.keyword.text == "switch":
        _take_switch(draft, line, command)
    else:
        _take_knob(draft, line, command)


def _take_knob(draft: Draft, line: WrittenLine, command: Command) -> None:
    clean = refuse_others(draft, line, command, positions=True)
    if _note_letter_at_the_value(draft, line, command):
        return
    if not enough_words(draft, line, command, ("name", "resistance", "law"), 3):
        return
    name, ohms_word, law = arguments_of(command).words
    usable = usable_name(draft.notebook, line.span(name), name.text, "the name of a knob", "TONE")
    ohms = read_above_zero(draft.notebook, line.span(ohms_word), ohms_word.text, Quantity.RESISTANCE)
    setting = _knob_position(draft, line, command)
    if not (_known_law(draft, line, law) and clean and usable) or ohms is None or setting is None:
        return
    draft.declare(
        DraftPart(
            ref=name.text,
            kind=command.keyword.text,
            span=line.span(name),
            device=device(command.keyword.text),
            value=ohms,
            value_text=ohms_word.text,
            law=law.text,
            setting=setting,
            section=draft.section,
            value_span=line.span(ohms_word),
        )
    )


def _note_letter_at_the_value(draft: Draft, line: WrittenLine, command: Command) -> bool:
    """``50kB``: a law's letter behind the resistance, as stamped on some parts; noted, and True."""
    words = arguments_of(command).words
    found = _LETTER_AT_THE_VALUE.fullmatch(words[1].text) if len(words) > 1 else None
    if found is None:
        return False
    written, letter = found[1], found[2]
    law = words[2].text if len(words) > 2 and words[2].text in LAWS else _LAW_HINTS[letter.lower()]
    draft.notebook.mistake(
        "knob.letter",
        line.span(words[1]),
        f"The {letter} behind {written} is no part of a resistance.",
        "Stamped on a part it stands for the law of its track; letters mean different laws on different "
        "continents.",
        f"Write {written} {law}, or measure: a linear track has half its resistance at half turn.",
    )
    return True


def _known_law(draft: Draft, line: WrittenLine, law: Word) -> bool:
    hint = _LAW_HINTS.get(law.text.lower())
    if hint is None:
        return known_word(draft, line, law, LAWS, "knob.law", "a law of a knob's track")
    draft.notebook.mistake(
        "knob.law",
        line.span(law),
        f"{shown(law.text)} is not the word for a knob's law here.",
        f"The laws are {listed(LAWS)}; letters mean different laws on different continents.",
        f"Write {hint}.",
    )
    return False


def _the_position(draft: Draft, line: WrittenLine, command: Command) -> Position | None:
    """The ``at`` of a statement; a second one is a mistake."""
    positions = arguments_of(command).positions
    for extra in positions[1:]:
        draft.notebook.mistake(
            "position.twice",
            line.span(extra.at, extra.value),
            "There is a position already.",
            "A control stands in one position at a time.",
            "Delete one of the two.",
        )
    return positions[0] if positions else None


def _knob_position(draft: Draft, line: WrittenLine, command: Command) -> float | None:
    position = _the_position(draft, line, command)
    if position is None:
        return MIDDLE_POSITION
    word = position.value
    if "," in word.text:
        return read_value(draft.notebook, line.span(word), word.text, Quantity.NUMBER)
    try:
        value = float(word.text) if word.text[0].isdecimal() and word.text.isascii() else -1.0
    except ValueError:
        value = -1.0
    if not LOWEST_POSITION <= value <= HIGHEST_POSITION:
        draft.notebook.mistake(
            "knob.position",
            line.span(word),
            f"A knob cannot stand at {word.text}.",
            "Knobs go from 0 (fully counter-clockwise) to 10 (fully clockwise).",
            "Write a position from 0 to 10: at 5",
        )
        return None
    return value


def _take_switch(draft: Draft, line: WrittenLine, command: Command) -> None:
    if not enough_words(draft, line, command, ("name", "first position", "second position"), 14):
        return
    name, *words = arguments_of(command).words
    usable = usable_name(draft.notebook, line.span(name), name.text, "the name of a switch", "MODE")
    positions = _switch_positions(draft, line, words)
    poles = _poles(draft, line, command)
    setting = _switch_setting(draft, line, command, [word.text for word in words])
    clean = refuse_others(draft, line, command, positions=True, settings=True)
    if not (usable and positions and clean) or poles is None or setting is None:
        return
    draft.declare(
        DraftPart(
            ref=name.text,
            kind="switch",
            span=line.span(name),
            device=device("switch"),
            setting=setting,
            pin_names=_switch_pins(positions, poles),
            section=draft.section,
        )
    )


def _switch_pins(positions: tuple[str, ...], poles: int) -> tuple[str, ...]:
    """``common`` and one pin a position; with several poles each has its own set (``a.common`` ...)."""
    contacts = ("common", *positions)
    if poles == 1:
        return contacts
    return tuple(f"{pole}.{contact}" for pole in POLES[:poles] for contact in contacts)


def _switch_positions(draft: Draft, line: WrittenLine, words: list[Word]) -> tuple[str, ...]:
    """The positions' names, or nothing with the mistake noted."""
    seen: list[str] = []
    for word in words:
        if word.text == "common" or word.text in seen or not _POSITION_NAME.fullmatch(word.text):
            reason = (
                "common is the moving contact."
                if word.text == "common"
                else "Two positions have this name."
                if word.text in seen
                else "A position's name is made of letters and digits."
            )
            draft.notebook.mistake(
                "switch.position-name",
                line.span(word),
                f"{shown(word.text)} cannot name a position here.",
                reason,
                f"Write it as, for instance: {FORMS['switch']}",
            )
            return ()
        seen.append(word.text)
    return tuple(seen)


def _poles(draft: Draft, line: WrittenLine, command: Command) -> int | None:
    poles = 1
    for setting in arguments_of(command).settings:
        if setting.key.text != "poles":
            draft.notebook.mistake(
                "option.unknown",
                line.span(setting.key),
                f"A switch has no option {shown(setting.key.text)}.",
                "Its only option is poles. Its pins are joined in walks.",
                "Write poles=2, or NAME.common > ... in a walk.",
            )
            return None
        if setting.value.text not in [str(count) for count in range(1, len(POLES) + 1)]:
            draft.notebook.mistake(
                "switch.poles",
                line.span(setting.value),
                f"A switch cannot have {shown(setting.value.text)} poles.",
                f"It has from 1 to {len(POLES)}.",
                "Write poles=2.",
            )
            return None
        poles = int(setting.value.text)
    return poles


def _switch_setting(draft: Draft, line: WrittenLine, command: Command, positions: list[str]) -> str | None:
    position = _the_position(draft, line, command)
    if position is None:
        return positions[0]
    if position.value.text in positions:
        return position.value.text
    meant = nearest(position.value.text, positions) or positions[0]
    span = Span(line.number, position.value.column, position.value.end)
    draft.notebook.mistake(
        "switch.position",
        span,
        f"The switch has no position {shown(position.value.text)}.",
        f"Its positions are {listed(positions)}.",
        f"Write at {meant}.",
    )
    return None
