"""Build documents of circuits, made once for all tests that look at them."""

from functools import cache
from io import BytesIO

from pypdf import PdfReader

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import Circuit
from pedalwright.notation import read_text
from pedalwright.report.blocks import Document, Section, Table
from pedalwright.report.pack.assembling import BuildDocument, build_document
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.texts import sections_of
from pedalwright.report.paper.printing import pdf_document

LOOKED_AT = (
    "lantern-echo",
    "plumtree-fuzz",
    "grainloft-reverb",
    "millwheel-tremolo",
    "lesson-diode-clipper",
    "windowsill-tone",
)


@cache
def dossier_of(name: str) -> Dossier:
    """The dossier of a circuit of the package."""
    return dossier_of_text(circuits.text(name))


def dossier_of_text(text: str) -> Dossier:
    """The dossier of a text."""
    return Dossier(Analysis(read_text(text), text))


@cache
def built(name: str) -> BuildDocument:
    """The build document of a circuit of the package."""
    return build_document(dossier_of(name))


@cache
def pdf_of(name: str) -> bytes:
    """The same on paper."""
    return printed(built(name))


def printed(made: BuildDocument) -> bytes:
    """A build document as the verb prints it."""
    return pdf_document(made.document, cover=made.cover, stamp=made.stamp, mark=made.revision)


def pages_of(pdf: bytes) -> list[str]:
    """The text of every page, without places to break a word."""
    return [page.extract_text().replace("\u200b", "") for page in PdfReader(BytesIO(pdf)).pages]


def section_of(document: Document, anchor: str) -> Section:
    """The section of that anchor, wherever it stands."""
    return next(section for section in sections_of(document) if section.anchor == anchor)


def rows_of(section: Section, *columns: str) -> list[tuple[str, ...]]:
    """Those columns of the section's own tables."""
    tables = [block for block in section.blocks if isinstance(block, Table)]
    return [
        tuple(row[table.columns.index(column)] for column in columns)
        for table in tables
        if set(columns) <= set(table.columns)
        for row in table.rows
    ]


def circuit_of(name: str) -> Circuit:
    """A circuit of the package."""
    return dossier_of(name).circuit
