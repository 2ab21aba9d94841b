"""The way in: runs one verb and turns whatever goes wrong into one sentence and an exit status.

Exit status: 0 done; 1 the circuit has faults, or the answer is no; 2 the input cannot be used or the
result cannot be written. A verb returns its status, or None for 0.
"""

import gc
import os
import sys
from collections.abc import Sequence

import click

from pedalwright.cli._streams import abandon_output, finish_output, say_error, write_what_can_be_shown
from pedalwright.cli._verbs import VerbGroup

DONE = 0
CANNOT_USE = 2
TRACEBACK_WANTED = "PEDALWRIGHT_TRACEBACK"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the verb named by `arguments` (those of the process when None) and give the exit status."""
    _one_thread_for_small_matrices()
    gc.disable()  # one verb, one short process: collecting only costs time
    write_what_can_be_shown()
    try:
        status = _run(arguments)
        finish_output()
    except BrokenPipeError:
        # The reader has seen enough (`| head`), and has what was asked for.
        abandon_output()
        return DONE
    except (click.Abort, KeyboardInterrupt):
        return _refuse("stopped before it was done.")
    except click.ClickException as problem:
        return _refuse(_usage_sentence(problem))
    except OSError as problem:
        return _refuse(_file_sentence(problem))
    except Exception as problem:
        if os.environ.get(TRACEBACK_WANTED):
            raise
        return _refuse(_own_fault_sentence(problem))
    return status


@click.group(
    cls=VerbGroup,
    invoke_without_command=True,
    subcommand_metavar="VERB [ARGUMENTS]...",
    context_settings={"max_content_width": 100},
    epilog="`pedalwright VERB --help` explains one verb.",
)
@click.option("--version", is_flag=True, help="Show the version and stop.")
@click.pass_context
def pedalwright(context: click.Context, version: bool) -> None:
    """Talk a guitar-pedal circuit through, stage by stage, with numbers that are proved."""
    if version:
        click.echo(f"pedalwright {_version()}")
        context.exit()
    if context.invoked_subcommand is None:
        click.echo(context.get_help())


def _run(arguments: Sequence[str] | None) -> int:
    words = sys.argv[1:] if arguments is None else list(arguments)
    try:
        # Not click's own `main`: it leaves with status 1 when a pipe closes, which here means "faults found".
        with pedalwright.make_context("pedalwright", words) as context:
            status = pedalwright.invoke(context)
    except click.exceptions.Exit as stop:
        status = stop.exit_code
    except SystemExit as stop:
        if isinstance(stop.__context__, BrokenPipeError):
            # rich does the same.
            raise stop.__context__ from None
        status = stop.code
    if status is None:
        return DONE
    if isinstance(status, int):
        return status
    raise TypeError(f"a verb ended with {status!r} where an exit status belongs")


def _version() -> str:
    # Imported here: only this one answer needs it, and every start would pay for it.
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("pedalwright")
    except PackageNotFoundError:
        return "(not installed, run from its source)"


def _refuse(sentence: str) -> int:
    say_error(sentence)
    return CANNOT_USE


def _usage_sentence(problem: click.ClickException) -> str:
    message = problem.format_message()
    context = problem.ctx if isinstance(problem, click.UsageError) else None
    return f"{message} See `{context.command_path} --help`." if context else message


def _file_sentence(problem: OSError) -> str:
    reason = problem.strerror or str(problem)
    if problem.filename is None:
        return f"reading or writing failed: {reason}."
    return f"cannot use {problem.filename}: {reason}."


def _own_fault_sentence(problem: Exception) -> str:
    detail = " ".join(str(problem).split())
    return (
        f"this is a fault in Pedalwright, not in your circuit ({type(problem).__name__}: {detail}). "
        f"Please report it; {TRACEBACK_WANTED}=1 shows where it happened."
    )


def _one_thread_for_small_matrices() -> None:
    """A pedal's matrices are small: threads cost more than they bring, most of all on a busy machine."""
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")
