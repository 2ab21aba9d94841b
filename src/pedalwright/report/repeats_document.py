"""An echo as a document: chips, repeats, decay, knobs, and how far to trust it all."""

from collections.abc import Iterable

import numpy as np

from pedalwright.analysis.echo_records import ChipAnswer, EchoAnswers, RepeatsKnob, TimeKnob
from pedalwright.echo.repeats import Repeat
from pedalwright.echo.stability import Peak
from pedalwright.report.blocks import (
    Block,
    Document,
    Facts,
    Paragraph,
    Plots,
    Points,
    Section,
    Table,
    Tone,
)
from pedalwright.report.figures import figure, percent
from pedalwright.report.identity import fingerprint, title_of
from pedalwright.report.repeats_envelope import envelope_sections
from pedalwright.report.repeats_movement import modulation_sections, reverb_section
from pedalwright.report.repeats_plots import bars, count_plot, decay, gain_plot, spectra, time_plot
from pedalwright.report.repeats_sentences import (
    MUTE,
    bass_warning,
    beats_per_minute,
    builds_sentences,
    chip_sentences,
    dial,
    knob_sentence,
    opening,
    shift_facts,
)
from pedalwright.report.walk_document import plain_anchor
from pedalwright.report.walk_sentences import certificate_sentence

HEARD_HZ = (100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0)
SOURCES = (
    "Delay table, limits, gain, noise, start: maker's data sheet, Echo Processor IC, V1.6, February 2010.",
    "Fitted delay law: T. Wiltshire, Useful design equations, 2015.",
    "Decay of a recirculating delay: Schroeder, retold in J. O. Smith, Physical Audio Signal Processing.",
    "Slope limit, spread of chips, rise of the noise: published measurements, 2021 and 2025.",
)
OPEN = (
    "Not settled by any source: the resting voltage of pin 6 at short delays, and what the chip's amplifiers "
    "can drive. The manual's page on the echo chip tells of both."
)


def repeats_document(answers: EchoAnswers) -> Document:
    """The whole answer as blocks."""
    return Document(
        title=f"{title_of(answers.title)}: the repeats",
        sections=(
            _glance(answers),
            *_chips(answers.chips),
            *_repeats(answers),
            *_decay(answers),
            *reverb_section(answers.reverb),
            *modulation_sections(answers.modulation),
            *envelope_sections(answers.envelopes),
            *(_time_knob(knob) for knob in answers.time_knobs),
            *(_repeats_knob(knob) for knob in answers.repeats_knobs),
            _trust(answers),
        ),
        closing=fingerprint(answers.text_sha256),
    )


def _glance(answers: EchoAnswers) -> Section:
    blocks: list[Block] = [Paragraph(said, Tone.LEAD) for said in opening(answers)]
    blocks += [Paragraph(said, Tone.DOUBT) for said in answers.refusals]
    blocks += [Paragraph(said, Tone.DOUBT) for knob in answers.repeats_knobs if (said := bass_warning(knob))]
    if answers.settings:
        blocks.append(Facts(answers.settings))
    return Section(anchor="glance", heading="At a glance", blocks=tuple(blocks))


def _chips(chips: tuple[ChipAnswer, ...]) -> Iterable[Section]:
    for answer in chips:
        ref = answer.state.ref
        blocks = (Facts(_chip_facts(answer)), Points((*chip_sentences(answer), MUTE)))
        yield Section(anchor=f"chip-{plain_anchor(ref)}", heading=f"Echo chip {ref}", blocks=blocks)


def _chip_facts(answer: ChipAnswer) -> tuple[tuple[str, str], ...]:
    state = answer.state
    source = "from the maker's table" if state.within_table else "beyond the maker's table, fitted law"
    slope = "not known" if state.slope_v_per_s is None else f"{state.slope_v_per_s / 1e3:.3g} V/ms (measured)"
    return (
        ("delay", f"{figure(state.delay_s, 's')}, {source}"),
        (
            "delay, other chips",
            f"{figure(state.low_s, 's')} to {figure(state.high_s, 's')} (measured spread)",
        ),
        *shift_facts(answer),
        ("at pin 6", f"{figure(state.time_ohms, 'ohm')}, {figure(state.time_pin_a, 'A')} out of the pin"),
        ("clock", f"{figure(state.clock_hz, 'Hz')} (fitted to the table)"),
        ("supply", figure(state.supply_v, "V")),
        ("noise", f"{state.noise_dbv:.0f} dBV A-weighted, typical (data sheet, measured rise with delay)"),
        ("distortion", f"{state.distortion_percent:.2g} % at 0.5 V rms, 1 kHz (data sheet, fitted beyond)"),
        ("steepest slope", slope),
    )


