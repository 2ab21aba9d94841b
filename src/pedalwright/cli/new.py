"""The verb `new`: a starting circuit of a chosen kind, copied into a file of your own, ready to edit."""

import errno
import json
import os
import tempfile
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import click

from pedalwright import circuits

SCHEMA = "pedalwright.new/1"


@click.command()
@click.argument("kind", required=False)
@click.argument("file", required=False, type=click.Path(dir_okay=False, path_type=Path))
@click.option("--overwrite", is_flag=True, help="Replace the file if it exists.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object instead of sentences.")
def command(kind: str | None, file: Path | None, overwrite: bool, as_json: bool) -> None:
    """Copy a starting circuit into a file; without a kind, list what there is.

    KIND is a kind (the first circuit of that kind is taken) or the name of one circuit. Without FILE the
    circuit goes into a file of its own name, here.

    \b
    pedalwright new
    pedalwright new echo
    pedalwright new lesson-sallen-key filter.pedal
    """
    if kind is None:
        _show_kinds(as_json)
        return
    name = _chosen(kind)
    target = file or Path(name + circuits.TEXT)
    _refuse_to_replace(target, overwrite)
    write_whole(target, circuits.text(name), replace=overwrite)
    if as_json:
        click.echo(json.dumps({"schema": SCHEMA, "circuit": _entry(name), "file": str(target)}, indent=2))
    else:
        click.echo(f"{circuits.title(name)} is in {target}, ready to edit.")


def write_whole(target: Path, text: str, *, replace: bool) -> None:
    """Write a text to a file, all of it or nothing.

    Raises OSError with the file's name: FileExistsError when it exists and `replace` is false.
    """
    try:
        _write_aside_then_place(target, text, replace)
    except OSError as problem:
        raise OSError(problem.errno, problem.strerror, str(target)) from None


def _write_aside_then_place(target: Path, text: str, replace: bool) -> None:
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
    aside = Path(name)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
        _allow_as_usual(aside)
        _place(aside, target, replace)
    finally:
        aside.unlink(missing_ok=True)


def _place(aside: Path, target: Path, replace: bool) -> None:
    """Give the finished file its name; a link refuses a taken name at the very moment it is made."""
    if not replace:
        try:
            target.hardlink_to(aside)
            return
        except OSError:
            # Some memory sticks know no links: there a look must do.
            if target.exists():
                raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST)) from None
    aside.replace(target)


def _allow_as_usual(aside: Path) -> None:
    """A temporary file is private; give it the permissions any new file would have here."""
    mask = os.umask(0)
    os.umask(mask)
    aside.chmod(0o666 & ~mask)


def _refuse_to_replace(target: Path, overwrite: bool) -> None:
    if target.exists() and not overwrite:
        raise click.UsageError(
            f"{target} exists and stays as it is; name another file, or say --overwrite to replace it."
        )


def _chosen(word: str) -> str:
    kinds = circuits.kinds()
    if word in kinds:
        return kinds[word][0]
    if word in circuits.names():
        return word
    near = get_close_matches(word, [*kinds, *circuits.names()], n=1)
    hint = f"Did you mean '{near[0]}'? " if near else ""
    raise click.UsageError(
        f"there is no starting circuit '{word}'. {hint}`pedalwright new` alone lists them all."
    )


def _entry(name: str) -> dict[str, str]:
    return {"name": name, "kind": circuits.kind(name), "title": circuits.title(name)}


def _show_kinds(as_json: bool) -> None:
    if as_json:
        data: dict[str, Any] = {"schema": SCHEMA, "circuits": [_entry(name) for name in circuits.names()]}
        click.echo(json.dumps(data, ensure_ascii=False, indent=2))
        return
    width = max(len(name) for name in circuits.names())
    for kind, names in circuits.kinds().items():
        click.echo(kind)
        for name in names:
            click.echo(f"  {name:{width}}  {circuits.title(name)}")
