"""A remark as plain text: where, the line with a mark under the place, what, why, and the cure."""

import unicodedata
from collections.abc import Iterable

from pedalwright.circuit.remark import Remark, Severity
from pedalwright.circuit.span import Span
from pedalwright.notation.limits import MOST_REMARKS

WIDTH = 100
"""columns of a long line that are shown around the place"""
_UNSEEN = "\ufffd"


def present(remark: Remark, text: str, source: str = "") -> str:
    """One remark in a few lines; control characters of the `text` it is about never reach the terminal."""
    lines = [f"{_place(remark.span, source)}{_heading(remark)}"]
    line = _line_of(text, remark.span.line) if remark.span is not None else ""
    # A file that could not be read has a place, but no line to show.
    if remark.span is not None and line.strip():
        lines.extend(f"    {shown}" for shown in _line_and_mark(line, remark.span))
    lines.extend((f"  {safe(remark.why)}", f"  {safe(remark.cure)}"))
    return "\n".join(lines)


def present_all(remarks: Iterable[Remark], text: str, source: str = "") -> str:
    """Every remark with a blank line between; beyond `MOST_REMARKS` they are only counted."""
    every = tuple(remarks)
    shown = [present(remark, text, source) for remark in every[:MOST_REMARKS]]
    if len(every) > MOST_REMARKS:
        shown.append(f"and {len(every) - MOST_REMARKS} more remarks.")
    return "\n\n".join(shown)


def safe(text: str) -> str:
    """The text with every character that cannot be seen replaced, tabs by spaces; one character stays one."""
    return "".join(c if c.isprintable() else " " if c == "\t" else _UNSEEN for c in text)


def _place(span: Span | None, source: str) -> str:
    name = f"{safe(source)}, " if source else ""
    if span is None:
        return f"{name[:-2]}: " if source else ""
    return f"{name}line {span.line}, column {span.column}: "


def _heading(remark: Remark) -> str:
    caution = "caution: " if remark.severity is Severity.CAUTION else ""
    return f"{caution}{safe(remark.what)} [{remark.code}]"


def _line_of(text: str, number: int) -> str:
    lines = text.removeprefix("\ufeff").split("\n")
    return lines[number - 1].removesuffix("\r") if 0 < number <= len(lines) else ""


def _line_and_mark(line: str, span: Span) -> tuple[str, str]:
    """The line, cut to a window around the place, and the line of marks under it."""
    start, end = span.column - 1, max(span.end_column - 1, span.column)
    first = max(0, min(start - WIDTH // 2, len(line) - WIDTH))
    window = safe(line[first : first + WIDTH])
    lead, tail = ("... " if first else ""), (" ..." if first + WIDTH < len(line) else "")
    before = columns(lead + window[: start - first])
    marks = max(1, columns(window[start - first : end - first]))
    return f"{lead}{window}{tail}", " " * before + "^" * marks


def columns(text: str) -> int:
    """How many columns of a terminal a text takes: wide letters two, combining marks none."""
    return sum(0 if unicodedata.combining(c) else 1 + (unicodedata.east_asian_width(c) in "WF") for c in text)
