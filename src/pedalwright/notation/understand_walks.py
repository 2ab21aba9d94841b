"""A walk: nets and pins are nodes, parts lie between them; two parts in a row share a nameless net."""

import re
from typing import NamedTuple

from pedalwright.circuit.span import Span
from pedalwright.devices.catalogue import device, kinds, two_pin_device
from pedalwright.devices.device import Device
from pedalwright.notation.arguments import node
from pedalwright.notation.draft import Draft, DraftPart, Node
from pedalwright.notation.sentences import keyword_sentence
from pedalwright.notation.understand_parts import with_type_or_value
from pedalwright.notation.words import (
    KEYWORDS,
    VALUE_EXAMPLES,
    designator,
    did_you_mean,
    listed,
    nearest,
    shown,
    with_article,
)
from pedalwright.notation.written import Item, Walk, Word, WrittenLine

_TIGHT_ARROW = re.compile(r"(?:(?<=[^\s])>)|(?:>(?=[^\s]))")
_TYPE_NUMBER = re.compile(r"[0-9][NnSs][0-9]{2,5}[A-Za-z]{0,2}")
"""JEDEC and JIS type numbers; 1N4149 is also a voltage in nanovolts, but nobody means that."""
_ARROW_OF_SIGNS = re.compile(r"[-=~]+")


class _Says(NamedTuple):
    """A mistake about one word."""

    code: str
    word: Word
    what: str
    why: str
    cure: str


def take_walk(draft: Draft, line: WrittenLine, walk: Walk) -> None:
    """Add the parts of a walk and join what it joins."""
    if len(walk.stops) == 1:
        _note_single(draft, line, walk.stops[0])
        return
    _look_at_spacing(draft, line)
    here: Node | None = None
    for number, stop in enumerate(walk.stops):
        ends = _ends(draft, line, stop)
        if ends is None:
            here = None
            continue
        is_part = ends[0] is not ends[1]
        if is_part and number in (0, len(walk.stops) - 1):
            _note_open_end(draft, line, stop[0], at_start=number == 0)
        if here is not None:
            draft.joins.append((here, ends[0]))
        here = ends[1]


def _ends(draft: Draft, line: WrittenLine, stop: tuple[Item, ...]) -> tuple[Node, Node] | None:
    """The node a stop begins at and the one it ends at (the same for a net or pin); None when it failed."""
    if len(stop) == 1 and stop[0].value is None and stop[0].notes is None:
        only = node(line, stop[0].name)
        return only, only
    parts = [_part(draft, line, item, among=len(stop) > 1) for item in stop]
    found = [part for part in parts if part is not None]
    if not found or len(found) < len(parts):
        return None
    left, right = zip(
        *((Node(f"{part.ref}.1", part.span), Node(f"{part.ref}.2", part.span)) for part in found), strict=True
    )
    draft.joins.extend((left[0], other) for other in left[1:])
    draft.joins.extend((right[0], other) for other in right[1:])
    return left[0], right[0]


def _part(draft: Draft, line: WrittenLine, item: Item, among: bool) -> DraftPart | None:
    """The two-pin part an item describes, declared; None with the mistake noted."""
    name = item.name
    found = designator(name.text)
    if found is None or found.section:
        _note_no_designator(draft, line, item, among)
        return None
    if item.value is None:
        _note_no_value(draft, line, name, found.letters)
        return None
    notes = tuple(word.text for word in item.notes.words) if item.notes else ()
    plain, options = _notes_and_options(notes)
    word = item.value.text
    entry = two_pin_device(found.letters, word, plain)
    if entry is None or (entry.types and _TYPE_NUMBER.fullmatch(word) and not entry.type_named(word)):
        _note_unknown_two_pin(draft, line, name, found.letters, item.value)
        return None
    part = DraftPart(
        ref=name.text,
        kind=entry.kind,
        span=line.span(name),
        device=entry,
        notes=plain,
        options=options,
        section=draft.section,
    )
    valued = with_type_or_value(draft, line, part, item.value)
    if valued is None or not _known_options(draft, line, item, entry, options):
        return None
    return valued if draft.declare(valued) else None


def _notes_and_options(notes: tuple[str, ...]) -> tuple[tuple[str, ...], tuple[tuple[str, str], ...]]:
    """Notes written ``key=value`` are options."""
    plain = tuple(note for note in notes if "=" not in note)
    pairs = (note.partition("=") for note in notes if "=" in note)
    return plain, tuple((key.strip(), value.strip()) for key, _, value in pairs)


def _known_options(
    draft: Draft, line: WrittenLine, item: Item, entry: Device, options: tuple[tuple[str, str], ...]
) -> bool:
    for key, _ in options:
        if key not in entry.options and item.notes is not None:
            word = next(word for word in item.notes.words if word.text.startswith(key))
            draft.notebook.mistake(
                "option.unknown",
                line.span(word),
                f"{with_article(entry.kind).capitalize()} has no option {shown(key)}.",
                f"Its options are: {listed(entry.options) or 'none'}.",
                did_you_mean(key, entry.options, "Leave it away."),
            )
            return False
    return True


