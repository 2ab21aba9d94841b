"""What the pages share: the note at their head, tables, text blocks."""

from collections.abc import Iterable, Sequence

from pedalwright.report.markdown_page import escaped

WRITTEN = "Written by `make docs` from the program itself; do not edit."


def page(title: str, *blocks: str) -> str:
    """A page of blocks under its title and the note that it is written by the program."""
    return "\n\n".join([f"# {title}", WRITTEN, *(block for block in blocks if block)]) + "\n"


def table(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A pipe table; every cell is escaped."""
    lines = [_row(columns), _row(["---"] * len(columns))]
    lines += [_row([escaped(cell) for cell in row]) for row in rows]
    return "\n".join(lines) if len(lines) > 2 else ""


def paragraphs(text: str) -> list[str]:
    """The paragraphs of a docstring, escaped."""
    return [escaped(paragraph) for paragraph in text.strip().split("\n\n") if paragraph.strip()]


def code(text: str) -> str:
    """A text as it stands."""
    return f"```text\n{text.rstrip()}\n```"


def _row(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |"
