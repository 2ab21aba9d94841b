"""A transistor stage at rest and its gain as a textbook reckons them, from the values of its parts alone."""

from dataclasses import dataclass
from math import isfinite

import numpy as np

from pedalwright.circuit.primitives import BipolarTransistor, FieldEffectTransistor
from pedalwright.devices.catalogue import device
from pedalwright.formulas import jfet, mosfet
from pedalwright.formulas.transistor import Bias, feedback_bias, fixed_bias
from pedalwright.stages.bench import Bench
from pedalwright.stages.resting_source import bias_leaves, still_volts, thevenin
from pedalwright.stages.transistor_network import TransistorNetwork
from pedalwright.stages.view import Transistor

THERMAL_V = 0.026
"""the books' thermal voltage: re = 26 mV / I"""
SILICON_V, GERMANIUM_V = 0.65, 0.15
"""base-emitter voltage at a milliampere or so (common practice, no source)"""
GERMANIUM_SATURATION_A = 1e-9
SATURATED_V = 0.2
"""what is left across a transistor that is fully on (common practice, no source)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """The resting point by hand: voltages against ground [V] and the current of collector or drain [A], all
    by formula.

    `top_return_v` and `bottom_return_v` are the steady voltages the load resistors lead to, `load_ohms` and
    `bottom_ohms` their direct-current resistances. `saturated` says that the figures leave no room.
    """

    control_v: float
    bottom_v: float
    top_v: float
    current_a: float
    top_return_v: float
    bottom_return_v: float
    load_ohms: float
    bottom_ohms: float
    way: str
    """how the base gets its voltage: ``divider``, ``feedback``, ``return``, ``driven`` or ``self``"""

    @property
    def saturated(self) -> bool:
        """The load takes more than there is: the transistor would stand fully on."""
        span = self.top_return_v - self.bottom_return_v
        return bool((self.top_v - self.bottom_v) * np.sign(span) < SATURATED_V)


def resting_a(bench: Bench, transistor: Transistor) -> float | None:
    """The resting current of collector or drain in the full circuit, as a size [A]; None when not
    certified.
    """
    if bench.rest is None:
        return None
    return abs(bench.rest.amperes(transistor.ref))


def beta_of(bench: Bench, transistor: Transistor) -> float:
    """Current gain: at the operating point when it is solved, else the type's."""
    gm, gpi = (bench.parameter(f"{transistor.ref}/{name}") for name in ("gm", "gpi"))
    if gm and gpi:
        return gm / gpi
    return _bipolar_card(transistor).forward_beta


def _bipolar_card(transistor: Transistor) -> BipolarTransistor:
    primitives = device(transistor.part.kind).expand(transistor.part)
    return next(item for item in primitives if isinstance(item, BipolarTransistor))


def channel_card(transistor: Transistor) -> FieldEffectTransistor:
    """The square-law figures of a field-effect transistor's type, with its own `idss=` and `vp=`."""
    primitives = device(transistor.part.kind).expand(transistor.part)
    return next(item for item in primitives if isinstance(item, FieldEffectTransistor))


def is_germanium(transistor: Transistor) -> bool:
    """The saturation current of a bipolar transistor is a germanium part's."""
    return _bipolar_card(transistor).saturation_a > GERMANIUM_SATURATION_A


def base_emitter_v(transistor: Transistor) -> float:
    """Base-emitter voltage for reckoning by hand [V]."""
    return GERMANIUM_V if is_germanium(transistor) else SILICON_V


def rest_by_hand(
    bench: Bench, network: TransistorNetwork, *, beta: float | None = None, spread: float = 1.0
) -> Rest | None:
    """The resting point from the values alone, or None where no textbook formula covers the shape.

    `beta` replaces the current gain; `spread` multiplies a field-effect transistor's pinch-off or threshold
    voltage
    (and its current with the square).
    """
    cluster = network.cluster
    if cluster.shape != "single":
        return None
    top = _end(bench, network, "top", cluster.top)
    bottom = _end(bench, network, "bottom", cluster.bottom)
    if top is None or bottom is None:
        return None
    if cluster.lead.family == "bipolar":
        return _bipolar_rest(bench, network, top, bottom, beta)
    return _channel_rest(bench, network, top, bottom, spread)


def _end(bench: Bench, network: TransistorNetwork, place: str, net: str) -> tuple[float, float] | None:
    if bench.classes.is_still(net):
        volts = still_volts(bench, net)
        return None if volts is None else (volts, 0.0)
    return thevenin(bench, network.at(place), net)


def _bipolar_rest(
    bench: Bench,
    network: TransistorNetwork,
    top: tuple[float, float],
    bottom: tuple[float, float],
    beta: float | None,
) -> Rest | None:
    lead = network.cluster.lead
    gain = beta or beta_of(bench, lead)
    found = _base_bias(bench, network, top, bottom, gain)
    if found is None or found[0].collector_a <= 0 or not isfinite(found[0].collector_a):
        return None
    bias, way = found
    through_load = bias.emitter_a if way == "feedback" else bias.collector_a
    return Rest(
        control_v=bottom[0] + lead.polarity * bias.base_v,
        bottom_v=bottom[0] + lead.polarity * bias.emitter_v,
        top_v=top[0] - lead.polarity * through_load * top[1],
        current_a=bias.collector_a,
        top_return_v=top[0],
        bottom_return_v=bottom[0],
        load_ohms=top[1],
        bottom_ohms=bottom[1],
        way=way,
    )


