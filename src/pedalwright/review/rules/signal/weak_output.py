"""An output too weak for a cable or for the next pedal."""

from collections.abc import Iterable
from math import pi

from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import db, first_value, place, to_output
from pedalwright.review.rules.signal._trials import FOLLOWERS, pedal
from pedalwright.review.survey import Survey
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.stages.wording import hz, named, ohms

CABLE_FARADS = 1e-9
"""ten metres of cable at 100 pF a metre (from memory)"""
NEXT_OHMS = 100e3
"""a low input of a pedal that follows (common practice, no source)"""
DULL_HZ = 5e3
"""where a guitar's treble lies (common practice, no source)"""
FAR_DOWN_DB = 9.5
"""a third is left (house rule)"""
HELD_OHMS = 1e-3
FULL_HZ = 8e3
"""where the cure puts the corner (house rule)"""
PASSIVE = ("opamp", "bipolar", "fet", "echo-chip")


def look(survey: Survey) -> Iterable[Finding]:
    """The impedance out of the output jack with nothing plugged in, against a cable and against a load."""
    port = survey.circuit.output
    if port is None or to_output(survey) is None or not _is_active(survey):
        return
    size = _ohms(survey, None)
    corner = 1 / (2 * pi * size * CABLE_FARADS) if size > 0 else float("inf")
    loss = -db(NEXT_OHMS / (NEXT_OHMS + size))
    if corner >= DULL_HZ:
        return
    parts, cure, changes = _cure(survey)
    yield Finding(
        parts=parts,
        nets=(port.net,),
        what=(
            f"The output stands behind {ohms(size)}: {ohms(NEXT_OHMS)} after it takes {loss:.1f} dB, and a "
            f"long cable dulls it from {hz(corner)} up."
        ),
        evidence=(
            Evidence(name="output impedance at 1 kHz", value=size, unit="ohm", basis="knobs as they stand"),
            Evidence(
                name="treble corner with 1 nF of cable", value=corner, unit="Hz", low=DULL_HZ, basis="10 m"
            ),
            Evidence(name="loss into 100 kohm", value=loss, unit="dB", high=FAR_DOWN_DB),
        ),
        cure=cure,
        changes=changes,
        gravity=Gravity.POOR if loss > FAR_DOWN_DB else None,
    )


def _is_active(survey: Survey) -> bool:
    """A box of passive parts cannot do better than its parts."""
    return any(survey.view.family[part.ref] in PASSIVE for part in survey.circuit.parts)


def _ohms(survey: Survey, table: ChangedTable | None) -> float:
    """Magnitude of the impedance out of the jack at 1 kHz without the load."""
    port, band = survey.circuit.output, survey.band
    assert port is not None
    at, row = place(band, 1e3), band.row(port.net)
    if table is None:
        table = ChangedTable(band, {})
    seen = complex(table.at([row], [row])[at, 0, 0])
    if abs(seen) < HELD_OHMS:
        return float(abs(seen))
    left = 1 / seen - 1 / port.ohms
    return 1 / abs(left) if abs(left) > 1e-12 else float("inf")


def _cure(survey: Survey) -> tuple[tuple[str, ...], str, tuple[Change, ...]]:
    """A smaller resistor where one alone stands in the way."""
    port = survey.circuit.output
    assert port is not None
    wanted = 1 / (2 * pi * FULL_HZ * CABLE_FARADS)
    knobs = [part.ref for part in survey.circuit.knobs if port.net in part.nets]
    for leaf in survey.view.on(survey.view.joined[port.net]):
        part = survey.circuit.by_ref[leaf.ref]
        if (
            leaf.sort != "R"
            or part.kind != "resistor"
            or survey.classes.is_still(leaf.other(survey.view.joined[port.net]))
        ):
            continue
        value = first_value(survey, part, up=False, good=lambda table: _ohms(survey, table) < wanted)
        if value is not None and value >= 100.0:
            words = f"{named(survey.bench, part.ref)} of {ohms(value)} is low enough."
            return (part.ref,), words, (Change(ref=part.ref, value=value),)
    if knobs:
        ref, track = knobs[0], survey.circuit.by_ref[knobs[0]].value or 0.0
        words = f"A track of {ohms(min(track / 5, 100e3))} for {ref}, or a follower after it."
        return (ref,), words, ()
    return (), f"Put a follower before the output jack, or bring it below {ohms(wanted)}.", ()


WEAK = "U1b.out > C9 1u (film) > R8 {series} > OUT > R9 1M > gnd\n"
RULE = Rule(
    code="L06",
    name="weak-output",
    title="The output is too weak for a cable",
    gravity=Gravity.NOTE,
    why=(
        "What stands in series with the output makes a low-pass with the cable and a divider with the "
        "input of the next pedal. Some tens of kilohms are enough to lose treble in a long cable."
    ),
    source="closed forms of divider and RC corner; cable and load are common practice, no source",
    look=look,
    speaks=(
        Trial(text=pedal(FOLLOWERS, back=WEAK.format(series="270k")), blames=("R8",)),
        Trial(text=pedal(FOLLOWERS, back=WEAK.format(series="47k")), blames=("R8",)),
    ),
    quiet=(
        Trial(text=pedal(FOLLOWERS, back=WEAK.format(series="1k"))),
        Trial(text=pedal(FOLLOWERS, back=WEAK.format(series="10k"))),
    ),
)
