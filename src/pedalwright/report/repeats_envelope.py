"""An envelope at a time pin as a section of an echo's document, and as plain data."""

from collections.abc import Iterable
from typing import Any

from pedalwright.analysis.echo_envelope import EnvelopeAnswer
from pedalwright.analysis.naming_nets import spoken
from pedalwright.report.blocks import Block, Facts, Line, Paragraph, Plot, Plots, Section, Tone
from pedalwright.report.figures import figure
from pedalwright.report.plain_data import number
from pedalwright.report.walk_document import plain_anchor

ONE_VOLT = (
    "How high the envelope gets is not known before the time domain: all of this is for one volt upward "
    "of it."
)
DRAWN_S = 2.0
EVERY = 4
"""every fourth point is drawn"""


def envelope_sections(answers: Iterable[EnvelopeAnswer]) -> Iterable[Section]:
    """What one volt of envelope does to the delay and the pitch of each chip."""
    for one in answers:
        blocks: list[Block] = [Paragraph(ONE_VOLT, Tone.QUIET), Facts(tuple(_facts(one)))]
        blocks += [Paragraph(said, Tone.DOUBT) for said in limit_sentences(one)]
        if one.moved is not None:
            cents = one.moved.cents
            pair = (("Delay", "ms", 1e3 * one.moved.delay_s), ("Pitch", "cents", cents))
            blocks.append(Plots(tuple(_plot(one, *drawn) for drawn in pair)))
        yield Section(
            anchor=f"envelope-{plain_anchor(one.chip)}-{plain_anchor(one.net)}",
            heading=f"Envelope from {spoken(one.net)} into {one.chip}",
            blocks=tuple(blocks),
        )


def _facts(one: EnvelopeAnswer) -> Iterable[tuple[str, str]]:
    rise, fall = figure(one.rise_s, "s"), figure(one.fall_s, "s")
    yield (
        "envelope",
        f"one volt at {spoken(one.net)}, risen straight in {rise}, falling with a time constant of {fall}",
    )
    yield "delay before", figure(one.rest_s, "s")
    if one.moved is not None:
        delays = one.moved.delay_s
        yield (
            "shortest, longest delay",
            f"{figure(float(delays.min()), 's')}, {figure(float(delays.max()), 's')}",
        )
        yield "pitch at most", f"{one.moved.up_cents:+.1f} and {one.moved.down_cents:+.1f} cents"


def limit_sentences(one: EnvelopeAnswer) -> Iterable[str]:
    """Where the chip cannot follow."""
    if one.reach.stalls or one.moved is None:
        yield (
            f"For {figure(one.at_limit_s, 's')} the pin would draw no current: the clock stops there, so "
            "neither delay nor pitch can be told. Less depth, or a larger resistor from the envelope, keeps "
            "it running."
        )
    elif one.reach.held:
        yield (
            f"For {figure(one.at_limit_s, 's')} less than the chip's shortest delay is asked for (31.3 ms, "
            "data sheet): it stays there."
        )


def _plot(one: EnvelopeAnswer, name: str, unit: str, values: Any) -> Plot:
    assert one.moved is not None
    count = int((one.moved.time_s <= DRAWN_S).sum())
    return Plot(
        title=f"{name} of {one.chip} after the envelope's beginning",
        unit=unit,
        frequency_hz=one.moved.time_s[:count:EVERY],
        lines=(Line(name=name.lower(), values=values[:count:EVERY]),),
        quantity=name.lower(),
        across="seconds",
    )


def envelope_data(one: EnvelopeAnswer) -> dict[str, Any]:
    """One chip's delay moved by one volt of envelope: keys of the schema ``pedalwright.repeats/1``."""
    moved = one.moved
    return {
        "chip": one.chip,
        "net": one.net,
        "height_v": 1.0,
        "rise_s": number(one.rise_s),
        "fall_s": number(one.fall_s),
        "rest_s": number(one.rest_s),
        "shortest_s": number(float(moved.delay_s.min())) if moved else None,
        "longest_s": number(float(moved.delay_s.max())) if moved else None,
        "up_cents": number(moved.up_cents) if moved else None,
        "down_cents": number(moved.down_cents) if moved else None,
        "stalls": one.reach.stalls,
        "held": one.reach.held,
        "at_limit_s": number(one.at_limit_s),
    }
