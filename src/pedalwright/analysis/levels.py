"""How loud the signal is at each stage, and how far from clipping."""

from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.records import Level
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import BipolarTransistor, ClippingAmplifier, FieldEffectTransistor
from pedalwright.devices.ports import INPUT
from pedalwright.solve.band import Band
from pedalwright.solve.gains import exciting_column
from pedalwright.solve.rest import OperatingPoint

REFERENCE_HZ = 1000.0
SATURATION_V = 0.2
"""a bipolar transistor's collector comes no nearer to its emitter (data sheets: at most 0.2 V at 10 mA)"""
SILENT = 1e-9
"""a net that moves less than this, for one volt at the jack, carries no signal"""
FAINT = 1e-4
"""80 dB below the jack: what moves a net less than this got there through the supply, not along the path"""
CODER_PIN, DECODER_PIN = "15", "12"
"""where an echo chip's coder takes the sound, and where its decoder puts it out again"""
CHIP_GAIN = 10 ** (-0.5 / 20)
"""typical gain through an echo chip, -0.5 dB (the maker's data sheet; at most +2.5 dB)"""


@dataclass(frozen=True, slots=True)
class Room:
    """How far a net can swing from rest before something limits it, in volts, and what that is."""

    volts: float
    limited_by: str


def level_at(analysis: Analysis, band: Band, net: str) -> Level:
    """Peak signal at a net at the reference frequency for the stated source, and the headroom."""
    level_v = _peak_v(analysis, band, net)
    room = room_at(analysis, net)
    limit_v = room.volts if room else None
    headroom = None
    if level_v and limit_v and limit_v > 0:
        headroom = float(20 * np.log10(limit_v / level_v))
    return Level(
        net=net,
        frequency_hz=REFERENCE_HZ,
        level_v=level_v,
        limit_v=limit_v,
        headroom_db=headroom,
        limited_by=room.limited_by if room else "",
    )


def _peak_v(analysis: Analysis, band: Band, net: str) -> float | None:
    """The direct sound's peak at a net, or the first repeat's where that is louder; None where neither
    arrives.
    """
    port = analysis.circuit.input
    if port is None or not band.ok:
        return None
    place = int(np.argmin(np.abs(band.frequency_hz - REFERENCE_HZ)))
    row = band.row(net)
    paths = [abs(band.source_column(INPUT)[place, row])]
    paths += [
        share * _from_decoder(band, chip, row, place) for chip, share in _first_repeats(analysis, band, place)
    ]
    loudest = max(paths)
    return float(loudest * port.level_v) if loudest > FAINT else None


def _from_decoder(band: Band, chip: Part, row: int, place: int) -> float:
    """Gain from a chip's decoder output to a net."""
    column = exciting_column(band, chip.net(DECODER_PIN))
    at_decoder = abs(band.table[place, band.row(chip.net(DECODER_PIN)), column])
    return float(abs(band.table[place, row, column]) / at_decoder) if at_decoder > 0 else 0.0


def _first_repeats(analysis: Analysis, band: Band, place: int) -> list[tuple[Part, float]]:
    """Every echo chip with the level its decoder first puts out for one volt of source: as much as entered
    its coder,
    less the chip's own loss; a chip fed by another chip gets that one's first repeat.
    """
    chips = [
        chip
        for chip in analysis.view.parts_of("echo-chip")
        if band.knows(chip.net(CODER_PIN), chip.net(DECODER_PIN))
    ]
    direct = band.source_column(INPUT)[place]
    entering = {chip.ref: abs(direct[band.row(chip.net(CODER_PIN))]) for chip in chips}
    for _ in chips:
        for chip in chips:
            row = band.row(chip.net(CODER_PIN))
            others = [
                entering[one.ref] * CHIP_GAIN * _from_decoder(band, one, row, place)
                for one in chips
                if one != chip
            ]
            entering[chip.ref] = max([entering[chip.ref], *others])
    return [(chip, float(entering[chip.ref]) * CHIP_GAIN) for chip in chips]


def room_at(analysis: Analysis, net: str) -> Room | None:
    """The smaller of the swings up and down that the part driving a net allows; None when none is known."""
    rest = analysis.rest
    if not rest.certificate.ok:
        return None
    row = analysis.system.rows.get(net)
    for primitive in analysis.primitives:
        if isinstance(primitive, ClippingAmplifier) and analysis.system.rows.get(primitive.output) == row:
            return _amplifier_room(primitive, rest)
        if isinstance(primitive, BipolarTransistor) and analysis.system.rows.get(primitive.collector) == row:
            return _collector_room(primitive, rest, analysis)
        if isinstance(primitive, FieldEffectTransistor) and analysis.system.rows.get(primitive.drain) == row:
            return _drain_room(primitive, rest, analysis)
    return None


def _amplifier_room(amplifier: ClippingAmplifier, rest: OperatingPoint) -> Room:
    output = rest.volts(amplifier.output)
    up = rest.volts(amplifier.positive_rail) - amplifier.high_headroom_v - output
    down = output - rest.volts(amplifier.negative_rail) - amplifier.low_headroom_v
    side = "the positive rail" if up < down else "the negative rail"
    return Room(max(0.0, min(up, down)), f"{amplifier.owner} reaching {side}")


def _feeding_rail(analysis: Analysis, net: str) -> float:
    """The highest and lowest a net can be pulled by what feeds it: its rail's voltage."""
    rails = [analysis.rest.volts(supply.net) for supply in analysis.circuit.supplies]
    return max(rails, default=0.0, key=abs)


def _collector_room(transistor: BipolarTransistor, rest: OperatingPoint, analysis: Analysis) -> Room:
    collector, emitter = rest.volts(transistor.collector), rest.volts(transistor.emitter)
    rail = _feeding_rail(analysis, transistor.collector) if transistor.polarity > 0 else 0.0
    off = abs(rail - collector)
    saturated = abs(collector - emitter) - SATURATION_V
    words = "switching off" if off < saturated else "saturating"
    return Room(max(0.0, min(off, saturated)), f"{transistor.owner} {words}")


def _drain_room(transistor: FieldEffectTransistor, rest: OperatingPoint, analysis: Analysis) -> Room:
    drain, source = rest.volts(transistor.drain), rest.volts(transistor.source)
    rail = _feeding_rail(analysis, transistor.drain) if transistor.polarity > 0 else 0.0
    overdrive = transistor.polarity * (rest.volts(transistor.gate) - source) - transistor.threshold_v
    off, ohmic = abs(rail - drain), abs(drain - source) - max(0.0, overdrive)
    words = "switching off" if off < ohmic else "leaving its flat region"
    return Room(max(0.0, min(off, ohmic)), f"{transistor.owner} {words}")