def _repeats(answers: EchoAnswers) -> Iterable[Section]:
    if not answers.repeats:
        return
    several = answers.loop is not None and len(answers.loop.chips) > 1
    dry = figure(answers.dry_db, "dB") if answers.dry_db is not None else "not there"
    at = figure(answers.reference_hz, "Hz")
    table = Table(
        caption=f"Level at the output for one volt at the input, {at}; the dry sound is {dry}",
        columns=(
            "repeat",
            "after",
            *(("chips",) if several else ()),
            "level",
            "bass from",
            "treble to",
            "polarity",
        ),
        rows=tuple(_repeat_row(answers, one, several=several) for one in answers.repeats),
        figures=(1, 3, 4, 5) if several else (1, 2, 3, 4),
    )
    drawn = tuple(plot for plot in (bars(answers), spectra(answers)) if plot is not None)
    yield Section(anchor="repeats", heading="Repeat by repeat", blocks=(table, Plots(drawn)))


def _repeat_row(answers: EchoAnswers, one: Repeat, *, several: bool) -> tuple[str, ...]:
    corners = one.corners
    low, high = (corners.low_hz, corners.high_hz) if corners else (None, None)
    passes = " ".join(
        f"{chip}×{count}"
        for chip, count in zip(answers.loop.chips if answers.loop else (), one.passes, strict=True)
        if count
    )
    return (
        str(one.number),
        f"{one.time_s * 1e3:.1f} ms",
        *((passes,) if several else ()),
        figure(one.level_db, "dB"),
        "-" if low is None else figure(low, "Hz"),
        "-" if high is None else figure(high, "Hz"),
        "+" if one.polarity > 0 else "-",
    )


def _decay(answers: EchoAnswers) -> Iterable[Section]:
    loop, fall, grown = answers.loop, answers.decay_s, answers.buildup_db
    if loop is None or fall is None or grown is None or answers.once_round is None:
        return
    rows = []
    for hz in HEARD_HZ:
        place = loop.at(hz)
        length = figure(float(fall[place]), "s") if np.isfinite(fall[place]) else "never"
        rise = figure(float(grown[place]), "dB") if np.isfinite(grown[place]) else "without end"
        rows.append((figure(hz, "Hz"), percent(float(answers.once_round[place])), length, rise))
    table = Table(
        caption="What comes back once round, how long it takes to fall by 60 dB, how much steady noise grows",
        columns=("at", "once round", "60 dB in", "noise grows"),
        rows=tuple(rows),
        figures=(1, 2, 3),
    )
    plot = decay(answers)
    blocks: tuple[Block, ...] = (table, *((Plots((plot,)),) if plot is not None else ()))
    if len(loop.chips) > 1:
        why = "With several chips these are the slowest decays that any phases between them could make."
        blocks = (*blocks, Paragraph(why, Tone.QUIET))
    yield Section(anchor="decay", heading="How long it rings on", blocks=blocks)


def _time_knob(knob: TimeKnob) -> Section:
    rows = []
    for position in range(11):
        delay, low, high = (
            float(np.interp(position, knob.positions, values))
            for values in (knob.delay_s, knob.low_s, knob.high_s)
        )
        spread = f"{low * 1e3:.0f} to {high * 1e3:.0f} ms"
        rows.append((str(position), f"{delay * 1e3:.0f} ms", beats_per_minute(delay), spread))
    table = Table(
        caption=f"Dial of {knob.knob}; spread of other chips and a track {percent(knob.track_tolerance)} off",
        columns=("position", "delay", "beats a minute", "spread"),
        rows=tuple(rows),
        figures=(1, 2, 3),
    )
    anchor = f"time-{plain_anchor(knob.knob)}-{plain_anchor(knob.chip)}"
    heading = f"Time: {knob.knob} and {knob.chip}"
    return Section(anchor=anchor, heading=heading, blocks=(table, Plots((time_plot(knob),))))


def _repeats_knob(knob: RepeatsKnob) -> Section:
    found = knob.runaway
    growing = "not counted" if found.growing_now is None else str(found.growing_now // 2)
    facts = (
        (f"at {dial(knob.now)}", _peak(found.now)),
        ("fully up", _peak(found.full)),
        ("grows from, whatever the delays", dial(found.position)),
        ("grows from, these delays", dial(found.exact_position)),
        ("tones growing now", growing),
    )
    blocks = (
        Paragraph(knob_sentence(knob)),
        Facts(facts),
        Points(tuple(builds_sentences(knob))),
        Plots((gain_plot(knob), count_plot(knob))),
    )
    return Section(anchor=f"knob-{plain_anchor(knob.knob)}", heading=f"Repeats: {knob.knob}", blocks=blocks)


def _peak(peak: Peak) -> str:
    """What comes back at the most, where, and how much is missing to howling."""
    at = figure(peak.frequency_hz, "Hz")
    return f"{percent(peak.gain)} comes back at the most, near {at}; margin {figure(peak.margin_db, 'dB')}"


def _trust(answers: EchoAnswers) -> Section:
    sentences = tuple(map(certificate_sentence, answers.certificates))
    checked = tuple(
        f"{knob.knob}: the builds checked agree with an ordinary solution to {knob.build_misfit:.0e}."
        for knob in answers.repeats_knobs
    )
    blocks: tuple[Block, ...] = (
        Points((*sentences, *checked, *answers.conditions)),
        Paragraph(OPEN, Tone.QUIET),
        Points(SOURCES),
    )
    return Section(anchor="trust", heading="How far to trust these numbers", blocks=blocks)
