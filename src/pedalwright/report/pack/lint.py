"""Whether everything that is handed over agrees: the document with its circuit, and its lists, its figures,
its schematic and its table of parts with one another.
"""

import re
from collections import Counter
from collections.abc import Iterable

from pedalwright.circuit.circuit import Circuit
from pedalwright.report.blocks import Pictures
from pedalwright.report.pack.assembling import BuildDocument
from pedalwright.report.pack.lint_figures import figures_that_differ
from pedalwright.report.pack.lint_lists import lists_that_differ
from pedalwright.report.pack.own_words import DESIGNATOR, known_names, strangers_in_the_text
from pedalwright.report.pack.texts import block_texts, sections_of, texts

SCHEMATIC = "schematic"
OF_BEFORE = "changes"
"""the section that may name parts which are gone"""
_DRAWN = re.compile(r'data-ref="([^"]*)"')


def disagreements(built: BuildDocument, circuit: Circuit, csv_text: str | None = None) -> tuple[str, ...]:
    """Every way in which a document does not agree with the circuit or with itself, a sentence each; empty
    when none. With `csv_text` the table of parts is held against it, too.
    """
    found = (
        *_strangers(built, circuit),
        *lists_that_differ(built.document, circuit, csv_text),
        *_not_drawn(built, circuit),
        *figures_that_differ(built, circuit),
        *_anchors_twice(built),
        *_unstamped(built),
    )
    return tuple(dict.fromkeys(found))


def _strangers(built: BuildDocument, circuit: Circuit) -> Iterable[str]:
    """Designators that the circuit does not have and its writer does not speak of."""
    known = {*known_names(circuit), *strangers_in_the_text(circuit)}
    told = [("cover", [text for block in built.cover for text in block_texts(block)])]
    told += [(one.heading, list(texts(one))) for one in built.document.sections if one.anchor != OF_BEFORE]
    for heading, said in told:
        for ref in sorted({found for text in said for found in DESIGNATOR.findall(text)} - known):
            yield f"'{heading}' names {ref}, which the circuit does not have."


def _not_drawn(built: BuildDocument, circuit: Circuit) -> Iterable[str]:
    for section in built.document.sections:
        if section.anchor != SCHEMATIC:
            continue
        svgs = [one.svg for block in section.blocks if isinstance(block, Pictures) for one in block.items]
        drawn = {ref for svg in svgs for ref in _DRAWN.findall(svg) if not ref.startswith("port/")}
        yield from (f"The schematic leaves out {ref}." for ref in circuit.by_ref if ref not in drawn)
        yield from (
            f"The schematic draws {ref}, which the circuit does not have."
            for ref in sorted(drawn)
            if ref not in circuit.by_ref
        )


def _anchors_twice(built: BuildDocument) -> Iterable[str]:
    counted = Counter(section.anchor for section in sections_of(built.document))
    yield from (f"Two sections have the anchor {anchor}." for anchor, times in counted.items() if times > 1)


def _unstamped(built: BuildDocument) -> Iterable[str]:
    if built.revision not in built.stamp:
        yield "The foot of the page does not name the revision."
    if not built.text_sha256.startswith(built.revision):
        yield "The revision is not that of the text."
    if not any(built.text_sha256 in line for line in built.document.closing):
        yield "The document does not close with the fingerprint of the text."
