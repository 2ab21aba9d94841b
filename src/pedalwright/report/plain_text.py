"""A text from anywhere, made fit to be shown: one line, nothing in it that cannot be seen."""

from pedalwright.notation.present import safe


def plain(text: str) -> str:
    """The text with line breaks as blanks, and every character that cannot be seen replaced.

    Marks that turn the direction of reading count as such, so that what is read is what is there.
    """
    return safe(" ".join(text.split()))
