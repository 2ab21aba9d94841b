"""Mistakes by example: what a text must not hold, what is said about it, and the text mended."""

from pedalwright.notation.examples_of_mistakes import MistakeExample, mistake_examples
from reference_pages._markdown import page, table

FILE = "mistakes.md"
LONGEST = 160
"""letters of a text that are shown"""


def write() -> str:
    """The page."""
    intro = (
        "Every mistake in a text is told in one run, with its place, the reason and the cure. The codes "
        "never change their meaning. Line breaks are shown as a stroke (/)."
    )
    blocks = []
    for heading, examples in mistake_examples().items():
        rows = table(("written", "said", "code", "mended"), map(_row, examples))
        blocks += [f"## {heading}", rows]
    return page("Mistakes", intro, *blocks)


def _row(example: MistakeExample) -> tuple[str, ...]:
    return _one_line(example.text), example.what, example.code, _one_line(example.mended)


def _one_line(text: str) -> str:
    """A text on one line, and a word for nothing at all."""
    lines = [line.strip() for line in text.strip().splitlines()]
    said = " / ".join(lines) or "(nothing)"
    return said if len(said) <= LONGEST else f"{said[:LONGEST]} ..."
