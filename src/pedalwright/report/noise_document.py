"""The noise of a circuit as a document: how much, whose, what would help, the echo's share, the spectrum."""

from collections.abc import Iterable

import numpy as np

from pedalwright.analysis.noise.records import Contributor, Cure, NoiseAnswers, dbu
from pedalwright.report.blocks import (
    Block,
    Document,
    Entries,
    Entry,
    Facts,
    Line,
    Paragraph,
    Plot,
    Plots,
    Points,
    Section,
    Table,
    Tone,
)
from pedalwright.report.figures import figure
from pedalwright.report.identity import fingerprint, title_of
from pedalwright.report.noise_sentences import (
    aside_sentence,
    chip_sentence,
    cure_texts,
    floor_sentences,
    level,
    loop_sentence,
    opening,
    other_chips_sentence,
)
from pedalwright.report.walk_sentences import certificate_sentence

MOST_ROWS = 10
"""contributors in the table; JSON has them all"""
QUIET_V_PER_RTHZ = 1e-12
NOTHING_HELPS = (
    "Nothing that was tried makes it better by 0.1 dB and leaves the circuit what it is: other values of the "
    "loud resistors with and without their partners, and other types of amplifiers and transistors."
)
ASIDE = "Left aside, for the circuit would not be what it is:"
HOW = (
    "Every change was made on the whole circuit, and its rest point, gain and noise computed anew. Better is "
    "by how much the sound gains on the noise, A-weighted."
)
SOURCES = (
    "Thermal noise: Nyquist, Physical Review 32, 1928. Shot noise: Schottky, 1918; channels: van der Ziel "
    "(from memory). A-weighting: IEC 61672-1. Noise of amplifiers, regulators and the echo chip: the sources "
    "named on the manual's page of devices."
)


def noise_document(answers: NoiseAnswers) -> Document:
    """The whole answer as blocks."""
    known = bool(answers.contributors)
    return Document(
        title=f"{title_of(answers.title)}: the noise",
        sections=(
            _glance(answers),
            *((_inputs(answers),) if any(one.weighted_v for one in answers.inputs) else ()),
            *((_contributors(answers), _cures(answers)) if known else ()),
            *_echo(answers),
            *((_spectrum(answers),) if known else ()),
            _trust(answers),
        ),
        closing=fingerprint(answers.text_sha256),
    )


def _glance(answers: NoiseAnswers) -> Section:
    blocks: list[Block] = [Paragraph(said, Tone.LEAD) for said in opening(answers)]
    blocks += [Paragraph(said, Tone.DOUBT) for said in answers.refusals]
    if answers.settings:
        blocks.append(Facts(answers.settings))
    return Section(anchor="glance", heading="At a glance", blocks=tuple(blocks))


def _inputs(answers: NoiseAnswers) -> Section:
    rows = tuple(
        (
            one.words,
            figure(one.unweighted_v, "V"),
            figure(one.weighted_v, "V"),
            level(one.weighted_v),
            "-" if (found := dbu(one.weighted_v)) is None else f"{found:.1f} dBu",
            "-" if one.signal_to_noise_db is None else f"{one.signal_to_noise_db:.0f} dB",
        )
        for one in answers.inputs
    )
    table = Table(
        caption=f"Noise at {answers.at}, {figure(answers.low_hz, 'Hz')} to {figure(answers.high_hz, 'Hz')}",
        columns=("input", "flat", "A-weighted", "dBV (A)", "dBu (A)", "below the sound"),
        rows=rows,
        figures=(1, 2, 3, 4, 5),
    )
    return Section(anchor="inputs", heading="By what is plugged in", blocks=(table,))


def _contributors(answers: NoiseAnswers) -> Section:
    shown, others = answers.contributors[:MOST_ROWS], answers.contributors[MOST_ROWS:]
    rows = [_contributor(one) for one in shown]
    if others:
        whole = float(np.sqrt(sum(one.weighted_v**2 for one in others)))
        shares = (sum(one.weighted_share for one in others), sum(one.unweighted_share for one in others))
        rows.append((f"{len(others)} others", "", figure(whole, "V"), *map(_percent, shares)))
    table = Table(
        caption=f"Who makes the noise at {answers.at}: shares of the power",
        columns=("who", "why", "A-weighted", "share", "share, flat"),
        rows=tuple(rows),
        figures=(2, 3, 4),
    )
    return Section(anchor="who", heading="Who makes it", blocks=(table,))


def _contributor(one: Contributor) -> tuple[str, ...]:
    why = one.causes[0][0] if one.causes else ""
    return (
        one.name,
        why,
        figure(one.weighted_v, "V"),
        _percent(one.weighted_share),
        _percent(one.unweighted_share),
    )


def _percent(share: float) -> str:
    if share < 0.0005:
        return "0 %" if share <= 0 else "under 0.1 %"
    return f"{100 * share:.0f} %" if share >= 0.095 else f"{100 * share:.1f} %"


def _cures(answers: NoiseAnswers) -> Section:
    blocks: list[Block] = []
    if answers.cures:
        blocks += [Paragraph(HOW, Tone.QUIET), Entries(tuple(map(_entry, answers.cures)))]
    else:
        blocks.append(Paragraph(NOTHING_HELPS))
    if answers.left_aside:
        blocks += [Paragraph(ASIDE), Points(tuple(map(aside_sentence, answers.left_aside)))]
    if answers.together is not None:
        blocks.append(Paragraph(_together(answers.together)))
    blocks += [Paragraph(said, Tone.QUIET) for said in floor_sentences(answers)]
    return Section(anchor="help", heading="What would help", blocks=tuple(blocks))


def _entry(cure: Cure) -> Entry:
    return Entry(
        name=cure.says,
        label=f"{cure.better_db:.1f} dB better",
        role=f"against {', '.join(cure.against)}",
        texts=cure_texts(cure),
    )


def _together(cure: Cure) -> str:
    return (
        f"All changes of parts that keep the level, made at once: {cure.better_db:.1f} dB better (noise "
        f"{figure(cure.noise_db, 'dB')}, sound {figure(cure.level_db, 'dB')})."
    )


def _echo(answers: NoiseAnswers) -> Iterable[Section]:
    if not answers.chips:
        return
    said = (loop_sentence(answers), *map(chip_sentence, answers.chips), other_chips_sentence(answers))
    yield Section(anchor="echo", heading="The echo's share", blocks=(Points(tuple(filter(None, said))),))


def _spectrum(answers: NoiseAnswers) -> Section:
    return Section(anchor="spectrum", heading="Spectrum", blocks=(Plots((spectrum_plot(answers),)),))


def spectrum_plot(answers: NoiseAnswers) -> Plot:
    """The density of the noise over frequency, both over decades."""
    density = np.maximum(answers.density_v_per_rthz, QUIET_V_PER_RTHZ) / 1e-9
    return Plot(
        title=f"Noise density at {answers.at}",
        unit="nV/√Hz",
        frequency_hz=answers.frequency_hz,
        lines=(Line(name="noise", values=density),),
        quantity="noise density",
        in_letters=True,
        by_ratio=True,
    )


def _trust(answers: NoiseAnswers) -> Section:
    blocks: tuple[Block, ...] = (
        Points((*map(certificate_sentence, answers.certificates), *answers.conditions)),
        Paragraph(SOURCES, Tone.QUIET),
    )
    return Section(anchor="trust", heading="How far to trust these numbers", blocks=blocks)
