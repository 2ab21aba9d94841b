"""From a word to the node it means: a net, or a pin of a part that may be declared further down."""

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.span import Span
from pedalwright.notation.arguments import usable_name
from pedalwright.notation.draft import Draft, DraftPart, Node, mention
from pedalwright.notation.words import (
    GROUND_SPELLINGS,
    VALUE_EXAMPLES,
    designator,
    did_you_mean,
    listed,
    shown,
)


class Resolver:
    """Resolves mentions against the declared parts; `first_mention` keeps each node's first place."""

    def __init__(self, draft: Draft) -> None:
        self._draft = draft
        self._pins = {part.ref: _spellings(part) for part in draft.parts.values()}
        self.first_mention: dict[str, Span] = {}

    def key(self, node: Node) -> str | None:
        """The key of a node (``VA``, ``U1.a.inv``), or None with the mistake noted."""
        key = node.text if node.text in self.first_mention else self._find(node)
        if key is not None:
            self.first_mention.setdefault(key, node.span)
        return key

    def _find(self, node: Node) -> str | None:
        if node.text.lower() in GROUND_SPELLINGS:
            if node.text != GROUND:
                self._draft.notebook.caution(
                    "net.ground-spelling",
                    node.span,
                    f"{shown(node.text)} is read as ground.",
                    "Ground is written gnd, so that there is only one of it.",
                    "Write gnd.",
                )
            return GROUND
        if "." in node.text.strip(".") and not node.text[0].isdigit():
            return self._pin(node)
        if node.text in self._draft.parts:
            self._note_part_without_pin(node, self._draft.parts[node.text])
            return None
        if designator(node.text) is not None:
            self._note_bare_designator(node)
            return None
        usable = usable_name(self._draft.notebook, node.span, node.text, "a net", "VA")
        return node.text if usable else None

    def _pin(self, node: Node) -> str | None:
        base, _, pin = node.text.partition(".")
        part, prefix = self._draft.parts.get(base), ""
        if part is None and base[:-1] in self._draft.parts and len(base) > 1:
            part, prefix = self._draft.parts[base[:-1]], f"{base[-1]}."
        if part is None:
            self._note_unknown_part(node, base)
            return None
        found = self._pins[part.ref].get(prefix + pin)
        if found is None:
            self._note_unknown_pin(node, part, prefix, pin)
            return None
        return f"{part.ref}.{found}"

    def _note_part_without_pin(self, node: Node, part: DraftPart) -> None:
        mentions = _mentions(part)
        self._draft.notebook.mistake(
            "part.without-pin",
            node.span,
            f"{part.ref} is a part, and which of its pins is meant is not said.",
            f"{part.ref} is declared in line {part.span.line}; after that only its pins are mentioned.",
            f"Write one of: {listed(mentions)}",
        )

    def _note_bare_designator(self, node: Node) -> None:
        """A designator alone, of a part that is declared nowhere."""
        example = VALUE_EXAMPLES.get(node.text.rstrip("0123456789"))
        if example is None or node.text in self._draft.doubtful:
            self._note_unknown_part(node, node.text)
            return
        self._draft.notebook.mistake(
            "value.missing",
            node.span,
            f"{node.text} has no value, here or anywhere else.",
            "A part is given its value where it lies in a walk; later only its pins are mentioned.",
            f"Write {node.text} {example}",
        )

    def _note_unknown_part(self, node: Node, base: str) -> None:
        doubtful, parts = self._draft.doubtful, self._draft.parts
        if base in doubtful or base[:-1] in doubtful:
            return
        found = designator(base)
        package = f"{found.letters}{found.number}" if found else base
        line = f"part {package} KIND" if found else f"knob {base} 50k linear, or switch {base} up down"
        if found and found.letters in ("R", "C", "L", "D", "F", "BT"):
            line = f"{package} with its value, between two nets"
        self._draft.notebook.mistake(
            "part.unknown",
            node.span,
            f"There is no {shown(base)} in this text.",
            "The point separates a part, knob or switch from its pin, and that is declared nowhere.",
            did_you_mean(base, parts, f"Declare it: {line}."),
        )

    def _note_unknown_pin(self, node: Node, part: DraftPart, prefix: str, pin: str) -> None:
        mentions = _mentions(part)
        self._draft.notebook.mistake(
            "pin.unknown",
            node.span,
            f"{part.ref} ({part.kind}) has no pin {shown(prefix + pin)}.",
            f"Its pins are: {listed(mentions, 20)}.",
            did_you_mean(node.text, mentions, f"Write one of these, such as {mentions[0]}."),
        )


def _spellings(part: DraftPart) -> dict[str, str]:
    """Every way to write a pin of this part, with the pin's own name."""
    found: dict[str, str] = {}
    for pin in part.pins:
        for spelling in (pin.name, *pin.aliases):
            found.setdefault(spelling, pin.name)
    return found


def _mentions(part: DraftPart) -> list[str]:
    """The pins as a walk mentions them: U1a.inv, U1.v+."""
    return [mention(part.ref, pin.name) for pin in part.pins]
