"""``part``: anything with more than two pins."""

from dataclasses import replace

from pedalwright.devices.catalogue import device, kinds
from pedalwright.devices.device import Device, Pin
from pedalwright.notation.arguments import arguments_of, enough_words, node, read_value, refuse_others
from pedalwright.notation.draft import Draft, DraftPart, Node
from pedalwright.notation.words import FORMS, designator, did_you_mean, listed, shown, with_article
from pedalwright.notation.written import Command, Setting, Word, WrittenLine
from pedalwright.units.values import Quantity

_STATEMENTS_OF_THEIR_OWN = ("knob", "trim", "switch")


def take_part(draft: Draft, line: WrittenLine, command: Command) -> None:
    """Keep a part, and join the pins that its line puts on nets."""
    clean = refuse_others(draft, line, command, settings=True, notes=True)
    given = arguments_of(command)
    if len(given.words) > 1 and given.words[1].text in _STATEMENTS_OF_THEIR_OWN:
        _note_statement_of_its_own(draft, line, given.words[1])
        return
    if not enough_words(draft, line, command, ("designator", "kind"), 3):
        return
    ref, kind, *word = given.words
    entry = _entry(draft, line, kind)
    if entry is None or not _fits(draft, line, ref, entry) or not clean:
        return
    part = DraftPart(
        ref=ref.text,
        kind=entry.kind,
        span=line.span(ref),
        device=entry,
        section=draft.section,
        notes=tuple(note.text for note in given.notes),
    )
    if word:
        named = with_type_or_value(draft, line, part, word[0])
        if named is None:
            return
        part = named
    _take_settings(draft, line, part, given.settings)


def _note_statement_of_its_own(draft: Draft, line: WrittenLine, kind: Word) -> None:
    draft.notebook.mistake(
        "kind.statement",
        line.span(kind),
        f"A {kind.text} has a statement of its own.",
        "It has a name and a position instead of a designator.",
        f"Write {FORMS[kind.text]}",
    )


def _entry(draft: Draft, line: WrittenLine, kind: Word) -> Device | None:
    """The device of a kind, or None with the mistake noted."""
    known = [name for name in kinds() if name not in _STATEMENTS_OF_THEIR_OWN]
    try:
        return device(kind.text)
    except KeyError:
        draft.notebook.mistake(
            "kind.unknown",
            line.span(kind),
            f"{shown(kind.text)} is not a kind of part.",
            f"Known are: {listed(known, 40)}.",
            did_you_mean(kind.text, known, "Write one of these kinds."),
        )
        return None


def _fits(draft: Draft, line: WrittenLine, ref: Word, entry: Device) -> bool:
    """True when the designator's letters are those of the kind."""
    found = designator(ref.text)
    letter = entry.letters[0] if entry.letters else "U"
    if found is None:
        draft.notebook.mistake(
            "part.designator",
            line.span(ref),
            f"{shown(ref.text)} is not a designator.",
            "A designator is one of the letters R C L D Q U F SW J BT and a number.",
            f"Write {letter}1 for instance.",
        )
    elif found.section:
        draft.notebook.mistake(
            "part.designator",
            line.span(ref),
            f"{ref.text} names one section of a package.",
            "A part line describes the whole package.",
            f"Write {found.letters}{found.number}.",
        )
    elif entry.letters and found.letters not in entry.letters:
        draft.notebook.mistake(
            "part.letters",
            line.span(ref),
            f"The letter {found.letters} does not fit a part of kind {entry.kind}.",
            f"IEEE 315 gives it {' or '.join(entry.letters)}.",
            f"Write {letter}{found.number}.",
        )
    else:
        return True
    return False


def with_type_or_value(draft: Draft, line: WrittenLine, part: DraftPart, word: Word) -> DraftPart | None:
    """The part with the word as its type if its kind knows such a type, else as its value."""
    entry = part.device
    named = entry.type_named(word.text)
    if named:
        return replace(part, type=named, value_span=line.span(word))
    if entry.value_of:
        value = read_value(draft.notebook, line.span(word), word.text, Quantity[entry.value_of.upper()])
        if value is None:
            return None
        return replace(part, value=value, value_text=word.text, value_span=line.span(word))
    _note_unknown_type(draft, line, part, entry, word)
    return None


def _note_unknown_type(draft: Draft, line: WrittenLine, part: DraftPart, entry: Device, word: Word) -> None:
    if entry.types:
        draft.notebook.mistake(
            "type.unknown",
            line.span(word),
            f"No {entry.kind} of type {shown(word.text)} is known.",
            f"Known are: {listed(entry.types, 40)}.",
            did_you_mean(word.text, entry.types, f"Write one of these, such as {next(iter(entry.types))}."),
        )
    else:
        draft.notebook.mistake(
            "type.unknown",
            line.span(word),
            f"{with_article(entry.kind).capitalize()} has no types and takes no value: {shown(word.text)}.",
            "There is one model of it.",
            f"Write: part {part.ref} {entry.kind} and its pins.",
        )


def _take_settings(draft: Draft, line: WrittenLine, part: DraftPart, settings: tuple[Setting, ...]) -> None:
    """Pins become joins, options stay with the part."""
    entry = part.device
    pins = part.pins
    options: dict[str, str] = {}
    joins: list[tuple[Node, Node]] = []
    for setting in settings:
        key = setting.key.text
        if pin_named(pins, key) is not None:
            joins.append((Node(f"{part.ref}.{key}", line.span(setting.key)), node(line, setting.value)))
        elif key in options:
            draft.notebook.mistake(
                "option.twice",
                line.span(setting.key),
                f"{key} is there already.",
                "An option has one value.",
                "Delete one of the two.",
            )
        elif key in entry.options:
            options[key] = setting.value.text
        elif entry.type_named(key):
            _note_nameless_pin(draft, line, setting)
        else:
            _note_unknown_setting(draft, line, entry, pins, setting.key)
    if draft.declare(replace(part, options=tuple(options.items()))):
        draft.joins.extend(joins)


def _note_nameless_pin(draft: Draft, line: WrittenLine, setting: Setting) -> None:
    """``TL072 =VA``: the word before the sign belongs to the part, so the pin's name was forgotten."""
    draft.notebook.mistake(
        "setting.incomplete",
        line.span(setting.key, setting.value),
        "The pin's name before = is missing.",
        f"{setting.key.text} is the type of the part.",
        f"Write the type, a space, then pin=net: {setting.key.text} v+={setting.value.text}",
    )


def _note_unknown_setting(
    draft: Draft, line: WrittenLine, entry: Device, pins: tuple[Pin, ...], key: Word
) -> None:
    names = [pin.name for pin in pins]
    options = f" Its options are: {listed(entry.options)}." if entry.options else ""
    spellings = [*names, *(alias for pin in pins for alias in pin.aliases), *entry.options]
    draft.notebook.mistake(
        "pin.unknown",
        line.span(key),
        f"{with_article(entry.kind).capitalize()} has no pin or option {shown(key.text)}.",
        f"Its pins are: {listed(names, 20)}.{options}",
        did_you_mean(key.text, spellings, f"Write one of these, such as {names[0] if names else 'in'}=VA."),
    )


def pin_named(pins: tuple[Pin, ...], word: str) -> str | None:
    """The pin's own name for a name or alias, or None."""
    return next((pin.name for pin in pins if pin.name == word or word in pin.aliases), None)
