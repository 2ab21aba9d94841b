"""A sentence about a line that cannot be read, and the one about keywords that several need."""

from typing import NamedTuple

from pedalwright.notation.words import FORMS, KEYWORDS, shown


class Sentence(NamedTuple):
    """What to say about a line, and where (columns from 1, end one past)."""

    code: str
    column: int
    end: int
    what: str
    why: str
    cure: str


def keyword_sentence(word: str, meant: str, column: int) -> Sentence:
    """About a first word that is almost a keyword."""
    if word.lower() == meant:
        return Sentence(
            "keyword.case",
            column,
            column + len(word),
            f"{shown(word)} is written with capitals.",
            "Keywords are written in small letters; capitals are for nets and parts.",
            f"Write {meant}.",
        )
    return Sentence(
        "keyword.unknown",
        column,
        column + len(word),
        f"{shown(word)} is not a keyword.",
        f"A line starts with a keyword ({', '.join(KEYWORDS)}) or is a walk with >.",
        f"Did you mean {meant}? For instance: {FORMS[meant]}",
    )
