"""``accept``: a finding of the review that the writer knows about, and the reason to let it stand."""

from pedalwright.circuit.ports import Acceptance
from pedalwright.circuit.span import Span
from pedalwright.notation.arguments import node
from pedalwright.notation.draft import Draft, DraftAcceptance
from pedalwright.notation.words import FORMS, nearest, shown
from pedalwright.notation.written import Assent, Word, WrittenLine

BECAUSE = "because"
_FORM = "accept CODE REF ... because REASON"


def take_assent(draft: Draft, line: WrittenLine, assent: Assent) -> None:
    """Keep an acceptance with its reason, or note what it lacks."""
    texts = [word.text for word in assent.words]
    if not texts or texts[0] == BECAUSE:
        _note(draft, line, "accept.no-code", assent.keyword, "No rule is named after accept.")
        return
    if BECAUSE not in texts:
        _note_no_because(draft, line, assent)
        return
    place = texts.index(BECAUSE)
    reason = assent.words[place + 1 :]
    if not any(character.isalnum() for word in reason for character in word.text):
        _note(draft, line, "accept.no-reason", assent.words[place], "There is no reason after because.")
        return
    kept = Acceptance(
        code=texts[0],
        reason=" ".join(word.text for word in reason),
        parts=tuple(texts[1:place]),
        span=line.span(assent.keyword, reason[-1]),
    )
    nodes = tuple(node(line, word) for word in assent.words[1:place])
    draft.accepts.append(DraftAcceptance(nodes=nodes, what=kept))


def _note_no_because(draft: Draft, line: WrittenLine, assent: Assent) -> None:
    """The misspelt word when there is one, else the end of the line."""
    misspelt = next((word for word in assent.words[1:] if nearest(word.text, (BECAUSE,))), None)
    if misspelt is not None:
        what = f"{shown(misspelt.text)} stands where because belongs."
        _note(draft, line, "accept.no-because", misspelt, what)
        return
    last = assent.words[-1]
    after = Word(" ", last.end)
    _note(draft, line, "accept.no-because", after, "The word because and a reason are missing.")


def _note(draft: Draft, line: WrittenLine, code: str, word: Word, what: str) -> None:
    draft.notebook.mistake(
        code,
        Span(line.number, word.column, word.end),
        what,
        f"A finding is accepted with its rule and a reason, so that a later reader knows why: {_FORM}",
        f"Write it as, for instance: {FORMS['accept']}",
    )
