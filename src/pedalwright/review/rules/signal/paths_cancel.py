"""Two ways of the same direct sound that meet upside down and take each other out."""

from collections.abc import Iterable

import numpy as np

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import SPILLED, db, from_source, place
from pedalwright.review.rules.signal._trials import pedal
from pedalwright.review.survey import Survey
from pedalwright.solve.band import ComplexArray
from pedalwright.solve.gains import exciting_column, stage_gains
from pedalwright.stages.stage import Stage
from pedalwright.stages.wording import listed

CHECKED_HZ = (200.0, 700.0, 2500.0)
"""where the phase is measured: an all-pass effect cancels at some of these, a slip at all (house rule)"""
UPSIDE_DOWN_DEG = 150.0
"""from this phase difference on two sounds take from each other rather than add (120 degrees is where the sum
of two equal ones is as loud as one of them: plane trigonometry)"""
ANSWERED = 0.3
"""share of a wiper's own movement that comes back to the ends of its track through a loop (house rule)"""
ALIKE_DB = 6.0
"""further apart than this they cannot take away half (plane trigonometry)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Mixers whose two loudest inputs arrive alike in level and upside down, low, in the middle and high."""
    if survey.circuit.input is None:
        return
    for stage in survey.stages_of("summing-mixer", "mix-control"):
        parts = _contributions(survey, stage)
        if parts is None:
            continue
        order = np.argsort(-np.abs(parts[1]))[:2]
        one, other = parts[:, order[0]], parts[:, order[1]]
        if np.min(np.abs(parts[:, order])) <= SPILLED:
            continue
        apart = np.abs(np.degrees(np.angle(one / other)))
        levels = np.abs(20 * np.log10(np.abs(one / other)))
        if np.all(apart > UPSIDE_DOWN_DEG) and np.all(levels < ALIKE_DB):
            yield _finding(survey, stage, one, other, float(apart[1]))


def _contributions(survey: Survey, stage: Stage) -> ComplexArray | None:
    """What each input brings of the direct sound at the checked frequencies (frequencies, inputs)."""
    inputs = [net for net in stage.inputs if survey.band.knows(net)]
    if len(inputs) < 2:
        return None
    at = [place(survey.band, hz) for hz in CHECKED_HZ]
    moved = from_source(survey)[at][:, [survey.band.row(net) for net in inputs]]
    if stage.kind == "mix-control":
        return None if _answers_back(survey, stage.output, inputs) else np.asarray(moved)
    gains = stage_gains(survey.band, inputs, stage.output)
    return np.asarray(moved * gains.T[at]) if np.all(np.isfinite(gains)) else None


def _answers_back(survey: Survey, output: str, inputs: list[str]) -> bool:
    """The knob stands in a loop, between an amplifier's input and output, say: it boosts and cuts."""
    column, table = exciting_column(survey.band, output), survey.band.table
    at = [place(survey.band, hz) for hz in CHECKED_HZ]
    own = np.abs(table[at, survey.band.row(output), column])
    return any(np.any(np.abs(table[at, survey.band.row(net), column]) > ANSWERED * own) for net in inputs)


def _finding(survey: Survey, stage: Stage, one: ComplexArray, other: ComplexArray, apart: float) -> Finding:
    left = db(float(abs(one[1] + other[1]) / abs(one[1])))
    parts = tuple(dict.fromkeys(ref.split("/")[0] for ref in (*stage.with_role("summing resistor"),)))
    known = tuple(ref for ref in parts if ref in survey.circuit.by_ref)
    nets = tuple(net for net in stage.inputs if net)
    words = listed([net.removeprefix("~") for net in nets])
    return Finding(
        parts=known,
        nets=nets,
        what=(
            f"The direct sound reaches the mixer from {words} {apart:.0f} degrees apart and about as loud: "
            f"together {abs(left):.0f} dB {'less' if left < 0 else 'more'} than one alone."
        ),
        evidence=(
            Evidence(
                name="phase between them at 700 Hz",
                value=apart,
                unit="",
                high=UPSIDE_DOWN_DEG,
                basis="degrees, from the full circuit; 200 and 2500 Hz are alike",
            ),
            Evidence(name="both together against one", value=left, unit="dB"),
        ),
        cure="Take one of them from a point with one inversion more or less.",
    )


SUM = """
part U3 dual-opamp TL072 v+=VA v-=gnd
U1a.out > U1a.inv
U1a.out > DRY
DRY > R3 47k > U3a.inv > R4 47k > U3a.out
U3a.non > VB
U3b.inv > R5 47k > U3b.out
U3b.non > VB
{second} > R6 47k > U3b.inv
DRY > R7 100k > U1b.inv
U3b.out > R8 100k > U1b.inv
U1b.inv > R10 100k > U1b.out
U1b.non > VB
"""
RULE = Rule(
    code="L04",
    name="paths-cancel",
    title="Two paths of the same sound meet upside down",
    gravity=Gravity.POOR,
    why=(
        "Two copies of one sound add up when they move the same way and cancel when one is turned over. It "
        "matters between paths without delay; an echo comes so much later that its polarity is not heard."
    ),
    source="superposition on the full circuit; limits by plane trigonometry and house rule",
    look=look,
    speaks=(Trial(text=pedal(SUM.format(second="DRY")), blames=("R7", "R8")),),
    quiet=(Trial(text=pedal(SUM.format(second="U3a.out"))),),
)
