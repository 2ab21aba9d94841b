"""The walk-through on the terminal."""

from io import StringIO

from rich.console import Console

from pedalwright.analysis.records import Walk
from pedalwright.report.terminal_page import WIDEST, console_for, print_page
from pedalwright.report.walk_document import walk_document


def print_walk(walk: Walk, console: Console | None = None, *, stages_only: bool = False) -> None:
    """Print the walk-through on a console, the output when None."""
    print_page(walk_document(walk, stages_only=stages_only), console or console_for())


def walk_text(walk: Walk, width: int = WIDEST) -> str:
    """What `print_walk` writes into a pipe of that many columns."""
    stream = StringIO()
    print_walk(walk, console_for(stream, width))
    return stream.getvalue()
