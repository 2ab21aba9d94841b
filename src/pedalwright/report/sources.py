"""Sources of figures: formulas stay beside the figure, publications are numbered and listed once."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from pedalwright.analysis.records import WalkStage

SHORT = 30
"""a source of so few letters stays where it is"""


@dataclass(frozen=True)
class Sources:
    """Publications with their numbers, in the order in which the stages call on them."""

    numbers: dict[str, int] = field(default_factory=dict)

    def shown(self, source: str) -> str:
        """A source beside a figure: its formula, and the number of its publication in brackets."""
        formula, publication = parted(source)
        number = self.numbers.get(publication)
        mark = f"[{number}]" if number else publication
        return " ".join(piece for piece in (formula, mark) if piece)

    @property
    def listed(self) -> tuple[str, ...]:
        """The publications with their numbers."""
        return tuple(f"[{number}] {publication}" for publication, number in self.numbers.items())


def sources_of(stages: Iterable[WalkStage]) -> Sources:
    """Every publication the stages call on."""
    named = (
        source
        for stage in stages
        for source in (*(number.source for number in stage.numbers), stage.formula_source)
    )
    publications = dict.fromkeys(publication for _, publication in map(parted, named) if publication)
    return Sources({publication: place for place, publication in enumerate(publications, start=1)})


def parted(source: str) -> tuple[str, str]:
    """A source as (formula or a few words, publication); either may be empty.

    >>> parted("Coughlin and Driscoll, ch. 11: f = 1/(2 pi R C)")
    ('f = 1/(2 pi R C)', 'Coughlin and Driscoll, ch. 11')
    >>> parted("Ohm's law")
    ("Ohm's law", '')
    """
    before, colon, after = source.partition(": ")
    if colon and "=" in after and "=" not in before:
        return after, before
    if colon and "=" in before:
        return before, after
    if len(source) <= SHORT or re.search(r"\w\s?=\s", source):
        return source, ""
    return "", source
