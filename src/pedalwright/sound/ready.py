"""A circuit and all that plays along with it, made ready for the loop that plays."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import GROUND, Circuit
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import VoltageSource
from pedalwright.devices.ports import INPUT, supply_name
from pedalwright.echo import delay_law
from pedalwright.echo.chip import DIGITAL_GROUND, SUPPLY, TIME, reading
from pedalwright.echo.figures import value
from pedalwright.echo.one_bit.chips import chips_of
from pedalwright.echo.one_bit.one_chip import OneChip, chip_in
from pedalwright.echo.taps import REFERENCE, Tap, taps
from pedalwright.echo.track import Track, track_of
from pedalwright.solve.arrays import FloatArray, IndexArray, indices
from pedalwright.solve.certificate import NotCertified
from pedalwright.solve.compiled import plain
from pedalwright.solve.time.machine import TOLERANCE_V, Clockwork, Wanted, clockwork
from pedalwright.sound.cells import Cell, cells_in, light_law
from pedalwright.sound.surroundings import Along
from pedalwright.sound.unusable import unusable

LAG_STEPS = 2
STILL_V = 1e-5
"""a time pin that moves by less keeps its clock"""
FAR_OHMS = 1e9


@dataclass(frozen=True, slots=True, kw_only=True)
class Half:
    """One half of a moving knob's track: its device in the machine, and which half it is."""

    place: int
    half: int
    track: Track


@dataclass(frozen=True, kw_only=True, eq=False)
class Ready:
    """Everything the loop needs that does not change. `told` are the rows of the output and of the probes."""

    analysis: Analysis
    work: Clockwork
    chips: tuple[OneChip, ...]
    taps: tuple[Tap, ...]
    along: Along
    told: IndexArray
    told_rest_v: FloatArray
    halves: tuple[Half, ...]
    moved_ref: tuple[str, ...]
    """the knob of each half"""


def made_ready(
    circuit: Circuit, step_s: float, *, turned: Sequence[str] = (), probes: Sequence[str] = (),
    power_on: bool = False, tolerance_v: float = TOLERANCE_V,
    keep_all: bool = False,
) -> Ready:  # fmt: skip
    """The circuit ready to play in steps of `step_s`; `turned` are the knobs that will move.

    Raises UnusableSound when it has no jacks, no certified rest point, or no solution.
    """
    analysis = Analysis(circuit)
    chips = _chips(analysis)
    ways = taps(chips, analysis.primitives, analysis.small) if analysis.small is not None else ()
    used = tuple(circuit.by_ref[way.ref] for way in ways)
    cells, tracks = cells_in(circuit.parts, analysis.primitives), _tracks(circuit, turned)
    wanted = _wanted(analysis, used, ways, cells, tracks, probes, power_on=power_on)
    work = _worked(analysis, wanted, step_s, tolerance_v, keep_all=keep_all)
    models = tuple(chip_in(chip, analysis.primitives) for chip in used)
    halves = _halves(work, tracks)
    return Ready(
        analysis=analysis, work=work, chips=models, taps=ways,
        along=_along(work, models, cells, halves, step_s),
        told=work.asked_rows[: 1 + len(probes)], told_rest_v=work.asked_rest_v[: 1 + len(probes)],
        halves=halves, moved_ref=tuple(half.track.ref for half in halves),
    )  # fmt: skip


def _chips(analysis: Analysis) -> list[Part]:
    return [part for part in analysis.circuit.parts if part.kind == "echo-chip"]


def _worked(
    analysis: Analysis, wanted: Wanted, step_s: float, tolerance_v: float, *, keep_all: bool
) -> Clockwork:
    """The clockwork, or the reason why there is none in a sentence."""
    try:
        system, rest, small = analysis.system, analysis.rest, analysis.small
        return clockwork(system, rest, wanted, step_s, small, tolerance_v, keep_all)
    except NotCertified as refusal:
        raise unusable(
            "sound.no-rest-point",
            "This circuit cannot be heard: its resting voltages could not be found.",
            f"They are {refusal}.",
            "Walk it through first; what is said there about resting voltages tells where to look.",
        ) from None
    except KeyError as unknown:
        raise unusable(
            "sound.no-net",
            f"There is no net {unknown} to probe.",
            "A probe stands on a net of the circuit.",
            "Name a net as the circuit's text does.",
        ) from None
    except np.linalg.LinAlgError:
        raise unusable(
            "sound.no-solution",
            "This circuit cannot be heard: its equations have no single solution.",
            "Somewhere two sources fight, or a net hangs on nothing.",
            "Walk it through first; look for a net that only capacitors or only outputs hold.",
        ) from None


def _tracks(circuit: Circuit, turned: Sequence[str]) -> tuple[Track, ...]:
    return tuple(track_of(circuit.by_ref[ref]) for ref in dict.fromkeys(turned))


