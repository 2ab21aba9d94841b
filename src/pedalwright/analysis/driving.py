"""What moves a net so that the gain from it can be asked: the jack, the supply that holds it, or something
put there.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.primitives import ClippingAmplifier, Primitive, RegulatedOutput, VoltageSource
from pedalwright.devices.ports import INPUT
from pedalwright.solve.certificate import NotCertified
from pedalwright.solve.linear import SmallSignal, linearise
from pedalwright.solve.response import Drive, Response, respond
from pedalwright.solve.system import compile_system

FloatArray = NDArray[np.float64]
SILENT = 1e-12
"""a net that moves less than this share of the circuit's largest movement stands still"""
BY_JACK = "the signal at the input jack"
_IN_PLACE = "test source"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Driven:
    """A circuit, what drives it, and that in words."""

    small: SmallSignal
    drive: Drive
    words: str


def driven_at(analysis: Analysis, net: str, frequency_hz: FloatArray) -> Driven:
    """The drive for gains from `net`: the jack's signal where it reaches the net, else one at the net itself.

    Raises NotCertified.
    """
    small = analysis.small
    if small is None:
        raise NotCertified(analysis.rest.certificate)
    if analysis.circuit.input is not None:
        by_jack = Driven(small=small, drive=Drive(source=INPUT), words=BY_JACK)
        if not stands_still(respond(small, by_jack.drive, frequency_hz, open_delays=True), net):
            return by_jack
    alone = driven_alone(analysis, small, net)
    return replace(alone, words=f"{alone.words}, for the jack's signal does not reach it")


def driven_alone(analysis: Analysis, small: SmallSignal, net: str) -> Driven:
    """The drive that moves `net` and nothing else of its own accord.

    A net that an amplifier or a regulator holds is driven by a source in its place, the net of a supply by
    that supply, any other by a current. Raises NotCertified.
    """
    holder = _holder(analysis, net)
    if isinstance(holder, VoltageSource):
        words = f"a signal on the supply at {spoken(net)}"
        return Driven(small=small, drive=Drive(source=holder.name), words=words)
    if holder is not None:
        return _in_place_of(analysis, holder, net)
    words = f"a current injected into {spoken(net)}"
    return Driven(small=small, drive=Drive(injections={net: 1.0}), words=words)


def stands_still(answer: Response, net: str) -> bool:
    """True when a net moves by no more than rounding does. Raises NotCertified."""
    moving = np.abs(answer.checked().x[:, : answer.small.system.node_count]).max(initial=0.0)
    return bool(np.abs(answer.volts(net)).max() <= SILENT * moving)


def _holder(analysis: Analysis, net: str) -> Primitive | None:
    """What holds a net at its voltage whatever current is drawn, or None."""
    rows = analysis.system.rows
    for part in analysis.primitives:
        held = part.plus if isinstance(part, VoltageSource) else getattr(part, "output", None)
        stiff = isinstance(part, VoltageSource | ClippingAmplifier | RegulatedOutput)
        if stiff and held is not None and rows.get(held) == rows[net]:
            return part
    return None


def _in_place_of(analysis: Analysis, holder: Primitive, net: str) -> Driven:
    rest_v = analysis.rest.volts(net)
    source = VoltageSource(owner=_IN_PLACE, name=_IN_PLACE, plus=net, minus=GROUND, dc_v=rest_v)
    primitives = [source if part is holder else part for part in analysis.primitives]
    small = linearise(compile_system(primitives), analysis.rest.voltages)
    words = f"a source in the place of {holder.name} at {spoken(net)}"
    return Driven(small=small, drive=Drive(source=_IN_PLACE), words=words)
