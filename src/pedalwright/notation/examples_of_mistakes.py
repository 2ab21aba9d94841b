"""Mistakes by example: what a text must not hold, and the sentence each deserves.

The table (examples_of_mistakes.json) serves three times: it is the test of the reader, the page of the
manual, and the list of what is looked for.
"""

import json
from collections.abc import Mapping
from importlib.resources import files
from typing import NamedTuple


class MistakeExample(NamedTuple):
    """A text with a mistake; where the first remark about it points, and what it says; the text mended.

    `line` and `column` are None when the remark is about the text as a whole. The mended text is free of this
    mistake and of all others, though it need not be a whole pedal.
    """

    text: str
    code: str
    line: int | None
    column: int | None
    what: str
    mended: str


def mistake_examples() -> Mapping[str, tuple[MistakeExample, ...]]:
    """Every example, under the heading it has in the manual."""
    table = files("pedalwright.notation").joinpath("examples_of_mistakes.json").read_text(encoding="ascii")
    return {
        heading: tuple(MistakeExample(**row) for row in rows) for heading, rows in json.loads(table).items()
    }
