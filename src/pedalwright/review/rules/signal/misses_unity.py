"""A pedal that cannot be set as loud as it is when switched out."""

from collections.abc import Iterable, Mapping

import numpy as np

from pedalwright.devices.ports import INPUT
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import (
    SPILLED,
    has_signal_diodes,
    heard_tones,
    ladder,
    to_output,
    turned_to,
)
from pedalwright.review.rules.signal._trials import FOLLOWERS, gain_of, pedal
from pedalwright.review.survey import Survey
from pedalwright.solve.changed_table import ChangedTable

QUIET_DB, MUCH_QUIETER_DB = -3.0, -10.0
"""a drop that is noticed at once; a drop to half as loud (common practice, no source)"""
LOUD_DB = 20.0
"""four times as loud with every knob at its quiet end (house rule)"""
SWUNG = ("schmitt-trigger", "phase-shift-oscillator", "relaxation-oscillator")
"""with a slow oscillator the level moves, and one setting says nothing"""
ACTIVE = ("opamp", "bipolar", "fet", "echo-chip")


def look(survey: Survey) -> Iterable[Finding]:
    """The loudest and the quietest setting against bypass, where each is loudest between 100 Hz and 4 kHz."""
    if to_output(survey) is None or not _amplifies(survey) or has_signal_diodes(survey):
        return
    if survey.stages_of(*SWUNG) and not survey.view.parts_of("echo-chip"):
        return
    loudest, quietest = _extreme(survey, up=True), _extreme(survey, up=False)
    if loudest < QUIET_DB:
        yield _finding(survey, loudest, "loudest")
    elif quietest > LOUD_DB and not any(rung.is_meant for rung in ladder(survey)):
        yield _finding(survey, quietest, "quietest")


def _amplifies(survey: Survey) -> bool:
    """A box of passive parts always loses something, and a second output jack halves the job."""
    return any(survey.view.family[part.ref] in ACTIVE for part in survey.circuit.parts)


def _extreme(survey: Survey, *, up: bool) -> float:
    """The level over bypass with every knob at its louder (or quieter) end, in decibels."""
    changes: dict[str, float] = {}
    best = _level_db(survey, changes)
    for part in survey.circuit.knobs:
        if part.kind != "knob":
            continue
        for end in (True, False):
            tried = {**changes, **turned_to(part, up=end)}
            if not all(name in survey.small.names for name in tried):
                continue
            found = _level_db(survey, tried)
            if found > best if up else found < best:
                best, changes = found, tried
    return best


def _level_db(survey: Survey, changes: Mapping[str, float]) -> float:
    """Output over input jack at the tone that is loudest, in decibels."""
    source, output = survey.circuit.input, survey.circuit.output
    assert source is not None and output is not None
    band = heard_tones(survey)
    rows = [band.row(output.net), band.row(source.net)]
    moved = ChangedTable(band, changes).at(rows, [survey.small.system.branches[INPUT]])[:, :, 0]
    ratio = np.abs(moved[:, 0]) / np.maximum(np.abs(moved[:, 1]), SPILLED**2)
    return float(20 * np.log10(max(float(np.max(ratio)), SPILLED**2)))


def _finding(survey: Survey, level: float, which: str) -> Finding:
    output = survey.circuit.output
    assert output is not None
    knobs = tuple(part.ref for part in survey.circuit.knobs if part.kind == "knob")
    factor = 10 ** (abs(level) / 20)
    if which == "loudest":
        what = f"With every knob at its loudest the pedal is still {-level:.0f} dB quieter than in bypass."
        cure = f"Give it {factor:.2g} times more gain, best in the last stage."
    else:
        what = f"With every knob at its quietest the pedal is still {level:.0f} dB louder than in bypass."
        cure = f"Put a level knob before the output, or take {factor:.2g} times off the gain."
    return Finding(
        parts=knobs,
        nets=(output.net,),
        what=what,
        evidence=(
            Evidence(
                name="level against bypass",
                value=level,
                unit="dB",
                low=QUIET_DB,
                high=LOUD_DB,
                basis="at its loudest tone from 100 Hz to 4 kHz, small signals, direct sound",
            ),
        ),
        cure=cure,
        gravity=Gravity.POOR if level < MUCH_QUIETER_DB else None,
    )


DIVIDED = "U1b.out > C9 1u (film) > R8 {series} > OUT > R9 10k > gnd\n"
RULE = Rule(
    code="L11",
    name="misses-unity",
    title="The pedal cannot be set as loud as in bypass",
    gravity=Gravity.NOTE,
    why=(
        "A player expects the same loudness with the pedal on and off somewhere on its knobs. A drop of 3 dB "
        "is noticed at once, 10 dB is half as loud."
    ),
    source="gain of the full circuit; loudness steps are common practice, no source",
    look=look,
    speaks=(
        Trial(text=pedal(FOLLOWERS, back=DIVIDED.format(series="33k")), says="quieter"),
        Trial(text=pedal(gain_of("100k")), says="louder"),
    ),
    quiet=(
        Trial(text=pedal(FOLLOWERS, back=DIVIDED.format(series="1k"))),
        Trial(
            text=pedal(
                gain_of("100k"),
                back="knob LEVEL 10k audio at 5\nU1b.out > C9 1u > LEVEL.3\nLEVEL.1 > gnd\nLEVEL.2 > OUT\n",
            )
        ),
    ),
)
