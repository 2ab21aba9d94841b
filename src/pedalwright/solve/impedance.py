"""The impedance a circuit shows at a net: one ampere in, volts out."""

from collections.abc import Iterable

import numpy as np

from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.response import Drive, respond


def impedance(
    small: SmallSignal,
    net: str,
    frequencies_hz: FloatArray,
    *,
    removed: Iterable[str] = (),
    open_delays: bool = False,
) -> ComplexArray:
    """The impedance between a net and ground (frequencies,) [ohm], every source dead (a voltage source a
    short).

    `removed` names primitives or owners lifted off first: the source for the input impedance of a pedal, the
    load for its output impedance. Zero for ground. Raises NotCertified, or KeyError for an unknown net or
    name.
    """
    lifted = tuple(removed)
    seen = small.without(lifted) if lifted else small
    drive = Drive(injections={net: 1.0})
    return respond(seen, drive, np.asarray(frequencies_hz, dtype=float), open_delays=open_delays).volts(net)


def transfer_impedance(
    small: SmallSignal, net: str, into: str, frequencies_hz: FloatArray, *, removed: Iterable[str] = ()
) -> ComplexArray:
    """The voltage at `net` for one ampere into the net `into` (frequencies,) [ohm].

    In a passive circuit the same with the two nets exchanged. Raises NotCertified or KeyError.
    """
    lifted = tuple(removed)
    seen = small.without(lifted) if lifted else small
    return respond(seen, Drive(injections={into: 1.0}), np.asarray(frequencies_hz, dtype=float)).volts(net)
