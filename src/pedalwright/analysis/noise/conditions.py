"""What the figures of a noise analysis hold for, and what is not in them."""

from collections.abc import Iterable

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.noise.bench import NoiseBench
from pedalwright.analysis.noise.records import PlayingLevel
from pedalwright.circuit.primitives import Junction
from pedalwright.devices.catalogue import own_noise
from pedalwright.devices.part_facts import ASSUMPTION, MEMORY
from pedalwright.stages.wording import listed

ZERO_C_K = 273.15
CONDUCTING_SHARE = 0.9
"""of its breakdown voltage, above which a diode is taken to conduct backwards"""


def conditions(bench: NoiseBench, playing: PlayingLevel | None) -> tuple[str, ...]:
    """Sentences about one circuit's figures, the general ones first."""
    return tuple(_said(bench, playing))


def _said(bench: NoiseBench, playing: PlayingLevel | None) -> Iterable[str]:
    analysis = bench.analysis
    kelvin = analysis.rest.temperature_k
    yield (
        f"Everything at {kelvin - ZERO_C_K:.0f} °C; noise of the parts alone: hum, ripple of the adaptor, "
        "clock whine and radio come on top."
    )
    yield (
        "Not counted, for nothing is published: excess noise of resistors that carry direct current, 1/f "
        "noise of transistors and diodes."
    )
    yield from _clipping(playing)
    yield from _oscillators(bench)
    yield from _uncertain_figures(analysis)
    yield from _avalanches(bench)


def _clipping(playing: PlayingLevel | None) -> Iterable[str]:
    if playing is not None and playing.clipped_at:
        yield (
            f"Idle noise only: at the playing level {playing.clipped_at} clips, and while it does the gain "
            "for noise is another."
        )


def _oscillators(bench: NoiseBench) -> Iterable[str]:
    if bench.held:
        nets = listed([spoken(net) for net in bench.held])
        yield (
            f"The slow oscillator is held still (at {nets}): its swing, its ticking and its own hiss are not "
            "in these figures."
        )


def _uncertain_figures(analysis: Analysis) -> Iterable[str]:
    hisses = own_noise(analysis.circuit).values()
    remembered = sorted({hiss.name for hiss in hisses if hiss.source == MEMORY})
    if remembered:
        yield f"The noise figures of {listed(remembered)} are from memory, not from a sheet that was read."
    if any(hiss.source.startswith(ASSUMPTION) for hiss in hisses):
        yield (
            "The echo chip's conversion noise is an estimate: the data sheet's typical -90 dBV at 171 ms, "
            "A-weighted, taken as white at pin 12 and rising 26 dB for ten times the delay (measured). Chips "
            "differ by -5 to +10 dB. Its inner amplifiers are taken as plain CMOS ones of 30 nV/√Hz, an "
            "assumption."
        )


def _avalanches(bench: NoiseBench) -> Iterable[str]:
    """Diodes that conduct backwards: what they hiss is published nowhere."""
    rest = bench.rest
    found = [
        part.owner
        for part in bench.primitives
        if isinstance(part, Junction)
        and part.breakdown_v is not None
        and rest.volts(part.cathode) - rest.volts(part.anode) > CONDUCTING_SHARE * part.breakdown_v
    ]
    if found:
        yield (
            f"{listed(sorted(set(found)))} conducts backwards: a zener's own noise is not published and is "
            "not counted beyond its shot noise."
        )
