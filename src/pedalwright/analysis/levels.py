"""How loud the signal is at each stage, and how far from clipping."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.records import Level
from pedalwright.analysis.rooms import Room, rooms_at
from pedalwright.circuit.part import Part
from pedalwright.devices.ports import INPUT
from pedalwright.solve.band import Band
from pedalwright.solve.gains import exciting_column

REFERENCE_HZ = 1000.0
SILENT = 1e-9
"""a net that moves less than this, for one volt at the jack, carries no signal"""
FAINT = 1e-4
"""80 dB below the jack: what moves a net less than this got there through the supply, not along the path"""
BESIDE = 0.1
"""share of a net's signal that may come past a clipping stage, and still the stage decides how loud it is"""
CODER_PIN, DECODER_PIN = "15", "12"
"""where an echo chip's coder takes the sound, and where its decoder puts it out again"""
CHIP_GAIN = 10 ** (-0.5 / 20)
"""typical gain through an echo chip, -0.5 dB (the maker's data sheet; at most +2.5 dB)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clipper:
    """A net at which the loudest signal is cut, and the peak that it lets through, in volts."""

    net: str
    most_v: float


def clippers(analysis: Analysis, band: Band) -> tuple[Clipper, ...]:
    """Every stage's output that the loudest signal expected would drive further than it can go."""
    found = []
    for net in dict.fromkeys(stage.output for stage in analysis.stages.stages if stage.output):
        peak = _peak_v(analysis, band, net, ()) if band.knows(net) else None
        most = min((_most_v(analysis, band, room) for room in rooms_at(analysis, net)), default=None)
        if peak is not None and most is not None and peak > most > 0:
            found.append(Clipper(net=net, most_v=most))
    return tuple(found)


def level_at(analysis: Analysis, band: Band, net: str, clipped: Sequence[Clipper]) -> Level:
    """Peak signal at a net at the reference frequency for the stated source, and the headroom.

    `clipped` are the circuit's `clippers`: behind one of them no more arrives than it lets through.
    """
    level_v = _peak_v(analysis, band, net, clipped)
    rooms = [(_limit_v(analysis, band, room), room) for room in rooms_at(analysis, net)]
    limit_v, room = min(rooms, key=lambda pair: pair[0], default=(None, None))
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
        from_jack=analysis.circuit.input is not None,
        clipped_at=_last_before(analysis, band, net, clipped),
    )


def first_repeats_db(analysis: Analysis, band: Band) -> tuple[tuple[str, float], ...]:
    """The level of every echo chip's first repeat at the output jack against the sound at the input jack, at
    the reference frequency: (designator, decibels). A chip of which nothing arrives is left out.
    """
    source, output = analysis.circuit.input, analysis.circuit.output
    if source is None or output is None or not band.ok:
        return ()
    place, row = _place(band), band.row(output.net)
    jack = float(abs(band.source_column(INPUT)[place, band.row(source.net)]))
    found = [
        (chip.ref, share * _from_decoder(band, chip, row, place) / jack)
        for chip, share in _first_repeats(analysis, band, place)
        if jack > 0
    ]
    return tuple((ref, float(20 * np.log10(level))) for ref, level in found if level > FAINT)


def arriving(analysis: Analysis, band: Band, net: str) -> tuple[float, float]:
    """What comes to a net of one volt at the input jack, at the reference frequency: of the direct sound, and
    of the loudest first repeat [-]; nothing without an input.
    """
    source = analysis.circuit.input
    if source is None or not band.ok or not band.knows(net):
        return 0.0, 0.0
    place, row = _place(band), band.row(net)
    direct = np.abs(band.source_column(INPUT)[place])
    jack = float(direct[band.row(source.net)])
    repeats = [
        share * _from_decoder(band, chip, row, place)
        for chip, share in _first_repeats(analysis, band, place)
    ]
    return (float(direct[row]) / jack, max(repeats, default=0.0) / jack) if jack > 0 else (0.0, 0.0)


def _limit_v(analysis: Analysis, band: Band, room: Room) -> float:
    """The peak from which one side is cut; diodes that hold a net to another add that one's signal."""
    return room.volts + _followed_v(analysis, band, room)


def _most_v(analysis: Analysis, band: Band, room: Room) -> float:
    return room.most_v + _followed_v(analysis, band, room)


def _followed_v(analysis: Analysis, band: Band, room: Room) -> float:
    if not room.follows or not band.knows(room.follows):
        return 0.0
    return _peak_v(analysis, band, room.follows, ()) or 0.0


def _peak_v(analysis: Analysis, band: Band, net: str, clipped: Sequence[Clipper]) -> float | None:
    """The direct sound's peak at a net, or the first repeat's where that is louder; None where neither
    arrives.
    """
    port = analysis.circuit.input
    if port is None or not band.ok:
        return None
    place, row = _place(band), band.row(net)
    direct = float(abs(band.source_column(INPUT)[place, row]) * port.level_v)
    repeats = [
        float(share * _from_decoder(band, chip, row, place) * port.level_v)
        for chip, share in _first_repeats(analysis, band, place)
    ]
    let_through = [one.most_v * share for one, share in _before(band, net, clipped)]
    loudest = max(min([direct, *let_through]), *repeats, 0.0)
    return loudest if loudest > FAINT * port.level_v else None


def _before(band: Band, net: str, clipped: Sequence[Clipper]) -> Iterable[tuple[Clipper, float]]:
    """The clippers that all of the net's signal comes through, with the gain from there to the net."""
    if not clipped:
        return
    place, row = _place(band), band.row(net)
    direct = band.source_column(INPUT)[place]
    for one in clipped:
        at, column = band.row(one.net), exciting_column(band, one.net)
        moved = band.table[place, at, column]
        if at == row or moved == 0:
            continue
        gain = band.table[place, row, column] / moved
        if abs(direct[row] - gain * direct[at]) <= BESIDE * abs(direct[row]):
            yield one, float(abs(gain))


def _last_before(analysis: Analysis, band: Band, net: str, clipped: Sequence[Clipper]) -> str:
    """The clipper that decides how much arrives at a net, or an empty string."""
    found = [(one.most_v * gain, one.net) for one, gain in _before(band, net, clipped)]
    return min(found, default=(0.0, ""))[1]


def _place(band: Band) -> int:
    return int(np.argmin(np.abs(band.frequency_hz - REFERENCE_HZ)))


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
