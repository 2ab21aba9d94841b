"""The build document put together: its cover, and every section that has something to say."""

from dataclasses import dataclass
from functools import cache

from pedalwright.registry import load_family
from pedalwright.report.blocks import Block, Document, Section
from pedalwright.report.identity import fingerprint, title_of
from pedalwright.report.pack.cover import cover_blocks, lead_lines
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import PackSection
from pedalwright.report.paper.printing import pdf_document


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildDocument:
    """The document and what stands before its contents; `revision` is printed on every page."""

    document: Document
    cover: tuple[Block, ...]
    revision: str
    text_sha256: str
    moved: tuple[str, ...] = ()

    @property
    def stamp(self) -> str:
        """What the foot of every page says."""
        return ", ".join((f"revision {self.revision}", *self.moved))


@cache
def pack_sections() -> tuple[PackSection, ...]:
    """Every section there is, in the order of the document."""
    found = load_family("pedalwright.report.pack.sections", PackSection, "SECTION", key="name")
    return tuple(sorted(found, key=lambda section: section.place))


def build_document(dossier: Dossier) -> BuildDocument:
    """The whole build document of a circuit."""
    sections = tuple(section for one in pack_sections() if (section := _section(one, dossier)) is not None)
    document = Document(
        title=title_of(dossier.circuit.title),
        lead=lead_lines(dossier),
        sections=sections,
        closing=fingerprint(dossier.text_sha256),
    )
    return BuildDocument(
        document=document,
        cover=cover_blocks(dossier),
        revision=dossier.revision,
        text_sha256=dossier.text_sha256,
        moved=dossier.moved,
    )


def printed(built: BuildDocument) -> bytes:
    """The build document on paper: a tagged PDF with the revision on every page."""
    return pdf_document(built.document, cover=built.cover, stamp=built.stamp, mark=built.revision)


def html_document(built: BuildDocument) -> Document:
    """The same for a page without a cover of its own: what stands on the cover comes first."""
    first = Section(anchor="cover", heading="Before you begin", blocks=built.cover)
    document = built.document
    return Document(
        title=document.title,
        lead=document.lead,
        sections=(first, *document.sections),
        closing=(built.stamp, *document.closing),
    )


def _section(one: PackSection, dossier: Dossier) -> Section | None:
    made = one.build(dossier)
    if not (made.blocks or made.sections):
        return None
    return Section(anchor=one.name, heading=one.heading, blocks=made.blocks, sections=made.sections)
