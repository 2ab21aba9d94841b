"""Section 1b: what the review finds about this circuit, and what its writer has accepted."""

from collections.abc import Iterable

from pedalwright.report.blocks import Block, Paragraph, Points, Section, Tone
from pedalwright.report.check_sentences import (
    accepted_sentence,
    caution_sentence,
    heading_of,
    idle_sentence,
    summary,
    unanswered_sentences,
    verdict,
)
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.own_words import strangers_in_the_text
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.review.rule import Gravity


def build(dossier: Dossier) -> Chapter:
    """The verdict, the findings with their cures, worst first, and what was let pass with its reason."""
    found = dossier.review
    tone = Tone.DOUBT if not found.is_clear else Tone.LEAD
    return chapter(
        [Paragraph(verdict(found), tone), Paragraph(summary(found), Tone.QUIET)],
        [*_findings(dossier), *_others(dossier)],
    )


def _findings(dossier: Dossier) -> Iterable[Section]:
    for gravity in Gravity:
        said = [f"{one.finding.what} {one.finding.cure}" for one in dossier.review.of(gravity)]
        yield from _points(f"review-{gravity.rank}", heading_of(gravity), said)


def _others(dossier: Dossier) -> Iterable[Section]:
    found = dossier.review
    accepted = [f"{one.finding.what} {_closed(accepted_sentence(one))}" for one in found.accepted]
    yield from _points("review-accepted", "Known and accepted", accepted)
    yield from _points("review-idle", "Accepted, but not found", map(idle_sentence, found.idle))
    yield from _points(
        "review-words", "Remarks on the text", [*_strangers(dossier), *map(caution_sentence, found.cautions)]
    )
    yield from _points("review-unanswered", "Could not be judged", unanswered_sentences(found.unanswered))


def _strangers(dossier: Dossier) -> Iterable[str]:
    for ref in strangers_in_the_text(dossier.circuit):
        yield f"The words of the text speak of {ref}; there is no such part."


def _closed(sentence: str) -> str:
    return sentence if sentence.endswith((".", "!", "?")) else f"{sentence}."


def _points(anchor: str, heading: str, sentences: Iterable[str]) -> Iterable[Section]:
    items = tuple(sentences)
    if items:
        blocks: tuple[Block, ...] = (Points(items),)
        yield Section(anchor=anchor, heading=heading, blocks=blocks)


SECTION = PackSection(name="review-says", place=1.5, heading="What the review says", build=build)
