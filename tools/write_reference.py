"""Write the reference pages of the manual from the program itself, so that they cannot drift apart.

`make docs` writes them. With ``--check`` nothing is written: stale pages are named, and the exit status is 1.
"""

import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import click

from pedalwright.cli.main import pedalwright

FOLDER = Path(__file__).resolve().parent.parent / "docs" / "reference"
WIDTH = 90
"""Columns of the help texts on the page, whatever terminal the page is written from."""


def verbs_page() -> str:
    """Every verb with the help it prints itself."""
    group = click.Context(pedalwright, info_name="pedalwright")
    blocks = [
        "# The verbs",
        "Written by `make docs` from the program itself; do not edit.",
        "`pedalwright VERB --help` prints the same.",
    ]
    for name in pedalwright.list_commands(group):
        command = pedalwright.get_command(group, name)
        assert command is not None
        context = click.Context(command, info_name=name, parent=group, terminal_width=WIDTH)
        blocks += [f"## {name}", f"```text\n{command.get_help(context)}\n```"]
    return "\n\n".join(blocks) + "\n"


PAGES: dict[str, Callable[[], str]] = {"verbs.md": verbs_page}


def stale_pages() -> Iterator[tuple[Path, str]]:
    """The pages whose file is missing or differs from what the program says now, each with its right text."""
    for name, write in PAGES.items():
        page, text = FOLDER / name, write()
        if not page.is_file() or page.read_text(encoding="utf-8") != text:
            yield page, text


def main(arguments: list[str]) -> int:
    """Write the pages, or name the stale ones."""
    stale = list(stale_pages())
    if "--check" in arguments:
        for page, _ in stale:
            print(f"docs/reference/{page.name} is stale: run `make docs`.")
        return 1 if stale else 0
    FOLDER.mkdir(parents=True, exist_ok=True)
    for page, text in stale:
        page.write_text(text, encoding="utf-8")
        print(f"wrote docs/reference/{page.name}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