def _wanted(
    analysis: Analysis, chips: Sequence[Part], ways: Sequence[Tap], cells: Sequence[Cell],
    tracks: Sequence[Track], probes: Sequence[str], *, power_on: bool,
) -> Wanted:  # fmt: skip
    """Output, probes, then of every chip sound, time pin and supply, then the lamps."""
    circuit = analysis.circuit
    if circuit.output is None or circuit.input is None:
        raise unusable(
            "sound.no-jack",
            "This circuit cannot be heard: it has no input or no output.",
            "Sound goes in at the net of the line `input` and comes out at that of the line `output`.",
            "Write `input IN pickup` and `output OUT 1M` with your own nets.",
        )
    asked = [(circuit.output.net, GROUND), *((net, GROUND) for net in probes)]
    for chip, way in zip(chips, ways, strict=True):
        ground = chip.net(DIGITAL_GROUND)
        asked += [(way.sound, chip.net(REFERENCE)), (chip.net(TIME), ground), (chip.net(SUPPLY), ground)]
    asked += [(cell.lamp_plus, cell.lamp_minus) for cell in cells]
    sources = [INPUT] if _drives(analysis, INPUT) else []
    if power_on:
        sources += [supply_name(supply) for supply in circuit.supplies]
    halves = [half.name for track in tracks for half in track.halves if half.a != half.b]
    return Wanted(
        sources=tuple(sources),
        currents=tuple((way.decoder, GROUND) for way in ways),
        asked=tuple(asked),
        movable=(*halves, *(cell.resistance for cell in cells)),
    )


def _drives(analysis: Analysis, name: str) -> bool:
    return any(isinstance(one, VoltageSource) and one.name == name for one in analysis.primitives)


def _halves(work: Clockwork, tracks: Sequence[Track]) -> tuple[Half, ...]:
    found = [
        Half(place=work.places[one.name], half=half, track=track)
        for track in tracks
        for half, one in enumerate(track.halves)
        if one.name in work.places
    ]
    return tuple(found)


def _along(
    work: Clockwork, chips: Sequence[OneChip], cells: Sequence[Cell], halves: Sequence[Half], step_s: float
) -> Along:
    first = len(work.wanted.asked) - 3 * len(chips) - len(cells)
    sound, pin, supply = (slice(first + k, first + 3 * len(chips), 3) for k in range(3))
    lamps = slice(first + 3 * len(chips), None)
    rows = np.where(work.asked_moves_v > STILL_V, work.asked_rows, -1)
    rest, factor = work.asked_rest_v, np.array([chip.delay_factor for chip in chips])
    ohms, delay = _delay_law()
    pin_ohms, lag_s = value("time_pin_ohms"), LAG_STEPS * step_s
    return plain(Along(
        chips=chips_of(chips, step_s),
        sound=work.asked_rows[sound], sound_rest_v=rest[sound],
        supply=rows[supply], supply_rest_v=rest[supply],
        pin=rows[pin], pin_rest_v=rest[pin], pin_ohms=pin_ohms,
        rate=_rates(rows[pin], rest[pin], rest[supply], chips, lag_s, step_s),
        factor=factor,
        drive=indices([len(work.wanted.sources) + k for k in range(len(chips))]),
        ohms=ohms, delay_s=delay, lag_s=lag_s,
        cell=indices([work.places[cell.resistance] for cell in cells]),
        lamp=rows[lamps], lamp_rest_v=rest[lamps],
        lamp_ohms=np.array([cell.lamp_ohms for cell in cells]), light=light_law(),
        moving=indices([half.place for half in halves]),
        step_s=step_s,
    ))  # fmt: skip


def _delay_law() -> tuple[FloatArray, FloatArray]:
    """The corners of the delay law: straight between them, and beyond the last (see `delay_law.delay_s`)."""
    ohms = np.array([*delay_law.CORNERS_OHMS, FAR_OHMS])
    return ohms, delay_law.delay_s(ohms)


def time_ohms(pin_v: FloatArray, supply_v: FloatArray) -> FloatArray:
    """The resistance that would draw what the time pin gives, as `echo.chip.time_pin` counts it."""
    return reading(pin_v, (supply_v / 2 - pin_v) / value("time_pin_ohms")).ohms


def _rates(
    moving: IndexArray, pin_v: FloatArray, supply_v: FloatArray, chips: Sequence[OneChip], lag_s: float,
    step_s: float,
) -> FloatArray:  # fmt: skip
    """Bits a step of clocks that never move, -1 for the others."""
    from pedalwright.echo.one_bit.rate import bit_rate

    delay = delay_law.delay_s(time_ohms(pin_v, supply_v))
    each = [
        float(bit_rate(late * chip.delay_factor, lag_s, memory_bits=chip.memory_bits)) * step_s
        for late, chip in zip(delay, chips, strict=True)
    ]
    return np.where(moving >= 0, -1.0, np.array(each))
