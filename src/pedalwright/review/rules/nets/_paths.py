"""How much of the sound at the input jack arrives at the output, by the dry way or through echo chips."""

from collections.abc import Mapping

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.devices.device import is_unused
from pedalwright.devices.ports import INPUT
from pedalwright.solve.band import Band, ComplexArray, band_hz
from pedalwright.solve.gains import exciting_column

LOWEST_HZ, HIGHEST_HZ = 80.0, 5000.0
CODER_PIN, DECODER_PIN = "15", "12"


def audio_hz() -> np.ndarray:
    """Where the band's frequencies lie in the range that counts."""
    found = band_hz()
    return (found > LOWEST_HZ) & (found < HIGHEST_HZ)


def arriving(analysis: Analysis, band: Band) -> float:
    """The most that the output jack moves for one volt at the input jack, in the audio band [-]."""
    source, output = analysis.circuit.input, analysis.circuit.output
    if source is None or output is None:
        return 0.0
    chips = [part for part in analysis.circuit.parts if part.kind == "echo-chip" and _is_used(part)]
    jack = band.source_column(INPUT)
    direct = _most(jack, band.row(output.net))
    coded = {chip.ref: _most(jack, band.row(chip.net(CODER_PIN))) for chip in chips}
    for _ in chips:
        coded = {chip.ref: _onward(band, chips, coded, chip) for chip in chips}
    through = [coded[chip.ref] * _from_decoder(band, chip, band.row(output.net)) for chip in chips]
    return max(direct, *through, 0.0)


def _onward(band: Band, chips: list[Part], coded: Mapping[str, float], chip: Part) -> float:
    row = band.row(chip.net(CODER_PIN))
    others = [coded[one.ref] * _from_decoder(band, one, row) for one in chips if one.ref != chip.ref]
    return max(coded[chip.ref], *others, 0.0)


def _is_used(chip: Part) -> bool:
    return not is_unused(chip, CODER_PIN) and not is_unused(chip, DECODER_PIN)


def _from_decoder(band: Band, chip: Part, row: int) -> float:
    net = chip.net(DECODER_PIN)
    column = exciting_column(band, net)
    moved = _most(band.table[:, :, column], band.row(net))
    return _most(band.table[:, :, column], row) / moved if moved > 0 else 0.0


def _most(table: ComplexArray, row: int) -> float:
    return float(np.abs(table[audio_hz(), row]).max(initial=0.0))


def from_jack(band: Band) -> np.ndarray:
    """The most that every unknown moves for one volt behind the input jack, in the audio band [-]."""
    return np.asarray(np.abs(band.source_column(INPUT)[audio_hz()]).max(axis=0))
