"""What the rules on levels share: gains from the jack, amplifiers in use, values tried without solving
again.
"""

from collections.abc import Callable, Iterable, Mapping

import numpy as np

from pedalwright.analysis.headroom import Rung
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.devices.kinds._knob import END_OHMS
from pedalwright.devices.ports import INPUT
from pedalwright.review.rule import CannotSay
from pedalwright.review.survey import Survey
from pedalwright.solve.band import Band, ComplexArray
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.units.preferred import Series, step

SPILLED = 1e-3
"""60 dB below the jack: what moves a net less than this came through a supply or a stray path (house rule)"""
TONES_HZ = (100.0, 200.0, 400.0, 700.0, 1300.0, 2500.0, 4000.0)
"""notes and overtones of a guitar by which the loudness of a setting is judged (house rule)"""
DIODES = ("diode", "led", "zener")
MOST_STEPS = 72
"""three decades of E24: no cure is looked for further away"""


def place(band: Band, hz: float) -> int:
    """The place of the frequency in the table that is nearest."""
    return int(np.argmin(np.abs(np.log(band.frequency_hz / hz))))


def input_net(survey: Survey) -> str:
    """The net of the input jack; raises CannotSay without one."""
    if survey.circuit.input is None:
        raise CannotSay("The text names no input.")
    return survey.circuit.input.net


def from_source(survey: Survey) -> ComplexArray:
    """Volts everywhere for one volt of the source (frequencies, unknowns + 1)."""
    input_net(survey)
    return survey.band.source_column(INPUT)


def to_output(survey: Survey) -> ComplexArray | None:
    """Output jack over input jack (frequencies,); None when next to nothing passes, or there is no output."""
    port = survey.circuit.output
    if survey.circuit.input is None or port is None:
        return None
    moved = from_source(survey)
    out, into = moved[:, survey.band.row(port.net)], moved[:, survey.band.row(input_net(survey))]
    if np.max(np.abs(out)) <= SPILLED or np.min(np.abs(into)) <= 0:
        return None
    return np.asarray(out / into)


def ladder(survey: Survey) -> tuple[Rung, ...]:
    """The headroom ladder of the circuit as it stands."""
    return survey.headroom


def op_amps(survey: Survey) -> Iterable[tuple[ClippingAmplifier, Part]]:
    """Sections of operational amplifiers that the signal passes, with their packages; none without an
    input.
    """
    if survey.circuit.input is None:
        return
    moved, packages = from_source(survey), {part.ref: part for part in survey.circuit.parts}
    for primitive in survey.analysis.primitives:
        if not isinstance(primitive, ClippingAmplifier):
            continue
        part = packages.get(primitive.owner, packages.get(primitive.owner[:-1]))
        if part is None or not part.kind.endswith("opamp"):
            continue
        if np.max(np.abs(moved[:, survey.band.row(primitive.output)])) > SPILLED:
            yield primitive, part


def turned_to(part: Part, *, up: bool) -> Mapping[str, float]:
    """The two halves of a knob's track, at one end or the other."""
    far = (part.value or 0.0) - END_OHMS
    low, high = (far, END_OHMS) if up else (END_OHMS, far)
    return {f"{part.ref}.1-2": low, f"{part.ref}.2-3": high}


def heard_tones(survey: Survey) -> Band:
    """A table at `TONES_HZ` alone, for trying knobs."""

    def solved() -> Band:
        band = Band(survey.small, np.array(TONES_HZ))
        if not band.ok:
            raise CannotSay("The response could not be certified.")
        return band

    return survey.once("heard tones", solved)


def has_signal_diodes(survey: Survey) -> bool:
    """A diode with the signal on it shapes the wave on purpose; small-signal gains say little then."""
    moved = from_source(survey)[place(survey.band, 1000.0)]
    return any(
        abs(moved[survey.band.row(net)]) > SPILLED
        for part in survey.circuit.parts
        if survey.view.family[part.ref] in DIODES
        for net in part.nets
    )


def first_value(
    survey: Survey, part: Part, *, up: bool, good: Callable[[ChangedTable], bool], series: Series = Series.E12
) -> float | None:
    """The first preferred value above (or below) the part's own that is good, by the circuit with that value;
    None when none is found within reach.
    """
    value = part.value or 0.0
    for _ in range(MOST_STEPS):
        value = step(value, series, 1 if up else -1)
        if good(ChangedTable(survey.band, {part.ref: value})):
            return value
    return None


def db(ratio: float) -> float:
    """Decibels of a ratio of voltages; minus infinity for nothing."""
    return float(20 * np.log10(ratio)) if ratio > 0 else float("-inf")
