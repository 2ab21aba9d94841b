"""Text to Written: lines, statements and comments, with a remark for every line that cannot be read."""

from pedalwright.circuit.span import Span
from pedalwright.notation.characters import hidden_character
from pedalwright.notation.grammar import LineRefused, parse_line
from pedalwright.notation.limits import LARGEST_FILE_BYTES, LONGEST_LINE, MOST_LINES
from pedalwright.notation.notebook import Notebook
from pedalwright.notation.syntax_mistakes import note_refused_line
from pedalwright.notation.written import Written, WrittenLine

_MARK = "\ufeff"


def write_down(text: str, notebook: Notebook) -> Written:
    """Read every line on its own, so one bad line never hides another; remarks go into the notebook."""
    mark, text = text.startswith(_MARK), text.removeprefix(_MARK)
    pieces = text.split("\n")
    endings = ["\n"] * (len(pieces) - 1) + [""]
    if not _within_limits(text, len(pieces) - (not pieces[-1]), notebook):
        lines = tuple(
            WrittenLine(number=number, text=piece, ending=ending, readable=False)
            for number, (piece, ending) in enumerate(zip(pieces, endings, strict=True), 1)
        )
        return Written(lines=lines, byte_order_mark=mark)
    lines = tuple(
        _line(number, piece, ending, notebook)
        for number, (piece, ending) in enumerate(zip(pieces, endings, strict=True), 1)
    )
    return Written(lines=lines, byte_order_mark=mark)


def _within_limits(text: str, lines: int, notebook: Notebook) -> bool:
    if len(text) > LARGEST_FILE_BYTES:
        notebook.mistake(
            "text.too-large",
            None,
            f"The text has {len(text)} characters.",
            f"At most {LARGEST_FILE_BYTES} are read; a pedal needs a few thousand.",
            "Check that this is a circuit text, or split it into several pedals.",
        )
        return False
    if lines > MOST_LINES:
        notebook.mistake(
            "text.too-many-lines",
            Span(MOST_LINES + 1, 1, 2),
            f"The text has {lines} lines.",
            f"At most {MOST_LINES} are read.",
            "Check that this is a circuit text, or split it into several pedals.",
        )
        return False
    return True


def _line(number: int, piece: str, ending: str, notebook: Notebook) -> WrittenLine:
    if piece.endswith("\r"):
        piece, ending = piece[:-1], "\r" + ending
    if not _line_is_clean(number, piece, notebook):
        return WrittenLine(number=number, text=piece, ending=ending, readable=False)
    if not piece or (piece.isspace() and piece.isascii()):
        return WrittenLine(number=number, text=piece, ending=ending)
    try:
        parsed = parse_line(piece)
    except LineRefused as refusal:
        note_refused_line(number, piece, refusal.column, notebook)
        return WrittenLine(number=number, text=piece, ending=ending, readable=False)
    return WrittenLine(
        number=number, text=piece, ending=ending, statement=parsed.statement, comment=parsed.comment
    )


def _line_is_clean(number: int, piece: str, notebook: Notebook) -> bool:
    """Long lines and hidden characters are refused before any word is looked at."""
    if len(piece) > LONGEST_LINE:
        notebook.mistake(
            "line.too-long",
            Span(number, LONGEST_LINE + 1, LONGEST_LINE + 2),
            f"This line has {len(piece)} characters.",
            f"At most {LONGEST_LINE} are read in one line.",
            "Break the walk at a net and go on in the next line: ... > VA, then VA > ...",
        )
        return False
    hidden = hidden_character(piece)
    if hidden is not None:
        span = Span(number, hidden.column, hidden.column + 1)
        notebook.mistake("character.hidden", span, hidden.what, hidden.why, hidden.cure)
        return False
    return True
