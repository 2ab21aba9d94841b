"""The pedal as one box: gain, band, what the guitar and the next pedal see, and what it draws."""

import numpy as np

from pedalwright.analysis.levels import REFERENCE_HZ, SILENT, first_repeats_db
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.records import Curve, Overall
from pedalwright.circuit.primitives import Capacitance, Inductance, Resistance
from pedalwright.devices.ports import INPUT, supply_name
from pedalwright.solve.band import Band, ComplexArray
from pedalwright.solve.corners import find_corners
from pedalwright.stages.ratings import rating_findings


def overall(analysis: Analysis, band: Band | None) -> Overall:
    """The whole pedal at the reference frequency; figures are None where they are not certified or not
    there.
    """
    if band is None or not band.ok:
        return Overall(
            reference_hz=REFERENCE_HZ,
            gain_db=None,
            low_corner_hz=None,
            high_corner_hz=None,
            input_ohms=None,
            output_ohms=None,
            supply_a=(),
            curve=None,
            notes=(
                *rating_findings(analysis.bench),
                "The circuit could not be certified, so no figures are given.",
            ),
        )
    gain = _gain(analysis, band)
    curve = _curve(analysis, band, gain)
    corners = find_corners(band.frequency_hz, gain, REFERENCE_HZ) if gain is not None else None
    return Overall(
        reference_hz=REFERENCE_HZ,
        gain_db=_at_reference(band, curve.full_db) if gain is not None else None,
        low_corner_hz=corners.low_hz if corners else None,
        high_corner_hz=corners.high_hz if corners else None,
        input_ohms=_input_ohms(analysis, band),
        output_ohms=_output_ohms(analysis, band),
        supply_a=_supply_currents(analysis),
        curve=curve if gain is not None else None,
        notes=_notes(analysis, gain),
        dips=corners.dips if corners else (),
        repeats_db=first_repeats_db(analysis, band),
    )


def _gain(analysis: Analysis, band: Band) -> ComplexArray | None:
    """Voltage at the output jack over voltage at the input jack, both with everything attached."""
    source, output = analysis.circuit.input, analysis.circuit.output
    if source is None or output is None:
        return None
    column = band.source_column(INPUT)
    into, out = column[:, band.row(source.net)], column[:, band.row(output.net)]
    if np.max(np.abs(out)) < SILENT or np.min(np.abs(into)) == 0:
        return None
    return np.asarray(out / into)


def _curve(analysis: Analysis, band: Band, gain: ComplexArray | None) -> Curve:
    level = None
    if gain is not None:
        with np.errstate(divide="ignore"):
            level = 20 * np.log10(np.abs(gain))
    return Curve(
        title="input jack to output jack", frequency_hz=band.frequency_hz, full_db=level, closed_db=None
    )


def _at_reference(band: Band, level: object) -> float:
    return float(np.interp(np.log(REFERENCE_HZ), np.log(band.frequency_hz), np.asarray(level, dtype=float)))


def _place(band: Band) -> int:
    return int(np.argmin(np.abs(band.frequency_hz - REFERENCE_HZ)))


def _input_ohms(analysis: Analysis, band: Band) -> float | None:
    """Magnitude of the impedance into the input jack with the source unplugged."""
    source = analysis.circuit.input
    if source is None:
        return None
    place = _place(band)
    seen = band.impedance(source.net)[place]
    if seen == 0:
        return 0.0
    whole = 1.0 / seen
    left = whole - _source_admittance(analysis, complex(band.s[place]))
    return float(1.0 / abs(left)) if abs(left) > 1e-12 else None


def _source_admittance(analysis: Analysis, s: complex) -> complex:
    """What the source itself puts across the input jack."""
    series, across = 0j, 0j
    for primitive in analysis.primitives:
        if primitive.owner != INPUT:
            continue
        grounded = getattr(primitive, "b", "") == "gnd"
        if isinstance(primitive, Resistance):
            across, series = (
                (across + 1 / primitive.ohms, series) if grounded else (across, series + primitive.ohms)
            )
        elif isinstance(primitive, Inductance):
            series += s * primitive.henries
        elif isinstance(primitive, Capacitance):
            across += s * primitive.farads
    return across + (1 / series if series else 0j)


def _output_ohms(analysis: Analysis, band: Band) -> float | None:
    """Magnitude of the impedance out of the output jack with nothing plugged in."""
    output = analysis.circuit.output
    if output is None:
        return None
    whole = band.impedance(output.net)[_place(band)]
    if whole == 0:
        return 0.0
    left = 1.0 / whole - 1.0 / output.ohms
    return float(1.0 / abs(left)) if abs(left) > 1e-12 else None


def _supply_currents(analysis: Analysis) -> tuple[tuple[str, float], ...]:
    rest = analysis.rest
    return tuple((supply.net, abs(rest.amperes(supply_name(supply)))) for supply in analysis.circuit.supplies)


def _wants_supply(analysis: Analysis) -> bool:
    """True with a part that works from a supply: a circuit of passive parts alone misses none."""
    return bool(analysis.view.amplifiers or analysis.view.transistors)


def _it(missing: list[str]) -> str:
    return "it" if len(missing) == 1 else "them"


def _notes(analysis: Analysis, gain: ComplexArray | None) -> tuple[str, ...]:
    notes = list(rating_findings(analysis.bench))
    circuit = analysis.circuit
    missing = [
        word
        for word, there in (
            ("input", circuit.input),
            ("output", circuit.output),
            ("supply", circuit.supplies),
        )
        if not there
    ]
    if missing and (missing != ["supply"] or _wants_supply(analysis)):
        notes.append(
            f"The text names no {' and no '.join(missing)}: what hangs on {_it(missing)} is left out."
        )
    elif gain is None:
        notes.append("No signal passes from the input jack to the output jack at these knob positions.")
    notes += [
        f"The resting voltage of {net.removeprefix('~')} means nothing: no direct current can reach it."
        for net in analysis.rest.floating
    ]
    if any(analysis.view.family[part.ref] == "echo-chip" for part in analysis.circuit.parts):
        notes.append("The delayed sound is not in these figures: they are those of the direct path.")
    return tuple(notes)
