"""What `hear` does with its words: values read, a name chosen, the progress shown, and refusals told."""

import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pedalwright.analysis.memo import Analysis
    from pedalwright.sound.hearing import Told
    from pedalwright.sound.wish import Heard, Wish
    from pedalwright.units.values import Quantity

COMPILING = "Turning the loops into machine code, once for this version; it takes about a minute"
NOT_CERTAIN = ("sound.lost", "sound.no-rest-point", "sound.no-solution")
"""remarks on a circuit that was read well, but cannot be played with certainty"""
READYING = "Making ready"
MARKS = ("", "-a", "-b", "-bypassed", "-engaged")
"""what names of takes in files of their own end in"""


def volts_option(name: str, text: str | None) -> float | None:
    """An option's value in volts; raises click.UsageError for what is none."""
    from pedalwright.units.values import Quantity

    return _value(name, text, Quantity.VOLTAGE)


def seconds_option(name: str, text: str | None) -> float | None:
    """An option's value in seconds; raises click.UsageError for what is none."""
    from pedalwright.units.values import Quantity

    return _value(name, text, Quantity.TIME)


def chosen_goal(wav: str | None, file: str, sound: str, *, two_files: bool) -> Path:
    """The name asked for, or one after the circuit and the sound that nothing has yet, in this folder."""
    if wav is not None:
        return Path(wav)
    words = (
        Path(file).stem,
        *re.findall(r"[A-Za-z0-9#]+", Path(sound).stem if Path(sound).exists() else sound),
    )
    name = "-".join(words)[:80]
    for number in range(1, 10_000):
        goal = Path(f"{name}.wav" if number == 1 else f"{name}-{number}.wav")
        if not any(goal.with_stem(goal.stem + mark).exists() for mark in (MARKS if two_files else ("",))):
            return goal
    raise click.UsageError("There are too many sounds here already; name one with --wav.")


def played(
    analysis: "Analysis",
    goal: Path,
    wish: "Wish",
    *,
    against: "Analysis | None",
    other_settings: Mapping[str, str] | None,
    spare: Sequence[str],
) -> "Heard | None":
    """What came of the wish; None, with the reason told, where it cannot be played with certainty."""
    from pedalwright.solve.certificate import NotCertified
    from pedalwright.sound.asking import HearingMistake
    from pedalwright.sound.hearing import hear
    from pedalwright.sound.unusable import UnusableSound

    try:
        with _progress() as told:
            return hear(
                analysis,
                goal,
                wish,
                against=against,
                other_settings=other_settings,
                spare=spare,
                told=told,
            )
    except NotCertified as refusal:
        click.echo(f"Nothing is played: {refusal}.", err=True)
        return None
    except HearingMistake as mistake:
        raise click.UsageError("\n  ".join(mistake.sentences), click.get_current_context()) from None
    except UnusableSound as unusable:
        if any(remark.code in NOT_CERTAIN for remark in unusable.remarks):
            click.echo(str(unusable), err=True)
            return None
        raise click.UsageError(str(unusable), click.get_current_context()) from None


@contextmanager
def _progress() -> "Iterator[Told | None]":
    """A bar on a terminal, which goes when it is done; nothing in a pipe."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(file=sys.stderr), transient=True) as bar:
        task = bar.add_task(_first_words(), total=1.0)

        def told(doing: str, share: float | None) -> None:
            if share is None:
                bar.reset(task, total=None, description=doing)
            else:
                bar.update(task, completed=share, description=doing)

        yield told


def _first_words() -> str:
    from pedalwright.solve.compiled import is_warm

    return READYING if is_warm() else COMPILING


def _value(name: str, text: str | None, quantity: "Quantity") -> float | None:
    from pedalwright.units.values import ValueMistake, parse_value

    if text is None:
        return None
    try:
        return parse_value(text, quantity)
    except ValueMistake as mistake:
        raise click.UsageError(f"{name}: {mistake}", click.get_current_context()) from None
