"""Where in the text something was written."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of one line of the text.

    Line and columns count from 1; `end_column` is one past the last character.
    """

    line: int
    column: int
    end_column: int
