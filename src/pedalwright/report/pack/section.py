"""What a file of `sections` holds: one section of the build document."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from pedalwright.report.blocks import Block, Section, Table
from pedalwright.report.pack.dossier import Dossier


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """What a section is made of: blocks first, then sections inside it. Nothing in either: it is left out."""

    blocks: tuple[Block, ...] = ()
    sections: tuple[Section, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PackSection:
    """One section: `name` in kebab-case is its anchor and its file's name, `place` where it stands (1 to 16,
    the order of a build document), `build` what it says about a circuit.
    """

    name: str
    place: float
    heading: str
    build: Callable[[Dossier], Chapter]


def chapter(blocks: Iterable[Block] = (), sections: Iterable[Section] = ()) -> Chapter:
    """A chapter of any iterables."""
    return Chapter(blocks=tuple(blocks), sections=tuple(sections))


def without_empty(table: Table) -> Table:
    """The table without columns that say nothing in any row."""
    kept = [
        place
        for place in range(len(table.columns))
        if place == 0 or any(row[place] not in ("", "-") for row in table.rows)
    ]
    return replace(
        table,
        columns=tuple(table.columns[place] for place in kept),
        rows=tuple(tuple(row[place] for place in kept) for row in table.rows),
        figures=tuple(kept.index(place) for place in table.figures if place in kept),
    )
