"""The walk-through as one self-contained HTML page."""

from pedalwright.analysis.records import Walk
from pedalwright.report.blocks import Section
from pedalwright.report.html_page import html_page
from pedalwright.report.walk_document import walk_document


def walk_html(walk: Walk, *, stages_only: bool = False, more: tuple[Section, ...] = ()) -> str:
    """The text of the page; the same bytes for the same walk-through.

    `more` sections stand before the stages.
    """
    return html_page(walk_document(walk, stages_only=stages_only, more=more), contents=not stages_only)
