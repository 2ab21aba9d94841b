"""Section 15: what the finished pedal does, as a sheet of figures."""

from cmath import phase
from collections.abc import Iterable
from math import degrees, isfinite

from pedalwright.analysis.headroom import PICKUP_PEAKS_V, Rung
from pedalwright.analysis.levels import FAINT
from pedalwright.analysis.noise import PICKUP, SHORTED
from pedalwright.devices.ports import INPUT
from pedalwright.report.blocks import Block, Facts, Paragraph, Points, Table, Tone
from pedalwright.report.figures import NOT_KNOWN, figure
from pedalwright.report.knobs_sentences import said
from pedalwright.report.noise_sentences import level
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.report.power_sentences import current, hours
from pedalwright.report.repeats_sentences import opening
from pedalwright.review.want_words import margin_words, want_figure

NEARLY_DEGREES = 45.0
"""a sound turned by less than this is called the right way up (house rule)"""


def build(dossier: Dossier) -> Chapter:
    """Figures with the knobs as they stand, and the conditions they hold under."""
    facts = tuple(
        (name, told)
        for rows in (_signal, _echo, _clipping, _noise, _supply)
        for name, told in rows(dossier)
        if told
    )
    opened = tuple(opening(dossier.echo)) if dossier.echo is not None else ()
    refusals = (*(dossier.noise.refusals if dossier.noise else ()), *dossier.budget.refusals)
    return chapter(
        [
            Facts(facts),
            *((Points(opened),) if opened else ()),
            *(Paragraph(one, Tone.DOUBT) for one in dict.fromkeys(refusals)),
            *_wants(dossier),
            Paragraph(
                "Computed from the circuit at 27 °C with every part at its written value and the knobs as "
                "in this document; bands are in the sections before.",
                Tone.QUIET,
            ),
        ]
    )


def _signal(dossier: Dossier) -> Iterable[tuple[str, str]]:
    overall = dossier.walk.overall
    at = figure(overall.reference_hz, "Hz")
    yield f"gain at {at}", figure(overall.gain_db, "dB")
    low, high = overall.low_corner_hz, overall.high_corner_hz
    yield "bass falls by 3 dB at", figure(low, "Hz") if low is not None else ""
    yield "treble falls by 3 dB at", figure(high, "Hz") if high is not None else ""
    yield f"input impedance at {at}", figure(overall.input_ohms, "ohm")
    side = _polarity(dossier)
    if side:
        yield "polarity", side
    yield f"output impedance at {at}", figure(overall.output_ohms, "ohm")


def _polarity(dossier: Dossier) -> str:
    """Whether the dry sound comes out the way it went in, at the reference frequency."""
    rig, circuit = dossier.rig, dossier.circuit
    if rig is None or circuit.input is None or circuit.output is None:
        return ""
    band, reference = rig.band, dossier.walk.overall.reference_hz
    place = int(abs(band.frequency_hz - reference).argmin())
    column = band.source_column(INPUT)[place]
    jack, out = column[band.row(circuit.input.net)], column[band.row(circuit.output.net)]
    if abs(jack) == 0 or abs(out) <= FAINT * abs(jack):
        return ""
    turned = abs(degrees(phase(out / jack)))
    if turned <= NEARLY_DEGREES:
        return "the right way up"
    if turned >= 180 - NEARLY_DEGREES:
        return "upside down"
    return f"shifted by {turned:.0f} degrees"


def _echo(dossier: Dossier) -> Iterable[tuple[str, str]]:
    for chip in dossier.echo.chips if dossier.echo is not None else ():
        state = chip.state
        ends = [
            float(delay)
            for knob in (dossier.echo.time_knobs if dossier.echo is not None else ())
            if knob.chip == state.ref
            for delay in (knob.delay_s.min(), knob.delay_s.max())
            if isfinite(delay)
        ]
        over = f", {said(min(ends), 's')} to {said(max(ends), 's')} over the dial" if ends else ""
        yield f"delay of {state.ref}", f"{said(state.delay_s, 's')}{over}"


def _clipping(dossier: Dossier) -> Iterable[tuple[str, str]]:
    unmeant = [rung for rung in dossier.ladder if not rung.is_meant and rung.clips_from_v is not None]
    meant = [rung for rung in dossier.ladder if rung.is_meant and rung.clips_from_v is not None]
    if meant:
        first = min(meant, key=lambda rung: rung.clips_from_v or 0.0)
        yield (
            "meant to clip from",
            f"{figure(first.clips_from_v, 'V')} peak at the input ({first.limited_by})",
        )
    if unmeant:
        first = min(unmeant, key=lambda rung: rung.clips_from_v or 0.0)
        enough = "more than" if (first.clips_from_v or 0.0) > max(PICKUP_PEAKS_V) else "less than"
        yield (
            "clean up to",
            f"{_at(first)}; {enough} the {max(PICKUP_PEAKS_V):g} V of a hot pickup hit hard",
        )


def _at(rung: Rung) -> str:
    return f"{figure(rung.clips_from_v, 'V')} peak at the input ({rung.limited_by})"


def _noise(dossier: Dossier) -> Iterable[tuple[str, str]]:
    words = {SHORTED: "noise, input shorted", PICKUP: "noise, pickup plugged in"}
    for one in dossier.noise.inputs if dossier.noise is not None else ():
        if one.state in words and one.weighted_v is not None:
            yield words[one.state], f"{level(one.weighted_v)}, A-weighted"
        if one.state == PICKUP and one.signal_to_noise_db is not None:
            yield "signal over noise", f"{one.signal_to_noise_db:.0f} dB at the playing level, A-weighted"


def _supply(dossier: Dossier) -> Iterable[tuple[str, str]]:
    for net, amps in dossier.budget.supply_a:
        yield f"current from {net}", f"{current(amps.typical)} typical, {current(amps.most)} at most"
    adaptor = dossier.budget.adaptor
    if adaptor is not None:
        yield "label", adaptor.label
    life = dossier.battery
    if life is not None and life.cells:
        cells = ", ".join(f"{cell.name} {hours(cell.hours)}" for cell in life.cells)
        ends = f", until {life.first.says.rstrip('.')}" if life.first is not None else ""
        yield "from a 9 V battery", f"{cells}{ends}"


def _wants(dossier: Dossier) -> Iterable[Block]:
    """What the text wants of the circuit, beside what it does."""
    rows = tuple(
        (
            answer.want.text,
            NOT_KNOWN if answer.value is None else want_figure(answer.value, answer.unit),
            margin_words(answer),
        )
        for answer in dossier.wants
    )
    if rows:
        yield Table(caption="What the text wants", columns=("wanted", "measured", ""), rows=rows)


SECTION = PackSection(name="specifications", place=15, heading="Specifications", build=build)
