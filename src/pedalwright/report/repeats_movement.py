"""Reverberation and modulation as sections of an echo's document."""

from collections.abc import Iterable

import numpy as np

from pedalwright.analysis.echo_movement import ModulationAnswer, ReverbAnswer
from pedalwright.echo.reverb import MODES_PER_HZ_AND_SECOND
from pedalwright.report.blocks import Block, Facts, Line, Paragraph, Plot, Plots, Section, Table, Tone
from pedalwright.report.figures import figure
from pedalwright.report.walk_document import plain_anchor

ONE_VOLT = (
    "The oscillator's height is not known before the time domain: all of this is for one volt peak of it."
)


def reverb_section(answer: ReverbAnswer | None) -> Iterable[Section]:
    """Echo count and density, modes, delays that spread the echoes better, RT60 of each octave band."""
    if answer is None:
        return
    counts = Table(
        caption="Echoes that have arrived, the direct sound counted as one, as though every chip fed all",
        columns=("by", "echoes", "echoes a second"),
        rows=tuple((figure(at, "s"), str(count), f"{density:.0f}") for at, count, density in answer.counts),
        figures=(1, 2),
    )
    octaves = Table(
        caption="Time to fall by 60 dB, for each octave band: the slowest that any phases could make",
        columns=("around", "60 dB in"),
        rows=tuple((figure(hz, "Hz"), _length(time)) for hz, time in answer.octaves_s),
        figures=(1,),
    )
    blocks = (counts, Paragraph(modes_sentence(answer)), Paragraph(advice_sentence(answer)), octaves)
    yield Section(anchor="reverb", heading="As a reverberation", blocks=blocks)


def modes_sentence(answer: ReverbAnswer) -> str:
    """The resonances per hertz against what the length of the reverberation wants."""
    enough = f"enough for an RT60 of {figure(answer.enough_for_s, 's')}"
    verdict = "which is more than" if answer.rt60_s <= answer.enough_for_s else "which is LESS than"
    rule = f"{MODES_PER_HZ_AND_SECOND} per hertz for every second; J. O. Smith, Mode Density Requirement"
    return (
        f"The delays make {answer.modes_per_hz:.3f} resonances per hertz, {enough} ({rule}), {verdict} the "
        f"{_length(answer.rt60_s)} at 1 kHz."
    )


def advice_sentence(answer: ReverbAnswer) -> str:
    """Echoes heard one by one, and time resistors that would part them better."""
    now = (
        f"In the first half second {answer.separate} echoes come more than 2 ms apart, "
        f"{answer.least_separate} with the worst chips of a 5 % spread"
    )
    found = answer.advice
    if found is None:
        return f"{now}; no buyable resistors with about the same mean delay do better."
    resistors = " and ".join(figure(ohms, "ohm") for ohms in found.ohms)
    delays = " and ".join(figure(delay, "s") for delay in found.delays_s)
    return (
        f"{now}. Time resistors of {resistors} ({delays}) would keep {found.separate} apart, "
        f"{found.least_separate} with the worst chips."
    )


def modulation_sections(answers: Iterable[ModulationAnswer]) -> Iterable[Section]:
    """How the delay of each chip swings, what that does to the pitch, and what it is called."""
    for one in answers:
        blocks: list[Block] = []
        if not one.known:
            blocks.append(Paragraph(ONE_VOLT, Tone.QUIET))
        blocks += [Facts(tuple(_facts(one))), *(Paragraph(said, Tone.DOUBT) for said in limit_sentences(one))]
        if one.moved is not None:
            blocks.append(Plots((_delay_plot(one), _pitch_plot(one))))
        yield Section(
            anchor=f"moved-{plain_anchor(one.chip)}",
            heading=f"Movement of {one.chip}",
            blocks=tuple(blocks),
        )


def _facts(one: ModulationAnswer) -> Iterable[tuple[str, str]]:
    yield "rate", figure(one.rate_hz, "Hz")
    yield "delay at rest", figure(one.rest_s, "s")
    if one.moved is None or one.character is None:
        return
    kind = one.character
    yield "delay swings", f"{figure(kind.shortest_s, 's')} to {figure(kind.longest_s, 's')}"
    yield "pitch over one period", f"{one.moved.up_cents:+.1f} to {one.moved.down_cents:+.1f} cents"
    yield "heard as", f"{kind.word}. {kind.says}"
    if kind.notch_db is not None:
        yield "notches, shortest delay", _notches(kind.shortest_notches_hz)
        yield "notches, longest delay", _notches(kind.longest_notches_hz)
        depth = (
            "as deep as the parts are alike" if not np.isfinite(kind.notch_db) else f"{kind.notch_db:.1f} dB"
        )
        yield "depth of the notches", depth


def _notches(found: tuple[float, ...]) -> str:
    return ", ".join(figure(hz, "Hz") for hz in found)


def limit_sentences(one: ModulationAnswer) -> Iterable[str]:
    """Where the chip cannot follow."""
    if one.reach.stalls or one.moved is None:
        yield (
            "For a part of each period the pin would draw no current: the clock stops there, so neither "
            "delay nor pitch can be told. Less depth, or a larger resistor from the oscillator, keeps it "
            "running."
        )
    if one.reach.held:
        yield (
            f"For {100 * one.reach.at_limit:.0f} % of each period less than the chip's shortest delay is "
            "asked for (31.3 ms, data sheet): it stays there."
        )


def _delay_plot(one: ModulationAnswer) -> Plot:
    assert one.moved is not None
    return Plot(
        title=f"Delay of {one.chip} over one period",
        unit="ms",
        frequency_hz=one.moved.time_s,
        lines=(Line(name="delay", values=1e3 * one.moved.delay_s),),
        quantity="delay",
        across="seconds",
    )


def _pitch_plot(one: ModulationAnswer) -> Plot:
    assert one.moved is not None
    return Plot(
        title=f"Pitch of {one.chip} over one period",
        unit="cents",
        frequency_hz=one.moved.time_s,
        lines=(Line(name="pitch", values=one.moved.cents),),
        quantity="pitch",
        across="seconds",
    )


def _length(seconds: float) -> str:
    return figure(seconds, "s") if np.isfinite(seconds) else "never"
