"""Answers that several kinds of plots are drawn from, each asked for once for a circuit."""

from collections.abc import Callable
from typing import TypeVar, cast

from pedalwright.analysis.echo_answers import echo_answers
from pedalwright.analysis.echo_records import EchoAnswers
from pedalwright.analysis.knob_answers import knobs
from pedalwright.analysis.knob_records import KnobAnswer
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.noise import NoiseAnswers, noise_answers
from pedalwright.analysis.records import Walk
from pedalwright.analysis.walk import walk
from pedalwright.report.plots.kind import CannotPlot

Answer = TypeVar("Answer")
ECHO, KNOBS, NOISE, WALK = "plots: echo", "plots: knobs", "plots: noise", "plots: walk"
LOOP_BUILDS = 500
"""of the echo loop; no plot here shows what they spread"""


def share(
    analysis: Analysis,
    *,
    echo: EchoAnswers | None = None,
    knobs: tuple[KnobAnswer, ...] | None = None,
    noise: NoiseAnswers | None = None,
    walk: Walk | None = None,
) -> None:
    """Let plots of a circuit be drawn from answers that are at hand, so that nothing is worked out twice."""
    ready = {ECHO: echo, KNOBS: knobs, NOISE: noise, WALK: walk}
    analysis.kept.update({name: answer for name, answer in ready.items() if answer is not None})


def echo_of(analysis: Analysis) -> EchoAnswers | None:
    """The echo; None without an echo chip. Raises CannotPlot where it is refused."""
    found = _once(analysis, ECHO, lambda: echo_answers(analysis, builds=LOOP_BUILDS))
    if found is not None and found.refusals:
        raise CannotPlot(" ".join(found.refusals))
    return found


def knobs_of(analysis: Analysis) -> tuple[KnobAnswer, ...]:
    """What every knob and trim does."""
    return _once(analysis, KNOBS, lambda: knobs(analysis))


def noise_of(analysis: Analysis) -> NoiseAnswers | None:
    """The noise at the output jack; None without one. Raises CannotPlot where it is refused."""
    if analysis.circuit.output is None:
        return None
    found = _once(analysis, NOISE, lambda: noise_answers(analysis))
    if found.refusals:
        raise CannotPlot(" ".join(found.refusals))
    return found


def walk_of(analysis: Analysis) -> Walk:
    """The walk-through."""
    return _once(analysis, WALK, lambda: walk(analysis))


def _once(analysis: Analysis, name: str, compute: Callable[[], Answer]) -> Answer:
    if name not in analysis.kept:
        analysis.kept[name] = compute()
    return cast(Answer, analysis.kept[name])