def _base_bias(
    bench: Bench,
    network: TransistorNetwork,
    top: tuple[float, float],
    bottom: tuple[float, float],
    beta: float,
) -> tuple[Bias, str] | None:
    """The bias by the one formula that fits; voltages against the emitter's return, as for an npn
    transistor.
    """
    lead, control = network.cluster.lead, network.cluster.control
    junction_v = base_emitter_v(lead)
    base = _control_source(bench, network)
    across = thevenin(bench, network.at("bridge"), control, {network.cluster.top: 0.0})
    if across is not None and base is None:
        bias = feedback_bias(
            supply_v=lead.polarity * (top[0] - bottom[0]),
            base_ohms=across[1],
            collector_ohms=top[1],
            beta=beta,
            emitter_ohms=bottom[1],
            base_emitter_v=junction_v,
        )
        return bias, "feedback"
    if across is not None:
        return None
    way = "divider"
    back = _return_ohms(bench, network)
    if base is None and back is not None and not bottom[1]:
        return _return_bias(network, top, bottom, beta, back), "return"
    if base is None:
        measured = bench.volts(control)
        if measured is None or not bottom[1]:
            return None
        base, way = (measured, 0.0), "driven"
    bias = fixed_bias(
        supply_v=lead.polarity * (base[0] - bottom[0]),
        base_ohms=base[1],
        collector_ohms=top[1],
        beta=beta,
        emitter_ohms=bottom[1],
        base_emitter_v=junction_v,
    )
    return bias, way


def _control_source(bench: Bench, network: TransistorNetwork) -> tuple[float, float] | None:
    control = network.cluster.control
    if bench.classes.is_still(control):
        volts = still_volts(bench, control)
        return None if volts is None else (volts, 0.0)
    if _is_driven(bench, network):
        return None
    gone = {leaf.name for leaf in (*network.at("bridge"), *network.at("bootstrap"))}
    return thevenin(bench, [leaf for leaf in bias_leaves(bench, network) if leaf.name not in gone], control)


def _is_driven(bench: Bench, network: TransistorNetwork) -> bool:
    """The stage before sets the control's resting voltage: its collector, emitter or output is on the net."""
    cluster, view = network.cluster, bench.view
    others = [item for item in view.transistors if item.ref not in cluster.refs]
    ends = {net for item in others for net in (item.top, item.bottom)}
    return cluster.control in ends | {amp.out for amp in view.amplifiers}


def _return_ohms(bench: Bench, network: TransistorNetwork) -> float | None:
    """The resistor that feeds the base from the emitter of the transistor this one drives, if that is its
    bias.
    """
    cluster = network.cluster
    driven = {item.bottom for item in bench.view.transistors if item.control == cluster.top}
    found = [
        leaf.value
        for leaf in bench.view.on(cluster.control)
        if leaf.sort == "R" and leaf.other(cluster.control) in driven
    ]
    return found[0] if len(found) == 1 else None


def _return_bias(
    network: TransistorNetwork,
    top: tuple[float, float],
    bottom: tuple[float, float],
    beta: float,
    ohms: float,
) -> Bias:
    """The first of a pair: its collector stands two junctions up, plus what its base current drops.

    IC = (VCC - 2 VBE)/(RC + RF/beta); the second transistor's base current is neglected. By Kirchhoff's laws.
    """
    lead = network.cluster.lead
    junction_v = base_emitter_v(lead)
    span = lead.polarity * (top[0] - bottom[0])
    amps = (span - 2 * junction_v) / (top[1] + ohms / beta)
    return Bias(
        base_a=amps / beta,
        collector_a=amps,
        emitter_a=amps * (1 + 1 / beta),
        base_v=junction_v,
        emitter_v=0.0,
        collector_v=span - amps * top[1],
    )


def _channel_rest(
    bench: Bench,
    network: TransistorNetwork,
    top: tuple[float, float],
    bottom: tuple[float, float],
    spread: float,
) -> Rest | None:
    lead = network.cluster.lead
    gate = _control_source(bench, network)
    if gate is None:
        measured = bench.volts(network.cluster.control)
        if measured is None:
            return None
        gate = (measured, 0.0)
    across = lead.polarity * (gate[0] - bottom[0])
    amps = channel_a(lead, across, bottom[1], spread)
    if amps <= 0 or not isfinite(amps):
        return None
    return Rest(
        control_v=gate[0],
        bottom_v=bottom[0] + lead.polarity * amps * bottom[1],
        top_v=top[0] - lead.polarity * amps * top[1],
        current_a=amps,
        top_return_v=top[0],
        bottom_return_v=bottom[0],
        load_ohms=top[1],
        bottom_ohms=bottom[1],
        way="self" if abs(across) < 1e-6 else "divider",
    )


def channel_a(transistor: Transistor, gate_v: float, source_ohms: float, spread: float = 1.0) -> float:
    """Drain current by the square law [A], for a gate voltage against the lower end of the source
    resistor.
    """
    card = channel_card(transistor)
    if card.threshold_v >= 0:
        return mosfet.self_bias_drain_a(
            gate_v=gate_v,
            source_ohms=source_ohms,
            factor_a_per_v2=card.beta,
            threshold_v=card.threshold_v * spread,
        )
    pinch_off_v = card.threshold_v * spread
    idss_a = card.beta * pinch_off_v**2
    if not source_ohms:
        return jfet.drain_a(gate_v, idss_a=idss_a, pinch_off_v=pinch_off_v)
    return jfet.self_bias_drain_a(
        source_ohms=source_ohms, idss_a=idss_a, pinch_off_v=pinch_off_v, gate_v=gate_v
    )
