"""The verb `new`: a starting circuit of a chosen kind, copied into a file of your own, ready to edit."""

import json
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import click

from pedalwright import circuits
from pedalwright.report.files import write_new, write_whole

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
    text = circuits.text(name)
    if overwrite:
        write_whole(target, text)
    else:
        write_new(target, text)
    if as_json:
        click.echo(json.dumps({"schema": SCHEMA, "circuit": _entry(name), "file": str(target)}, indent=2))
    else:
        click.echo(f"{circuits.title(name)} is in {target}, ready to edit.")


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
