"""Write the reference pages of the manual from the program itself, so that they cannot drift apart.

`make docs` writes them. With ``--check`` nothing is written: stale pages are named, and the exit status is 1.
The folder `reference_pages` is the list of pages.
"""

import sys
from collections.abc import Callable, Iterator
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import reference_pages

FOLDER = Path(__file__).resolve().parent.parent / "docs" / "reference"


def pages() -> dict[str, Callable[[], str]]:
    """The function that writes each page, by the page's file name."""
    names = [found.name for found in iter_modules(reference_pages.__path__) if found.name[0] != "_"]
    modules = [import_module(f"{reference_pages.__name__}.{name}") for name in sorted(names)]
    alone = {module.FILE: module.write for module in modules if hasattr(module, "FILE")}
    several = [module.pages() for module in modules if hasattr(module, "pages")]
    return alone | dict(page for made in several for page in made)


def stale_pages() -> Iterator[tuple[Path, str]]:
    """The pages whose file is missing or differs from what the program says now, each with its right text."""
    for name, write in pages().items():
        page, text = FOLDER / name, write()
        if not page.is_file() or page.read_text(encoding="utf-8") != text:
            yield page, text


def main(arguments: list[str]) -> int:
    """Write the pages, or name the stale ones; any word but ``--check`` gets the help and writes nothing."""
    if set(arguments) - {"--check"}:
        print(__doc__)
        return 0 if set(arguments) <= {"-h", "--help", "--check"} else 2
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
