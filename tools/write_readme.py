"""Print again what the README shows of the program: every ``console`` block, from the commands in it.

`make docs` runs it. A command is ``pedalwright ...``, perhaps with ``| head -N``, or
``sed -i 's/OLD/NEW/' FILE``; all run one after the other in an empty folder.
"""

import io
import os
import shlex
import sys
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from pathlib import Path
from tempfile import TemporaryDirectory

from pedalwright.cli.main import main as run_verb

README = Path(__file__).resolve().parent.parent / "README.md"
OPENING, CLOSING = "```console\n", "```"


def printed(command: str) -> str:
    """What one command prints, standard error after standard output."""
    words = shlex.split(command)
    if words[0] == "sed":
        edit, file = words[2], Path(words[3])
        _, old, new, _ = edit.split("/")
        file.write_text(file.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
        return ""
    most = None
    if "|" in words:
        words, most = words[: words.index("|")], int(words[-1].lstrip("-"))
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        run_verb(words[1:])
    lines = (out.getvalue() + err.getvalue()).rstrip("\n").splitlines()
    return "".join(f"{line.rstrip()}\n" for line in lines[:most])


@contextmanager
def empty_folder() -> Iterator[None]:
    """An empty folder to work in."""
    before = Path.cwd()
    with TemporaryDirectory() as folder:
        os.chdir(folder)
        try:
            yield
        finally:
            os.chdir(before)


def renewed(readme: str) -> str:
    """The README with every console block printed anew."""
    first, *blocks = readme.split(OPENING)
    text = [first]
    with empty_folder():
        for block in blocks:
            shown, _, after = block.partition(CLOSING)
            commands = [line for line in shown.splitlines() if line.startswith("$ ")]
            fresh = "".join(f"{command}\n{printed(command[2:])}" for command in commands)
            text.append(f"{OPENING}{fresh}{CLOSING}{after}")
    return "".join(text)


def main() -> int:
    """Write the README anew when it shows something else than the program prints."""
    before = README.read_text(encoding="utf-8")
    after = renewed(before)
    if after != before:
        README.write_text(after, encoding="utf-8")
        print("wrote README.md")
    return 0


if __name__ == "__main__":
    sys.exit(main())
