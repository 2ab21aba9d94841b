"""Every verb with the help it prints itself."""

import click

from pedalwright.cli.main import pedalwright
from reference_pages._markdown import code, page

FILE = "verbs.md"
WIDTH = 90
"""Columns of the help texts on the page, whatever terminal the page is written from."""


def write() -> str:
    """The page."""
    group = click.Context(pedalwright, info_name="pedalwright")
    blocks = ["`pedalwright VERB --help` prints the same."]
    for name in pedalwright.list_commands(group):
        command = pedalwright.get_command(group, name)
        assert command is not None
        context = click.Context(command, info_name=name, parent=group, terminal_width=WIDTH)
        blocks += [f"## {name}", code(command.get_help(context))]
    return page("The verbs", *blocks)
