"""An echo that stays far below the dry sound, or buries it, wherever the knobs stand."""

from collections.abc import Iterable, Mapping

import numpy as np

from pedalwright.circuit.part import Part
from pedalwright.devices.ports import INPUT
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import SPILLED, db, heard_tones, place, turned_to
from pedalwright.review.rules.signal._echo_trials import mixer
from pedalwright.review.rules.signal._trials import pedal
from pedalwright.review.survey import Survey
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.wording import listed, named, ohms
from pedalwright.units.preferred import Series, step

HIDDEN_DB = 12.0
"""one sound this far below the other is hardly noticed beside it (house rule)"""
CODER, DECODER = "15", "12"
Changes = Mapping[str, float]


def look(survey: Survey) -> Iterable[Finding]:
    """Repeats that no knob brings near the dry sound; a dry sound that no knob brings near the repeats."""
    chips = survey.view.parts_of("echo-chip")
    if not chips or survey.circuit.output is None or survey.circuit.input is None:
        return
    start = _ratio_db(survey, chips, {})
    if start is None:
        return
    loud, most = _turned(survey, chips, start, up=True)
    soft, least = _turned(survey, chips, start, up=False)
    if most < -HIDDEN_DB:
        yield _finding(survey, chips, loud, most)
    elif least > HIDDEN_DB:
        yield _finding(survey, chips, soft, least)


def _ratio_db(survey: Survey, chips: tuple[Part, ...], changes: Changes) -> float | None:
    """First repeats over dry sound at the output jack, in the middle; None where either does not arrive."""
    band = heard_tones(survey)
    at, row = place(band, 700.0), band.row(survey.circuit.output.net)  # type: ignore[union-attr]
    source = survey.small.system.branches[INPUT]
    table = ChangedTable(band, changes)
    dry = abs(table.at([row], [source])[at, 0, 0])
    wet = 0.0
    for chip in chips:
        if not band.knows(chip.net(CODER), chip.net(DECODER)):
            continue
        coder, decoder = band.row(chip.net(CODER)), band.row(chip.net(DECODER))
        column = exciting_column(band, chip.net(DECODER))
        leaves = table.at([row, decoder], [column])[at, :, 0]
        enters = table.at([coder], [source])[at, 0, 0]
        wet += abs(enters * leaves[0] / leaves[1]) if leaves[1] != 0 else 0.0
    if dry <= SPILLED or wet <= SPILLED**2:
        return None
    return db(wet / dry)


def _turned(
    survey: Survey, chips: tuple[Part, ...], start: float, *, up: bool
) -> tuple[dict[str, float], float]:
    """Every knob at the end that is better for the repeats (or for the dry sound), and what that gives."""
    changes: dict[str, float] = {}
    best = start
    for part in survey.circuit.knobs:
        for end in (False, True):
            tried = {**changes, **turned_to(part, up=end)}
            found = _ratio_db(survey, chips, tried) if _known(survey, tried) else None
            if found is not None and (found > best if up else found < best):
                best, changes = found, tried
    return changes, best


def _known(survey: Survey, changes: Changes) -> bool:
    return all(name in survey.small.names for name in changes)


def _finding(survey: Survey, chips: tuple[Part, ...], knobs: dict[str, float], ratio: float) -> Finding:
    refs = [chip.ref for chip in chips]
    hidden, other = ("first repeat", "dry sound") if ratio < 0 else ("dry sound", "first repeat")
    cure, changes, parts = _cure(survey, chips, knobs, ratio)
    return Finding(
        parts=(*parts, *refs),
        what=(
            f"With the knobs in its favour the {hidden} of {listed(refs)} leaves {abs(ratio):.0f} dB below "
            f"the {other}: it will hardly be heard."
        ),
        evidence=(
            Evidence(
                name="first repeat over dry sound at the output",
                value=ratio,
                unit="dB",
                low=-HIDDEN_DB,
                high=HIDDEN_DB,
                basis=f"700 Hz, knobs at the ends that favour the {hidden}, without the chip's own loss",
            ),
        ),
        cure=cure,
        changes=changes,
    )


def _cure(
    survey: Survey, chips: tuple[Part, ...], knobs: dict[str, float], ratio: float
) -> tuple[str, tuple[Change, ...], tuple[str, ...]]:
    """A summing resistor of another value, found on the circuit, that brings both within 3 dB."""
    mixers = survey.stages_of("summing-mixer")
    refs = [ref for stage in mixers for ref in stage.with_role("summing resistor")]
    for up in (False, True):
        for part in (survey.circuit.by_ref[ref] for ref in refs if ref in survey.circuit.by_ref):
            value = _balanced(survey, chips, knobs, part, up=up) if part.kind == "resistor" else None
            if value is not None:
                words = f"{named(survey.bench, part.ref)} of {ohms(value)} makes both about as loud."
                return words, (Change(ref=part.ref, value=value),), (part.ref,)
    factor = float(np.power(10.0, abs(ratio) / 20))
    return f"Give it {factor:.2g} times more gain on its way to the output.", (), ()


def _balanced(
    survey: Survey, chips: tuple[Part, ...], knobs: dict[str, float], part: Part, *, up: bool
) -> float | None:
    value = part.value or 0.0
    for _ in range(24):
        value = step(value, Series.E12, 1 if up else -1)
        found = _ratio_db(survey, chips, {**knobs, part.ref: value})
        if found is not None and abs(found) < 3.0 and 2e3 <= value <= 1e6:
            return value
    return None


RULE = Rule(
    code="L03",
    name="echo-too-quiet",
    title="Echo and dry sound are too far apart to be heard together",
    gravity=Gravity.POOR,
    why=(
        "What is 12 dB below another sound of the same kind is covered by it. The knob that sets the balance "
        "must be able to bring both near each other."
    ),
    source="levels measured on the full circuit; 12 dB is a house rule",
    look=look,
    speaks=(
        Trial(text=pedal(mixer(wet="1M")), blames=("R41",), says="first repeat"),
        Trial(text=pedal(mixer(dry="680k", wet="47k")), blames=("U2",), says="dry sound"),
    ),
    quiet=(Trial(text=pedal(mixer())), Trial(text=pedal(mixer(dry="100k", wet="68k")))),
)
