"""The table of voltages put together: bands over many builds, meter, knobs, oscillation, faults."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from hashlib import sha256

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.records import Certified
from pedalwright.analysis.voltages.bands import (
    BUILDS,
    RestingBands,
    TooFewBuilds,
    bands_of,
    build_many,
)
from pedalwright.analysis.voltages.chip_rows import of_chip_pin
from pedalwright.analysis.voltages.conditions import conditions
from pedalwright.analysis.voltages.knob_moves import knob_moves
from pedalwright.analysis.voltages.measured_nets import at_measured, checked
from pedalwright.analysis.voltages.meter import METER_OHMS, Metered, read_by_meter
from pedalwright.analysis.voltages.places import places
from pedalwright.analysis.voltages.population import Population
from pedalwright.analysis.voltages.records import (
    Expected,
    FaultReadings,
    KnobMove,
    Place,
    Row,
    State,
    SupplyUsed,
    Suspect,
    VoltageTable,
)
from pedalwright.analysis.voltages.spreads import SEED, supply_range
from pedalwright.analysis.voltages.suspects import fault_readings, suspects
from pedalwright.analysis.voltages.swing import Movement, leaving, movement
from pedalwright.circuit.primitives import VoltageSource
from pedalwright.solve.certificate import RESIDUAL_BOUND, NotCertified

NO_METERS = (1e3, 1e15)
"""a meter's resistance [ohm] lies between these"""
GROUND_V = 0.02
"""what a ground may read: more says that a joint or a wire to ground has resistance"""
SMALL_V, SMALL_SHARE = 0.06, 0.01
"""a swing below this, and this share of the reading, only widens the band"""
STOPPED = "steady: the oscillator does not run"
OWN_SHARE = 0.01
"""of the largest part of a growing mode, above which a net moves with an oscillation that was not followed"""
NO_SUPPLY = "There is no supply in this circuit: nothing on it has a direct voltage to read."


def voltage_table(
    analysis: Analysis,
    *,
    measured: Mapping[str, float] | None = None,
    meter_ohms: float = METER_OHMS,
    builds: int = BUILDS,
    seed: int = SEED,
) -> VoltageTable:
    """What a meter of `meter_ohms` (1 kohm or more; infinite for none) reads on every pin and test point.

    `measured` puts supplies and regulator outputs [V] at what was read there, by net. Circuits that cannot be
    told are refused in `refusals`, never with an exception; ValueError for a wish that cannot be met: a net
    that follows from others, a meter or a number of builds that cannot be.
    """
    if not (NO_METERS[0] <= meter_ohms <= NO_METERS[1] or meter_ohms == float("inf")):
        raise ValueError(f"a meter has between 1 kohm and 1e15 ohm, not {meter_ohms:g} ohm.")
    given = checked(analysis, measured or {})
    here = at_measured(analysis, given)
    empty = _empty(analysis, given, meter_ohms, builds, seed)
    if not any(isinstance(one, VoltageSource) and one.dc_v for one in here.primitives):
        return replace(empty, refusals=(NO_SUPPLY,))
    try:
        people = build_many(here, given, builds=builds, seed=seed)
    except NotCertified as refusal:
        return replace(empty, refusals=(f"Voltages are not printed: {refusal}.",))
    except TooFewBuilds as refusal:
        return replace(empty, refusals=(f"Bands are not printed: {refusal}.",))
    return _filled(here, people, empty)


def _empty(
    analysis: Analysis, given: Mapping[str, float], meter_ohms: float, builds: int, seed: int
) -> VoltageTable:
    circuit = analysis.circuit
    return VoltageTable(
        title=circuit.title,
        text_sha256=sha256(analysis.text.encode("utf-8")).hexdigest(),
        circuit=circuit,
        settings=tuple((part.ref, str(part.setting)) for part in (*circuit.knobs, *circuit.switches)),
        supplies=tuple(
            SupplyUsed(
                net=one.net,
                volts=one.volts,
                source=one.source,
                low_v=supply_range(one)[0],
                high_v=supply_range(one)[1],
                measured_v=given.get(one.net),
            )
            for one in circuit.supplies
        ),
        measured=given,
        meter_ohms=meter_ohms,
        builds=0,
        asked=builds,
        seed=seed,
    )


@dataclass(frozen=True, kw_only=True, eq=False)
class _Known:
    """What the rows are made of."""

    analysis: Analysis
    bands: RestingBands
    load_v: Mapping[str, float]
    knobs: Mapping[str, tuple[KnobMove, ...]]
    faults: FaultReadings
    suspects: Mapping[str, tuple[Suspect, ...]]
    moving: Movement | None
    swinging: frozenset[str]


def _filled(analysis: Analysis, people: Population, empty: VoltageTable) -> VoltageTable:
    metered = read_by_meter(people, empty.meter_ohms)
    known = _know(analysis, people, metered, empty)
    nets = {net: _expected(known, net) for net in known.bands.nets}
    rows = tuple(_row(known, place, nets) for place in places(analysis, empty.supplies))
    return replace(
        empty,
        builds=known.bands.used,
        nets=nets,
        rows=rows,
        faults=known.faults,
        oscillates=known.moving is not None,
        rate_hz=known.moving.rate_hz if known.moving else None,
        conditions=conditions(analysis, empty, known.bands.used, metered),
        certified=_certified(analysis),
    )


