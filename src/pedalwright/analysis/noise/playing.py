"""How loud the sound is against which the noise is told."""

from pedalwright.analysis.levels import REFERENCE_HZ, clippers, level_at
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.noise.records import PlayingLevel
from pedalwright.solve.band import Band, band_hz


def playing_level(analysis: Analysis, net: str) -> PlayingLevel | None:
    """The peak at a net, at 1 kHz, when the source plays at its stated peak; None where none arrives, or that
    is not certified.
    """
    port = analysis.circuit.input
    if port is None or analysis.small is None:
        return None
    band = Band(analysis.small, band_hz())
    if not band.ok or not band.knows(net):
        return None
    level = level_at(analysis, band, net, clippers(analysis, band))
    if not level.level_v:
        return None
    # What the net's own driver cannot swing does not arrive either.
    here = level.limit_v if level.limit_v and level.limit_v < level.level_v else None
    return PlayingLevel(
        frequency_hz=REFERENCE_HZ,
        input_v=port.level_v,
        output_v=here or level.level_v,
        clipped_at=spoken(net) if here else spoken(level.clipped_at),
    )
