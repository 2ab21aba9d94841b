"""A document on the terminal; into a file or a pipe it goes as plain text."""

import sys
from collections.abc import Iterable, Iterator
from textwrap import fill
from typing import IO

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table as RichTable
from rich.text import Text

from pedalwright.report.blocks import (
    Block,
    Box,
    Clips,
    Document,
    Entries,
    Entry,
    Facts,
    Fields,
    Formula,
    Links,
    Paragraph,
    Pictures,
    Plots,
    Points,
    Section,
    Steps,
    Table,
    Tone,
)
from pedalwright.report.plain_text import plain
from pedalwright.report.plot_text import plot_text
from pedalwright.report.sound_clip import clip_sentence

WIDEST = 100
"""longer lines are hard to follow"""
STYLES = {
    Tone.PLAIN: "",
    Tone.LEAD: "",
    Tone.QUIET: "dim",
    Tone.GOOD: "green",
    Tone.DOUBT: "bold red",
}


def console_for(stream: IO[str] | None = None, width: int | None = None) -> Console:
    """A console for a stream (the output when None), no wider than is easy to read and with no reading of
    markup.
    """
    console = Console(file=stream or sys.stdout, width=width, highlight=False, markup=False, emoji=False)
    if width is None:
        console.width = min(console.width, WIDEST) if console.is_terminal else WIDEST
    return console


def print_page(document: Document, console: Console) -> None:
    """Print the whole document."""
    if console.is_terminal:
        _print_page(document, console)
        return
    # rich fills lines up with blanks, which have no business in a file.
    with console.capture() as held:
        _print_page(document, console)
    console.file.writelines(f"{line.rstrip()}\n" for line in held.get().splitlines())


def _print_page(document: Document, console: Console) -> None:
    console.print(Text(plain(document.title), style="bold"))
    console.print(Text("=" * min(len(document.title), console.width)))
    for line in document.lead:
        console.print(Text(plain(line)))
    for section in document.sections:
        print_section(section, console)
    console.print()
    for line in document.closing:
        console.print(Text(plain(line), style="dim"))


def print_section(section: Section, console: Console, level: int = 2) -> None:
    """Print one section with those inside it."""
    console.print()
    heading = Text(plain(section.heading), style="bold" if level == 2 else "bold cyan")
    if section.aside:
        heading.append(f"  ({plain(section.aside)})", style="not bold dim")
    console.print(heading)
    if level == 2:
        console.print(Text("-" * min(len(section.heading), console.width)))
    for block in section.blocks:
        for drawn in _drawn(block):
            console.print(Padding(drawn, (0, 0, 0, 0 if level == 2 else 2)))
    for inner in section.sections:
        print_section(inner, console, level + 1)


def _drawn(block: Block) -> Iterator[RenderableType]:
    match block:
        case Paragraph(said, tone):
            yield Text(plain(said), style=STYLES[tone])
        case Table():
            yield _table(block)
        case Formula(said, source):
            words = Text(plain(said), style="italic").append(f"   {plain(source)}", style="not italic dim")
            yield Padding(words, (0, 0, 0, 2))
        case Plots(items):
            yield from (Text(drawn) for plot in items if plot.in_letters and (drawn := plot_text(plot)))
        case Clips(items):
            yield from (Text(plain(clip_sentence(clip))) for clip in items)
        case Fields() | Pictures():
            pass
        case _:
            yield _listing(block)


def _listing(block: Points | Steps | Facts | Entries | Box | Links) -> RenderableType:
    match block:
        case Points(items):
            return Group(*(_hanging("-", Text(plain(item))) for item in items))
        case Steps(items):
            return Group(*(_hanging(f"{n}.", Text(plain(item))) for n, item in enumerate(items, 1)))
        case Facts(rows):
            return _facts(rows)
        case Entries(items):
            return Group(*map(_entry, items))
        case Box(items):
            return Group(*(_hanging("!", Text(f"{plain(name)}. {plain(said)}")) for name, said in items))
        case Links(items):
            return Group(
                *(
                    _hanging("-", Text(f"{plain(name)} ({plain(to)}): {plain(said)}"))
                    for to, name, said in items
                )
            )


def _hanging(sign: str, said: Text) -> RenderableType:
    """A text whose further lines stand under its first word."""
    grid = RichTable.grid(padding=(0, 1, 0, 0))
    grid.add_column(no_wrap=True)
    grid.add_column(overflow="fold")
    grid.add_row(Text(sign), said)
    return grid


def _facts(rows: Iterable[tuple[str, str]]) -> RenderableType:
    grid = RichTable.grid(padding=(0, 2, 0, 0))
    grid.add_column(style="dim", overflow="fold")
    grid.add_column(overflow="fold")
    for name, said in rows:
        grid.add_row(Text(plain(name)), Text(plain(said)))
    return grid


HEADING_WIDTH = 24


def _table(table: Table) -> RenderableType:
    drawn = RichTable(box=None, padding=(0, 2, 0, 0), header_style="dim", pad_edge=False)
    for place, name in enumerate(table.columns):
        number = place in table.figures
        # Figures never break; a heading does, so that it takes no other column's room.
        heading = Text(fill(plain(name), HEADING_WIDTH))
        drawn.add_column(heading, justify="right" if number else "left", no_wrap=number, overflow="fold")
    for row in table.rows:
        drawn.add_row(*(Text(plain(cell)) for cell in row))
    return drawn


def _entry(entry: Entry) -> RenderableType:
    head = Text(plain(entry.name), style="bold")
    head.append(f"  {plain(entry.label)}", style="not bold").append(
        f"  {plain(entry.role)}", style="not bold cyan"
    )
    lines = [
        Padding(Text(plain(said), style="" if at == 0 else "dim"), (0, 0, 0, 4))
        for at, said in enumerate(entry.texts)
    ]
    return Group(head, *lines)