def _note_single(draft: Draft, line: WrittenLine, stop: tuple[Item, ...]) -> None:
    first = stop[0].name
    meant = nearest(first.text, KEYWORDS) if designator(first.text) is None and len(stop) == 1 else None
    if meant is not None:
        sentence = keyword_sentence(first.text, meant, first.column)
        draft.notebook.mistake(sentence.code, line.span(first), sentence.what, sentence.why, sentence.cure)
        return
    last = stop[-1].value or stop[-1].name
    draft.notebook.mistake(
        "walk.too-short",
        line.span(first, last),
        "A walk of one item joins nothing.",
        "A walk goes from a net or pin through parts to a net or pin.",
        f"Write what is on each side: IN > {line.text[first.column - 1 : last.end - 1].strip()[:40]} > gnd",
    )


def _look_at_spacing(draft: Draft, line: WrittenLine) -> None:
    end = line.comment.column - 1 if line.comment else len(line.text)
    found = _TIGHT_ARROW.search(line.text, 0, end)
    if found is not None:
        draft.notebook.caution(
            "walk.spacing",
            Span(line.number, found.start() + 1, found.end() + 1),
            "There is no space beside this >.",
            "It is read all the same, but the eye finds the items faster with spaces.",
            "Write a space on each side: IN > C1 100n",
        )


def _note_open_end(draft: Draft, line: WrittenLine, item: Item, *, at_start: bool) -> None:
    name = item.name.text
    place, cure = ("starts", f"IN > {name} ...") if at_start else ("ends", f"... {name} > gnd")
    code = "walk.starts-with-part" if at_start else "walk.ends-with-part"
    draft.notebook.mistake(
        code,
        line.span(item.name, item.value),
        f"The walk {place} with a part, so one end of {name} hangs in the air.",
        "A walk starts and ends at a net or a pin.",
        f"Write the net: {cure}",
    )


def _note_no_designator(draft: Draft, line: WrittenLine, item: Item, among: bool) -> None:
    says = _about_designator(item.name) or _about_place(item, among)
    draft.notebook.mistake(says.code, line.span(says.word), says.what, says.why, says.cure)


def _about_designator(name: Word) -> _Says | None:
    """A section of a package, or a designator in small letters."""
    section = designator(name.text)
    if section is not None:
        return _Says(
            "part.designator",
            name,
            f"{name.text} names a section of a package, not a part with two ends.",
            "A small letter after the number is for op-amp sections and switch poles.",
            f"Write {section.letters}{section.number}, or one of its pins.",
        )
    if name.text != name.text.upper() and designator(name.text.upper()) is not None:
        return _Says(
            "part.designator",
            name,
            f"{shown(name.text)} is not a designator.",
            "Designators are written with capital letters.",
            f"Write {name.text.upper()}.",
        )
    return None


def _about_place(item: Item, among: bool) -> _Says:
    """A net or pin where only a part can stand."""
    name, value = item.name, item.value
    if value is not None:
        return _about_value(name, value)
    if among:
        return _Says(
            "walk.side-by-side",
            name,
            f"{shown(name.text)} is not a part, so it cannot lie beside one.",
            "|| joins parts between the same two nodes; a net or pin is a node itself.",
            "Write the net before or after with >: VA > R1 10k || C1 100n > gnd",
        )
    return _Says(
        "notes.place",
        name,
        f"{shown(name.text)} is a net or pin and takes no notes.",
        "Only parts have notes.",
        "Take the parentheses out, or make it a comment with #.",
    )


def _about_value(name: Word, value: Word) -> _Says:
    """A net or pin with something behind it."""
    if _ARROW_OF_SIGNS.fullmatch(value.text):
        return _Says(
            "walk.arrow",
            value,
            f"{shown(value.text)} is not the sign between items.",
            "The items of a walk are joined by a single > with a space on each side.",
            "Write > instead.",
        )
    return _Says(
        "walk.missing-arrow",
        value,
        f"A > is missing between {shown(name.text)} and {shown(value.text)}.",
        f"{name.text} is no designator, so it cannot have a value.",
        f"Write {name.text} > {value.text}",
    )


def _note_no_value(draft: Draft, line: WrittenLine, name: Word, letters: str) -> None:
    example = VALUE_EXAMPLES.get(letters, "10k")
    draft.notebook.mistake(
        "value.missing",
        line.span(name),
        f"{name.text} has no value here.",
        "A part is given its value in the walk it lies in.",
        f"Write {name.text} {example}, or one of its pins ({name.text}.1) if it is given elsewhere.",
    )


def _note_unknown_two_pin(draft: Draft, line: WrittenLine, name: Word, letters: str, value: Word) -> None:
    entries = [device(kind) for kind in kinds()]
    fitting = [entry for entry in entries if letters in entry.letters and len(entry.pins) == 2]
    if not fitting:
        draft.notebook.mistake(
            "walk.many-pins",
            line.span(name, value),
            f"{name.text} cannot lie in a walk: it has more than two pins, or no such part is known.",
            "A part in a walk has exactly a left and a right end.",
            f"Write a line of its own (part {name.text} KIND ...) and walk to its pins.",
        )
        return
    types = [named for entry in fitting for named in entry.types]
    draft.notebook.mistake(
        "type.unknown",
        line.span(value),
        f"{name.text}: {shown(value.text)} is no type or value known for the letter {letters}.",
        f"Known are: {listed(types, 40) or 'values only'}.",
        did_you_mean(
            value.text, types, f"Write for instance {name.text} {VALUE_EXAMPLES.get(letters, '10k')}."
        ),
    )
