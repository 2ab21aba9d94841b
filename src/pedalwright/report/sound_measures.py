"""What was measured by playing test sounds through a circuit, as a section of a document."""

from collections.abc import Iterable

import numpy as np

from pedalwright.report.blocks import Block, Facts, Line, Paragraph, Plot, Plots, Points, Section, Table, Tone
from pedalwright.report.figures import figure, percent
from pedalwright.report.sound_sentences import UNMOVED_DB
from pedalwright.sound.measure.clicks import EchoPattern
from pedalwright.sound.measure.clip_level import ClipLevel
from pedalwright.sound.measure.distortion import Distortion
from pedalwright.sound.measure.sweep_response import SweepResponse
from pedalwright.sound.measured import Measured
from pedalwright.sound.wish import Take
from pedalwright.units.levels import dbv_of_volts

MOST_ARRIVALS = 24
HEARD_HZ = (50.0, 100.0, 200.0, 500.0, 1e3, 2e3, 5e3, 10e3)


def measures_section(take: Take, number: int) -> Section:
    """All that was measured of one take's circuit."""
    found = take.measured
    assert found is not None
    how = (
        "Measured by playing through the circuit with its knobs at rest, "
        f"{figure(found.peak_v, 'V')} peak at the input."
    )
    blocks: list[Block] = [Paragraph(how, Tone.QUIET), Facts(tuple(_facts(found)))]
    if found.distortion.harmonics[1:]:
        blocks.append(_harmonics(found.distortion))
    if found.response.valid.any():
        blocks += [_response_table(found.response), Plots((_response_plot(found.response),))]
    if found.pattern is not None and found.pattern.arrivals:
        blocks.append(_arrivals(found.pattern))
    if said := tuple(_remarks(found)):
        blocks.append(Points(said))
    return Section(anchor=f"measured-{number}", heading=f"Measured: {take.label}", blocks=tuple(blocks))


def _facts(found: Measured) -> Iterable[tuple[str, str]]:
    tone = found.distortion
    yield f"gain at {figure(tone.conditions.tone_hz, 'Hz')}", figure(tone.gain_db, "dB")
    yield "harmonic distortion", _share(tone.thd_ratio)
    yield "distortion and noise", _share(tone.thd_n_ratio)
    yield "clips from", _clipping(found.clip_level)
    yield "noise by itself", _noise(found)
    if found.repeats is not None and found.repeats.spacing_s is not None:
        spacing, ratio = figure(found.repeats.spacing_s, "s"), found.repeats.ratio
        yield "repeats", f"{spacing} apart, each {_share(ratio)} of the one before"


def _noise(found: Measured) -> str:
    volts = found.idle.a_weighted_rms_v
    if volts is None:
        return "silent" if any("silent" in remark for remark in found.idle.remarks) else "not known"
    return f"{dbv_of_volts(volts):.0f} dBV A-weighted, {figure(found.idle.rms_v, 'V')} rms"


def _share(ratio: float | None) -> str:
    return "not known" if ratio is None else percent(ratio)


def _clipping(found: ClipLevel | None) -> str:
    if found is None or found.input_peak_v is None:
        return "not known"
    limit = f"{percent(found.thd_limit)} distortion" if found.by == "distortion" else "a gain 1 dB less"
    return f"{figure(found.input_peak_v, 'V')} peak at the input ({limit}, a tone of 1 kHz)"


def _arrivals(pattern: EchoPattern) -> Table:
    rows = tuple(
        (
            str(one.number),
            f"{one.time_s * 1e3:.1f} ms",
            "-" if one.gain_db is None else figure(one.gain_db, "dB"),
            "-" if one.reference_db is None else figure(one.reference_db, "dB"),
        )
        for one in pattern.arrivals[:MOST_ARRIVALS]
    )
    return Table(
        caption="A click at the input, as it arrives at the output (by a sweep); levels against the click",
        columns=("arrival", "after", "whole", f"at {figure(pattern.reference_hz, 'Hz')}"),
        rows=rows,
        figures=(1, 2, 3),
    )


def _harmonics(tone: Distortion) -> Table:
    rows = tuple(
        (
            str(one.order),
            figure(one.frequency_hz, "Hz"),
            figure(one.level_db, "dB") if one.order > 1 else "-",
            figure(tone.gain_db + one.level_db, "dB") if tone.gain_db is not None else "-",
            f"{one.phase_deg:.0f}°" if one.order > 1 else "-",
        )
        for one in tone.harmonics
    )
    return Table(
        caption="The tone and its harmonics, their peak against the tone's and against the input's",
        columns=("harmonic", "at", "against the tone", "gain", "phase"),
        rows=rows,
        figures=(1, 2, 3, 4),
    )


def _response_table(response: SweepResponse) -> Table:
    rows = []
    for hz in HEARD_HZ:
        at = int(np.argmin(np.abs(response.frequency_hz - hz)))
        if not response.valid[at]:
            continue
        gain = complex(response.gain[at])
        change = float(response.level_change_db[at])
        rows.append((
            figure(float(response.frequency_hz[at]), "Hz"),
            figure(float(20 * np.log10(abs(gain))), "dB"),
            f"{np.degrees(np.angle(gain)):.0f}°",
            "none" if abs(change) < UNMOVED_DB else figure(change, "dB"),
        ))  # fmt: skip
    return Table(
        caption="Response by an exponential sweep, repeats in it; the change is that from half the level",
        columns=("frequency", "gain", "phase", "change"),
        rows=tuple(rows),
        figures=(1, 2, 3),
    )


def _response_plot(response: SweepResponse) -> Plot:
    level = 20 * np.log10(np.maximum(np.abs(response.gain), 1e-12))
    trusted = np.where(response.valid, level, np.nan)
    return Plot(
        title="Response by sweep",
        unit="dB",
        frequency_hz=response.frequency_hz,
        lines=(Line(name="gain", values=trusted),),
    )


def _remarks(found: Measured) -> Iterable[str]:
    named = (
        ("Noise", found.idle.remarks),
        ("Distortion", found.distortion.remarks),
        ("Clipping", () if found.clip_level is None else found.clip_level.remarks),
        ("Response", found.response.remarks),
        ("Repeats", () if found.pattern is None else found.pattern.remarks),
        ("Repeats", () if found.repeats is None else found.repeats.remarks),
    )
    for name, remarks in named:
        yield from (f"{name}: {remark}." for remark in dict.fromkeys(remarks))
