"""The walk-through as Markdown."""

from pedalwright.analysis.records import Walk
from pedalwright.report.markdown_page import markdown_page
from pedalwright.report.walk_document import walk_document


def walk_markdown(walk: Walk, *, stages_only: bool = False) -> str:
    """The text of a Markdown file; plots are left out."""
    return markdown_page(walk_document(walk, stages_only=stages_only))
