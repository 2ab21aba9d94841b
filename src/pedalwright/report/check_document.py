"""What a review found, as a document for every medium."""

from itertools import groupby

from pedalwright.analysis.headroom import PICKUP_PEAKS_V
from pedalwright.report.blocks import Block, Box, Document, Facts, Paragraph, Points, Section, Table, Tone
from pedalwright.report.check_sentences import (
    accepted_sentence,
    caution_sentence,
    heading_of,
    idle_sentence,
    ladder_row,
    lines_of,
    measured,
    name_of,
    summary,
    unanswered_sentences,
    verdict,
    want_row,
)
from pedalwright.report.figures import figure
from pedalwright.report.identity import fingerprint, title_of
from pedalwright.report.safety import SAFETY
from pedalwright.review.reviewing import Review, Spoken
from pedalwright.review.rule import Gravity

MOST_LINES = 8
"""lines of the text that one finding quotes"""
TONES = {Gravity.DAMAGE: Tone.DOUBT, Gravity.DEAD: Tone.DOUBT}


def check_document(
    title: str, review: Review, text: str, text_sha256: str, *, in_full: bool = False
) -> Document:
    """The whole review: worst first, then what was accepted, what could not be judged, and the sum.

    `in_full` also tells why each finding matters, where its limit comes from, and the usual cautions, as a
    page that is read away from the program should.
    """
    safety = Section(anchor="safety", heading="Before you build or repair", blocks=(Box(SAFETY),))
    return Document(
        title=f"Review: {title_of(title)}",
        lead=(verdict(review),),
        sections=(
            *findings_sections(review, text, in_full=in_full),
            *brief_sections(review),
            *(ladder_sections(review) if in_full else ()),
            *_other_sections(review, text),
            *((safety,) if in_full else ()),
            Section(anchor="in-short", heading="In short", blocks=(_sum(review),)),
        ),
        closing=fingerprint(text_sha256) if in_full else (),
    )


def _sum(review: Review) -> Paragraph:
    good = review.is_clear and not review.misses_a_want
    return Paragraph(summary(review), Tone.GOOD if good else Tone.DOUBT)


def findings_sections(review: Review, text: str, *, in_full: bool) -> tuple[Section, ...]:
    """A section for each gravity something was found of."""
    return tuple(
        Section(
            anchor=f"gravity-{gravity.rank}",
            heading=heading_of(gravity),
            sections=_by_rule(review.of(gravity), text, in_full=in_full),
        )
        for gravity in Gravity
        if review.of(gravity)
    )


def _by_rule(found: tuple[Spoken, ...], text: str, *, in_full: bool) -> tuple[Section, ...]:
    """Findings of one rule stand together, the rules in the order of their first finding."""
    order = list(dict.fromkeys(one.rule.code for one in found))
    together = sorted(found, key=lambda one: order.index(one.rule.code))
    return tuple(
        section
        for _, ones in groupby(together, key=lambda one: one.rule.code)
        for section in _of_rule(tuple(ones), text, in_full=in_full)
    )


def _of_rule(found: tuple[Spoken, ...], text: str, *, in_full: bool) -> tuple[Section, ...]:
    """A section for each finding of one rule; the last one tells why it matters, when that is asked for."""
    rule, count = found[0].rule, len(found)
    reason = (Paragraph(f"{rule.why} (Limit: {rule.source}.)", Tone.QUIET),) if in_full else ()
    return tuple(
        Section(
            anchor=f"{rule.code}-{one.gravity.rank}-{place}",
            heading=rule.title,
            aside=name_of(one) if count == 1 else f"{name_of(one)}, {place} of {count}",
            blocks=(*finding_blocks(one, text), *(reason if place == count else ())),
        )
        for place, one in enumerate(found, start=1)
    )


def finding_blocks(spoken: Spoken, text: str) -> tuple[Block, ...]:
    """What was found, the lines it is about, the figures, and the cure."""
    finding = spoken.finding
    quoted = lines_of(text, spoken.spans)
    rows = [(f"line {number}", line) for number, line in quoted[:MOST_LINES]]
    if len(quoted) > MOST_LINES:
        rows.append(("lines", f"and {len(quoted) - MOST_LINES} more"))
    rows += [("measured", measured(one)) for one in finding.evidence]
    rows.append(("cure", finding.cure))
    return Paragraph(finding.what, TONES.get(spoken.gravity, Tone.LEAD)), Facts(tuple(rows))


def brief_sections(review: Review) -> tuple[Section, ...]:
    """Every want with what was measured and how far it is met or missed; nothing without wants."""
    if not review.wants:
        return ()
    table = Table(
        caption="What the text wants, measured on the whole circuit",
        columns=("wanted", "measured", "margin", "holds for"),
        rows=tuple(want_row(one) for one in review.wants),
    )
    return (Section(anchor="brief", heading="The brief", blocks=(table,)),)


def ladder_sections(review: Review) -> tuple[Section, ...]:
    """How high the sound stands at every stage; nothing where that is not known."""
    if not review.ladder:
        return ()
    table = Table(
        caption="Peaks for a source of so many volts, where each net comes nearest to its limit",
        columns=("at", "stage", *(figure(peak, "V") for peak in PICKUP_PEAKS_V), "can swing", "cut from"),
        rows=tuple(ladder_row(one) for one in review.ladder),
        figures=(2, 3, 4, 5, 6),
    )
    return (Section(anchor="headroom", heading="How loud at every stage", blocks=(table,)),)


def _other_sections(review: Review, text: str) -> tuple[Section, ...]:
    """What was accepted, what acceptances do nothing, what nobody could judge, what the reading noticed."""
    sections = (
        Section(anchor="accepted", heading="Accepted", sections=_accepted(review, text)),
        _points("idle", "Acceptances that silence nothing", map(idle_sentence, review.idle)),
        _points("not-judged", "Could not be judged", unanswered_sentences(review.unanswered)),
        _points("cautions", "Remarks on the text", map(caution_sentence, review.cautions)),
    )
    return tuple(section for section in sections if section.blocks or section.sections)


def _accepted(review: Review, text: str) -> tuple[Section, ...]:
    return tuple(
        Section(
            anchor=f"accepted-{number}",
            heading=one.rule.title,
            aside=name_of(one),
            blocks=(Paragraph(one.finding.what), Paragraph(accepted_sentence(one), Tone.QUIET)),
        )
        for number, one in enumerate(review.accepted, start=1)
    )


def _points(anchor: str, heading: str, sentences: "map[str] | tuple[str, ...]") -> Section:
    items = tuple(sentences)
    return Section(anchor=anchor, heading=heading, blocks=(Points(items),) if items else ())
