"""So much signal at the coder that it cannot follow the treble of loud notes."""

from collections.abc import Iterable

import numpy as np

from pedalwright.analysis.levels import level_at
from pedalwright.echo.delay_law import highest_clean_hz, slope_v_per_s
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import MEASURED, MIDDLE_HZ, SHEET, Chip, chips, limit, total
from pedalwright.review.rules.echo_chip._trial import echo
from pedalwright.review.survey import Survey
from pedalwright.solve.band import Band
from pedalwright.stages.wording import hz, named, ohms, volts
from pedalwright.units.preferred import Series, members_between

HIGHEST_NOTE_HZ = 1318.5
"""the highest note of a guitar with 24 frets, E6 in standard tuning"""
MOST_TIMES = 12.0


def look(survey: Survey) -> Iterable[Finding]:
    """Every chip, with the loudest signal expected at the input jack."""
    for chip in chips(survey):
        size = total(chip.between("9", "10"))
        if survey.circuit.input is None or not chip.uses("15") or not size:
            continue
        peak = level_at(survey.analysis, survey.band, chip.part.net("15"), survey.clipped).level_v
        if peak is None:
            continue
        clean = highest_clean_hz(slope_v_per_s(size), peak)
        if clean < HIGHEST_NOTE_HZ or peak > limit("output_swing_v"):
            yield _finding(survey, chip, peak, clean)


def _finding(survey: Survey, chip: Chip, peak: float, clean: float) -> Finding:
    clips = peak > limit("output_swing_v")
    times = max(HIGHEST_NOTE_HZ / clean, peak / limit("output_swing_v"))
    cure, changes = _cure(survey, chip, times)
    also = f" and is clipped, for it swings no further than {volts(limit('output_swing_v'))}" if clips else ""
    return Finding(
        parts=(*(change.ref for change in changes), chip.ref),
        what=(
            f"The loudest notes come to the coder of {chip.ref} with {volts(peak)} peak: it follows that "
            f"only up to {hz(clean)}{also}. Their repeats come out dark and rough."
        ),
        evidence=(
            Evidence(
                name="peak at pin 15",
                value=peak,
                unit="V",
                high=limit("output_swing_v"),
                basis="loudest signal expected at 1 kHz, knobs as they stand",
            ),
            Evidence(
                name="followed up to",
                value=clean,
                unit="Hz",
                low=HIGHEST_NOTE_HZ,
                basis="highest note of a guitar",
            ),
        ),
        cure=cure,
        changes=changes,
    )


def _cure(survey: Survey, chip: Chip, times: float) -> tuple[str, tuple[Change, ...]]:
    """The resistor in the way to the coder that takes enough away when made larger."""
    found = [(size / now, ref, size) for ref, now, size in _enough(survey, chip, times)]
    lacking = 20 * np.log10(times)
    if not found:
        return f"Take {lacking:.1f} dB off before the coder.", ()
    _, ref, size = min(found)
    return (
        f"Make {named(survey.bench, ref)} {ohms(size)}: it takes the {lacking:.1f} dB off before the coder.",
        (Change(ref=ref, value=size),),
    )


def _enough(survey: Survey, chip: Chip, times: float) -> Iterable[tuple[str, float, float]]:
    """Resistors of the stage in front of the coder with the least value that is enough: (designator, value
    now, value then).
    """
    small = survey.small
    stages = [stage for stage in survey.stages if stage.output == chip.net("15")]
    refs = [ref for stage in stages for ref in stage.refs if ref in small.names]
    for ref in sorted(ref for ref in refs if survey.circuit.by_ref[ref].kind == "resistor"):
        now = small.parameter(ref)
        for size in members_between(now * 1.01, now * MOST_TIMES, Series.E12):
            if _level(small.with_changes({ref: size}), chip) * times <= _level(small, chip):
                yield ref, now, size
                break


def _level(small: object, chip: Chip) -> float:
    from pedalwright.devices.ports import INPUT
    from pedalwright.solve.linear import SmallSignal

    assert isinstance(small, SmallSignal)
    band = Band(small, np.array([MIDDLE_HZ]))
    return float(abs(band.source_column(INPUT)[0, band.row(chip.part.net("15"))]))


HOT = echo(("input IN buffered", "input IN 100 3V"))

RULE = Rule(
    code="E20",
    name="coder-level",
    title="The coder gets more than it can follow",
    gravity=Gravity.POOR,
    why=(
        "The coder's integrator can only rise so fast. A loud treble becomes a triangle, softer than it "
        "was: repeats get dark the louder one plays. At short and long delays alike."
    ),
    source=(
        f"{MEASURED}: 1.05 mA over the integrator's capacitor; {SHEET}: 1.25 V rms typical; E6 is 1318.5 Hz"
    ),
    look=look,
    speaks=(
        Trial(text=HOT, blames=("U1", "R2")),
        Trial(text=echo(("R2 22k", "R2 4k7"), ("input IN buffered", "input IN 100 1V")), blames=("U1",)),
    ),
    quiet=(Trial(text=echo()), Trial(text=HOT.replace("R2 22k", "R2 82k"))),
)