def _know(analysis: Analysis, people: Population, metered: Metered, empty: VoltageTable) -> _Known:
    bands = bands_of(analysis, people, metered.x, empty.seed, empty.measured)
    start, moving = people.versions.some(0, 1), movement(analysis)
    triples = {net: (one.low_v, one.typical_v, one.high_v) for net, one in bands.bands.items()}
    faults = fault_readings(analysis, start, empty.meter_ohms)
    rows = analysis.system.rows
    load = metered.x[0] - people.x[0]
    return _Known(
        analysis=analysis,
        bands=bands,
        load_v={net: float(load[rows[net]]) for net in bands.nets},
        knobs=knob_moves(analysis, start, empty.meter_ohms),
        faults=faults,
        suspects=suspects(analysis, faults, triples),
        moving=moving,
        swinging=_swinging(analysis, moving),
    )


def _swinging(analysis: Analysis, moving: Movement | None) -> frozenset[str]:
    """The nets an oscillator moves: those seen to move, or, where it could not be followed, those its growth
    begins on.
    """
    if moving is None:
        return frozenset()
    if moving.ranges is not None:
        return frozenset(moving.ranges)
    way = leaving(analysis)
    if way is None:
        fed = {supply.net for supply in analysis.circuit.supplies}
        return frozenset(analysis.system.rows) - fed
    sizes = np.abs(way.direction[: analysis.system.node_count])
    rows = np.flatnonzero(sizes > OWN_SHARE * sizes.max(initial=0.0))
    return frozenset(net for net, row in analysis.system.rows.items() if row in rows)


def _expected(known: _Known, net: str) -> Expected:
    if net in known.analysis.rest.floating:
        return Expected(state=State.ANYTHING)
    if known.analysis.system.row(net) == known.analysis.system.size:
        return _ground()
    if net in known.swinging:
        return _moving(known, net)
    below, above = _wander(known, net)
    return _steady(known, net, below, above)


def _ground() -> Expected:
    fact = f"more than {GROUND_V:g} V: the joint or the wire to ground has resistance"
    return Expected(
        state=State.STEADY, low_v=-GROUND_V, typical_v=0.0, high_v=GROUND_V, deviation_v=0.0, facts=(fact,)
    )


def _steady(known: _Known, net: str, below: float, above: float) -> Expected:
    """A net that stands, or is moved from `below` to `above` its rest by less than is worth telling."""
    band = known.bands.bands[net]
    return Expected(
        state=State.STEADY,
        low_v=band.low_v + below,
        typical_v=band.typical_v + 0.5 * (below + above),
        high_v=band.high_v + above,
        deviation_v=band.deviation_v,
        meter_v=known.load_v[net],
        knobs=known.knobs.get(net, ()),
        suspects=known.suspects.get(net, ()),
    )


def _moving(known: _Known, net: str) -> Expected:
    """Between what and what a net moves; the spread of parts as that of the rest point it moves around."""
    if known.moving is None or known.moving.ranges is None:
        return Expected(state=State.MOVES, facts=(STOPPED,))
    below, above = _wander(known, net)
    if above - below < SMALL_V + SMALL_SHARE * abs(known.bands.bands[net].typical_v):
        return _steady(known, net, below, above)
    middle = known.bands.bands[net].typical_v
    swing_v = (middle + below, middle + above)
    found = _steady(known, net, below, above)
    return replace(found, state=State.MOVES, swing_v=swing_v, suspects=(), facts=(STOPPED,), deviation_v=None)


def _wander(known: _Known, net: str) -> tuple[float, float]:
    """How far below and above its rest point an oscillator takes a net, the meter's load as at rest."""
    moving = known.moving
    if moving is None or moving.ranges is None or moving.shifts is None:
        return 0.0, 0.0
    rest = float(known.analysis.rest.x[known.analysis.system.row(net)])
    shift = moving.shifts.get(net, 0.0)
    low, high = moving.ranges.get(net, (rest + shift, rest + shift))
    typical = known.bands.bands[net].typical_v
    share = typical / (typical - known.load_v[net]) if abs(typical) > 1e-3 else 1.0
    return (low - rest) * share, (high - rest) * share


def _row(known: _Known, place: Place, nets: Mapping[str, Expected]) -> Row:
    # A pin the text leaves open may have no net among those computed.
    expected = nets.get(place.net, Expected(state=State.ANYTHING))
    part = known.analysis.circuit.by_ref.get(place.ref)
    if part is not None and part.kind == "echo-chip":
        expected = of_chip_pin(part, place.number, expected, nets)
    return Row(place=place, expected=expected)


def _certified(analysis: Analysis) -> Certified:
    rest = analysis.rest.certificate
    return Certified(
        what="resting voltages",
        residual=rest.residual_a,
        bound=RESIDUAL_BOUND,
        condition=rest.condition,
        method=rest.method,
        ok=rest.ok,
    )
