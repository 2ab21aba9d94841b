"""What a stage at the input jack does to a magnetic pickup, whose inductance wants a high resistance."""

from math import pi, sqrt

import numpy as np

from pedalwright.devices.ports import INPUT
from pedalwright.devices.sources import SourceFigures, source_figures
from pedalwright.stages.bench import Bench
from pedalwright.stages.stage import Stage
from pedalwright.stages.wording import hz, ohms
from pedalwright.units.values import print_value

PICKUP = "pickup"
WANTED_OHMS = 500e3
"""from here up a pickup keeps the peak of its treble (common practice, no source)"""
TOLD_AT_HZ = 1000.0
BESIDE_THE_COIL = tuple(f"{INPUT}/{part}" for part in ("coil", "volume", "cable"))
"""what joins a pickup to the jack; its resistance alone may stay, at the far side of the coil"""


def pickup_says(stage: Stage, bench: Bench) -> str:
    """What the pickup sees and what that costs it; empty for stages elsewhere and for other sources."""
    source = bench.view.circuit.input
    if source is None or source.source != PICKUP or not _is_first(stage, bench):
        return ""
    load = load_ohms(bench)
    if load is None:
        return ""
    figures = source_figures(PICKUP)
    wants = (
        f"one of about {ohms(figures.ohms)} and {print_value(figures.henries, 'H')} with its cable wants at "
        f"least {ohms(WANTED_OHMS)}"
    )
    if load >= WANTED_OHMS:
        return f" The pickup sees {ohms(load)}: {wants}, so it keeps its treble."
    corner = treble_corner_hz(load, figures)
    if corner < peak_hz(figures):
        return f" The pickup sees {ohms(load)}, but {wants}: it is dulled, from about {hz(corner)} up."
    return f" The pickup sees {ohms(load)}, but {wants}: its peak near {hz(peak_hz(figures))} is flattened."


def load_ohms(bench: Bench) -> float | None:
    """Size of the impedance into the input jack at 1 kHz, the source unplugged, in ohms; None where it is not
    certified.
    """
    source = bench.view.circuit.input
    if bench.small is None or source is None or source.source != PICKUP:
        return None
    from pedalwright.solve.certificate import NotCertified
    from pedalwright.solve.impedance import impedance

    try:
        found = impedance(bench.small, source.net, np.array([TOLD_AT_HZ]), removed=BESIDE_THE_COIL)
    except NotCertified:
        return None
    return float(abs(found[0]))


def treble_corner_hz(load_ohms: float, figures: SourceFigures) -> float:
    """Where the coil's reactance equals all the resistance around it: (Rs + R)/(2 pi L), in Hz; capacitance
    is left out.

    >>> round(treble_corner_hz(26e3, source_figures("pickup")))
    1389
    """
    siemens = 1.0 / load_ohms + (1.0 / figures.volume_ohms if figures.volume_ohms else 0.0)
    return (figures.ohms + 1.0 / siemens) / (2 * pi * figures.henries)


def peak_hz(figures: SourceFigures) -> float:
    """Where the coil resonates with its winding and cable, in Hz.

    >>> round(peak_hz(source_figures("pickup")))
    3473
    """
    return 1.0 / (2 * pi * sqrt(figures.henries * figures.farads))


def _is_first(stage: Stage, bench: Bench) -> bool:
    """The stage takes the signal from the jack; of several, the one whose part the text names first there."""
    net = bench.view.input_net
    if net not in stage.inputs:
        return False
    leading = [leaf.ref for leaf in bench.view.on(net) if not bench.classes.is_still(leaf.other(net))]
    return not leading or leading[0] in stage.refs
