"""How far the loudest signal expected stays below clipping."""

from pedalwright.analysis.levels import clippers, level_at
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.wants._record import Desk, Measured, NotKnown, WantedQuantity


def measure(desk: Desk) -> Measured:
    """The least of all stages' outputs."""
    analysis, band = desk.analysis, desk.band
    cut = clippers(analysis, band)
    nets = dict.fromkeys(stage.output for stage in analysis.stages.stages if stage.output)
    levels = [level_at(analysis, band, net, cut) for net in nets if band.knows(net)]
    known = [(level.headroom_db, level.net) for level in levels if level.headroom_db is not None]
    if not known:
        raise NotKnown("No stage that carries the signal has a limit.")
    least, net = min(known)
    return Measured(
        value=least, basis=f"at {spoken(net)}, loudest signal expected at 1 kHz, knobs as they stand"
    )


WANTED = WantedQuantity(
    name="headroom",
    title="headroom",
    unit="dB",
    says="how far the loudest signal expected stays below clipping, at the stage that clips first",
    measure=measure,
)
