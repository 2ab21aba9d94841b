"""The program run in this process, and what it said."""

import pytest

from pedalwright.cli.main import main


def run(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str, str]:
    """Exit status, output and error output."""
    status = main([str(argument) for argument in arguments])
    said = capsys.readouterr()
    return status, said.out, said.err
