"""What the echo has to do with the noise: the loop's share, each chip's, and what other chips would make."""

import numpy as np

from pedalwright.analysis.noise.picture import Picture
from pedalwright.analysis.noise.records import ChipNoise, LoopNoise
from pedalwright.echo.chip import ChipState
from pedalwright.echo.figures import value


def loop_noise(found: Picture) -> LoopNoise | None:
    """What coming round again adds; None where nothing delayed is delayed again."""
    loop = found.loop
    if loop is None or not loop.recirculates:
        return None
    opened = float(found.powers(found.opened, weighted=True).sum())
    closed = None if found.shares is None else float(found.powers(found.shares, weighted=True).sum())
    return LoopNoise(
        closed_v=None if closed is None else float(np.sqrt(closed)),
        opened_v=float(np.sqrt(opened)),
        buildup_db=None if closed is None or opened <= 0 else float(10 * np.log10(closed / opened)),
        once_round=loop.peak.gain,
        peak_hz=loop.peak.frequency_hz,
    )


def chips_noise(found: Picture) -> tuple[ChipNoise, ...]:
    """The conversion noise of every chip in use."""
    count = len(found.sources)
    own = None if found.shares is None else found.powers(found.shares, weighted=True)
    return tuple(
        ChipNoise(
            ref=chip.ref,
            delay_s=chip.delay_s,
            typical_dbv=chip.noise_dbv,
            quiet_dbv=_quiet_dbv(chip),
            noisy_dbv=_noisy_dbv(chip),
            output_v=None if own is None else float(np.sqrt(own[count + place])),
            share=None if own is None else float(own[count + place] / own.sum()),
        )
        for place, chip in enumerate(found.chips)
    )


def _quiet_dbv(chip: ChipState) -> float:
    """As far below typical as the data sheet's least, and never below that least."""
    return max(chip.noise_dbv + value("least_noise_dbv") - value("noise_dbv"), value("least_noise_dbv"))


def _noisy_dbv(chip: ChipState) -> float:
    return chip.noise_dbv + value("most_noise_dbv") - value("noise_dbv")


def with_other_chips_v(found: Picture) -> tuple[float | None, float | None]:
    """The A-weighted noise [V rms] with all chips the quietest, and the noisiest, of the data sheet; None
    without chips.
    """
    if not found.chips or found.shares is None:
        return None, None
    powers = found.powers(found.shares, weighted=True)
    rest, own = float(powers[: len(found.sources)].sum()), powers[len(found.sources) :]
    quiet, noisy = (
        float(own @ [10.0 ** ((end(chip) - chip.noise_dbv) / 10.0) for chip in found.chips])
        for end in (_quiet_dbv, _noisy_dbv)
    )
    return float(np.sqrt(rest + quiet)), float(np.sqrt(rest + noisy))
