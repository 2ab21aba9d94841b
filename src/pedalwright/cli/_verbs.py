"""The group that finds verbs in the folder, and imports a verb only when it is called."""

from difflib import get_close_matches
from importlib import import_module
from pkgutil import iter_modules

import click

from pedalwright import cli

_NOT_VERBS = {"main"}


def verb_names() -> list[str]:
    """The names a verb may have, from the file names alone: no verb is imported."""
    found = (module.name for module in iter_modules(cli.__path__))
    return sorted(_verb_of(name) for name in found if name not in _NOT_VERBS and not name.startswith("_"))


class VerbGroup(click.Group):
    """A click group whose folder of files is its list of commands."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Every verb. Imports them all, for only the import tells a verb from a helper."""
        return [name for name in verb_names() if self.get_command(ctx, name) is not None]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The verb of that name, or None when the folder has no such file or the file holds no `command`."""
        if cmd_name not in verb_names():
            return None
        command = getattr(import_module(_module_of(cmd_name)), "command", None)
        return command if isinstance(command, click.Command) else None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does it, with a sentence of our own for a verb that does not exist."""
        word = args[0]
        if word.startswith("-") or self.get_command(ctx, word) is not None:
            return super().resolve_command(ctx, args)
        near = get_close_matches(word, verb_names(), n=1)
        hint = f"; did you mean '{near[0]}'?" if near else "."
        raise click.UsageError(f"there is no verb '{word}'{hint}", ctx)


def _verb_of(module_name: str) -> str:
    return module_name.rstrip("_").replace("_", "-")


def _module_of(verb: str) -> str:
    """A verb that is a Python keyword lives in a file whose name ends in an underscore."""
    plain = verb.replace("-", "_")
    exists = {module.name for module in iter_modules(cli.__path__)}
    return f"{cli.__name__}.{plain if plain in exists else plain + '_'}"
